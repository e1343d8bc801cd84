"""Templates against other readers: each PDF page is read as a content stream and put together again by its registration marks,
the DXF is audited, the calibration page is rastered, and all three are held to the tables of the same folder.

usage: templates.py FOLDER...     (folders that `slatwork build --out` wrote)
"""

import csv
import math
import pathlib
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as xml

import ezdxf
import numpy
import pypdf
from scipy.spatial import cKDTree

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "papers"))
import printed
from printed import CUT_PEN, NEAR, STEP, Page, line, unfolded

faults = []


def fault(text):
    faults.append(text)
    print("  WRONG:", text)


def check_stretch(name, pages):
    """Every page is stretched as the file says; on its side it lies across the printer."""
    told = [re.search(r"Drawn ([\d.]+) x ([\d.]+) for this printer", text) for page in pages for text, _ in page.words]
    across, up = next(((float(own[1]), float(own[2])) for own in told if own), (1.0, 1.0))
    for page in pages:
        expected = (up, across) if page.size[0] > page.size[1] else (across, up)
        if abs(numpy.array(page.stretch) - expected).max() > 1e-6:
            fault(f"{name}: a page is stretched by {page.stretch} and not by {expected}")


def joined(name, pages):
    """All cut and bored lines in the frame of the first sheet; None where sheets of several pieces touch no other."""
    (first, *others), complaints = printed.groups(pages)
    for complaint in complaints:
        fault(f"{name}: {complaint}")
    return None if others else printed.lines(first, Page.cut)


def svg_points(path):
    """Cut and bored lines of an SVG, sampled, and its circles, from the datum corner."""
    root = xml.parse(path).getroot()
    space = "{http://www.w3.org/2000/svg}"
    width, height = root.get("width"), root.get("height")
    box = [float(v) for v in root.get("viewBox").split()]
    assert width.endswith("mm") and float(width[:-2]) == box[2] and float(height[:-2]) == box[3], "true millimetres"
    told = re.search(r"Datum corner at ([-\d.]+), ([-\d.]+)", root.find(space + "desc").text)
    datum = numpy.array([float(told[1]), float(told[2])])
    groups = {group.get("class"): group for group in root.iter(space + "g")}
    if set(groups) - {"cut", "drill", "mark"}:
        fault(f"{path.name}: groups {sorted(groups)}")
    for name in ("cut", "drill"):
        if name in groups and groups[name].findall(space + "text"):
            fault(f"{path.name}: lettering in {name}")
    flip = lambda p: numpy.array([p[0], box[3] - p[1]]) - datum
    samples, circles = [], []
    for name in ("cut", "drill"):
        for item in groups.get(name, []):
            if item.tag == space + "circle":
                centre, radius = flip((float(item.get("cx")), float(item.get("cy")))), float(item.get("r"))
                angle = numpy.linspace(0, 2 * math.pi, max(16, int(2 * math.pi * radius / STEP)))
                samples.append(centre + radius * numpy.column_stack([numpy.cos(angle), numpy.sin(angle)]))
                circles.append((*centre, radius))
            else:
                for piece in path_pieces(item.get("d")):
                    samples.append(numpy.array([flip(p) for p in piece]))
    return samples, circles


def path_pieces(data):
    at = start = None
    for command, text in re.findall(r"([MLAZ])([^MLAZ]*)", data):
        numbers = [float(v) for v in text.split()]
        if command == "M":
            at = start = numbers
        elif command == "L":
            yield line(at, numbers)
            at = numbers
        elif command == "A":
            yield arc(at, numbers)
            at = numbers[5:]
        else:
            yield line(at, start)


def arc(start, numbers):
    """The standard's conversion of an arc by its ends to one by its centre, for circles."""
    radius, _, _, large, sweep, x, y = numbers
    a, b = numpy.array(start), numpy.array([x, y])
    half = (b - a) / 2
    apothem = math.sqrt(max(radius**2 - half @ half, 0))
    normal = numpy.array([-half[1], half[0]]) / max(numpy.linalg.norm(half), 1e-12)
    centre = (a + b) / 2 + normal * apothem * (1 if large != sweep else -1) * 1
    first = math.atan2(*(a - centre)[::-1])
    last = math.atan2(*(b - centre)[::-1])
    if sweep and last < first:
        last += 2 * math.pi
    if not sweep and last > first:
        last -= 2 * math.pi
    t = numpy.linspace(first, last, max(3, int(abs(last - first) * radius / STEP) + 2))
    return centre + radius * numpy.column_stack([numpy.cos(t), numpy.sin(t)])


