"""Rebuilds each part as a solid from the papers, as a builder would: box or outline, saw cuts, notches, holes.

Board axes: x along the grain from the datum end, y across from the datum edge, z through from the back face; mm.
"""

import math

import numpy as np
from manifold3d import CrossSection, FillRule, Manifold, Mesh64, OpType

import distance

AXES = {"length": 0, "width": 1, "thickness": 2}
SIDES = {
    "datum end": (0, False), "far end": (0, True),
    "datum edge": (1, False), "far edge": (1, True),
    "back face": (2, False), "marked face": (2, True),
}
# How far a facet of the rebuilt arc may lie off it, mm: far below what is asked of the solids.
CHORD = 0.0005
FACETS_OF_A_HOLE = 180
# A bore that starts on the surface starts this far outside, so that no skin is left, mm.
SKIN = 0.5
# Regions of one notch lap by this, so that no skin is left where they meet, mm.
LAP = 1e-4
# Farther than any part reaches, mm.
FAR = 1e4


def box_of(row):
    return np.array([row["length"], row["width"], row["thickness"]])


def arc(start, end, bulge):
    """Points from start up to, not including, end."""
    if not bulge:
        return [start]
    chord = end - start
    reach = np.hypot(*chord)
    if reach == 0.0:
        # Two corners that a tape reads as one.
        return []
    sweep = 4 * math.atan(bulge)
    radius = reach * (1 + bulge * bulge) / (4 * abs(bulge))
    middle = (start + end) / 2
    normal = np.array([-chord[1], chord[0]]) / reach
    centre = middle + normal * (reach / 2) * (1 - bulge * bulge) / (2 * bulge)
    count = max(2, math.ceil(abs(sweep) / (2 * math.acos(max(0.0, 1 - CHORD / radius)))))
    first = math.atan2(*(start - centre)[::-1])
    angles = first + sweep * np.arange(count) / count
    return [centre + radius * np.array([math.cos(a), math.sin(a)]) for a in angles]


def ring(corners):
    """Corners (x, y, bulge to the next) as a polygon."""
    points = []
    for (x, y, bulge), (next_x, next_y, _) in zip(corners, corners[1:] + corners[:1]):
        points += arc(np.array([x, y]), np.array([next_x, next_y]), bulge)
    return np.array(points)


def outline_corners(papers, row):
    """From the full-size template where there is one (faces), else from the table (edges of bent slats)."""
    mark = row["mark"]
    template = papers.template(mark) if row["outline"] == "marked face" else None
    return template or [(row["from_end"], row["from_datum"], row["bulge"]) for row in papers.of("outlines", mark)]


def blank(papers, row):
    if row["outline"] == "rectangle":
        return Manifold.cube(tuple(box_of(row)))
    polygon = ring(outline_corners(papers, row))
    flat = CrossSection([polygon], FillRule.NonZero)
    low, high = row["outline_from"], row["outline_to"]
    solid = flat.extrude(high - low).translate((0, 0, low))
    if row["outline"] == "marked face":
        return solid
    if row["outline"] == "datum edge":
        return solid.transform(np.array([[1.0, 0, 0, 0], [0, 0, 1, 0], [0, 1, 0, 0]]))
    raise ValueError(f"outline drawn on {row['outline']!r}")


def plane_of(row, side, size):
    """The plane of three marks as (normal, offset), the normal pointing into the side meant."""
    axis = AXES[row["along"]]
    first, second = (index for index in range(3) if index != axis)
    points = np.zeros((3, 3))
    points[:, axis] = row["first"], row["second"], row["third"]
    points[1, first], points[2, second] = size[first], size[second]
    normal = np.cross(points[1] - points[0], points[2] - points[0])
    normal /= np.linalg.norm(normal)
    if (normal[axis] > 0) != (side == "beyond"):
        normal = -normal
    return normal, normal @ points[0]


def notch_of(walls, size):
    region = Manifold.cube((2 * FAR, 2 * FAR, 2 * FAR), True)
    for wall in walls:
        normal, offset = plane_of(wall, wall["remove"], size)
        region = region.trim_by_plane(tuple(normal), offset - LAP)
    return region


def hole_axis(row, size):
    """The mark on the box and the direction inward."""
    axis, high = SIDES[row["side"]]
    into = -1.0 if high else 1.0
    mark = np.array([value or 0.0 for value in (row["from_end"], row["from_edge"], row["from_face"])])
    mark[axis] = size[axis] if high else 0.0
    way = np.array([
        math.tan(math.radians(row[key] or 0.0)) for key in ("lean_length_deg", "lean_width_deg", "lean_thickness_deg")
    ])
    way[axis] = into
    return mark, way / np.linalg.norm(way)


