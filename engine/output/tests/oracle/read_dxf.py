"""Reads DXF files with an independent library and fails on anything it has to repair.

    pip install ezdxf
    python engine/output/tests/oracle/read_dxf.py FILE.dxf ...

Prints, for each file, units, extent and the count of entities by layer.
"""

from collections import Counter
from pathlib import Path

import ezdxf
from ezdxf import bbox

import reading


def read(path):
    document = ezdxf.readfile(path)
    audit = document.audit()
    trouble = [str(error.message) for error in audit.errors + audit.fixes]
    if document.dxfversion != "AC1009":
        trouble.append(f"version {document.dxfversion}")
    if document.header.get("$INSUNITS") != 4 or document.header.get("$MEASUREMENT") != 1:
        trouble.append("units are not millimetres")
    space = document.modelspace()
    if len(space) == 0:
        trouble.append("nothing drawn")
    # The line of a template has gaps where something is made later; tests/oracle/templates.py goes along it.
    whole = Path(path).parent.name != "templates"
    for line in space.query("POLYLINE[layer=='CUT']"):
        if whole and not line.is_closed:
            trouble.append("an open outline on layer CUT")
    layers = Counter(f"{entity.dxf.layer}/{entity.dxftype()}" for entity in space)
    cut = space.query("*[layer=='CUT' | layer=='DRILL']")
    extent = bbox.extents(cut if len(cut) else space, fast=False)
    size = extent.size
    print(f"{path}: {size.x:.3f} x {size.y:.3f} mm", dict(sorted(layers.items())))
    return trouble


if __name__ == "__main__":
    reading.run(read)