def compare(name, a, b):
    """Every sample of one on the lines between the samples of the other, and the other way round."""
    worst = 0
    for these, those in ((a, b), (b, a)):
        these, starts = numpy.vstack(these), numpy.vstack([piece[:-1] for piece in those])
        ends = numpy.vstack([piece[1:] for piece in those])
        count = min(8, len(starts))
        _, index = cKDTree((starts + ends) / 2).query(these, k=count)
        p, way = starts[index], (ends - starts)[index]
        share = ((these[:, None] - p) * way).sum(2) / numpy.maximum((way**2).sum(2), 1e-18)
        nearest = p + way * numpy.clip(share, 0, 1)[..., None]
        worst = max(worst, numpy.linalg.norm(these[:, None] - nearest, axis=2).min(1).max())
    if worst > NEAR:
        fault(f"{name}: {worst:.4f} mm apart")
    return worst


def compare_points(name, points, pieces):
    off = max(min(segment_distance(point, piece) for piece in pieces) for point in points)
    if off > NEAR:
        fault(f"{name}: the outline of the tables is {off:.3f} mm off")


def segment_distance(point, piece):
    way = piece[1:] - piece[:-1]
    share = ((point - piece[:-1]) * way).sum(1) / numpy.maximum((way**2).sum(1), 1e-18)
    return numpy.linalg.norm(point - piece[:-1] - way * numpy.clip(share, 0, 1)[:, None], axis=1).min()


def level(pieces):
    """Moved so that the lower left of all lies at the origin."""
    low = numpy.vstack(pieces).min(0)
    return [piece - low for piece in pieces]


