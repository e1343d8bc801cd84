"""The papers must be enough: rebuilds every part of a built design from its papers alone and holds it against the model.

    python check.py FOLDER [--slips]

FOLDER is what `slatwork build ... --out FOLDER` wrote. Two readers rebuild the piece, one from the files for programs (CSV in their
exact columns, outlines in DXF), the other from what a builder has in hand: the printed book and the sheets of the templates. The
solids they are held against come from model.glb. Five questions:

  1. From the exact columns: is each part the part of the model, nowhere off by more than the facets of the model's curves?
  2. From the book and the templates: is it nowhere off by more than two roundings (a place and a size) along each of its three
     directions, and is each hole within half a millimetre along each direction it is measured in? And each pilot drilled on
     through another part: does it go in within the same, to its depth, and end inside the wood?
  3. Put together as the book says: does nothing overlap, and does no joint stand open, beyond the sum of the roundings?
  4. Does the book say what the files say, cell by cell, and is each line of a template the true one?
  5. Is each piece of work done at the same time in the book, on the templates and in the files, in an order that can be followed?

Each prints a figure; a disagreement is told and ends with exit code 1. With --slips the papers are falsified, one hole, one notch,
one cut, one length, one line at a time: each slip must be noticed, or the exit code is 1.
"""

import copy
import itertools
import math
import pathlib
import sys

import numpy as np
import shapely
from manifold3d import Manifold
from scipy.spatial import cKDTree

import distance
import model
import pilots
import telling
import timber
import times
from book import Book
from papers import INCH, TABLES, Papers, misread, perturbed, tape_mm

# What differs by less than this is rounding of the files, mm3.
DUST = 1.0
# The model's file holds coordinates with 24 bits, mm.
FILE_NOISE = 0.02
# Facets of curves, mm; and of bores, as a share of their radius: 24 sides of equal area stand out by 0.0058 of it.
FACETS = 0.06
BORE_FACETS = 0.006
# Lengths that add up across one joint: where two parts are marked from their own ends, each to half a mark, and where each
# was placed, again each to half a mark.
CHAIN = 4
# Papers are falsified by so much, mm; what is read on a tape by more than two roundings along each of three directions, so that
# the made part shows it.
SLIP, PRINTED_SLIP = 2.0, 6.0
# Lines of a template are this true, mm: facets, and the curves of the printed page.
TRUE_LINE = 0.05
# Lines looked for among points a quarter of a millimetre apart, on a slice so far inside a face, mm.
SEEN_LINE, FACE = 0.25, 0.01


def standing(papers, rows, place):
    """A part where it stands in the piece."""
    row = rows[place["mark"]]
    return timber.part(papers, row).transform(timber.pose(place))


def body(found):
    return timber.manifold_of(found.mesh.vertices, found.mesh.faces)


def span(solid):
    return np.array(solid.bounding_box()).reshape(2, 3)


class Report:
    def __init__(self):
        self.faults = []

    def say(self, fault):
        self.faults.append(fault)


def parts_agree(papers, bodies, allowed, report, what, one_of_each=False, only=None):
    """Question 1 and 2: each part against the model's, or one of each set, or those of one mark; `allowed` along each direction,
    at a corner in all three at once."""
    rows = {row["mark"]: row for row in papers.cut_list}
    worst = 0.0
    seen = set()
    for place in papers.places:
        if (one_of_each and place["mark"] in seen) or only not in (None, place["mark"]):
            continue
        seen.add(place["mark"])
        found = bodies.get(place["part"])
        if found is None:
            report.say(f"{place['part']} is not in the model")
            continue
        own = standing(papers, rows, place)
        other = body(found)
        if own.num_tri() == 0 or other.num_tri() == 0:
            report.say(f"{place['part']} does not close")
            continue
        bores = [hole["diameter_mm"] / 2 for hole in papers.of("holes", place["mark"])]
        most = allowed + FACETS + BORE_FACETS * max(bores, default=0.0)
        # No part that is nearer than the worst so far needs its own figure.
        off = distance.farthest(timber.triangles(own), found.mesh.triangles, min(worst, most))
        reach = np.abs(span(own) - span(other)).max()
        worst = max(worst, off)
        corner = math.sqrt(3) * allowed + most - allowed
        if off > corner or reach > most + FILE_NOISE:
            report.say(f"{what}: {place['part']} is {off:.3f} mm off, {reach:.3f} mm at its farthest reach")
    return worst


