#include "report/content_policy_internal.hpp"

#include <gtest/gtest.h>

#include <vector>

#include "report/base64_internal.hpp"

namespace gaugeloom {
namespace {

// RFC 4648, section 10.
TEST(Base64, GivesTheVectorsOfTheStandard) {
  EXPECT_EQ(base64(""), "");
  EXPECT_EQ(base64("f"), "Zg==");
  EXPECT_EQ(base64("fo"), "Zm8=");
  EXPECT_EQ(base64("foo"), "Zm9v");
  EXPECT_EQ(base64("foob"), "Zm9vYg==");
  EXPECT_EQ(base64("fooba"), "Zm9vYmE=");
  EXPECT_EQ(base64("foobar"), "Zm9vYmFy");
  EXPECT_EQ(base64("\xFF\xFE\xFD"), "//79");
}

// The example of Content Security Policy Level 3, section 2.3.1, from memory; the digest is also
// what `openssl dgst -sha256 -binary | base64` gives.
TEST(ContentPolicy, NamesScriptsByTheirDigest) {
  const std::vector<std::string> scripts = {"alert('Hello, world.');"};
  const std::string policy = content_policy(scripts);
  EXPECT_NE(policy.find("script-src 'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='"),
            std::string::npos)
      << policy;
}

TEST(ContentPolicy, LetsNothingElseRunOrLeave) {
  const std::string policy = content_policy({});
  EXPECT_EQ(policy.find("http"), std::string::npos);
  EXPECT_NE(policy.find("default-src 'none'"), std::string::npos);
  const std::string scripts = policy.substr(policy.find("script-src"));
  EXPECT_EQ(scripts.substr(0, scripts.find(';')), "script-src");  // and so none
}

}  // namespace
}  // namespace gaugeloom