def raster(path, stretch):
    """The squares of the calibration page measured on a picture of 600 dots to the inch."""
    with tempfile.TemporaryDirectory() as folder:
        stem = f"{folder}/page"
        subprocess.run(["pdftoppm", "-r", "600", "-f", "1", "-l", "1", "-gray", str(path), stem], check=True)
        (picture,) = pathlib.Path(folder).glob("page*.pgm")
        raw = picture.read_bytes()
        head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", raw)
        wide, high = int(head[1]), int(head[2])
        dark = numpy.frombuffer(raw, numpy.uint8, offset=head.end()).reshape(high, wide) < 128
    found = []
    # A row that crosses only the two upright sides of a square, and a column that crosses only its level ones.
    for size in (100.0, 101.6):
        for lines, what, factor in ((dark, "width", stretch[0]), (dark.T, "height", stretch[1])):
            best, true = math.inf, size * factor
            dots = true / 25.4 * 600
            for row in lines[:: 40]:
                edges = numpy.flatnonzero(numpy.diff(row.astype(numpy.int8)))
                if len(edges) >= 4:
                    middles = (edges[::2][: len(edges) // 2] + edges[1::2]) / 2
                    for i, a in enumerate(middles):
                        near = middles[i + 1 :] - a - dots
                        if len(near) and abs(near).min() < abs(best):
                            best = near[abs(near).argmin()]
            error = best / 600 * 25.4
            found.append(f"{true:g} {what} {true + error:.3f}")
            if abs(error) > 0.09:
                fault(f"{path.name}: the square's {what} of {true} mm is {true + error:.3f} on the picture")
    return found


def read_table(folder, name):
    with open(folder / f"{name}.csv", newline="") as file:
        return list(csv.DictReader(file))


def check_tables(folder, stem, pieces, circles):
    """Outlines run through the corners of the tables and the middles of their arcs; holes bored at the bench stand where the hole list
    says."""
    mark = stem.split("_")[0]
    plain = not any(row["mark"] == mark for name in ("planes", "notches") for row in read_table(folder, name))
    late = any(
        row["mark"] == mark and row["work"] == "outline" and row["when"] != "at the bench"
        for row in read_table(folder, "cutting")
    )
    checked = 0
    straight = any(row["mark"] == mark and row["sprung_mm"] for row in read_table(folder, "cut_list"))
    own = [row for row in read_table(folder, "outlines") if row["mark"] == mark and plain and not late and not straight]
    if own:
        corners = numpy.array([(float(row["from_end_mm"]), float(row["from_datum_mm"])) for row in own])
        bulges = numpy.array([float(row["bulge"]) for row in own])
        chords = numpy.roll(corners, -1, 0) - corners
        middles = corners + chords / 2 + numpy.column_stack([chords[:, 1], -chords[:, 0]]) * bulges[:, None] / 2
        compare_points(stem, numpy.vstack([corners, middles]), pieces)
        checked += 2 * len(own)
    edge_set = any(row["mark"] == mark and row["drawn_on"] == "datum edge" for row in read_table(folder, "outlines"))
    for row in read_table(folder, "holes"):
        on_face = row["side"] in ("marked face", "back face")
        upright = all(not row[key] or abs(float(row[key])) < 0.05 for key in row if key.startswith("lean_"))
        through = row["through"] in ("yes", "true", "1")
        if row["mark"] != mark or not on_face or not upright or row["when"] != "at the bench" or edge_set or straight:
            continue
        if row["side"] == "back face" and not through:
            continue
        own = (float(row["from_end_mm"]), float(row["from_edge_mm"]), float(row["diameter_mm"]) / 2)
        off = min((max(abs(a - b) for a, b in zip(own, circle)) for circle in circles), default=math.inf)
        checked += 1
        if off > NEAR:
            fault(f"{stem}: no circle for hole {row['hole']} at {own}, {off:.3f} mm off")
    return checked


def check_dxf(path, points):
    drawing = ezdxf.readfile(path)
    audit = drawing.audit()
    if audit.errors or audit.fixes:
        fault(f"{path.name}: {len(audit.errors)} errors, {len(audit.fixes)} repairs")
    layers = {entity.dxf.layer for entity in drawing.modelspace()}
    if layers - {"CUT", "DRILL", "MARK"}:
        fault(f"{path.name}: layers {sorted(layers)}")
    if drawing.header["$INSUNITS"] != 4:
        fault(f"{path.name}: not in millimetres")
    samples = []
    for entity in drawing.modelspace():
        if entity.dxf.layer in ("CUT", "DRILL"):
            # Arcs by their own points: as a path they would be cubics, 0.03 % of the radius off.
            for piece in entity.virtual_entities() if entity.dxftype() == "POLYLINE" else [entity]:
                if piece.dxftype() == "LINE":
                    samples.append(line(piece.dxf.start.vec2, piece.dxf.end.vec2))
                else:
                    corners = [(v.x, v.y) for v in piece.flattening(1e-3)]
                    samples += [line(a, b) for a, b in zip(corners, corners[1:])]
    return compare(path.name, level(samples), level(points))


def check_folder(folder):
    templates = folder / "templates"
    calibration = templates / "calibration.pdf"
    first = pypdf.PdfReader(calibration, strict=True)
    print(folder.name, "; ".join(raster(calibration, Page(first.pages[0], first).stretch)))
    worst, sheets, numbers = 0, 0, 0
    for path in sorted(templates.glob("*.pdf")):
        reader = pypdf.PdfReader(path, strict=True)
        if reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] != "/None":
            fault(f"{path.name}: the file does not ask for its true size")
        pages = [Page(page, reader) for page in reader.pages]
        check_stretch(path.name, pages)
        if path == calibration:
            squares = [p.max(0) - p.min(0) for page in pages for pen, _, p in page.strokes if pen == CUT_PEN]
            for size in (100.0, 101.6):
                if not any(abs(square - size).max() < NEAR for square in squares):
                    fault(f"{path.name}: no square of {size} mm among {squares}")
            continue
        drawn = printed.drawn_sheets(pages)
        sheets += len(drawn)
        points, circles = svg_points(path.with_suffix(".svg"))
        together = joined(path.name, drawn)
        if together is not None and any(text.startswith("Half pattern") for text, _ in pages[0].words):
            together = unfolded(together)
        if together is not None:
            worst = max(worst, compare(path.name, level(together), level(points)))
        worst = max(worst, check_dxf(templates / f"{path.stem}_mm.dxf", points))
        numbers += check_tables(folder, path.stem, points, circles)
    print(f"  {sheets} sheets, joined and compared within {worst:.4f} mm; {numbers} places of the tables found")
    if numbers < 20:
        fault(f"{folder.name}: only {numbers} places checked")


for folder in sys.argv[1:]:
    check_folder(pathlib.Path(folder))
if faults:
    sys.exit(f"{len(faults)} wrong")
