#include <iostream>
#include <string>
#include <vector>

#include "command.hpp"

int main(int count, char** words) {
  std::ios::sync_with_stdio(false);
  const std::vector<std::string> args(words + (count > 0 ? 1 : 0), words + count);
  return static_cast<int>(gaugeloom::dispatch(args, {std::cout, std::cerr}));
}
