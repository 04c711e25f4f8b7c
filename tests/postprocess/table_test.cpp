// SPDX-License-Identifier: MIT
#include "postprocess/table.h"

#include <gtest/gtest.h>

#include <sstream>

#include "postprocess/board_list.h"
#include "postprocess/summary.h"
#include "postprocess/text.h"
#include "postprocess/text_table.h"
#include "tests/postprocess/sample_results.h"

namespace stillbox {
namespace {

using test::make_cabinet;

std::size_t widest_line(const std::string &text) {
  std::istringstream in(text);
  std::size_t widest = 0;
  for (std::string line; std::getline(in, line);) widest = std::max(widest, display_width(line));
  return widest;
}

bool contains(const std::string &text, const std::string &part) { return text.find(part) != std::string::npos; }

TEST(Text, CleansWhatATerminalMustNotSee) {
  EXPECT_EQ(clean_text("a\x1b[31mb\n"), "a [31mb ");
  EXPECT_EQ(clean_text("\xC3\xA4"), "\xC3\xA4");
  EXPECT_EQ(clean_text("\xC3"), "\xEF\xBF\xBD");
  EXPECT_EQ(clean_text("\xC0\xAF"), "\xEF\xBF\xBD\xEF\xBF\xBD");  // overlong slash
  EXPECT_EQ(clean_text("\xED\xA0\x80x").back(), 'x');             // surrogate
  EXPECT_EQ(clean_text("\xC2\x9B"
                       "2J"),
            " 2J");  // C1 control
}

TEST(Text, WrapsAndShortensByCodePoints) {
  EXPECT_EQ(display_width("\xC3\xA4\xC3\xB6"), 2u);
  EXPECT_EQ(shorten("\xC3\xA4\xC3\xB6\xC3\xBC", 2), "\xC3\xA4~");
  EXPECT_EQ(wrap("one two  three", 7), (std::vector<std::string>{"one two", "three"}));
  EXPECT_EQ(wrap("abcdefgh", 3), (std::vector<std::string>{"abc", "def", "gh"}));
  EXPECT_EQ(wrap("", 5), (std::vector<std::string>{""}));
  EXPECT_EQ(escape_xml("<a & 'b' \"c\">"), "&lt;a &amp; &apos;b&apos; &quot;c&quot;&gt;");
}

TEST(Table, LastColumnWrapsIntoTheWidth) {
  const std::string table = text_table({{"no"}, {"shape", Align::left}}, {{"1", "a long shape that has to wrap"}}, 20);
  EXPECT_LE(widest_line(table), 20u);
  EXPECT_TRUE(contains(table, "a long shape"));
  EXPECT_TRUE(contains(table, "that has to wrap"));
}

// A wide first column, that is wrapped anyway, gives way before words of the last one are broken, but never breaks its
// own.
TEST(Text, TablesBreakWordsOnlyWhereNothingElseHelps) {
  const std::vector<Column> columns{{"share", Align::left, 24}, {"shape", Align::left}};
  const std::vector<std::vector<std::string>> rows{{"mdf 57 %, bitumen-sheet 43 %", "left+right 1x1 breathing"}};
  EXPECT_EQ(text_table(columns, rows, 30),
            "share               shape\n------------------  ----------\nmdf 57 %,           left+right\n"
            "bitumen-sheet 43 %  1x1\n                    breathing\n");
  const std::string narrow = text_table(columns, rows, 24);
  EXPECT_TRUE(contains(narrow, "bitumen-sheet")) << narrow;
  EXPECT_FALSE(contains(narrow, "left+right")) << narrow;
  EXPECT_LE(widest_line(narrow), 24u);
}

TEST(Table, SaysFromWhatToWhat) {
  ModalResult base = make_cabinet("bare", {412, 500, 900}), braced = make_cabinet("window brace", {655, 700, 950});
  std::swap(braced.modes[0].frequency, braced.modes[1].frequency);  // keep one shape at 700, the other at 655
  const std::string text = changes_table(base, braced, pair_modes(base, braced));
  EXPECT_TRUE(contains(text, "mode  1 from  412 to  700 Hz")) << text;
  EXPECT_TRUE(contains(text, "mode  2 from  500 to  655 Hz")) << text;
  EXPECT_TRUE(contains(text, "+31 %")) << text;
  EXPECT_TRUE(contains(text, "MAC 1.00")) << text;
}

TEST(Table, ListsModesThatAreGoneOrNew) {
  const ModalResult base = make_cabinet("bare", {412, 500, 900});
  ModalResult other = make_cabinet("braced", {655, 1000});
  other.faces = make_cabinet("", {1, 2, 3, 4}).faces;
  for (FaceSamples &face : other.faces) face.normal = {face.normal[0], face.normal[3]};
  const std::string text = changes_table(base, other, pair_modes(base, other));
  EXPECT_TRUE(contains(text, "gone  mode  2    500 Hz")) << text;
  EXPECT_TRUE(contains(text, "gone  mode  3    900 Hz")) << text;
  EXPECT_TRUE(contains(text, "new   mode  2   1000 Hz")) << text;
}

TEST(Table, WholeReportIsNarrowAndHonest) {
  std::vector<ModalResult> variants;
  for (const char *name : {"bare", "a variant with quite a long name indeed", "third", "fourth", "fifth"}) {
    variants.push_back(make_cabinet(name, {412.3, 555.5, 1234.5}));
    variants.back().modes[1].label =
        std::string(150, 'l') + " words after a word without a break " + std::string(50, 'm');
    variants.back().boards[2].name = "a board with a name that nobody would like to read twice";
  }
  variants[2].report.leaves_out.emplace_back("the mass of glue");
  variants[1].modes[0].check_shift = -0.0004;
  const std::string text = full_table(variants, pair_with_base(variants));
  EXPECT_LE(widest_line(text), table_width);
  for (const char *part : {"412.3", "0.12", "379 - 441", "0.0200", "50.0", "0.267", "0.40", "9.50 kg", "15.10 litres",
                           "30000 unknowns", "none missed", "prediction, not a measurement", "5-10 %", "20 %",
                           "elastic boards", "the air", "-0.04", "the mass of glue (only in: third)"}) {
    EXPECT_TRUE(contains(text, part)) << part;
  }
  EXPECT_FALSE(contains(text, "the air (only in"));
}

TEST(Table, CountCheckHasThreeStates) {
  ModalResult result = make_cabinet("bare", {412, 500});
  EXPECT_EQ(check_count(result).state, CountState::agrees);
  EXPECT_EQ(check_count(result).found, 8);
  result.report.counted_below = 9;
  EXPECT_EQ(check_count(result).state, CountState::differs);
  EXPECT_TRUE(contains(variant_summary(result), "INCOMPLETE"));
  result.report.counted_below = -1;
  EXPECT_EQ(check_count(result).state, CountState::not_made);
  EXPECT_TRUE(contains(variant_summary(result), "not checked"));
  // A mode above the limit is no part of the count.
  result.report.counted_below = 8;
  result.modes.push_back(test::make_mode(1600, ""));
  EXPECT_EQ(check_count(result).state, CountState::agrees);
}

TEST(Table, TopBoardsComeByFallingShare) {
  const ModalResult result = make_cabinet("bare", {412});
  const auto top = top_boards(result, result.modes[0], 2);
  ASSERT_EQ(top.size(), 2u);
  EXPECT_EQ(top[0].first, "left");
  EXPECT_DOUBLE_EQ(top[0].second, 0.5);
  EXPECT_EQ(top[1].first, "right");
}

TEST(BoardList, ShowsSizesMassesAndCautions) {
  const std::vector<BoardLine> boards{
      {"baffle", "wall", "mdf", "", 0.22, 0.38, 0.024, 1.5, {"woofer, round 145 mm", "tweeter, round 72 mm"}},
      {"left", "wall", "birch plywood", "up", 0.2585, 0.38, 0.018, 1.25, {}}};
  const std::string text = board_list(boards, 2.0, 0.0151);
  for (const char *part : {"258.5", "220", "2.75 kg", "4.75 kg", "15.10 litres", "woofer", "dust"}) {
    EXPECT_TRUE(contains(text, part)) << part << "\n" << text;
  }
  EXPECT_FALSE(contains(text, "two people"));
  EXPECT_TRUE(contains(board_list(boards, 30.0), "two people"));
  EXPECT_LE(widest_line(text), table_width);
}

}  // namespace
}  // namespace stillbox
