// SPDX-License-Identifier: MIT
#pragma once

namespace stillbox {

/// Gives back what is free now, and sees that from now on large blocks that are freed go back to the
/// system at once. The C library does so by itself, but libraries that register memory with the network switch it off
/// for the whole process, which then keeps twice what it needs.
void give_back_freed_memory();

/// Bytes of memory that can be had without pushing anything out; 0 when the system does not tell.
double available_memory();

}  // namespace stillbox
