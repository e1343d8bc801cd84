"""Holds each part rebuilt from the papers against the engine's solid from model.glb."""

import math

import numpy as np

import timber

# The engine draws arcs and holes with facets that lie at most this far off the curve, mm; where a saw cut ends a
# facet, its corner lies on the chord and so as far off.
FACET = 0.05
# Agreement asked of flat faces when the exact columns are read, mm.
EXACT = 0.01
# Agreement asked of holes in each direction in which they are marked, mm.
HOLE = 0.5
# Farther than this from a hole's wall a corner of the mesh is not on its rim, mm.
RIM = 0.12


def distances(points, triangles):
    """Distance of each point from a surface of triangles, n."""
    a, b, c = (triangles[None, :, i] for i in range(3))
    p = points[:, None]
    best = np.min([to_segment(p, a, b), to_segment(p, b, c), to_segment(p, c, a)], axis=0)
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=-1)
    normal = normal / np.maximum(size, 1e-30)[..., None]
    height = np.einsum("ijk,ijk->ij", p - a, np.broadcast_to(normal, (p - a).shape))
    foot = p - height[..., None] * normal
    inside = np.all([side(foot, u, v, normal) >= 0 for u, v in ((a, b), (b, c), (c, a))], axis=0) & (size > 1e-12)
    return np.where(inside, np.minimum(best, np.abs(height)), best).min(axis=1)


def side(point, start, end, normal):
    return np.einsum("ijk,ijk->ij", np.cross(np.broadcast_to(end - start, point.shape), point - start),
                     np.broadcast_to(normal, point.shape))


def to_segment(point, start, end):
    way = end - start
    along = np.einsum("ijk,ijk->ij", point - start, np.broadcast_to(way, point.shape))
    share = np.clip(along / np.maximum((way * way).sum(-1), 1e-30), 0, 1)
    return np.linalg.norm(point - start - share[..., None] * way, axis=-1)


def apart(points, triangles, pieces=64):
    """As `distances`, a few points at a time."""
    parts = [distances(points[i : i + pieces], triangles) for i in range(0, len(points), pieces)]
    return np.concatenate(parts) if parts else np.zeros(0)


class Verdict:
    """What was measured on one part, and what of it is more than allowed."""

    def __init__(self, name):
        self.name, self.faults = name, []
        self.surface = self.volume = self.hole = self.bounds = 0.0

    def hold(self, what, value, limit):
        if not value <= limit:
            self.faults.append(f"{self.name}: {what} differs by {value:.3f} mm, at most {limit:.3f} allowed")


def is_curved(papers, row):
    bent = any(corner["bulge"] for corner in papers.of("outlines", row["mark"]))
    return bent or bool(papers.of("holes", row["mark"]))


def sloped(papers, row):
    """Whether anything but square sawing shapes the part, so that two roundings meet in one face."""
    mark = row["mark"]
    return row["outline"] != "rectangle" or papers.of("planes", mark) or papers.of("notch_walls", mark)


def part(exact, papers, row, body):
    """One part. `exact` gives the poses, so that the shape alone is judged, and the holes' true axes."""
    place = next(p for p in exact.places if p["part"] == body.name)
    pose = timber.pose(place)
    solid = timber.part(papers, row)
    engine = (body.mesh.vertices - pose[:, 3]) @ pose[:, :3]
    twin = timber.manifold_of(engine, body.mesh.faces)
    verdict = Verdict(f"{row['mark']} {body.name}")
    if twin.is_empty() or not body.mesh.is_watertight:
        verdict.faults.append(f"{verdict.name}: the engine's solid is not closed")
        return verdict
    curved = FACET if is_curved(exact, row) else 0.0
    rounding = papers.half_mark if papers.on_tape else 0.0
    # A face set out by two marks, or by a mark and the size of the box it is measured on, is off by both.
    flat = (2 * rounding if sloped(exact, row) else rounding) + EXACT + curved
    box = np.array(solid.bounding_box()).reshape(2, 3)
    corners = np.array([engine.min(0), engine.max(0)])
    verdict.bounds = np.abs(box - corners).max()
    verdict.hold("the bounding box", verdict.bounds, flat)
    rebuilt = timber.triangles(solid)
    # A corner where three faces are off lies off by all three.
    reach = math.sqrt(3) if rounding else 1.0
    own = np.unique(rebuilt.reshape(-1, 3), axis=0)
    verdict.surface = max(apart(engine, rebuilt).max(), apart(own, engine[body.mesh.faces]).max())
    verdict.hold("the surface", verdict.surface, reach * flat)
    verdict.volume = (solid - twin).volume() + (twin - solid).volume()
    verdict.hold("the solid, as thickness over its surface,", verdict.volume / twin.surface_area(), flat)
    if not papers.on_tape:
        thick = abs(solid.volume() - row["volume_mm3"]) / twin.surface_area()
        verdict.hold("the volume printed, as thickness over the surface,", thick, EXACT / 10)
    holes(exact, papers, row, engine, verdict)
    return verdict


def holes(exact, papers, row, engine, verdict):
    """The engine's holes, found by their rims, against the marks on paper."""
    true_size, size = timber.box_of(row_of(exact, row)), timber.box_of(row)
    for true, marked in zip(exact.of("holes", row["mark"]), papers.of("holes", row["mark"])):
        start, way = timber.hole_axis(true, true_size)
        first, second, _ = timber.frame(way)
        flat = np.column_stack([(engine - start) @ first, (engine - start) @ second])
        radius = true["diameter_mm"] / 2
        rim = flat[np.abs(np.hypot(*flat.T) - radius) < RIM + abs(radius) * 0.01]
        if len(rim) < 8:
            verdict.faults.append(f"{verdict.name}: the solid has no hole {true['hole']} of {2 * radius:.2f} mm where it is marked")
            continue
        centre, found = fitted_circle(rim)
        middle = start + centre[0] * first + centre[1] * second
        mark, other = timber.hole_axis(marked, size)
        axis = timber.SIDES[marked["side"]][0]
        # Where the engine's axis crosses the side it is marked on.
        middle = middle + way * ((mark[axis] - middle[axis]) / way[axis])
        verdict.hole = max(verdict.hole, np.abs(middle - mark).max())
        verdict.hold(f"hole {marked['hole']}", np.abs(middle - mark).max(), HOLE)
        verdict.hold(f"the diameter of hole {marked['hole']}", abs(2 * found - marked["diameter_mm"]), 2 * FACET)
        verdict.hold(f"the direction of hole {marked['hole']} over 100 mm", 100 * np.linalg.norm(way - other), HOLE)


def row_of(papers, row):
    return next(own for own in papers.cut_list if own["mark"] == row["mark"])


def fitted_circle(points):
    """Centre and radius by least squares (Kasa)."""
    system = np.column_stack([2 * points, np.ones(len(points))])
    x, y, rest = np.linalg.lstsq(system, (points**2).sum(1), rcond=None)[0]
    return np.array([x, y]), math.sqrt(rest + x * x + y * y)


def bent_length(papers, row):
    """A sprung part is sawn straight: its middle line, bent, must be as long as the board. Off by so much, mm."""
    rim, area = timber.rim_and_area(timber.outline_corners(papers, row["mark"]))
    thickness = row["thickness"]
    # A band of constant thickness: area = length x thickness, rim = 2 length + 2 thickness.
    return max(abs(area / thickness - row["length"]), abs(rim / 2 - thickness - row["length"]))
