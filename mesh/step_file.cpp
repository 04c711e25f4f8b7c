// SPDX-License-Identifier: MIT
#include "mesh/step_file.h"

#include <BRepAdaptor_Curve.hxx>
#include <BRepAdaptor_Surface.hxx>
#include <BRepClass3d_SolidClassifier.hxx>
#include <BRepGProp.hxx>
#include <BRepTools.hxx>
#include <BRep_Builder.hxx>
#include <BRep_Tool.hxx>
#include <GProp_GProps.hxx>
#include <Interface_Static.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <Message_Printer.hxx>
#include <STEPCAFControl_Reader.hxx>
#include <STEPCAFControl_Writer.hxx>
#include <TColStd_HSequenceOfExtendedString.hxx>
#include <TDF_LabelSequence.hxx>
#include <TDataStd_Name.hxx>
#include <TDocStd_Document.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Wire.hxx>
#include <XCAFApp_Application.hxx>
#include <XCAFDoc_DocumentTool.hxx>
#include <XCAFDoc_LayerTool.hxx>
#include <XCAFDoc_ShapeTool.hxx>
#include <algorithm>
#include <filesystem>
#include <gp_Circ.hxx>
#include <gp_Lin.hxx>
#include <map>

#include "mesh/trial_run.h"

namespace stillbox {

struct StepShapes::Kept {
  std::vector<TopoDS_Shape> shapes;
  std::vector<StepSolid> facts;
};

namespace {

constexpr double to_m = 1e-3;                                      // OpenCASCADE reads into millimetres
constexpr std::uintmax_t largest_file = std::uintmax_t(64) << 20;  // bytes
constexpr int trial_seconds = 60;

Eigen::Vector3d metres(const gp_Pnt &p) { return to_m * Eigen::Vector3d(p.X(), p.Y(), p.Z()); }
Eigen::Vector3d direction(const gp_Dir &d) { return {d.X(), d.Y(), d.Z()}; }

// OpenCASCADE talks to the terminal unless told not to.
void be_quiet() {
  static const bool done = [] {
    Message::DefaultMessenger()->RemovePrinters(STANDARD_TYPE(Message_Printer));
    Interface_Static::SetIVal("read.stepcaf.subshapes.name", 1);
    return true;
  }();
  (void)done;
}

Handle(TDocStd_Document) new_document() {
  be_quiet();
  Handle(TDocStd_Document) document;
  XCAFApp_Application::GetApplication()->NewDocument("MDTV-XCAF", document);
  return document;
}

std::string utf8(const TCollection_ExtendedString &text) {
  std::vector<char> bytes(std::size_t(text.LengthOfCString()) + 1);
  Standard_PCharacter start = bytes.data();
  text.ToUTF8CString(start);
  return bytes.data();
}

std::string name_of(const TDF_Label &label) {
  Handle(TDataStd_Name) name;
  return !label.IsNull() && label.FindAttribute(TDataStd_Name::GetID(), name) ? utf8(name->Get()) : "";
}

StepHole hole_of(const TopoDS_Wire &wire) {
  StepHole hole;
  for (TopExp_Explorer at(wire, TopAbs_EDGE); at.More(); at.Next()) {
    const BRepAdaptor_Curve curve(TopoDS::Edge(at.Current()));
    const double from = curve.FirstParameter(), to = curve.LastParameter();
    constexpr int parts = 16;
    for (int i = 0; i <= parts; ++i) hole.points.push_back(metres(curve.Value(from + (to - from) * i / parts)));
    if (curve.GetType() == GeomAbs_Line) {
      hole.lines.push_back(direction(curve.Line().Direction()));
    } else if (curve.GetType() == GeomAbs_Circle) {
      const double radius = to_m * curve.Circle().Radius();
      hole.arc_centres.push_back(metres(curve.Circle().Location()));
      if (hole.arc_radius > 0 && std::abs(hole.arc_radius - radius) > 1e-7) hole.is_known = false;
      hole.arc_radius = radius;
    } else {
      hole.is_known = false;
    }
  }
  return hole;
}

StepSolid facts_of(const TopoDS_Shape &solid) {
  StepSolid f;
  GProp_GProps properties;
  BRepGProp::VolumeProperties(solid, properties);
  f.volume = std::abs(properties.Mass()) * to_m * to_m * to_m;
  f.centre = metres(properties.CentreOfMass());
  double largest = 0;
  for (TopExp_Explorer at(solid, TopAbs_FACE); at.More(); at.Next()) {
    const TopoDS_Face face = TopoDS::Face(at.Current());
    GProp_GProps area;
    BRepGProp::SurfaceProperties(face, area);
    if (area.Mass() <= largest * (1 + 1e-6)) continue;  // of equal ones the first
    largest = area.Mass();
    const BRepAdaptor_Surface surface(face);
    const bool is_reversed = face.Orientation() == TopAbs_REVERSED;
    f.is_flat = surface.GetType() == GeomAbs_Plane;
    f.is_round = surface.GetType() == GeomAbs_Cylinder;
    if (f.is_flat) {
      const gp_Pln plane = surface.Plane();
      f.point = metres(area.CentreOfMass());
      // A left-handed frame turns the surface's own normal.
      f.holes.clear();
      const TopoDS_Wire outer = BRepTools::OuterWire(face);
      for (TopExp_Explorer wire(face, TopAbs_WIRE); wire.More(); wire.Next())
        if (!wire.Current().IsSame(outer)) f.holes.push_back(hole_of(TopoDS::Wire(wire.Current())));
      f.normal = (is_reversed == plane.Direct() ? -1.0 : 1.0) * direction(plane.Axis().Direction());
    }
    if (f.is_round) {
      const gp_Cylinder cylinder = surface.Cylinder();
      f.axis_point = metres(cylinder.Axis().Location());
      f.axis = direction(cylinder.Axis().Direction());
      f.radius = to_m * cylinder.Radius();
      f.is_hollow = is_reversed == cylinder.Direct();
    }
  }
  for (TopExp_Explorer at(solid, TopAbs_EDGE); at.More(); at.Next()) {
    const BRepAdaptor_Curve curve(TopoDS::Edge(at.Current()));
    const int parts = curve.GetType() == GeomAbs_Line ? 1 : 16;
    for (int i = 0; i <= parts; ++i)
      f.corners.push_back(
          metres(curve.Value(curve.FirstParameter() + (curve.LastParameter() - curve.FirstParameter()) * i / parts)));
  }
  return f;
}

struct Collector {
  Handle(XCAFDoc_ShapeTool) shapes;
  Handle(XCAFDoc_LayerTool) layers;
  StepShapes::Kept &kept;

