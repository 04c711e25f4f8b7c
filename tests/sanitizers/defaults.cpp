// SPDX-License-Identifier: MIT
// Linked into the programs of a build with STILLBOX_SANITIZE: how its sanitizers behave where ASAN_OPTIONS and
// UBSAN_OPTIONS say nothing else.
//   exitcode=99: not one of stillbox's own exit codes, so that no test takes a finding for a refusal.
//   allocator_may_return_null=1: a library that asks for too much gets what it gets without sanitizers.
//   detect_leaks=0: see below.

extern "C" {

const char *__asan_default_options();
const char *__asan_default_options() {
  return "exitcode=99:allocator_may_return_null=1:detect_leaks=0:strict_string_checks=1";
}

const char *__ubsan_default_options();
const char *__ubsan_default_options() { return "print_stacktrace=1:exitcode=99"; }

}  // extern "C"
