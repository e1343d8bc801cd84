"""Reads every file of a built design back with independent readers: DXF, binary glTF, SVG, CSV and JSON.

    pip install ezdxf trimesh pygltflib numpy networkx
    python tests/oracle/read_folder.py FOLDER ...

FOLDER is what `slatwork build ... --out FOLDER` wrote. Prints a line a folder; each trouble is told, and any makes the exit
code 1.
"""

import contextlib
import csv
import io
import json
import pathlib
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] / "engine" / "output" / "tests" / "oracle"))

import read_dxf
import read_gltf
import read_svg


def read_csv(path):
    with open(path, newline="", encoding="utf-8") as file:
        heading, *rows = csv.reader(file, strict=True)
    trouble = [f"row {number} has {len(row)} fields, the heading {len(heading)}"
               for number, row in enumerate(rows, 1) if len(row) != len(heading)]
    if len(set(heading)) != len(heading):
        trouble.append("a heading stands twice")
    for index, key in enumerate(heading):
        if key.endswith(("_mm", "_deg")):
            trouble += [f"{key} is {row[index]!r}" for row in rows if row[index] and not is_number(row[index])]
    return trouble


def is_number(text):
    try:
        return abs(float(text)) < float("inf")
    except ValueError:
        return False


def read_json(path):
    document = json.loads(path.read_text(encoding="utf-8"), parse_constant=lambda word: word)
    return [] if str(document.get("schema", "")).startswith("slatwork/") else ["no schema is named"]


READERS = {".dxf": read_dxf.read, ".glb": read_gltf.read, ".svg": read_svg.read, ".csv": read_csv, ".json": read_json}
# Written by every build of every kind of paper.
WANTED = {".glb", ".svg", ".csv", ".json"}


def read(folder):
    counts, faults = dict.fromkeys(READERS, 0), []
    for path in sorted(folder.rglob("*")):
        reader = READERS.get(path.suffix)
        if reader is None or not path.is_file():
            continue
        counts[path.suffix] += 1
        try:
            with contextlib.redirect_stdout(io.StringIO()):
                faults += [f"{path}: {trouble}" for trouble in reader(path if path.suffix != ".glb" else str(path))]
        except Exception as fault:  # An independent reader that cannot read the file is the very finding.
            faults.append(f"{path}: cannot be read: {fault}")
    faults += [f"{folder}: no {kind[1:]} file" for kind in sorted(WANTED) if not counts[kind]]
    print(f"{folder.name}: " + ", ".join(f"{count} {kind[1:]}" for kind, count in counts.items()) + f", {len(faults)} troubles")
    return faults


def main():
    faults = [fault for folder in sys.argv[1:] for fault in read(pathlib.Path(folder))]
    for fault in faults:
        print(f"  {fault}")
    sys.exit(1 if faults or len(sys.argv) < 2 else 0)


if __name__ == "__main__":
    main()
