// SPDX-License-Identifier: MIT
#include <counterion/text/names.hpp>

#include <doctest/doctest.h>

using counterion::text::edit_distance;
using counterion::text::forgiven_edits;
using counterion::text::normalise;

TEST_CASE("case, blanks, hyphens and punctuation do not tell names apart") {
  CHECK(normalise("Sodium  Lactate (60 %)") == "sodiumlactate60");
  CHECK(normalise("sodium-lactate-60") == "sodiumlactate60");
  CHECK(normalise("PEG\xE2\x80\x91"
                  "40 \xE2\x84\xA2") == "peg40");
}

TEST_CASE("diacritics are folded, composed and decomposed") {
  CHECK(normalise("Zitronens\xC3\xA4ure") == "zitronensaure");
  CHECK(normalise("Zitronensa\xCC\x88ure") == "zitronensaure");
  CHECK(normalise("\xC3\x89thanol \xC3\x9F \xC3\xA6 \xC3\x98 \xC5\x82 \xC5\x93 \xC8\x99") ==
        "ethanolssaeoloes");
}

TEST_CASE("British and American spellings are one") {
  CHECK(normalise("Sodium Lauryl Sulphate") == normalise("sodium lauryl sulfate"));
  CHECK(normalise("Aluminium") == normalise("aluminum"));
  CHECK(normalise("deionised water") == normalise("De-ionized Water"));
  CHECK(normalise("Glycerine") == "glycerin");
}

TEST_CASE("Greek letters are written out and other scripts kept") {
  CHECK(normalise("\xCE\xB1-Tocopherol") == "alphatocopherol");
  CHECK(normalise("\xE6\xB0\xB4") == "\xE6\xB0\xB4");
}

TEST_CASE("distance counts insertions, deletions, substitutions and swaps of neighbours") {
  CHECK(edit_distance("glycerin", "glycerin", 3) == 0);
  CHECK(edit_distance("glicerin", "glycerin", 3) == 1);
  CHECK(edit_distance("glycerinn", "glycerin", 3) == 1);
  CHECK(edit_distance("gylcerin", "glycerin", 3) == 1);
  CHECK(edit_distance("ca", "abc", 5) == 3);  // optimal string alignment, not full Damerau
  CHECK(edit_distance("", "abc", 5) == 3);
}

TEST_CASE("distance gives up beyond what was asked for") {
  CHECK(edit_distance("water", "glycerin", 2) == 3);
  CHECK(edit_distance("abcdefgh", "hgfedcba", 3) == 4);
}

TEST_CASE("longer names forgive more") {
  CHECK(forgiven_edits(3) == 1);
  CHECK(forgiven_edits(5) == 2);
  CHECK(forgiven_edits(10) == 3);
  CHECK(forgiven_edits(20) == 4);
}
