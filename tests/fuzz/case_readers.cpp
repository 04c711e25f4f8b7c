// SPDX-License-Identifier: MIT
#include "tests/fuzz/case_readers.h"

#include <fmt/format.h>

#include <fstream>
#include <sstream>
#include <stdexcept>

#include "mesh/clean_text.h"
#include "mesh/step_file.h"
#include "tests/fuzz/grammars.h"
#include "tests/mesh/bytes_in.h"

namespace stillbox {
namespace {

std::vector<std::string> files_of(const std::vector<std::string> &names) {
  std::vector<std::string> texts;
  for (const std::string &name : names) texts.push_back(seed_in(seed_cases + name));
  return texts;
}

}  // namespace

std::string seed_in(const std::string &path) {
  const std::string bytes = bytes_in(path);
  if (bytes.empty()) throw std::runtime_error(path + " cannot be read");
  return bytes;
}

std::string put(const std::string &folder, const std::string &name, const std::string &bytes) {
  const std::string path = folder + "/" + name;
  std::ofstream(path, std::ios::binary) << bytes;
  return path;
}

std::string message_complaint(const std::string &message) {
  if (message.empty()) return "refuses without a word";
  if (message.size() > std::size_t(64) << 10) return fmt::format("refuses with {} bytes of words", message.size());
  std::istringstream lines(message);
  for (std::string line; std::getline(lines, line);)
    if (clean_text(line) != line) return "the message has bytes that must not reach a terminal: " + clean_text(line);
  return "";
}

std::vector<FuzzedReader> fuzzed_case_readers(const std::function<void(const CaseFile &)> &look) {
  std::vector<FuzzedReader> readers;
  const auto case_text = [look](const std::string &bytes, const std::string &) {
    return refused_cleanly<CaseError>([&] { look(read_case_text(bytes, seed_cases + "fuzzed.toml", seed_materials)); });
  };
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
  readers.push_back({"step", files_of({"drawn-wedge.step"}), step_grammar(), 10,
                     [](const std::string &bytes, const std::string &folder) {
                       const std::string path = put(folder, "drawn.step", bytes);
                       return refused_cleanly<StepError>([&] { load_step_shapes(path); });
                     },
                     1});
  return readers;
}

}  // namespace stillbox