def holes_agree(exact, tape, report):
    """Question 2: holes as marked with the rule against the true ones."""
    worst = 0.0
    if [own["mark"] for own in exact.holes] != [own["mark"] for own in tape.holes]:
        report.say("the book has other holes")
    for true, marked in zip(exact.holes, tape.holes):
        if true["stretch"] == "1":
            # The book's depths count from the wood, the file's from the mark on the finished box.
            start = true["depth_from"] or 0.0
        for key in ("from_end", "from_edge", "from_face", "depth_to"):
            if true[key] is not None and not (key == "depth_to" and true["through"] == "yes"):
                off = abs(true[key] - (start if key == "depth_to" else 0.0) - marked[key])
                worst = max(worst, off)
                if off > tape.hole_off():
                    report.say(f"hole {true['hole']} of {true['mark']} is {off:.2f} mm off {key}")
    return worst


def pilots_agree(exact, tape, bodies, report):
    """Question 2, of holes that nobody marks: where the hole of one part guides the drill into another."""
    for papers in (exact, tape):
        # The parts held together as they fit; the guide's hole where it was marked.
        worst, count, faults = pilots.disagreements(papers, exact, bodies, tape.hole_off())
        report.faults += faults
    return worst, count


def lines_agree(exact, book):
    """Question 4: what is sawn by a template against the part seen from its face, hollows that are marked later not yet cut; the
    worst, what is wrong, and how many."""
    worst, count, faults = 0.0, 0, []
    late = {(row["mark"], row["notch"]) for row in exact.notches if row["when"] != "at the bench"}
    bench = copy.copy(exact)
    # The outlines for machines have every hollow; the table has the line alone.
    bench.template = lambda mark: None
    bench.notch_walls = [row for row in exact.notch_walls if (row["mark"], row["notch"]) not in late]
    for row in exact.cut_list:
        if row["outline"] != "marked face":
            continue
        pattern = book.pattern(row["mark"])
        if pattern is None:
            faults.append(f"{row['mark']} {row['name']} is shaped and has no template to saw to")
            continue
        seen = shapely.MultiPolygon([shapely.Polygon(own) for own in timber.shaped(bench, row).project().to_polygons()])
        off = seen.boundary.hausdorff_distance(pattern.outline.boundary)
        worst, count = max(worst, off), count + 1
        if off > TRUE_LINE:
            faults.append(f"the template of {row['mark']} {row['name']} is {off:.2f} mm off the part")
    return worst, faults, count


def faces_agree(exact, book):
    """Question 4: every line of the finished part on its two faces, hollows that are marked later and leaning ends as well, is on
    its template, sawn, marked or dashed; what is wrong, and how many templates."""
    count, faults = 0, []
    for row in exact.cut_list:
        pattern = None if row["sprung"] else book.pattern(row["mark"])
        if pattern is None:
            continue
        count += 1
        drawn = cKDTree(np.vstack(pattern.cut + pattern.marked + pattern.later))
        solid = timber.shaped(exact, row)
        for face, height in (("back face", FACE), ("marked face", row["thickness"] - FACE)):
            rings = solid.slice(height).to_polygons()
            points = [shapely.get_coordinates(shapely.segmentize(shapely.Polygon(own).exterior, 1.0)) for own in rings]
            off = drawn.query(np.vstack(points))[0].max() if points else math.inf
            if off > SEEN_LINE:
                faults.append(f"the template of {row['mark']} {row['name']} lacks a line of the {face}, {off:.2f} mm off")
    return faults, count


def read_to_the_mark(papers, report):
    """Every length on the tape is its exact twin at the nearest mark."""
    for name in TABLES:
        for fault in misread(name, papers.rows(name)):
            report.say(fault)


# How long a bent board's middle line may be beside the board it was sawn as, mm.
BENT = 0.01


def sprung_boards_are_long_enough(papers, report):
    """A board sprung when fixed is sawn straight: bent to its outline, its middle line is as long as the board."""
    for row in papers.cut_list:
        if row["sprung"] is None:
            continue
        rim, area = timber.rim_and_area(timber.outline_corners(papers, row))
        # A band of even thickness: area = length x thickness, rim = 2 length + 2 thickness.
        for bent in (area / row["thickness"], rim / 2 - row["thickness"]):
            if abs(bent - row["length"]) > BENT:
                report.say(f"{row['mark']} {row['name']} is sawn {row['length']:.3f} mm long and {bent:.3f} mm when bent")


