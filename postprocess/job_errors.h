// SPDX-License-Identifier: MIT
#pragma once
#include <exception>
#include <string>

namespace stillbox {

/// An error as bytes that another process can throw again: CaseError, MeshError, SolveError, OutputError and bad_alloc
/// as what they are, anything else as a runtime_error that says the same.
std::string error_in_words(const std::exception_ptr &error);
[[noreturn]] void throw_error_in_words(const std::string &words);

}  // namespace stillbox
