// SPDX-License-Identifier: MIT
#pragma once
#include <cstdio>
#include <memory>
#include <string>

namespace stillbox {

/// Where temporary files go: $TMPDIR, else /tmp.
std::string scratch_place();

struct CloseFile {
  void operator()(std::FILE *file) const { std::fclose(file); }
};
using ScratchFile = std::unique_ptr<std::FILE, CloseFile>;

/// A temporary file for reading and writing that has no name any more and vanishes with the process; null when none
/// can be made.
ScratchFile nameless_file();

/// A new folder of this process in scratch_place(), empty string when none can be made. Folders of processes that
/// have ended without removing theirs are removed on the way.
std::string make_scratch_folder();
/// The same removal alone, of killed runs of this user.
void remove_abandoned_scratch();
void remove_scratch_folder(const std::string &folder);

}  // namespace stillbox
