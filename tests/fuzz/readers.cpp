// SPDX-License-Identifier: MIT
#include "tests/fuzz/readers.h"

#include <fmt/format.h>
#include <sndfile.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>

#include "mesh/case_file.h"
#include "mesh/keys.h"
#include "mesh/length.h"
#include "mesh/mesh_error.h"
#include "mesh/step_file.h"
#include "postprocess/commands.h"
#include "postprocess/cut_command.h"
#include "postprocess/heard_list.h"
#include "postprocess/match_words.h"
#include "postprocess/place_results.h"
#include "postprocess/place_rows.h"
#include "postprocess/recording.h"
#include "postprocess/report_sections.h"
#include "postprocess/start_answers.h"
#include "postprocess/text.h"
#include "solver/knock_points.h"

namespace stillbox {
namespace {

namespace fs = std::filesystem;

const std::string cases = STILLBOX_SOURCE_DIR "/cases/";
const std::string materials = cases + "materials.toml";

std::string bytes_in(const std::string &path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  if (!file || text.str().empty()) throw std::runtime_error(path + " cannot be read");
  return text.str();
}

std::vector<std::string> files_of(const std::vector<std::string> &names) {
  std::vector<std::string> texts;
  for (const std::string &name : names) texts.push_back(bytes_in(cases + name));
  return texts;
}

std::string put(const std::string &folder, const std::string &name, const std::string &bytes) {
  const std::string path = folder + "/" + name;
  std::ofstream(path, std::ios::binary) << bytes;
  return path;
}

/// A complaint when the call throws one of the project's errors with words that must not reach a terminal.
template <typename Error, typename Call>
std::string refused_cleanly(const Call &call) {
  try {
    call();
  } catch (const Error &error) {
    return message_complaint(error.what());
  }
  return "";
}

// Reading and checking, and for what is accepted the tables and JSON that need no mesh of hexahedra.
std::string read_case_bytes(const std::string &bytes) {
  return refused_cleanly<CaseError>([&] {
    const CaseFile file = read_case_text(bytes, cases + "fuzzed.toml", materials);
    RunOptions options;
    for (const bool json : {false, true}) {
      options.json = json;
      run_check(file, options);
    }
    try {
      CutOptions cut;
      cut.json = true;
      run_cut(file, cut);
    } catch (const MeshError &) {  // boards that overlap without a rule
    }
  });
}

FuzzGrammar toml_grammar() {
  FuzzGrammar g;
  g.section = "[";
  for (const Key &key : all_keys()) {
    g.words.push_back(key.name);
    for (const std::string &choice : key.choices) g.words.push_back("\"" + choice + "\"");
  }
  for (const KeyGroup &group : all_key_groups()) g.words.push_back("\n" + group.heading + "\n");
  for (const char *word : {"[]",
                           "{}",
                           "[[]]",
                           "true",
                           "1979-05-27",
                           "07:32:00",
                           "\"\"",
                           "[0, 0]",
                           "[1, 2, 3]",
                           "\"mdf\"",
                           "\"birch-plywood-18mm\"",
                           "\"bitumen-sheet\"",
                           "\"3/4 in\"",
                           "a.a.a.a",
                           "{ a = { a = 1 } }",
                           "[[variant]]",
                           "[[brace]]",
                           "[[sheet]]",
                           "[[cut_out]]",
                           "[cabinet.wall.left]"})
    g.words.emplace_back(word);
  return g;
}

FuzzGrammar table_grammar(std::vector<std::string> words) {
  FuzzGrammar g;
  g.words = std::move(words);
  for (const char *word : {",", ";", "\t", "\"", "\n", "\r\n", "# ", ",,", "0.1", "100"}) g.words.emplace_back(word);
  return g;
}

FuzzGrammar step_grammar() {
  FuzzGrammar g;
  g.rough = 0.15;
  for (const char *word : {"ADVANCED_FACE",
                           "CARTESIAN_POINT",
                           "DIRECTION",
                           "LINE",
                           "CIRCLE",
                           "PLANE",
                           "CYLINDRICAL_SURFACE",
                           "EDGE_CURVE",
                           "EDGE_LOOP",
                           "FACE_BOUND",
                           "CLOSED_SHELL",
                           "MANIFOLD_SOLID_BREP",
                           "VECTOR",
                           "VERTEX_POINT",
                           "ORIENTED_EDGE",
                           "AXIS2_PLACEMENT_3D",
                           "PRODUCT",
                           "SHAPE_REPRESENTATION",
                           "B_SPLINE_CURVE_WITH_KNOTS",
                           ".T.",
                           ".F.",
                           "$",
                           "*",
                           "ENDSEC;",
                           "DATA;",
                           "(",
                           ")",
                           "''",
                           "#1",
                           "#10",
                           "#99999",
                           "0.",
                           "(0.,0.,0.)",
                           "/*",
                           "&SCOPE",
                           "'\\X2\\00C4\\X0\\'"})
    g.words.emplace_back(word);
  return g;
}

/// Half a second of two knocks, small, in a container of libsndfile's.
std::string audio_bytes(int format, int channels, int rate) {
  std::string bytes;
  struct Memory {
    std::string *bytes;
    sf_count_t at = 0;
  } memory{&bytes};
  SF_VIRTUAL_IO io{};
  io.get_filelen = [](void *m) { return sf_count_t(static_cast<Memory *>(m)->bytes->size()); };
  io.seek = [](sf_count_t offset, int whence, void *m) {
    auto &to = *static_cast<Memory *>(m);
    to.at = whence == SEEK_SET ? offset : whence == SEEK_CUR ? to.at + offset : sf_count_t(to.bytes->size()) + offset;
    return to.at;
  };
  io.read = [](void *, sf_count_t, void *) { return sf_count_t(0); };
  io.write = [](const void *from, sf_count_t count, void *m) {
    auto &to = *static_cast<Memory *>(m);
    if (to.bytes->size() < std::size_t(to.at + count)) to.bytes->resize(std::size_t(to.at + count));
    to.bytes->replace(std::size_t(to.at), std::size_t(count), static_cast<const char *>(from), std::size_t(count));
    to.at += count;
    return count;
  };
  io.tell = [](void *m) { return static_cast<Memory *>(m)->at; };
  SF_INFO info{};
  info.samplerate = rate;
  info.channels = channels;
  info.format = format;
  SNDFILE *file = sf_open_virtual(&io, SFM_WRITE, &info, &memory);
  if (!file) throw std::runtime_error("libsndfile cannot write a seed");
  std::vector<float> samples(std::size_t(rate / 2 * channels));
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const double t = double(i / std::size_t(channels)) / rate, since = std::fmod(t, 0.2);
    samples[i] = float(0.5 * std::exp(-30 * since) * std::sin(2 * M_PI * 400 * since) + 1e-4 * std::sin(1e3 * t));
  }
  sf_writef_float(file, samples.data(), sf_count_t(samples.size()) / channels);
  sf_close(file);
  return bytes;
}

std::string acceleration_table(const char *separator) {
  std::string text = fmt::format("time_s{0}acceleration_m_s2{0}second\n", separator);
  for (int i = 0; i < 400; ++i) {
    const double t = i / 1000.0;
    text += fmt::format("{1:.4f}{0}{2:.6g}{0}{3:.6g}\n", separator, t, 3 * std::exp(-10 * t) * std::sin(600 * t), t);
  }
  return text;
}

std::string candidates_text() {
  std::vector<PlaceRow> rows;
  for (int i = 0; i < 4; ++i) {
    PlaceRow row;
    row.search = "0123456789abcdef";
    row.line = i / 2;
    row.line_of = i / 2 ? "rim 30 mm, \"thick\"" : "";
    row.at = 100 + 20.0 * i;
    row.rule = i == 1 ? "middle" : "";
    row.how = i == 3 ? "refused" : "reduced";
    row.reason = i == 3 ? "too heavy" : "";
    row.mass = 4.5 + i;
    row.volume = 0.016;
    const Eigen::Index modes = i == 3 ? 0 : 3;
    row.modes.frequency = Eigen::VectorXd::LinSpaced(modes, 300 + i, 700 + i);
    row.modes.loss_factor = Eigen::VectorXd::Constant(modes, 0.02);
    row.modes.samples = Eigen::MatrixXd::Constant(modes > 0 ? 8 : 0, modes, 0.5);
    rows.push_back(row);
  }
  return place_rows_text(rows);
}

const char *place_json_text() {
  return R"({"schema": "stillbox place 1", "case": "t", "aim": "highest first mode", "variant": "window",
 "units": {"value": "Hz"},
 "candidates": [
  {"line": 1, "line_of": "", "at_mm": 100, "rank": 1, "value": 400.5, "mass_kg": 4.5, "inner_volume_l": 16, "rule": "middle"},
  {"line": 1, "line_of": "rim 30 mm", "at_mm": 120, "rank": 2, "value": 390, "mass_kg": 4.5, "inner_volume_l": 16},
  {"line": 2, "at_mm": 140, "refused": "too heavy"}],
 "checks": [{"name": "winner", "candidate": "at 100 mm", "value": 401, "reduced_off_percent": {"worst": 0.1, "first": 0.05},
   "winner_better": {"boxes": 950, "of": 1000}}]})";
}

