// SPDX-License-Identifier: MIT
#include "solver/freed_memory.h"

#ifdef __GLIBC__
#include <malloc.h>
#endif

#include <fstream>
#include <string>

namespace stillbox {

void give_back_freed_memory() {
#ifdef __GLIBC__
  mallopt(M_MMAP_MAX, 65536);
  mallopt(M_MMAP_THRESHOLD, 1 << 20);
  mallopt(M_TRIM_THRESHOLD, 1 << 24);
  malloc_trim(0);
#endif
}

KeptMemory::KeptMemory() {
#ifdef __GLIBC__
  mallopt(M_MMAP_MAX, 0);
  mallopt(M_TRIM_THRESHOLD, 1 << 30);
#endif
}

double available_memory() {
  std::ifstream info("/proc/meminfo");
  std::string word;
  double kilobytes = 0;
  while (info >> word)
    if (word == "MemAvailable:" && info >> kilobytes) return 1024 * kilobytes;
  return 0;
}

}  // namespace stillbox
