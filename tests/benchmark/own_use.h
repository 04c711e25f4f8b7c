// SPDX-License-Identifier: MIT
#pragma once
#include <sys/resource.h>

namespace stillbox {

/// Processor time of this process so far, s.
inline double own_processor_seconds() {
  rusage use{};
  getrusage(RUSAGE_SELF, &use);
  return double(use.ru_utime.tv_sec + use.ru_stime.tv_sec) + 1e-6 * double(use.ru_utime.tv_usec + use.ru_stime.tv_usec);
}

}  // namespace stillbox
