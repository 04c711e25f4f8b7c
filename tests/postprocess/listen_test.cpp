// SPDX-License-Identifier: MIT
// Knocks made by the test, heard again: frequencies and loss factors put in must come out; bad recordings are refused.
#include "postprocess/listen_command.h"

#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "postprocess/heard_files.h"
#include "postprocess/knock_finder.h"
#include "postprocess/ring_band.h"
#include "postprocess/ring_fit.h"
#include "tests/mesh/bytes_in.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/knock_recordings.h"

namespace stillbox {
namespace {

const HeardMode &nearest(const Heard &heard, double frequency) {
  const HeardMode *best = &heard.modes.at(0);
  for (const HeardMode &mode : heard.modes)
    if (std::abs(mode.frequency - frequency) < std::abs(best->frequency - frequency)) best = &mode;
  return *best;
}

/// How many of the seeds 1 .. count give both of two modes 2 % apart within 0.3 % in frequency and 10 % in loss factor,
/// and nothing else. 30 dB: the amplitude of each mode over the standard deviation of the noise per sample.
int close_pairs_heard(TestKnocks knocks, int count) {
  int good = 0;
  double squares = 0;
  for (int seed = 1; seed <= count; ++seed) {
    knocks.seed = unsigned(seed);
    const Heard heard = hear(make_knocks(knocks), {});
    bool is_good = heard.modes.size() == knocks.modes.size();
    for (const TestMode &mode : knocks.modes) {
      const HeardMode &found = nearest(heard, mode.frequency);
      is_good = is_good && std::abs(found.frequency / mode.frequency - 1) < 0.003 &&
                std::abs(found.loss_factor / mode.loss_factor - 1) < 0.1;
      squares += std::pow((found.frequency - mode.frequency) / found.frequency_sd, 2) / double(2 * count);
    }
    good += is_good;
  }
  if (std::getenv("STILLBOX_TELL"))
    std::printf("    %d of %d seeds, frequency off by %.2f sd (root mean square)\n", good, count, std::sqrt(squares));
  return good;
}

TestKnocks close_pair() {
  TestKnocks knocks;
  knocks.length = 1.8;
  knocks.modes = {{400, 0.02, 0.3, 0}, {408, 0.024, 0.3, 1}};
  knocks.noise = 0.3 * std::pow(10, -30.0 / 20);
  return knocks;
}

TEST(Listen, TwoModesTwoPercentApart) {
  EXPECT_EQ(close_pairs_heard(close_pair(), 20), 20);
  // All the noise within 4 kHz: six times its density.
  TestKnocks narrow = close_pair();
  narrow.rate = 8000;
  EXPECT_EQ(close_pairs_heard(narrow, 20), 20);
}

TEST(Listen, ThreeKnocksWithJitterAndContact) {
  TestKnocks knocks = close_pair();
  knocks.rate = 16000;
  knocks.times = {0.5, 1.61803, 2.80007};
  knocks.strengths = {1, 0.6, 0.8};
  knocks.length = 4;
  knocks.contact = 0.001;
  EXPECT_EQ(close_pairs_heard(knocks, 10), 10);
  knocks.seed = 3;
  const Heard heard = hear(make_knocks(knocks), {});
  ASSERT_EQ(heard.knocks.size(), 3u);
  for (int k = 0; k < 3; ++k) EXPECT_NEAR(heard.knocks[k].time, knocks.times[k], 0.002);
  EXPECT_EQ(heard.used, 3);
  for (const HeardMode &mode : heard.modes) EXPECT_EQ(mode.knocks, 3);
}

// Some two dozen modes between 250 and 1500 Hz, 2 to 14 % apart, with loss factors of 0.01 to 0.035, in three knocks of
// 0.7 ms contact at 16 kHz with noise of 1 to 4 % of the amplitudes: all are found, and nothing else.
TEST(Listen, AWholeBoxOfModes) {
  double squares = 0;
  int modes = 0;
  for (unsigned seed = 1; seed <= 5; ++seed) {
    std::mt19937 engine(seed + 100);
    const auto share = [&] { return double(engine()) / 4294967296.0; };
    TestKnocks knocks;
    knocks.rate = 16000;
    knocks.length = 4.2;
    knocks.times = {0.5, 1.713, 2.951};
    knocks.strengths = {1, 0.8, 0.7};
    knocks.contact = 0.0007;
    knocks.noise = 0.002;
    knocks.seed = seed;
    for (double f = 250; f < 1500;) {
      TestMode mode;
      mode.frequency = f;
      mode.loss_factor = 0.01 + 0.025 * share();
      mode.amplitude = 0.05 + 0.15 * share();
      mode.phase = 2 * M_PI * share();
      knocks.modes.push_back(mode);
      f *= 1.02 + 0.12 * share();
    }
    const Heard heard = hear(make_knocks(knocks), {});
    EXPECT_EQ(heard.modes.size(), knocks.modes.size()) << seed;
    for (const TestMode &mode : knocks.modes) {
      const HeardMode &found = nearest(heard, mode.frequency);
      EXPECT_NEAR(found.frequency / mode.frequency, 1, 0.008) << seed;
      squares += std::pow((found.frequency - mode.frequency) / found.frequency_sd, 2);
      ++modes;
    }
  }
  // The errors are as large as the standard deviations say: with over 100 figures within a fifth or so.
  EXPECT_LT(std::sqrt(squares / modes), 1.3);
  EXPECT_GT(std::sqrt(squares / modes), 0.6);
}

// Without noise the fit has nothing to blur: frequency and loss factor are the ones put in, the level the amplitude's.
TEST(Listen, OneModeIsExact) {
  for (const double loss : {0.005, 0.02, 0.1})
    for (const double frequency : {75.0, 333.0, 1250.0}) {
      TestKnocks knocks;
      knocks.modes = {{frequency, loss, 0.4, 0.3}};
      knocks.noise = 1e-6;
      const Heard heard = hear(make_knocks(knocks), {});
      EXPECT_NEAR(nearest(heard, frequency).frequency / frequency, 1, 2e-5) << frequency << " " << loss;
      EXPECT_NEAR(nearest(heard, frequency).loss_factor / loss, 1, 2e-3) << frequency << " " << loss;
    }
}

TEST(Listen, LevelsAreThoseAtTheKnock) {
  TestKnocks knocks;
  knocks.modes = {{300, 0.02, 0.4, 0}, {900, 0.05, 0.2, 0}};
  knocks.noise = 1e-5;
  const Heard heard = hear(make_knocks(knocks), {});
  EXPECT_NEAR(nearest(heard, 300).level_db, 0, 1e-9);
  EXPECT_NEAR(nearest(heard, 900).level_db, -6.02, 0.5);
}

TEST(Listen, HumIsNoMode) {
  TestKnocks knocks = close_pair();
  knocks.times = {0.6, 1.9};
  knocks.strengths = {1, 1};
  knocks.length = 3.2;
  knocks.modes.push_back({158, 0.02, 0.3, 0.5});
  knocks.hum = {{50, 0.02}, {150, 0.03}, {400.3, 0.01}};  // the last one in the middle of the pair, no mains tone
  const Heard heard = hear(make_knocks(knocks), {});
  EXPECT_EQ(heard.modes.size(), 3u);
  for (const TestMode &mode : knocks.modes) {
    EXPECT_NEAR(nearest(heard, mode.frequency).frequency / mode.frequency, 1, 0.003);
    EXPECT_NEAR(nearest(heard, mode.frequency).loss_factor / mode.loss_factor, 1, 0.1);
  }
  bool is_found = false;
  for (const SteadyTone &tone : heard.tones)
    is_found = is_found || (tone.mains && std::abs(tone.frequency - 150) < 0.2);
  EXPECT_TRUE(is_found);
}

TEST(Listen, BandFilterLeavesExponentialsAlone) {
  const Band band{500, 100, 450, 550};
  const double rate = 16000;
  const std::complex<double> s(-60, 2 * M_PI * 530);
  std::vector<double> x(8000);
  for (std::size_t n = 0; n < x.size(); ++n) x[n] = std::exp(s * double(n) / rate).real();
  const Eigen::VectorXcd y = band_signal(x, 0, x.size(), rate, band);
  const std::complex<double> shifted = s - std::complex<double>(0, 2 * M_PI * band.centre);
  const std::complex<double> gain = band_gain(std::exp(shifted / rate), rate, band);
  const int step = band_step(band, rate);
  for (int n = 0; n < 20; ++n) {
    // Half the amplitude lies at the positive frequency; the negative one is filtered away.
    const std::complex<double> expected = 0.5 * gain * std::exp(shifted * double(n * step) / rate);
    EXPECT_LT(std::abs(y[n] - expected), 1e-4 * std::abs(gain));
  }
}

TEST(Listen, DoubleHitIsLeftOut) {
  TestKnocks knocks = close_pair();
  knocks.times = {0.5, 1.5, 1.54};
  knocks.strengths = {1, 1, 0.8};
  knocks.length = 3;
  knocks.contact = 0.001;
  const Heard heard = hear(make_knocks(knocks), {});
  ASSERT_EQ(heard.knocks.size(), 2u);
  EXPECT_EQ(heard.knocks[0].fault, "");
  EXPECT_NE(heard.knocks[1].fault.find("double hit, 4"), std::string::npos) << heard.knocks[1].fault;
  EXPECT_EQ(heard.used, 1);
}

TEST(Listen, FilesAreWrittenAndReadBack) {
  const CaseText place("");
  const std::string wav = (place.folder / "knocks.flac").string();
  Recording made = make_knocks(close_pair());
  write_wav(wav, made, SF_FORMAT_FLAC | SF_FORMAT_PCM_24, 2);
  ListenOptions options;
  options.recording = wav;
  options.channel = 2;
  options.out = (place.folder / "heard").string();
  const std::string text = run_listen(options);
  EXPECT_NE(text.find("channel 2 of 2"), std::string::npos) << text;
  EXPECT_NE(text.find("hand-held"), std::string::npos);
  const std::vector<HeardMode> modes = read_heard_csv(options.out + "/heard.csv");
  ASSERT_EQ(modes.size(), 2u);
  EXPECT_NEAR(modes[0].frequency, 400, 1.2);
  EXPECT_NEAR(modes[1].loss_factor, 0.024, 0.0024);
  EXPECT_EQ(modes[0].knocks, 1);
  for (const char *name : {"heard.json", "heard.svg"}) EXPECT_TRUE(std::filesystem::exists(options.out + "/" + name));
  const std::string picture = bytes_in(options.out + "/heard.svg");
  EXPECT_NE(picture.find("</svg>"), std::string::npos);
  EXPECT_EQ(picture.find("nan"), std::string::npos);
  EXPECT_EQ(text, run_listen(options)) << "the same input must give the same text";
}

TEST(Listen, TableOfAccelerationIsRead) {
  TestKnocks knocks = close_pair();
  knocks.rate = 4000;
  const Recording made = make_knocks(knocks);
  const CaseText place("");
  const std::string path = (place.folder / "track.csv").string();
  {
    std::ofstream out(path);
    out << "time s;a m/s2\n";
    out.precision(9);
    for (std::size_t n = 0; n < made.samples.size(); ++n) out << double(n) / 4000 << ";" << made.samples[n] << "\n";
  }
  const Recording read = read_recording(path, 0);
  EXPECT_TRUE(read.acceleration);
  EXPECT_NEAR(read.rate, 4000, 0.01);
  const Heard heard = hear(read, {});
  EXPECT_EQ(heard.to, 1600);
  EXPECT_NEAR(nearest(heard, 400).frequency, 400, 1.2);
}

/// Reads and hears what must be refused, and returns the message.
std::string refusal(const std::string &path, int channel = 0, const HearOptions &options = {}) {
  try {
    hear(read_recording(path, channel), options);
  } catch (const CaseError &error) {
    const std::string words = error.what();
    EXPECT_EQ(words.find('\n'), std::string::npos) << words;
    return words;
  }
  return "was not refused";
}

void expect_refused(const std::string &words, const std::vector<std::string> &parts) {
  for (const std::string &part : parts)
    EXPECT_NE(words.find(part), std::string::npos) << "\"" << part << "\": " << words;
}

TEST(ListenRefuses, BadFiles) {
  const CaseText place("not audio at all");
  const auto at = [&](const char *name) { return (place.folder / name).string(); };
  expect_refused(refusal(at("missing.wav")), {"missing.wav", "no such file"});
  expect_refused(refusal(place.folder.string()), {"is a folder"});
  expect_refused(refusal("/dev/zero"), {"not an ordinary file"});
  std::ofstream(at("empty.wav")).flush();
  expect_refused(refusal(at("empty.wav")), {"is empty"});
  std::ofstream(at("text.wav")) << "not audio at all";
  expect_refused(refusal(at("text.wav")), {"is not audio", "WAV or FLAC"});
  // A header that claims four gigabytes of samples over 100 bytes.
  TestKnocks knocks = close_pair();
  write_wav(at("good.wav"), make_knocks(knocks));
  const std::string bytes = bytes_in(at("good.wav"));
  std::string cut = bytes.substr(0, 144);
  for (const std::size_t i : {4, 5, 6, 7, 40, 41, 42, 43}) cut[i] = '\xff';
  std::ofstream(at("huge.wav"), std::ios::binary) << cut;
  expect_refused(refusal(at("huge.wav")), {"huge.wav", "short"});
  std::string many = bytes;
  many[22] = '\xff';
  many[23] = '\x7f';
  std::ofstream(at("many.wav"), std::ios::binary) << many;
  EXPECT_NE(refusal(at("many.wav")), "was not refused");
}

TEST(ListenRefuses, BadRecordings) {
  const CaseText place("");
  const auto at = [&](const char *name) { return (place.folder / name).string(); };
  TestKnocks knocks = close_pair();
  write_wav(at("good.wav"), make_knocks(knocks));
  EXPECT_EQ(refusal(at("good.wav")), "was not refused");
  expect_refused(refusal(at("good.wav"), 2), {"--channel 2", "one channel", "1 .. 1"});
  HearOptions options;
  options.to = 30000;
  expect_refused(refusal(at("good.wav"), 0, options), {"--to 30000", "sample rate", "19200", "75000"});
  options.to = 30;
  expect_refused(refusal(at("good.wav"), 0, options), {"--from 40", "not below --to 30"});
  options.from = 5;
  expect_refused(refusal(at("good.wav"), 0, options), {"--from 5", "20 .. 19200"});

  knocks.rate = 4000;
  write_wav(at("slow.wav"), make_knocks(knocks));
  expect_refused(refusal(at("slow.wav")), {"4000 samples per second", "8000 .. 192000"});
  knocks = close_pair();
  Recording made = make_knocks(knocks);
  made.samples.resize(9600);
  write_wav(at("short.wav"), made);
  expect_refused(refusal(at("short.wav")), {"too short", "0.2 s", "half a second of quiet"});
  made.samples.assign(48000, 0);
  write_wav(at("silent.wav"), made);
  expect_refused(refusal(at("silent.wav")), {"silent", "--channel"});
  made = make_knocks(knocks);
  made.samples[5000] = NAN;
  write_wav(at("nan.wav"), made, SF_FORMAT_WAV | SF_FORMAT_FLOAT);
  expect_refused(refusal(at("nan.wav")), {"0.1042 s", "no number"});

  made = make_knocks(knocks);
  for (double &v : made.samples) v *= 3;
  write_wav(at("clipped.wav"), made);
  expect_refused(refusal(at("clipped.wav")),
                 {"clipped", "at 0.50", "100.0 % of full scale", "lower the recording level"});
  for (double &v : made.samples) v = 0.25 * std::clamp(v, -1.0, 1.0);  // clipped before a volume control
  write_wav(at("flat.wav"), made);
  expect_refused(refusal(at("flat.wav")), {"clipped", "25.0 % of full scale"});

  knocks.noise = 0.4;
  Recording loud = make_knocks(knocks);
  for (double &v : loud.samples) v *= 0.2;
  write_wav(at("noisy.wav"), loud);
  const std::string noisy = refusal(at("noisy.wav"));
  EXPECT_TRUE(noisy.find("too noisy") != std::string::npos || noisy.find("no knock") != std::string::npos) << noisy;
  knocks.noise = 0.12;
  knocks.rate = 8000;
  write_wav(at("rather-noisy.wav"), make_knocks(knocks));
  expect_refused(refusal(at("rather-noisy.wav")), {"too noisy", "dB above the noise", "10 dB and more"});
  knocks.modes.clear();
  knocks.noise = 0.1;
  write_wav(at("noise.wav"), make_knocks(knocks));
  expect_refused(refusal(at("noise.wav")), {"no knock", "half a second of quiet"});
  knocks = close_pair();
  knocks.times = {0.5, 0.53};
  knocks.strengths = {1, 1};
  knocks.contact = 0.001;
  write_wav(at("double.wav"), make_knocks(knocks));
  expect_refused(refusal(at("double.wav")), {"no knock can be used", "double hit", "springs back"});
}

TEST(ListenRefuses, BadTables) {
  const CaseText place("");
  const std::string path = (place.folder / "track.csv").string();
  const auto said = [&](const std::string &text) {
    std::ofstream(path) << text;
    return refusal(path);
  };
  expect_refused(said("t\n1\n"), {"track.csv:1", "one column"});
  expect_refused(said("t,a\n0,1\n0.001,x\n"), {"track.csv:3", "acceleration \"x\""});
  expect_refused(said("t,a\n0,1\n0,2\n"), {"track.csv:3", "later than"});
  expect_refused(said("t,a\n0,1\n0.001,2,3\n"), {"track.csv:3", "3 cells"});
  expect_refused(said("t,a\n0,1\n0.001,2\n0.002,1\n0.0035,1\n"), {"even steps"});
  expect_refused(said("t,a\n"), {"less than two rows"});
  expect_refused(said("t,a\n0,1\n0.01,2\n0.02,3\n"), {"100 samples per second", "400"});
}

TEST(ListenRefuses, BadHeardTables) {
  const CaseText place("");
  const std::string path = (place.folder / "heard.csv").string();
  const auto said = [&](const std::string &text) -> std::string {
    std::ofstream(path) << text;
    try {
      read_heard_csv(path);
    } catch (const CaseError &error) {
      return error.what();
    }
    return "was not refused";
  };
  expect_refused(said("hz\n100\n"), {"heard.csv:1", "frequency_hz"});
  expect_refused(said("frequency_hz,frequency_hz\n100,2\n"), {"heard.csv:1", "each column once"});
  expect_refused(said("frequency_hz\n"), {"heard.csv", "holds no frequencies"});
  expect_refused(said("frequency_hz\n100,5\n"), {"heard.csv:2", "2 cells"});
  expect_refused(said("frequency_hz\n100\nabc\n"), {"heard.csv:3", "\"abc\"", "1 .. 20000"});
  expect_refused(said("frequency_hz\n-100\n"), {"heard.csv:2", "\"-100\""});
  expect_refused(said("frequency_hz,loss_factor\n100,7\n"), {"heard.csv:2", "loss_factor", "0 .. 2"});
  expect_refused(said("frequency_hz\n1e999\n"), {"heard.csv:2"});
  std::ofstream(path) << "knocks,frequency_hz\r\n3,200\r\n2,100\r\n";
  const std::vector<HeardMode> modes = read_heard_csv(path);
  ASSERT_EQ(modes.size(), 2u);
  EXPECT_EQ(modes[0].frequency, 100);
  EXPECT_EQ(modes[0].knocks, 2);
  EXPECT_NEAR(modes[0].frequency_sd, 0.2, 1e-12);
  EXPECT_TRUE(std::isnan(modes[0].loss_factor));
}

}  // namespace
}  // namespace stillbox
