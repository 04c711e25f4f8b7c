// SPDX-License-Identifier: MIT
#include "mesh/case_materials.h"

#include "mesh/case_file.h"
#include "mesh/materials_list.h"

namespace stillbox {

std::vector<Material> materials_of_case(const std::string &case_path, const std::string &materials_path,
                                        double temperature) {
  const Node built_in = materials_path.empty() ? Node{} : load_tree(materials_path);
  const Node own = load_tree(case_path);
  Problems problems;
  const MaterialsList list = read_materials(built_in.find("material"), own.find("material"), temperature, problems);
  if (!problems.list.empty()) throw CaseError(problems.message());
  std::vector<Material> result;
  for (const std::string &name : list.names()) {
    bool is_known = false;
    for (const Material &m : result) is_known = is_known || m.name == name;
    if (!is_known) result.push_back(*list.find(name));
  }
  return result;
}

}  // namespace stillbox
