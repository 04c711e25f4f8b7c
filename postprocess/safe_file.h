// SPDX-License-Identifier: MIT
#pragma once
#include <stdexcept>
#include <string>
#include <string_view>
#include <system_error>

namespace stillbox {

/// A file or folder that cannot be written; what() reads "cannot write <path>: <reason>".
struct OutputError : std::runtime_error {
  OutputError(const std::string &where, const std::string &why, std::error_code system_code = {});
  std::string path, reason;
  std::error_code code;  ///< the system's code, empty when the reason is our own
};

/// Puts `bytes` at `path` all or nothing: they go to a hidden temporary name in the same folder, are flushed to the
/// disk and renamed; what a killed run leaves of it, the next run removes (check_writable). A crash, a full disk or a
/// kill leaves an earlier file at `path` whole. A link is followed; a device or a pipe (such as /dev/stdout) is written
/// straight into. The folder has to exist. Errors: OutputError; the temporary file is removed then.
void write_file(const std::string &path, std::string_view bytes);

/// How a run keeps a folder for itself, so that two at once do not mix their results.
enum class FolderUse {
  alone,        ///< until the process ends; refused when another run has it
  with_others,  ///< the same, but shared with others of this kind: parts of `place` write files of their own
  after_work,   ///< waits some seconds for another run, and goes on without the folder rather than lose the work
  not_kept
};

/// Makes sure that files can be written in `folder` ("" is the current one) before hours of work depend on it: creates
/// it and its parents when missing and tries a temporary file, which is removed again. Then keeps the folder (flock on
/// the folder itself, no file is left behind) until the process ends or keeps another one; file systems that know no
/// such lock do without.
/// Errors: OutputError, also when another run has the folder; folders created by this call are removed then.
void check_writable(const std::string &folder, FolderUse use = FolderUse::alone);

}  // namespace stillbox
