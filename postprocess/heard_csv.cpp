// SPDX-License-Identifier: MIT
#include "postprocess/heard.h"
#include "postprocess/heard_list.h"

namespace stillbox {

std::vector<HeardMode> read_heard_csv(const std::string &path) {
  std::vector<HeardMode> modes;
  for (const HeardLine &line : read_heard_list(path)) modes.push_back(line.heard);
  return modes;
}

}  // namespace stillbox
