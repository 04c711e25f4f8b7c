// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

namespace stillbox {

/// One channel of a recording.
struct Recording {
  std::string path;
  double rate = 0;              ///< samples per second
  std::vector<double> samples;  ///< full scale 1 (audio), or m/s2 (acceleration)
  double quantum = 0;           ///< step of the samples; 0 when they are floating point or coded
  int channel = 1, channels = 1;
  bool acceleration = false;  ///< from a table of time and acceleration
};

constexpr double lowest_rate = 8000, highest_rate = 192000;  ///< Hz, of audio
constexpr double lowest_table_rate = 400;                    ///< Hz, of a table of time and acceleration
constexpr double longest_recording = 600;                    ///< s
constexpr double shortest_recording = 0.25;                  ///< s

/// Reads a recording: WAV, FLAC, AIFF, Ogg and what else libsndfile can, or a CSV of time in s and acceleration in m/s2
/// (two or more columns, a heading or none, even steps within 2 %). `channel` counts from 1; 0 takes the only or the
/// first one. Errors: CaseError with the path, the reason and what to do: no such file, no regular file, above 1 GiB,
/// no audio, damaged, more than 32 channels, a channel that is not there, a sample rate outside 8 .. 192 kHz (400 Hz ..
/// 192 kHz of a table), shorter than 0.25 s or longer than 600 s, samples that are no numbers, silence, clipping
/// (see clipping).
Recording read_recording(const std::string &path, int channel);

/// Where a recording is clipped, in words ("3 times, first at 0.512 s, flat at 100 % of full scale"), or "".
///  - Two neighbours at full scale (0.9995 and above, audio).
///  - Flat tops at a lower level, as a preamplifier or a converter before a volume control makes them: a run of three
///    or more samples within d = max(1.5 quanta, 0.2 % of the peak) of the recording's peak which falls by more than
///    30 d one run length beyond either end. The crest of a sine would have fallen by about 9 d there.
/// What a limiter rounds off is not seen.
std::string clipping(const Recording &recording);

}  // namespace stillbox
