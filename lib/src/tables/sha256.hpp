// SPDX-License-Identifier: MIT
// SHA-256 after FIPS 180-4: names a set of tables by its bytes. No Debian package has it without a
// whole cryptographic library, which every program that links to this one would have to load.
#pragma once

#include <string>
#include <string_view>

namespace counterion::tables {

/// The digest of the bytes in 64 lower-case hexadecimal digits.
std::string sha256(std::string_view bytes);

}  // namespace counterion::tables