def bore(row, size):
    mark, way = hole_axis(row, size)
    start = row["depth_from"] or 0.0
    if start == 0.0:
        # A bit that leans bites with one side before its middle reaches the mark.
        lean = math.sqrt(max(0.0, 1 - way[SIDES[row["side"]][0]] ** 2))
        start = -SKIN - row["diameter_mm"] / 2 * lean / max(0.1, abs(way[SIDES[row["side"]][0]]))
    else:
        # No skin may stay between one stretch of a leaning hole and the next.
        start -= LAP
    end = FAR / 2 if row["through"] == "yes" else row["depth_to"]
    radius = row["diameter_mm"] / 2
    drill = Manifold.cylinder(end - start, radius, radius, FACETS_OF_A_HOLE).translate((0, 0, start))
    return drill.transform(np.column_stack([*frame(way), mark]))


def frame(way):
    """Two directions square to one, and that one."""
    helper = np.eye(3)[np.argmin(np.abs(way))]
    first = np.cross(helper, way)
    first /= np.linalg.norm(first)
    return first, np.cross(way, first), way


def part(papers, row):
    """The solid of one part of a set."""
    solid, size = shaped(papers, row), box_of(row)
    wood = triangles(solid) if papers.depths_from_wood else None
    bores = [bore(hole if wood is None else from_the_box(hole, size, wood), size) for hole in papers.of("holes", row["mark"])]
    return solid - Manifold.batch_boolean(bores, OpType.Add) if bores else solid


def from_the_box(hole, size, wood):
    """A hole whose depths count from where the bit comes to wood, with depths from its mark on the finished box."""
    if hole["through"] == "yes" and hole["depth_from"] == 0.0:
        return hole
    mark, way = hole_axis(hole, size)
    ahead = [at for at in distance.crossings(mark - way, way, wood) if at > 0.5]
    first = max(0.0, ahead[0] - 1.0) if ahead else 0.0
    depths = {key: None if hole[key] is None else hole[key] + first for key in ("depth_from", "depth_to")}
    return {**hole, **(depths if first > SKIN / 10 else {})}


def shaped(papers, row):
    """The solid of one part of a set before it is bored."""
    size, mark = box_of(row), row["mark"]
    solid = blank(papers, row)
    for cut in papers.of("planes", mark):
        normal, offset = plane_of(cut, cut["keep"], size)
        solid = solid.trim_by_plane(tuple(normal), offset)
    walls = {}
    for wall in papers.of("notch_walls", mark):
        walls.setdefault((wall["notch"], wall["region"]), []).append(wall)
    for notch in walls.values():
        solid -= notch_of(notch, size)
    for hollow in papers.scribed:
        if hollow["mark"] == mark:
            solid -= offered_up(papers, mark, hollow)
    return solid


def offered_up(papers, mark, hollow):
    """The part that a hollow is scribed from, where it stands against the part that is scribed, grown by the play."""
    own = next(place for place in papers.places if place["mark"] == mark)
    other = next(place for place in papers.places if place["part"] == hollow["around"])
    row = next(row for row in papers.cut_list if row["mark"] == other["mark"])
    solid = shaped(papers, row).transform(pose(other)).transform(inverse(pose(own)))
    play = hollow["play"]
    steps = [step for axis in np.eye(3) for step in (play * axis, -play * axis)] if play else []
    return Manifold.batch_boolean([solid, *(solid.translate(tuple(step)) for step in steps)], OpType.Add)


def inverse(own):
    """Piece to board, of a pose from board to piece."""
    turn = own[:, :3].T
    return np.column_stack([turn, -turn @ own[:, 3]])


def pose(place):
    """Board to piece: 3 rows of 4."""
    along = np.array([place["along_right"], place["along_rear"], place["along_up"]])
    across = np.array([place["across_right"], place["across_rear"], place["across_up"]])
    corner = np.array([place["right"], place["rear"], place["up"]])
    return np.column_stack([along, across, np.cross(along, across), corner])


def triangles(solid):
    """Corners of its triangles, n x 3 x 3."""
    mesh = solid.to_mesh64()
    return np.asarray(mesh.vert_properties, dtype=float)[:, :3][np.asarray(mesh.tri_verts)]


def manifold_of(points, faces):
    """A solid from a mesh whose corners are given once."""
    return Manifold(Mesh64(np.asarray(points, dtype=np.float64), np.asarray(faces, dtype=np.uint64)))


def rim_and_area(corners):
    points = ring(corners)
    following = np.roll(points, -1, 0)
    rim = np.linalg.norm(following - points, axis=1).sum()
    return rim, abs(np.sum(points[:, 0] * following[:, 1] - following[:, 0] * points[:, 1])) / 2