// One word of an option a line: what reads it, a colon, the word.
std::string read_words(const std::string &bytes) {
  static const CaseFile file = read_case(cases + "stand-mount.toml", materials);
  static StartAnswers fresh;
  std::istringstream lines(bytes);
  std::string complaint;
  int count = 0;
  for (std::string line; complaint.empty() && ++count <= 100 && std::getline(lines, line);) {
    const std::size_t colon = line.find(':');
    const std::string kind = line.substr(0, colon), word = colon < line.size() ? line.substr(colon + 1) : "";
    complaint = refused_cleanly<CaseError>([&] {
      if (kind == "length") parse_length(word);
      if (kind == "within") parse_within(word);
      if (kind == "spot") knock_point(file.variants[0], read_knock_spot(word));
      if (kind == "unknown") {
        MatchProblem problem;
        problem.start = &file.variants[0];
        HeardMode heard;
        heard.frequency = 400;
        read_match_words({{word}, ""}, file, materials, problem);
      }
      if (kind == "sheet") {
        CutOptions cut;
        cut.sheet_size = word;
        run_cut(file, cut);
      }
    });
    const bool is_option = kind == "--width" || kind == "--weighed" || kind == "--cut-out" || kind == "--driver" ||
                           kind == "--brace";  // CLI11 lets no other through
    if (is_option)
      complaint = refused_cleanly<std::invalid_argument>([&] {
        StartAnswers answers = fresh;
        set_answer(answers, kind, word);
        const std::string wrong = trial_reading(answers, materials);
        if (!message_complaint(wrong + ".").empty()) throw std::logic_error("unclean words of trial_reading");
      });
  }
  return complaint;
}

