"""The papers must be enough: rebuilds every part of a built design from its papers alone and holds it against the model.

    python check.py FOLDER [--slips]

FOLDER is what `slatwork build ... --out FOLDER` wrote. Only the tables (CSV) and the outlines (DXF) are read to rebuild; the
solids they are held against come from model.glb. Three questions:

  1. From the exact columns: is each part the part of the model, nowhere off by more than the facets of the model's curves?
  2. From what a tape reads: is it nowhere off by more than two roundings (a place and a size) along each of its three
     directions, and is each hole within half a millimetre along each direction it is measured in? And each pilot drilled on
     through another part: does it go in within the same, to its depth, and end inside the wood?
  3. Put together from the rounded sizes: does nothing overlap, and does no joint stand open, beyond the sum of the roundings?

Each prints a line; a disagreement is told and ends with exit code 1. With --slips the papers are falsified by 2 mm, one hole,
one notch, one cut, one length at a time: each slip must be noticed, or the exit code is 1.
"""

import itertools
import math
import pathlib
import sys

import numpy as np
from manifold3d import Manifold

import distance
import model
import pilots
import timber
from papers import INCH, TABLES, Papers, misread, tape_mm

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
# How much 2 mm wrong must show, as a volume, to count as noticed: a 6 mm hole 2 mm deep is 57 mm3.
SLIP = 2.0


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


def parts_agree(papers, bodies, allowed, report, what, one_of_each=False):
    """Question 1 and 2: each part against the model's, or one of each set; `allowed` along each direction, at a corner in all
    three at once."""
    rows = {row["mark"]: row for row in papers.cut_list}
    worst = 0.0
    seen = set()
    for place in papers.places:
        if one_of_each and place["mark"] in seen:
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
    for true, marked in zip(exact.holes, tape.holes):
        for key in ("from_end", "from_edge", "from_face", "depth_to"):
            if true[key] is not None and not (key == "depth_to" and true["through"] == "yes"):
                off = abs(true[key] - marked[key])
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


def templates(papers):
    """How many parts were sawn to their full-size outline."""
    return sum(1 for row in papers.cut_list if row["outline"] == "marked face" and papers.template(row["mark"]))


def untemplated(papers, report):
    for row in papers.cut_list:
        if row["outline"] == "marked face" and not papers.template(row["mark"]):
            report.say(f"{row['mark']} {row['name']} is shaped and has no outline to saw to")


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


def slips(folder, bodies):
    """Falsified papers must be noticed."""
    exact = Papers(folder, on_tape=False)
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
    falsified = [(table, *exact.perturbed(table, keys, SLIP, passing.get(table, ()))) for table, keys in kinds]
    falsified.append(("template", *exact.with_bent_template(SLIP)))
    missed, tried = [], 0
    for table, wrong, mark in falsified:
        if wrong is None:
            continue
        tried += 1
        report = Report()
        rows = [place for place in wrong.places if place["mark"] == mark]
        wrong.places = rows
        parts_agree(wrong, bodies, 0.0, report, "falsified")
        if not report.faults:
            missed.append(f"{table} of {mark}")
    readings = [falsified_reading(exact, name, key) for name, key in READINGS]
    missed += [f"a reading in {name}" for name, faults in readings if faults == []]
    unseen, wronged = pilots.slips(exact, bodies, SLIP, exact.hole_off())
    missed, tried = missed + unseen, tried + wronged
    return tried + sum(1 for _, faults in readings if faults is not None), missed


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
    if "--slips" in sys.argv:
        tried, missed = slips(folder, bodies)
        print(f"{folder.name}: {tried} slips of {SLIP} mm, {len(missed)} missed {missed or ''}")
        return 1 if missed or not tried else 0
    exact, tape = Papers(folder, on_tape=False), Papers(folder, on_tape=True)
    report = Report()
    true = parts_agree(exact, bodies, 0.0, report, "exact")
    # Parts of a set are made alike, and the exact figures have put each of them in its place.
    rounded = parts_agree(tape, bodies, 2 * tape.half_mark, report, "on the tape", one_of_each=True)
    holes = holes_agree(exact, tape, report)
    guided, drilled = pilots_agree(exact, tape, bodies, report)
    read_to_the_mark(exact, report)
    sprung_boards_are_long_enough(exact, report)
    untemplated(exact, report)
    drawn = templates(exact)
    opened, deep, most = piece_closes(exact, tape, bodies, report)
    print(
        f"{folder.name}: {len(exact.places)} parts, exact {true:.3f} mm off, on the tape {rounded:.2f} of {math.sqrt(12) * tape.half_mark:.2f} mm; "
        f"holes {holes:.2f} mm, {drilled} pilots {guided:.2f} mm; {drawn} templates; openings {opened:.2f}, overlaps {deep:.2f} of {most:.2f} mm"
    )
    for fault in report.faults[:12]:
        print(f"  {fault}")
    return 1 if report.faults else 0


if __name__ == "__main__":
    sys.exit(main())
