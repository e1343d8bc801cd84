"""Reads the files for programs of one built design: the tables as CSV and the outlines as DXF, nothing else.

A length stands twice in a table: `key_mm`, exact, and `key`, as the tape reads it. A `Papers` holds the exact ones, and tells
where the others are not their nearest marks; the reader of what is printed is in `book.py`.
"""

import copy
import csv
import pathlib
import re
from fractions import Fraction

import ezdxf

INCH = 25.4
TABLES = ("cut_list", "holes", "drilled", "planes", "notches", "notch_walls", "outlines", "places")
# A reading half way between two marks is as good as either, mm.
READING = 1e-6
_INCHES = re.compile(r'^(-?)(?:(\d+)(?: |$|"))?(?:(\d+)/(\d+))?"?$')
_MM = re.compile(r"^(-?\d+(?:\.\d+)?) mm$")


def tape_mm(text):
    """A length as the tape reads it, in mm: `42 7/16"`, `-1/4"`, `1087 mm`."""
    metric = _MM.match(text)
    if metric:
        return float(metric.group(1))
    inches = _INCHES.match(text)
    if not inches or not any(inches.group(2, 3)):
        raise ValueError(f"not a length on a tape: {text!r}")
    sign, whole, top, bottom = inches.groups()
    value = Fraction(int(whole or 0)) + (Fraction(int(top), int(bottom)) if top else 0)
    return float(value) * INCH * (-1 if sign else 1)


def span(corners):
    """Box of a ring of corners, mm2: tells the outline from what is inside it."""
    along, across = zip(*((x, y) for x, y, _ in corners))
    return (max(along) - min(along)) * (max(across) - min(across))


def misread(name, rows):
    """Lengths that the tape reads otherwise than to its nearest mark, in rows as they stand in the file."""
    # Holes are marked with a rule of half the tape's marks.
    most = {"mm": 0.5, "in": INCH / (64 if name == "holes" else 32)}
    faults = []
    for number, row in enumerate(rows, 1):
        for key, exact in row.items():
            tape = row.get(key[:-3]) if key.endswith("_mm") else None
            if not exact or tape is None:
                continue
            off = abs(tape_mm(tape) - float(exact))
            if off > most["mm" if tape.endswith("mm") else "in"] + READING:
                faults.append(f"{name}.csv row {number}: {key[:-3]} is {exact} mm, the tape reads {tape}, {off:.2f} mm off")
    return faults


class Papers:
    """The tables of one folder, in their exact columns."""

    # A depth counts from the mark on the finished box, and every hollow is told by its walls.
    depths_from_wood, scribed = False, ()

    def __init__(self, folder):
        self.folder = pathlib.Path(folder)
        self.metric = False
        self.templates = {}
        for name in TABLES:
            setattr(self, name, self._table(name))

    def rows(self, name):
        """The rows of a table as they stand in the file."""
        with open(self.folder / f"{name}.csv", newline="", encoding="utf-8") as file:
            return list(csv.DictReader(file))

    def _table(self, name):
        return [self._row(row) for row in self.rows(name)]

    def _row(self, row):
        read = {}
        for key, text in row.items():
            if key + "_mm" in row:
                continue
            stem = key[:-3] if key.endswith("_mm") else None
            if stem in row:
                read[stem] = self._length(text, row[stem])
            elif key == "bulge" or key.endswith(("_mm", "_mm3", "_deg")) or key.startswith(("along_", "across_")):
                read[key] = float(text) if text else None
            else:
                read[key] = text
        return read

    def _length(self, exact, tape):
        if not exact:
            return None
        self.metric |= tape.endswith("mm")
        return float(exact)

    def of(self, table, mark):
        return [row for row in getattr(self, table) if row["mark"] == mark]

    def template(self, mark):
        """Corners (x, y, bulge to the next) of the line to cut on a part's full-size outline; None where it has none."""
        if mark not in self.templates:
            self.templates[mark] = self._template(mark)
        return self.templates[mark]

    def _template(self, mark):
        file = self.outline_file(mark)
        if file is None:
            return None
        rings = []
        for entity in ezdxf.readfile(file).modelspace().query("POLYLINE"):
            if entity.dxf.layer == "CUT":
                corners = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in entity.vertices]
                rings.append(corners)
        return max(rings, key=span, default=None)

    def outline_file(self, mark):
        found = sorted((self.folder / "outlines").glob(f"{mark}_*_mm.dxf"))
        return found[0] if found else None

    def with_bent_template(self, by):
        """A copy in which one corner of the first template is off by so much; None where there is no template."""
        for row in self.cut_list:
            corners = self.template(row["mark"]) if row["outline"] == "marked face" else None
            if corners:
                other = copy.copy(self)
                x, y, bulge = corners[0]
                other.templates = {**self.templates, row["mark"]: [(x - by, y + by, bulge), *corners[1:]]}
                return other, row["mark"]
        return None, None


def perturbed(papers, table, keys, by, passing=()):
    """A copy in which the first row that has the keys is off by so much in all of them, marks to pass over left out, and its mark;
    None where there is none."""
    other = copy.copy(papers)
    for index, row in enumerate(getattr(papers, table)):
        if row["mark"] not in passing and all(row.get(key) is not None for key in keys):
            rows = list(getattr(papers, table))
            rows[index] = {**row, **{key: row[key] + by for key in keys}}
            setattr(other, table, rows)
            return other, row["mark"]
    return None, None
