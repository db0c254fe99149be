#include "gaugeloom/io/sha256.hpp"

#include <openssl/evp.h>

#include <array>
#include <memory>
#include <vector>

#include "gaugeloom/core/error.hpp"
#include "io/byte_source_internal.hpp"

namespace gaugeloom {
namespace {

class Digest {
 public:
  Digest() : context_(EVP_MD_CTX_new()) {
    check(context_ != nullptr && EVP_DigestInit_ex(context_.get(), EVP_sha256(), nullptr) == 1);
  }
  void update(const void* bytes, std::size_t count) {
    check(EVP_DigestUpdate(context_.get(), bytes, count) == 1);
  }
  std::string hexadecimal() {
    std::array<unsigned char, EVP_MAX_MD_SIZE> sum;
    unsigned size = 0;
    check(EVP_DigestFinal_ex(context_.get(), sum.data(), &size) == 1);
    std::string text;
    for (unsigned i = 0; i < size; ++i) {
      text += "0123456789abcdef"[sum[i] >> 4];
      text += "0123456789abcdef"[sum[i] & 15];
    }
    return text;
  }

 private:
  static void check(bool done) {
    if (!done) throw Error(ErrorCode::io_failure, "the SHA-256 of the system library failed");
  }
  struct Free {
    void operator()(EVP_MD_CTX* context) const { EVP_MD_CTX_free(context); }
  };
  std::unique_ptr<EVP_MD_CTX, Free> context_;
};

}  // namespace

std::string sha256_of_file(const std::string& path) {
  const auto source = open_raw_file(path);
  std::vector<char> block(std::size_t{1} << 18);
  Digest digest;
  for (std::size_t got = source->read(block); got > 0; got = source->read(block))
    digest.update(block.data(), got);
  return digest.hexadecimal();
}

std::string sha256_of_text(std::string_view bytes) {
  Digest digest;
  digest.update(bytes.data(), bytes.size());
  return digest.hexadecimal();
}

}  // namespace gaugeloom