  std::string layer_of(const TDF_Label &label) const {
    Handle(TColStd_HSequenceOfExtendedString) names;
    return !label.IsNull() && layers->GetLayers(label, names) && names->Length() > 0 ? utf8(names->Value(1)) : "";
  }

  void visit(const TDF_Label &label, const TopLoc_Location &where, const std::string &layer_above) {
    const std::string own = layer_of(label), layer = own.empty() ? layer_above : own;
    if (XCAFDoc_ShapeTool::IsAssembly(label)) {
      TDF_LabelSequence components;
      XCAFDoc_ShapeTool::GetComponents(label, components);
      for (int i = 1; i <= components.Length(); ++i) {
        TDF_Label part;
        if (!XCAFDoc_ShapeTool::GetReferredShape(components.Value(i), part)) continue;
        const std::string of_component = layer_of(components.Value(i));
        visit(part, where * XCAFDoc_ShapeTool::GetLocation(components.Value(i)),
              of_component.empty() ? layer : of_component);
      }
      return;
    }
    const TopoDS_Shape whole = XCAFDoc_ShapeTool::GetShape(label);
    for (TopExp_Explorer at(whole, TopAbs_SOLID); at.More(); at.Next()) {
      TDF_Label sub;
      shapes->FindSubShape(label, at.Current(), sub);
      std::string name = name_of(sub), sub_layer = layer_of(sub);
      if (name.empty()) name = name_of(label);
      const TopoDS_Shape placed = at.Current().Moved(where);
      StepSolid facts = facts_of(placed);
      facts.name = name;
      facts.layer = sub_layer.empty() ? layer : sub_layer;
      kept.shapes.push_back(placed);
      kept.facts.push_back(facts);
    }
  }
};

void check_file(const std::string &path) {
  namespace fs = std::filesystem;
  std::error_code failed;
  const fs::file_status status = fs::status(path, failed);
  if (status.type() == fs::file_type::not_found) throw StepError("there is no such file");
  if (!fs::is_regular_file(status)) throw StepError("it is not an ordinary file");
  const std::uintmax_t size = fs::file_size(path, failed);
  if (failed) throw StepError("it cannot be read: " + failed.message());
  if (size > largest_file)
    throw StepError("it has " + std::to_string(size) + " bytes; allowed: up to 64 MiB; export the boards alone");
}

std::shared_ptr<StepShapes::Kept> read_file(const std::string &path) {
  Handle(TDocStd_Document) document = new_document();
  STEPCAFControl_Reader reader;
  reader.SetNameMode(true);
  reader.SetLayerMode(true);
  reader.SetColorMode(false);
  auto kept = std::make_shared<StepShapes::Kept>();
  try {
    if (reader.ReadFile(path.c_str()) != IFSelect_RetDone)
      throw StepError(
          "this is not a STEP file (ISO 10303-21), or a damaged one; export it again as STEP AP203 or AP214");
    if (!reader.Transfer(document))
      throw StepError("nothing in it can be translated to a solid; export the boards as solids, AP203 or AP214");
    Collector collector{XCAFDoc_DocumentTool::ShapeTool(document->Main()),
                        XCAFDoc_DocumentTool::LayerTool(document->Main()), *kept};
    TDF_LabelSequence roots;
    collector.shapes->GetFreeShapes(roots);
    for (int i = 1; i <= roots.Length(); ++i) {
      const TDF_Label &root = roots.Value(i);
      collector.visit(root, TopLoc_Location(), "");
    }
  } catch (const Standard_Failure &failure) {
    throw StepError(std::string("OpenCASCADE cannot read it: ") + failure.GetMessageString());
  }
  XCAFApp_Application::GetApplication()->Close(document);
  if (kept->shapes.empty())
    throw StepError("there is no solid in it, only surfaces or lines; export the boards as closed solids");
  std::map<std::string, int> times;
  for (StepSolid &facts : kept->facts)
    if (const int time = ++times[facts.name]; time > 1) facts.name += " " + std::to_string(time);
  return kept;
}

}  // namespace

std::size_t StepShapes::size() const { return kept_->shapes.size(); }
const void *StepShapes::solid(std::size_t i) const { return &kept_->shapes.at(i); }
const StepSolid &StepShapes::facts(std::size_t i) const { return kept_->facts.at(i); }

bool StepShapes::holds(std::size_t i, const std::vector<Eigen::Vector3d> &places) const {
  BRepClass3d_SolidClassifier classifier(kept_->shapes.at(i));
  for (const Eigen::Vector3d &x : places) {
    classifier.Perform(gp_Pnt(x.x() / to_m, x.y() / to_m, x.z() / to_m), 1e-3);
    if (classifier.State() != TopAbs_IN && classifier.State() != TopAbs_ON) return false;
  }
  return true;
}

StepShapes load_step_shapes(const std::string &path) {
  static std::string last_path;
  static std::filesystem::file_time_type last_time;
  static std::shared_ptr<StepShapes::Kept> last;
  std::error_code failed;
  const auto time = std::filesystem::last_write_time(path, failed);
  if (last && !failed && path == last_path && time == last_time) return StepShapes(last);
  check_file(path);
  // OpenCASCADE 7.6 follows references of damaged files to nowhere.
  const TrialRun trial = trial_run([&] { read_file(path); }, trial_seconds);
  if (!trial.survived)
    throw StepError("this is a damaged STEP file: " + trial.how + "; export it again as STEP AP203 or AP214");
  last = read_file(path);
  last_path = path;
  last_time = time;
  return StepShapes(last);
}

void write_named_step(const std::string &brep_path, const std::vector<NamedSolid> &names, const std::string &path) {
  Handle(TDocStd_Document) document = new_document();
  const Handle(XCAFDoc_ShapeTool) shapes = XCAFDoc_DocumentTool::ShapeTool(document->Main());
  const Handle(XCAFDoc_LayerTool) layers = XCAFDoc_DocumentTool::LayerTool(document->Main());
  TopoDS_Shape whole;
  if (!BRepTools::Read(whole, brep_path.c_str(), BRep_Builder())) throw StepError("the solids could not be read back");
  for (const NamedSolid &wanted : names)  // in their order, whatever that of the file
    for (TopExp_Explorer at(whole, TopAbs_SOLID); at.More(); at.Next()) {
      GProp_GProps properties;
      BRepGProp::VolumeProperties(at.Current(), properties);
      if ((metres(properties.CentreOfMass()) - wanted.centre).norm() > 1e-7) continue;
      const TDF_Label label = shapes->AddShape(at.Current(), false);
      TDataStd_Name::Set(label, TCollection_ExtendedString(wanted.name.c_str(), true));
      layers->SetLayer(label, TCollection_ExtendedString(wanted.layer.c_str(), true));
      break;
    }
  Interface_Static::SetCVal("write.step.schema", "AP214IS");
  STEPCAFControl_Writer writer;
  writer.SetNameMode(true);
  writer.SetLayerMode(true);
  const bool done = writer.Transfer(document, STEPControl_AsIs) && writer.Write(path.c_str()) == IFSelect_RetDone;
  XCAFApp_Application::GetApplication()->Close(document);
  if (!done) throw StepError("the STEP file \"" + path + "\" could not be written");
}

}  // namespace stillbox
