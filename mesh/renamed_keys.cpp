// SPDX-License-Identifier: MIT
// Keys that were called otherwise in earlier versions (declared in keys.h).
#include <algorithm>

#include "mesh/keys.h"

namespace stillbox {
namespace {

struct RenamedKey {
  const char *group, *was, *is;
};

constexpr RenamedKey renamed_keys[] = {
    {"area", "from", "centre"},
    {"area", "to", "size"},
    {"brace rib", "wall", "on"},
    {"crossing", "boards", "between"},
    {"edge_support", "board", "on"},
    {"sheet", "side", "face"},
    {"solid layer", "part", "kind"},
    {"solid named", "part", "kind"},
    {"variant", "from", "based_on"},
    {"joint", "bond", "joints are glued; an edge that is not is described in [[bond]]"},
};

}  // namespace

std::string renamed_to(const std::vector<std::string> &groups, const std::string &old_name) {
  for (const RenamedKey &key : renamed_keys)
    if (old_name == key.was && std::find(groups.begin(), groups.end(), key.group) != groups.end()) return key.is;
  return "";
}

}  // namespace stillbox
