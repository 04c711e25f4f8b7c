// SPDX-License-Identifier: MIT
#pragma once

namespace stillbox {

/// Gives back what is free now, and sees that from now on large blocks that are freed go back to the
/// system at once. The C library does so by itself, but libraries that register memory with the network switch it off
/// for the whole process, which then keeps twice what it needs.
void give_back_freed_memory();

/// Keeps what is freed for the next request, for as long as it lives: loops that ask for the same large blocks over and
/// over would else have the system clear them each time (a sixth of block Lanczos's time). Then gives all back.
struct KeptMemory {
  KeptMemory();
  ~KeptMemory() { give_back_freed_memory(); }
  KeptMemory(const KeptMemory &) = delete;
  KeptMemory &operator=(const KeptMemory &) = delete;
};

/// Bytes of memory that can be had without pushing anything out; 0 when the system does not tell.
double available_memory();

}  // namespace stillbox
