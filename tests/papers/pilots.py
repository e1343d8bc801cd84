"""Pilots that nobody marks: where the hole of one part guides the drill into another, worked out from the papers alone."""

import copy

import numpy as np

import distance
import timber

# How far the wood that is drilled may stand from the guide, mm: joints are closed, seated slats leave a gap under their middle.
REACH = 10.0
# Wood that must be left beyond the end of a pilot, mm: the point of a screw must not come out.
COVER = 3.0
# Depths that read alike are one row: 1/16 in, and what its reading is off, mm.
DEPTH = 25.4 / 16 + 25.4 / 64


# A book tells a bit to a 64th of an inch where that is nearly its size, else to a tenth of a millimetre, mm.
BIT = 0.06


class Pilot:
    def __init__(self, part, mouth, way, diameter, depth):
        self.part, self.mouth, self.way, self.diameter, self.depth = part, np.array(mouth), np.array(way), diameter, depth

    @property
    def end(self):
        return self.mouth + self.way * self.depth


def of_model(bodies):
    """What the model says of itself."""
    return [
        Pilot(body.name, pilot["mouth"], pilot["way"], pilot["diameter"], pilot["depth"])
        for body in bodies.values()
        for pilot in body.pilots
    ]


def axis_in_place(papers, row, hole, place):
    """A point on the axis outside the guide and the way the drill goes, in the piece."""
    pose = timber.pose(place)
    mark, way = timber.hole_axis(hole, timber.box_of(row))
    start, way = pose[:, :3] @ mark + pose[:, 3], pose[:, :3] @ way
    return start, -way if place["part"] in hole["turned"].split("; ") else way


def of_papers(papers, guides, triangles):
    """Every pilot that the table of those drilled on asks for, with the wood behind its mouth. `triangles` are the parts as they
    stand; `guides` the papers that places and sizes of the guides are taken from."""
    rows = {row["mark"]: row for row in guides.cut_list}
    places = {place["part"]: place for place in guides.places}
    stand = {mark: [p for p in guides.places if p["mark"] == mark] for mark in rows}
    found = []
    for asked in papers.drilled:
        for name in asked["through"].split("; "):
            for number in asked["holes"].split("; "):
                hole = next((h for h in papers.of("holes", asked["through_mark"]) if h["hole"] == number), None)
                if hole is None:
                    continue
                start, way = axis_in_place(papers, rows[asked["through_mark"]], hole, places[name])
                found += [
                    (asked, pilot, wood)
                    for held in stand[asked["mark"]]
                    for pilot, wood in entry(asked, start, way, triangles[name], held["part"], triangles[held["part"]])
                ]
    return found


def entry(asked, start, way, guide, held, wood):
    """The pilot in one part that the drill comes to, if it comes to it where it leaves the guide."""
    ends = guide.reshape(-1, 3) @ way - start @ way
    reach = distance.crossings(start, way, wood)
    # In pairs: into the wood, and out of it.
    for into, out in zip(reach[::2], reach[1::2]):
        if near(start + way * into, guide) and into > ends.min() and out - into > asked["depth"] / 2:
            yield Pilot(held, start + way * into, way, asked["diameter_mm"], asked["depth"]), out - into
            return


def near(point, triangles):
    return distance.nearest(point[None, :], triangles)[0] <= REACH


def off(one, other):
    """How far the axis of a pilot is from another's, mm: where it goes in and where it would end at that depth, along any
    direction of the piece."""
    ends = one.mouth + one.way * other.depth, other.end
    return max(np.abs(one.mouth - other.mouth).max(), np.abs(ends[0] - ends[1]).max())


def disagreements(papers, guides, bodies, allowed):
    """Pilots of the papers against those of the model; the worst distance, how many were compared, and what is wrong."""
    triangles = {name: body.mesh.triangles for name, body in bodies.items()}
    true = of_model(bodies)
    found = of_papers(papers, guides, triangles)
    faults, worst = [], 0.0
    for asked, pilot, wood in found:
        if wood - pilot.depth < COVER:
            faults.append(f"a {pilot.diameter:.1f} mm pilot of {pilot.part} leaves {wood - pilot.depth:.1f} mm of wood")
        alike = [(off(pilot, other), index) for index, other in enumerate(true) if same(pilot, other)]
        if not alike:
            faults.append(f"{pilot.part} has no other {pilot.diameter:.1f} mm pilot, through {asked['through']}")
            continue
        distance_mm, index = min(alike)
        other = true.pop(index)
        worst = max(worst, distance_mm)
        if distance_mm > allowed:
            faults.append(f"a pilot of {pilot.part} through {asked['through']} is {distance_mm:.2f} mm off")
        if abs(pilot.depth - other.depth) > DEPTH:
            faults.append(f"a pilot of {pilot.part} is {pilot.depth:.1f} mm deep instead of {other.depth:.1f}")
    faults += [f"a pilot of {other.part} is on no paper" for other in true]
    counts = sum(int(asked["count"]) for asked in papers.drilled)
    if counts != len(found):
        faults.append(f"{counts} pilots are counted, {len(found)} come into wood")
    return worst, len(found), faults


def slips(papers, bodies, by, allowed):
    """Papers falsified in one guide's place, one depth and one guide's number: what of it goes unnoticed, and how much was tried."""
    if not papers.drilled:
        return [], 0
    asked = papers.drilled[0]
    numbers = asked["holes"].split("; ")
    other = copy.copy(papers)
    other.holes = [
        {**hole, "from_end": hole["from_end"] + by} if (hole["mark"], hole["hole"]) == (asked["through_mark"], numbers[0]) else hole
        for hole in papers.holes
    ]
    falsified = {
        "a guide's place": other,
        "a pilot's depth": with_first(papers, depth=asked["depth"] + by),
        "a guide's number": with_first(papers, holes="; ".join(numbers[1:] or ["1" if numbers[0] != "1" else "2"])),
    }
    missed = [what for what, wrong in falsified.items() if not disagreements(wrong, papers, bodies, allowed)[2]]
    return missed, len(falsified)


def with_first(papers, **changes):
    other = copy.copy(papers)
    other.drilled = [{**papers.drilled[0], **changes}, *papers.drilled[1:]]
    return other


def same(one, other):
    return one.part == other.part and abs(one.diameter - other.diameter) < BIT
