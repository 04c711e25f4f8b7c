// SPDX-License-Identifier: MIT
#include "tests/fuzz/grammars.h"

#include "mesh/keys.h"

namespace stillbox {

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

}  // namespace stillbox
