// SPDX-License-Identifier: MIT
#include "postprocess/chosen_variants.h"

#include <fmt/format.h>

#include <algorithm>

namespace stillbox {

std::vector<const Structure *> chosen_variants(const CaseFile &file, const std::vector<std::string> &wanted) {
  std::vector<const Structure *> list;
  std::string names;
  for (const Structure &s : file.variants) {
    names += (names.empty() ? "\"" : ", \"") + s.variant_name + "\"";
    if (wanted.empty() || std::find(wanted.begin(), wanted.end(), s.variant_name) != wanted.end()) list.push_back(&s);
  }
  for (const std::string &name : wanted)
    if (std::none_of(list.begin(), list.end(), [&](const Structure *s) { return s->variant_name == name; }))
      throw CaseError(
          fmt::format("{}: --variant \"{}\": there is no such variant; this case has {}", file.path, name, names));
  return list;
}

}  // namespace stillbox
