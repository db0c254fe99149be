#include <iostream>

int main() {
  std::cerr << "no commands yet\n";
  return 1;
}
