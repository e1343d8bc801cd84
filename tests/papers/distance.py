"""How far apart two surfaces are: the farthest corner or middle of a triangle of either from the other."""

import numpy as np

from scipy.spatial import cKDTree

# Corners looked at in one go: neighbours along the board, so that few triangles are near them.
CHUNK = 64
# The same where the triangles are chosen beforehand: the largest of all, and those at the nearest corners.
LARGE_CHUNK, LARGEST, NEAREST = 1024, 24, 12


def nearest(points, corners, at_most=None):
    """Distance of each point to the nearest of the triangles (n x 3 x 3), which is no farther than `at_most` of the point."""
    low, high = corners.min(axis=1), corners.max(axis=1)
    if at_most is None:
        at_most = cKDTree(corners.reshape(-1, 3)).query(points)[0]
    best = np.empty(len(points))
    order = np.argsort(points[:, np.ptp(points, axis=0).argmax()], kind="stable")
    for start in range(0, len(points), CHUNK):
        chosen = order[start : start + CHUNK]
        some, reach = points[chosen], at_most[chosen].max() + 1e-9
        near = ((high >= some.min(axis=0) - reach) & (low <= some.max(axis=0) + reach)).all(axis=1)
        best[chosen] = to_triangles(some[:, None, :], corners[near])
    return best


def no_farther(points, corners):
    """What each point is no farther than from the nearest triangle: its distance to a few that are likely to be it."""
    sizes = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    largest = corners[np.argsort(-sizes, kind="stable")[:LARGEST]]
    places = cKDTree(corners.reshape(-1, 3)).query(points, k=min(NEAREST, 3 * len(corners)))[1] // 3
    best = np.empty(len(points))
    for start in range(0, len(points), LARGE_CHUNK):
        chosen = slice(start, start + LARGE_CHUNK)
        some = points[chosen, None, :]
        best[chosen] = np.minimum(to_triangles(some, largest), to_triangles(some, corners[places[chosen]]))
    return best


def largest_of_nearest(points, corners, at_least):
    """The largest of `at_least` and all points' distances to their nearest triangle: those that may be it are worked out."""
    at_most = no_farther(points, corners)
    order, largest = np.argsort(-at_most, kind="stable"), at_least
    for start in range(0, len(points), LARGE_CHUNK):
        chosen = order[start : start + LARGE_CHUNK]
        chosen = chosen[at_most[chosen] > largest]
        if len(chosen) == 0:
            break
        largest = max(largest, nearest(points[chosen], corners, at_most[chosen]).max())
    return largest


def crossings(start, way, triangles):
    """Where a line meets a closed surface, as lengths from its start in rising order."""
    a, b, c = triangles[:, 0], triangles[:, 1], triangles[:, 2]
    across = np.cross(way, c - a)
    scale = np.einsum("ij,ij->i", b - a, across)
    with np.errstate(divide="ignore", invalid="ignore"):
        # A triangle along the line gives no number, and is not met.
        u = np.einsum("ij,ij->i", start - a, across) / scale
        turned = np.cross(start - a, b - a)
        v = turned @ way / scale
        at = np.einsum("ij,ij->i", c - a, turned) / scale
        inside = (np.abs(scale) > 1e-9) & (u >= 0) & (v >= 0) & (u + v <= 1)
    return np.unique(np.round(at[inside], 6))


def to_triangles(points, corners):
    a, b, c = corners[..., 0, :], corners[..., 1, :], corners[..., 2, :]
    squared = inside(points, a, b, c)
    for first, second in ((a, b), (b, c), (c, a)):
        squared = np.minimum(squared, to_edge(points, first, second))
    return np.sqrt(squared.min(axis=1))


def dot(one, other):
    return np.einsum("...i,...i->...", one, other)


def to_edge(points, first, second):
    along = second - first
    reach = dot(along, along)
    share = dot(points - first, along) / np.where(reach > 0, reach, 1.0)
    off = points - (first + np.clip(share, 0.0, 1.0)[..., None] * along)
    return dot(off, off)


def inside(points, a, b, c):
    """Squared distance to the plane where the foot lies in the triangle, infinite elsewhere."""
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=-1)
    flat = size < 1e-9
    normal = normal / np.where(flat, 1.0, size)[..., None]
    height = dot(points - a, normal)
    foot = points - height[..., None] * normal
    within = np.broadcast_to(~flat, height.shape).copy()
    for first, second in ((a, b), (b, c), (c, a)):
        side = np.cross(normal, second - first)
        within &= dot(foot - first, side) >= 0.0
    return np.where(within, height * height, np.inf)


def looked_at(mesh):
    """Corners and middles of the triangles: a groove too deep has its corners on the board's own sides, its middle not."""
    return np.unique(np.vstack([mesh.reshape(-1, 3), mesh.mean(axis=1)]).round(6), axis=0)


def farthest(one, other, at_least=0.0):
    """One and other: triangles as n x 3 x 3. What is less than `at_least` is told as that, and is quicker."""
    there = largest_of_nearest(looked_at(one), other, at_least)
    return largest_of_nearest(looked_at(other), one, there)