def piece_closes(exact, tape, bodies, report):
    """Question 3: the piece of rounded parts, each set where it belongs: overlaps and openings against the true piece."""
    rows_exact = {row["mark"]: row for row in exact.cut_list}
    rows_tape = {row["mark"]: row for row in tape.cut_list}
    most = CHAIN * tape.half_mark
    true = {place["part"]: standing(exact, rows_exact, place) for place in exact.places}
    made = {place["part"]: standing(tape, rows_tape, place) for place in tape.places}
    boxes, made_boxes = ({name: span(solid) for name, solid in solids.items()} for solids in (true, made))
    worst_open = worst_deep = 0.0
    for a, b in itertools.combinations(made, 2):
        if (boxes[a][0] > boxes[b][1] + most).any() or (boxes[b][0] > boxes[a][1] + most).any():
            continue
        # Parts pressed apart or together by less than the sum of the roundings: the deepest overlap, also of parts with play
        # between them, and the widest opening of those that touch.
        made_a, made_b = beside(made, made_boxes, a, b, 2 * most)
        deep = depth(made_a, made_b)
        opening = 0.0
        if touch(*beside(true, boxes, a, b, 2 * TOUCH)):
            # What is empty has nothing near the other.
            empty = made_a.is_empty() or made_b.is_empty()
            opening = 2 * most if empty else made_a.min_gap(made_b, 2 * most)
        worst_deep, worst_open = max(worst_deep, deep), max(worst_open, opening)
        if deep > most:
            report.say(f"{a} and {b} overlap by {deep:.2f} mm when made to the tape; {most:.2f} is the sum of roundings")
        if opening > most:
            report.say(f"{a} and {b} stand {opening:.2f} mm apart when made to the tape; {most:.2f} is the sum of roundings")
    return worst_open, worst_deep, most


# Parts nearer than this touch in the model, mm.
TOUCH = 0.06


def beside(solids, boxes, a, b, reach):
    """Of two parts what may lie within `reach` of each other: few of the triangles, all of the gaps up to there."""
    low = np.maximum(boxes[a][0], boxes[b][0]) - reach
    size = np.minimum(boxes[a][1], boxes[b][1]) + reach - low
    if (size <= 0).any():
        return Manifold(), Manifold()
    room = Manifold.cube(size).translate(low)
    return solids[a] ^ room, solids[b] ^ room


def touch(a, b):
    return not a.is_empty() and not b.is_empty() and a.min_gap(b, TOUCH * 2) <= TOUCH


def depth(a, b):
    """How deep one part reaches into the other, mm."""
    both = a ^ b
    if both.volume() < DUST:
        return 0.0
    # Twice volume over surface is the thickness of a thin slab, and less than that of any other body.
    return max(2.0 * piece.volume() / piece.surface_area() for piece in both.decompose())


def slips(exact, book, bodies):
    """Falsified papers must be noticed."""
    kinds = [
        ("holes", ["from_end"]),
        ("notch_walls", ["first", "second", "third"]),
        ("planes", ["first", "second", "third"]),
        ("cut_list", ["length"]),
        ("outlines", ["from_datum"]),
    ]
    # A shaped part has its size from its template, and one sawn at an angle at its far end from that cut, so that a wrong
    # figure in its row would not be sawn.
    shaped = {row["mark"] for row in exact.cut_list if row["outline"] != "rectangle"}
    angled = {row["mark"] for row in exact.planes if row["what"] == "far end"}
    templated = {row["mark"] for row in exact.cut_list if row["outline"] == "marked face"}
    passing = {"cut_list": shaped | angled, "outlines": templated}
    of = lambda papers, by: [
        (table, *perturbed(papers, table, keys, by, passing.get(table, ()))) for table, keys in kinds
    ]
    falsified = [*of(exact, SLIP), ("template", *exact.with_bent_template(SLIP))]
    outcomes = [(f"{table} of {mark}", noticed(wrong, bodies, mark, 0.0)) for table, wrong, mark in falsified if wrong]
    printed = [*of(book, PRINTED_SLIP), ("places", *perturbed(book, "places", ["up"], PRINTED_SLIP))]
    allowed = 2 * book.half_mark
    outcomes += [
        (f"the book's {table} of {mark}", noticed(wrong, bodies, mark, allowed)) for table, wrong, mark in printed if wrong
    ]
    outcomes += slips_of_words(exact, book) + slips_of_lines(exact, book)
    readings = [falsified_reading(exact, name, key) for name, key in READINGS]
    outcomes += [(f"a reading in {name}", bool(faults)) for name, faults in readings if faults is not None]
    unseen, wronged = pilots.slips(exact, bodies, SLIP, book.hole_off())
    missed = [what for what, seen in outcomes if not seen] + unseen
    return len(outcomes) + wronged, missed


def noticed(wrong, bodies, mark, allowed):
    """Whether the parts of one mark are seen to be wrong."""
    report = Report()
    parts_agree(wrong, bodies, allowed, report, "falsified", only=mark)
    return bool(report.faults)


# Tables of the book by their titles.
PRINTED = ["Cut list", "Holes of", "Angled cuts", "The line that", "Drilled on", "Datum corners", "stops and settings"]