const char *const words_seed = R"(length:3/4 in
length:1 1/2 in
length:18 mm
within:0.5..2
spot:left, 120, 80
spot:left, 12 cm, 3 1/4 in
unknown:modulus of mdf
unknown:modulus of mdf within 0.5..2
unknown:loss factor of mdf
unknown:stiffness of bond gasket
sheet:2440, 1220
--width:8 1/4 in
--weighed:300, 200, 15.7, 0.617
--cut-out:woofer, baffle, round, 105, 105, 116
--cut-out:port, back, slot, 105, 105, 60, 20
--driver:woofer, 1.1, rigid basket
--brace:brace, window, height, 165, 40
--brace:rib, rib, left, height, 165, 40
--brace:bar, bar, width, 100, 100, 20, 20
--brace:block, corner block, left, top, 20, 20
)";

}  // namespace

std::string message_complaint(const std::string &message) {
  if (message.empty()) return "refuses without a word";
  if (message.size() > std::size_t(64) << 10) return fmt::format("refuses with {} bytes of words", message.size());
  std::istringstream lines(message);
  for (std::string line; std::getline(lines, line);)
    if (clean_text(line) != line) return "the message has bytes that must not reach a terminal: " + clean_text(line);
  return "";
}

std::vector<FuzzedReader> fuzzed_readers() {
  std::vector<FuzzedReader> readers;
  const auto case_text = [](const std::string &bytes, const std::string &) { return read_case_bytes(bytes); };
  readers.push_back({"case",
                     files_of({"stand-mount.toml", "floor-stander.toml", "demonstration-box.toml", "dead-or-alive.toml",
                               "brace-places.toml", "thin-ply-box.toml", "free-strip.toml", "textbook-plate.toml"}),
                     toml_grammar(), 300, case_text, 1});
  readers.push_back({"shape", files_of({"tapered-monitor.toml", "paper-tube.toml", "two-chambers.toml"}),
                     toml_grammar(), 25, case_text, 1});
  readers.push_back({"solids", files_of({"drawn-elsewhere.toml"}), toml_grammar(), 20, case_text, 1});
  readers.push_back({"materials", files_of({"materials.toml"}), toml_grammar(), 60,
                     [](const std::string &bytes, const std::string &folder) {
                       const std::string path = put(folder, "materials.toml", bytes);
                       return refused_cleanly<CaseError>([&] { read_materials_list(path); });
                     },
                     1});
  FuzzGrammar audio;
  audio.is_text = false;
  readers.push_back(
      {"audio",
       {audio_bytes(SF_FORMAT_WAV | SF_FORMAT_PCM_16, 1, 8000), audio_bytes(SF_FORMAT_WAV | SF_FORMAT_FLOAT, 2, 8000),
        audio_bytes(SF_FORMAT_WAV | SF_FORMAT_PCM_24, 1, 16000),
        audio_bytes(SF_FORMAT_WAV | SF_FORMAT_MS_ADPCM, 1, 8000),
        audio_bytes(SF_FORMAT_AIFF | SF_FORMAT_PCM_16, 1, 8000),
        audio_bytes(SF_FORMAT_FLAC | SF_FORMAT_PCM_16, 1, 8000), audio_bytes(SF_FORMAT_OGG | SF_FORMAT_VORBIS, 1, 8000),
        audio_bytes(SF_FORMAT_AU | SF_FORMAT_PCM_16, 1, 8000), audio_bytes(SF_FORMAT_W64 | SF_FORMAT_PCM_16, 1, 8000),
        audio_bytes(SF_FORMAT_CAF | SF_FORMAT_PCM_16, 1, 8000)},
       audio,
       500,
       [](const std::string &bytes, const std::string &folder) {
         const std::string path = put(folder, "knocks.wav", bytes);
         return refused_cleanly<CaseError>([&] { read_recording(path, 0); });
       },
       1});
  readers.push_back({"acceleration",
                     {acceleration_table(","), acceleration_table(";"), acceleration_table("\t")},
                     table_grammar({"time_s", "1e-3", "0.0005"}),
                     200,
                     [](const std::string &bytes, const std::string &folder) {
                       const std::string path = put(folder, "knocks.csv", bytes);
                       return refused_cleanly<CaseError>([&] { read_recording(path, 0); });
                     },
                     1});
  readers.push_back({"heard",
                     {bytes_in(cases + "demonstration-box-heard.csv"),
                      "frequency_hz,frequency_sd_hz,loss_factor,loss_factor_sd,level_db,knocks,mode,wall\n"
                      "391.2,0.4,0.02,0.001,-12,3,1,\"left, \"\"upper\"\"\"\n458,,,,,,2,right\n"},
                     table_grammar({"frequency_hz", "frequency_sd_hz", "loss_factor", "loss_factor_sd", "level_db",
                                    "knocks", "mode", "wall", "\"left\""}),
                     300,
                     [](const std::string &bytes, const std::string &folder) {
                       const std::string path = put(folder, "heard.csv", bytes);
                       return refused_cleanly<CaseError>([&] {
                         if (is_heard_list(path)) read_heard_list(path);
                         read_heard_list(path);
                       });
                     },
                     1});
  readers.push_back({"candidates",
                     {candidates_text()},
                     table_grammar({"refused", "reduced", "full", "1", "2"}),
                     300,
                     [](const std::string &bytes, const std::string &) {
                       return refused_cleanly<std::runtime_error>([&] {
                         std::vector<PlaceRow> rows = read_place_rows(bytes);
                         sort_place_rows(rows);
                         const std::string again = place_rows_text(rows);
                         if (place_rows_text(read_place_rows(again)) != again)
                           throw std::logic_error("rows are not read back as they were written");
                       });
                     },
                     1});
  FuzzGrammar results = table_grammar({"rank", "at_mm", "null", "true", "[]", "{}", "[1]", "\"x\"", "-1", "1e308"});
  readers.push_back({"place-results",
                     {place_json_text()},
                     results,
                     200,
                     [](const std::string &bytes, const std::string &folder) {
                       put(folder, "candidates.csv", candidates_text());
                       put(folder, "place.json", bytes);
                       ReportData data;
                       data.has_place = true;
                       read_place_results(folder, "0123456789abcdef", data);
                       return place_section(data).empty() ? "nothing is said" : "";
                     },
                     1});
  readers.push_back({"step", files_of({"drawn-wedge.step"}), step_grammar(), 10,
                     [](const std::string &bytes, const std::string &folder) {
                       const std::string path = put(folder, "drawn.step", bytes);
                       return refused_cleanly<StepError>([&] { load_step_shapes(path); });
                     },
                     1});
  FuzzGrammar words =
      table_grammar({"modulus of", "within", "..", "mm", "in", "left", "1/2", "rigid basket", "window"});
  readers.push_back({"words",
                     {words_seed},
                     words,
                     100,
                     [](const std::string &bytes, const std::string &) { return read_words(bytes); },
                     1});
  return readers;
}

}  // namespace stillbox
