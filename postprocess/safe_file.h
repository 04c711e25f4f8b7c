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
/// disk and renamed. A crash, a full disk or a kill leaves an earlier file at `path` whole. A link is followed; a
/// device or a pipe (such as /dev/stdout) is written straight into. The folder has to exist. Errors: OutputError; the
/// temporary file is removed then.
void write_file(const std::string &path, std::string_view bytes);

/// Makes sure that files can be written in `folder` ("" is the current one) before hours of work depend on it: creates
/// it and its parents when missing and tries a temporary file, which is removed again.
/// Errors: OutputError; folders created by this call are removed then.
void check_writable(const std::string &folder);

}  // namespace stillbox
