// SPDX-License-Identifier: MIT
#include "postprocess/option_length.h"

#include <fmt/format.h>

#include "mesh/case_file.h"
#include "mesh/length.h"
#include "postprocess/recording_table.h"
#include "postprocess/text.h"

namespace stillbox {

double option_length(const std::string &command, const std::string &option, const std::string &text, double low_mm,
                     double high_mm) {
  const auto refuse = [&](const std::string &allowed, const std::string &advice) {
    throw CaseError(fmt::format("{}: {}{}: allowed {}; {}", command, option,
                                text.empty() ? "" : " \"" + shorten(clean_text(text), 60) + "\"", allowed, advice));
  };
  double value = 0;
  if (read_number(text, value))
    value *= 1e-3;
  else if (const auto parsed = parse_length(text))
    value = *parsed;
  else
    refuse("a length such as 18 (mm), \"1.8 cm\" or \"3/4 in\"",
           text.find(',') != std::string::npos ? "write a decimal point, not a comma" : "give number and unit");
  // Written so that a length that is not a number is refused, too.
  if (!(value >= 1e-3 * low_mm * (1 - 1e-12) && value <= 1e-3 * high_mm * (1 + 1e-12)))
    refuse(fmt::format("{} .. {} mm", number_text(low_mm), number_text(high_mm)),
           "numbers without a unit are millimetres");
  return value;
}

}  // namespace stillbox
