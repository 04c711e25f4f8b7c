// SPDX-License-Identifier: MIT
#include "solver/freed_memory.h"

#ifdef __GLIBC__
#include <malloc.h>
#endif

namespace stillbox {

void give_back_freed_memory() {
#ifdef __GLIBC__
  mallopt(M_MMAP_MAX, 65536);
  mallopt(M_MMAP_THRESHOLD, 1 << 20);
  mallopt(M_TRIM_THRESHOLD, 1 << 24);
  malloc_trim(0);
#endif
}

}  // namespace stillbox
