"""Reads the solids of a built design with independent readers: STEP by Open CASCADE, STL by trimesh.

    pip install "cadquery-ocp>=8" trimesh numpy
    python tests/oracle/solids.py FOLDER ...

FOLDER is what `slatwork build ... --out FOLDER` wrote. Every part must be a valid solid of its name with the volume that the
program reckons (`volume_mm3` in `model.glb`), and every STL file must be watertight. Prints a line a folder; each trouble is
told, and any makes the exit code 1.
"""

import json
import pathlib
import re
import struct
import sys

import trimesh
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GeomAbs import GeomAbs_Cylinder
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_RetDone
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.collections import Sequence_TDF_Label
from OCP.TDataStd import TDataStd_Name
from OCP.TDocStd import TDocStd_Document
from OCP.TopAbs import TopAbs_FACE, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS
from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

# Volumes agree within this share. Of a board whose holes meet an edge, a notch or each other the program reckons holes as
# polygons of their area, which is less exact where only a part of a hole is in the wood.
NEAR, NEAR_CARVED = 1e-6, 1e-4


def told_by_program(folder):
    """Volume and way of reckoning of each part, by name, from the glTF file."""
    data = (folder / "model.glb").read_bytes()
    length = struct.unpack_from("<I", data, 12)[0]
    nodes = json.loads(data[20:20 + length])["nodes"][1:]
    return {node["name"]: (node["extras"]["volume_mm3"], node["extras"]["holes_meet"]) for node in nodes}


def step_shapes(path):
    """Name and shape of each product of an assembly."""
    document = TDocStd_Document(TCollection_ExtendedString("step"))
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    if reader.ReadFile(str(path)) != IFSelect_RetDone or not reader.Transfer(document):
        raise ValueError("cannot be read")
    labels = Sequence_TDF_Label()
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    tool.GetShapes(labels)
    for index in range(1, labels.Length() + 1):
        label = labels.Value(index)
        if XCAFDoc_ShapeTool.IsSimpleShape_s(label):
            name = TDataStd_Name()
            label.FindAttribute(TDataStd_Name.GetID_s(), name)
            yield name.Get().ToExtString(), XCAFDoc_ShapeTool.GetShape_s(label)


def explored(shape, kind):
    explorer = TopExp_Explorer(shape, kind)
    while explorer.More():
        yield explorer.Current()
        explorer.Next()


def volume(solid):
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid, properties, 1e-9)
    return properties.Mass()


def step_troubles(folder):
    told, faults, cylinders, worst = told_by_program(folder), [], 0, [0.0, 0.0]
    path = folder / "model.step"
    remarks = re.findall(r"PRODUCT\('([^']*)','[^']*','([^']+)'", path.read_text())
    seen = set()
    for name, shape in step_shapes(path):
        solids = list(explored(shape, TopAbs_SOLID))
        if len(solids) != 1 or name not in told:
            faults.append(f"{name}: {len(solids)} solids")
            continue
        seen.add(name)
        faces = [BRepAdaptor_Surface(TopoDS.Face(face)) for face in explored(solids[0], TopAbs_FACE)]
        cylinders += sum(face.GetType() == GeomAbs_Cylinder for face in faces)
        if not BRepCheck_Analyzer(solids[0]).IsValid():
            faults.append(f"{name}: no valid solid")
        expected, meets = told[name]
        off = abs(volume(solids[0]) - expected) / expected
        worst[meets] = max(worst[meets], off)
        if off > (NEAR_CARVED if meets else NEAR):
            faults.append(f"{name}: volume {volume(solids[0]):.3f}, told {expected:.3f}, off by {off:.1e}")
    faults += [f"{name}: is missing" for name in told.keys() - seen]
    return faults, (len(seen), cylinders, worst, remarks)


def stl_troubles(folder):
    files = sorted((folder / "parts_3d").glob("*.stl"))
    faults = [] if files else ["no STL files"]
    for path in files:
        mesh = trimesh.load(path)
        if not (mesh.is_watertight and mesh.is_winding_consistent and mesh.volume > 0):
            faults.append(f"{path.name}: not watertight")
    return faults, len(files)


def main():
    faults = []
    for folder in map(pathlib.Path, sys.argv[1:]):
        step, (solids, cylinders, worst, remarks) = step_troubles(folder)
        stl, meshes = stl_troubles(folder)
        faults += [f"{folder.name}: {fault}" for fault in step + stl]
        print(f"{folder.name}: {solids} solids with {cylinders} cylinders, volumes within {worst[0]:.1e}, where holes meet "
              f"others within {worst[1]:.1e}, {len(remarks)} partly in facets; {meshes} STL files; {len(step + stl)} troubles")
    for fault in faults:
        print(f"  {fault}")
    sys.exit(1 if faults or len(sys.argv) < 2 else 0)


if __name__ == "__main__":
    main()
