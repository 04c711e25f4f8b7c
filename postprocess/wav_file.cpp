// SPDX-License-Identifier: MIT
#include "postprocess/wav_file.h"

#include <sndfile.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstring>

#include "postprocess/safe_file.h"

namespace stillbox {
namespace {

/// A file in memory for libsndfile.
struct Memory {
  std::string bytes;
  sf_count_t at = 0;
};

Memory &memory(void *data) { return *static_cast<Memory *>(data); }

sf_count_t length_of(void *data) { return sf_count_t(memory(data).bytes.size()); }

sf_count_t seek(sf_count_t offset, int whence, void *data) {
  Memory &m = memory(data);
  const sf_count_t from = whence == SEEK_SET ? 0 : whence == SEEK_CUR ? m.at : length_of(data);
  m.at = std::max<sf_count_t>(0, from + offset);
  return m.at;
}

sf_count_t read(void *to, sf_count_t count, void *data) {
  Memory &m = memory(data);
  const sf_count_t got = std::max<sf_count_t>(0, std::min(count, length_of(data) - m.at));
  std::memcpy(to, m.bytes.data() + m.at, std::size_t(got));
  m.at += got;
  return got;
}

sf_count_t write(const void *from, sf_count_t count, void *data) {
  Memory &m = memory(data);
  if (m.at + count > length_of(data)) m.bytes.resize(std::size_t(m.at + count), '\0');
  std::memcpy(m.bytes.data() + m.at, from, std::size_t(count));
  m.at += count;
  return count;
}

sf_count_t tell(void *data) { return memory(data).at; }

}  // namespace

std::string wav_bytes(const std::vector<double> &samples, int rate) {
  assert(std::all_of(samples.begin(), samples.end(), [](double s) { return std::abs(s) < 1; }));
  Memory target;
  SF_VIRTUAL_IO io{length_of, seek, read, write, tell};
  SF_INFO info{};
  info.samplerate = rate;
  info.channels = 1;
  info.format = SF_FORMAT_WAV | SF_FORMAT_PCM_24;
  SNDFILE *file = ::sf_open_virtual(&io, SFM_WRITE, &info, &target);
  if (!file) throw OutputError("the sound of the knock", std::string("libsndfile: ") + ::sf_strerror(nullptr));
  const sf_count_t written = ::sf_write_double(file, samples.data(), sf_count_t(samples.size()));
  const bool closed = ::sf_close(file) == 0;
  if (written != sf_count_t(samples.size()) || !closed)
    throw OutputError("the sound of the knock", "libsndfile did not take all samples");
  return target.bytes;
}

}  // namespace stillbox
