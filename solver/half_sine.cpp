// SPDX-License-Identifier: MIT
#include "solver/half_sine.h"

#include <algorithm>
#include <cmath>

namespace stillbox {
namespace {

using Complex = std::complex<double>;
constexpr Complex i(0, 1);

double rate_of(const KnockPulse &pulse) { return M_PI / pulse.contact; }

}  // namespace

Complex exponential_quotient(Complex z) {
  if (std::abs(z) > 0.5) return (std::exp(z) - 1.0) / z;
  Complex sum = 1, term = 1;
  for (int n = 2; n < 20; ++n) {  // 0.5^19 / 20! is far below rounding
    term *= z / double(n);
    sum += term;
  }
  return sum;
}

double pulse_force(const KnockPulse &pulse, double t) {
  return t < 0 || t > pulse.contact ? 0 : pulse.peak * std::sin(rate_of(pulse) * t);
}

double pulse_slope(const KnockPulse &pulse, double t) {
  return t < 0 || t > pulse.contact ? 0 : pulse.peak * rate_of(pulse) * std::cos(rate_of(pulse) * t);
}

Complex pulse_spectrum(const KnockPulse &pulse, double frequency) {
  const Complex turn(0, 2 * M_PI * frequency);
  return pulse_on_pole(pulse, turn, pulse.contact) * std::exp(-turn * pulse.contact);
}

Complex pulse_on_pole(const KnockPulse &pulse, Complex p, double t) {
  if (t <= 0) return 0;
  // sin(a s) as exponentials; integral of exp(c s) exp(p (T - s)) over 0 .. T is T exp(p T) g((c - p) T).
  const double a = rate_of(pulse), until = std::min(t, pulse.contact);
  const Complex up = exponential_quotient((i * a - p) * until), down = exponential_quotient((-i * a - p) * until);
  return pulse.peak * until * std::exp(p * t) * (up - down) / (2.0 * i);
}

}  // namespace stillbox