def slips_of_words(exact, book):
    """A figure of the book one mark too long, and a time that is another."""
    wrong = [(title, book.falsified(title)) for title in PRINTED]
    outcomes = [(f"a figure in {title}", bool(telling.disagreements(own, exact)[0])) for title, own in wrong if own]
    late = next((row for row in book.holes if row["when"] != "at the bench" and book.pattern(row["mark"])), None)
    if late:
        other = copy.copy(book)
        other.holes = [{**row, "when": "at the bench"} if row is late else row for row in book.holes]
        what = f"when hole {late['hole']} of {late['mark']} is bored"
        outcomes += [
            (f"{what}, by the template", bool(times.on_templates(other)[0])),
            (f"{what}, by the joints", bool(times.in_order(other, exact)[0])),
        ]
        other = copy.copy(book)
        other.chapters = {**book.chapters, "assembly": [own for own in book.chapters["assembly"] if "rill" not in own[1]]}
        outcomes.append(("steps in which nothing is drilled", bool(times.in_order(other, exact)[0])))
    return outcomes


def slips_of_lines(exact, book):
    """Lines of a template that stand elsewhere: the line to saw to, and the holes."""
    outcomes = []
    shaped = next((row["mark"] for row in book.cut_list if row["outline"] == "marked face"), None)
    bored = next((row["mark"] for row in book.holes if row["side"] == "marked face" and book.pattern(row["mark"])), None)
    for mark, seen in ((shaped, lambda own: lines_agree(exact, own)[1]), (bored, lambda own: times.on_templates(own)[0])):
        if mark:
            wrong = book.with_pattern(mark, book.pattern(mark).moved(SLIP))
            outcomes.append((f"a line on the template of {mark}", bool(seen(wrong))))
    late = next((row["mark"] for row in book.notches if row["when"] != "at the bench" and book.pattern(row["mark"])), None)
    if late:
        dashed = copy.copy(book.pattern(late))
        dashed.later = dashed.moved(SLIP).later
        wrong = faces_agree(exact, book.with_pattern(late, dashed))[0]
        outcomes.append((f"a dashed line on the template of {late}", bool(wrong)))
    return outcomes


# Readings off by one mark, a table and a column each.
READINGS = [("cut_list", "length"), ("holes", "from_end"), ("notch_walls", "first"), ("planes", "second"), ("places", "up")]


def falsified_reading(papers, name, key):
    """What is noticed when the tape's reading of the first length in a column is one mark too long; None without one."""
    rows = papers.rows(name)
    row = next((row for row in rows if row[f"{key}_mm"]), None)
    if row is None:
        return name, None
    value = tape_mm(row[key])
    row[key] = f"{value + 1:.0f} mm" if papers.metric else f'{round((value / INCH) * 16) + 1}/16"'
    return name, misread(name, rows)


def main():
    folder = pathlib.Path(sys.argv[1])
    bodies = model.bodies(folder / "model.glb")
    exact = Papers(folder)
    # The book measures from the outermost of the piece.
    book = Book(folder, np.min([body.mesh.vertices.min(axis=0) for body in bodies.values()], axis=0))
    if "--slips" in sys.argv:
        tried, missed = slips(exact, book, bodies)
        print(f"{folder.name}: {tried} slips, {len(missed)} missed {missed or ''}")
        return 1 if missed or not tried else 0
    report = Report()
    true = parts_agree(exact, bodies, 0.0, report, "exact")
    # Parts of a set are made alike, and the exact figures have put each of them in its place.
    rounded = parts_agree(book, bodies, 2 * book.half_mark, report, "by the book", one_of_each=True)
    holes = holes_agree(exact, book, report)
    guided, drilled = pilots_agree(exact, book, bodies, report)
    read_to_the_mark(exact, report)
    sprung_boards_are_long_enough(exact, report)
    opened, deep, most = piece_closes(exact, book, bodies, report)
    line, wrong_lines, drawn = lines_agree(exact, book)
    wrong_faces, faces = faces_agree(exact, book)
    wrong_words, cells = telling.disagreements(book, exact)
    wrong_times, looked = times.disagreements(book, exact)
    report.faults += [*wrong_lines, *wrong_faces, *wrong_words, *wrong_times]
    print(
        f"{folder.name}: {len(exact.places)} parts, exact {true:.3f} mm off, by the book {rounded:.2f} of "
        f"{math.sqrt(12) * book.half_mark:.2f} mm; holes {holes:.2f} mm, {drilled} pilots {guided:.2f} mm; openings {opened:.2f}, "
        f"overlaps {deep:.2f} of {most:.2f} mm; {faces} templates, {drawn} sawn to within {line:.3f} mm; {cells} cells told twice, "
        f"{looked} times"
    )
    for fault in report.faults[:12]:
        print(f"  {fault}")
    return 1 if report.faults else 0


if __name__ == "__main__":
    sys.exit(main())
