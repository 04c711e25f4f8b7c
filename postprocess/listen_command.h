// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "postprocess/heard.h"

namespace stillbox {

struct ListenOptions {
  std::string recording;  ///< path
  int channel = 0;        ///< from 1; 0: the only or first one
  HearOptions hear;
  bool json = false;  ///< return heard_json() instead of text
  std::string out;    ///< folder for heard.csv, heard.json and heard.svg; empty: print only
};

/// Reads the recording, finds its modes, returns the table as text and writes the files. Errors: CaseError as
/// read_recording and hear, before anything is written; OutputError.
std::string run_listen(const ListenOptions &options);

}  // namespace stillbox
