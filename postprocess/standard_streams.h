// SPDX-License-Identifier: MIT
#pragma once
#include <string>

namespace stillbox {

/// Before anything is opened: where standard input, output or error is closed, the next file opened would take its
/// number, and text meant for the terminal would go into it. Closed ones are held open here; writing to them fails. A
/// limit on the size of files then fails as a full disk does, with a message, instead of ending the process.
void hold_standard_streams();

/// Prints to standard output. Errors: OutputError ("standard output").
void print_text(const std::string &text);

/// Makes sure that all that was printed has arrived. Errors: OutputError ("standard output").
void finish_printing();

}  // namespace stillbox
