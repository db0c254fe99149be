#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "cli/command.hpp"

namespace gaugeloom {
namespace {

std::string page_of(const CommandInfo& info) {
  std::ifstream file(std::string(GAUGELOOM_ROOT "/src/cli/") + std::string(info.name) + ".md");
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

struct Said {
  std::string out, err;
  Exit exit = Exit::ok;
};

Said say(const std::vector<std::string>& args) {
  std::ostringstream out;
  std::ostringstream err;
  const Exit exit = dispatch(args, {out, err});
  return {out.str(), err.str(), exit};
}

TEST(Commands, EachHasAPageThatMentionsEveryOption) {
  for (const CommandInfo& info : commands()) {
    SCOPED_TRACE(info.name);
    const std::string page = page_of(info);
    EXPECT_NE(page.find("# gaugeloom " + std::string(info.name)), std::string::npos);
    const std::unique_ptr<Command> command = info.make();
    for (const OptionSpec& spec : command->options().specs()) {
      const std::string word = "`" + std::string(spec.is_table ? "" : "--") + spec.name;
      EXPECT_NE(page.find(word), std::string::npos) << word;
    }
  }
}

TEST(Commands, EachHasHelpThatNamesEveryOptionAndFile) {
  for (const CommandInfo& info : commands()) {
    SCOPED_TRACE(info.name);
    const Said said = say({std::string(info.name), "--help"});
    EXPECT_EQ(said.exit, Exit::ok);
    EXPECT_EQ(said.err, "");
    const std::unique_ptr<Command> command = info.make();
    for (const OptionSpec& spec : command->options().specs()) {
      EXPECT_NE(said.out.find(spec.name), std::string::npos) << spec.name;
      EXPECT_EQ(spec.help.back(), '.') << spec.name;
      EXPECT_TRUE(spec.set) << spec.name;
    }
    for (const auto& [file, holds] : command->manual().files)
      EXPECT_NE(said.out.find(file), std::string::npos) << file;
    EXPECT_FALSE(command->manual().examples.empty());
  }
}

TEST(Commands, EachDeclaresEveryOptionOnce) {
  for (const CommandInfo& info : commands()) {
    SCOPED_TRACE(info.name);
    const std::unique_ptr<Command> command = info.make();
    for (const OptionSpec& spec : command->options().specs())
      EXPECT_EQ(command->options().find(spec.name), &spec) << spec.name;
  }
}

TEST(Dispatch, TellsMisuseFromFailure) {
  EXPECT_EQ(say({}).exit, Exit::usage);
  EXPECT_EQ(say({"no-such-command"}).exit, Exit::usage);
  for (const CommandInfo& info : commands()) {
    SCOPED_TRACE(info.name);
    const Said said = say({std::string(info.name), "--no-such-option"});
    EXPECT_EQ(said.exit, Exit::usage);
    EXPECT_EQ(said.out, "");
    EXPECT_EQ(said.err, "gaugeloom: --no-such-option is not an option\n");
  }
}

TEST(Dispatch, ReportsASummaryThatCannotBeWritten) {
  std::ostringstream out;
  out.setstate(std::ios::badbit);
  std::ostringstream err;
  const std::vector<std::string> args{"--version"};
  EXPECT_EQ(dispatch(args, {out, err}), Exit::failed);
  EXPECT_EQ(err.str(), "gaugeloom: the summary cannot be written to standard output\n");
}

TEST(ToolHelp, HasTheSectionsOfAManualPage) {
  const std::string help = tool_help();
  for (const char* section : {"NAME\n", "\nSYNOPSIS\n", "\nCOMMANDS\n", "\nFILES\n",
                              "\nEXIT STATUS\n", "\nEXAMPLES\n", "\nCAUTIONS\n"})
    EXPECT_NE(help.find(section), std::string::npos) << section;
  for (const CommandInfo& info : commands())
    EXPECT_NE(help.find("\n  " + std::string(info.name) + "\n"), std::string::npos) << info.name;
}

}  // namespace
}  // namespace gaugeloom
