// SPDX-License-Identifier: MIT
#pragma once

namespace stillbox {

/// From now on the dense algebra uses at most so many threads.
void use_blas_threads(int most);

/// As long as it lives the dense algebra uses one thread. OpenBLAS's others spin between calls; where the calls are
/// short, that takes more from the rest of the work (a fifth of block Lanczos's time on two processors) than they give.
class OneBlasThread {
 public:
  OneBlasThread();
  ~OneBlasThread();
  OneBlasThread(const OneBlasThread &) = delete;
  OneBlasThread &operator=(const OneBlasThread &) = delete;

 private:
  int before_;
};

}  // namespace stillbox
