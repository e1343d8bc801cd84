"""How far apart two surfaces are: the farthest corner or middle of a triangle of either from the other."""

import numpy as np

from scipy.spatial import cKDTree

# Corners looked at in one go: neighbours along the board, so that few triangles are near them.
CHUNK = 64


def nearest(points, corners):
    """Distance of each point to the nearest of the triangles (n x 3 x 3)."""
    low, high = corners.min(axis=1), corners.max(axis=1)
    # A corner of a triangle is no nearer than the triangle: farther ones than the nearest corner need no look.
    at_most = cKDTree(corners.reshape(-1, 3)).query(points)[0]
    best = np.empty(len(points))
    order = np.argsort(points[:, np.ptp(points, axis=0).argmax()], kind="stable")
    for start in range(0, len(points), CHUNK):
        chosen = order[start : start + CHUNK]
        some, reach = points[chosen], at_most[chosen].max() + 1e-9
        near = ((high >= some.min(axis=0) - reach) & (low <= some.max(axis=0) + reach)).all(axis=1)
        best[chosen] = to_triangles(some[:, None, :], corners[near])
    return best


def to_triangles(points, corners):
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    squared = inside(points, a, b, c)
    for first, second in ((a, b), (b, c), (c, a)):
        squared = np.minimum(squared, to_edge(points, first, second))
    return np.sqrt(squared.min(axis=1))


def to_edge(points, first, second):
    along = second - first
    reach = np.einsum("ij,ij->i", along, along)
    share = np.einsum("pij,ij->pi", points - first, along) / np.where(reach > 0, reach, 1.0)
    off = points - (first + np.clip(share, 0.0, 1.0)[..., None] * along)
    return np.einsum("pij,pij->pi", off, off)


def inside(points, a, b, c):
    """Squared distance to the plane where the foot lies in the triangle, infinite elsewhere."""
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=1)
    flat = size < 1e-9
    normal = normal / np.where(flat, 1.0, size)[:, None]
    height = np.einsum("pij,ij->pi", points - a, normal)
    foot = points - height[..., None] * normal
    within = np.broadcast_to(~flat, height.shape).copy()
    for first, second in ((a, b), (b, c), (c, a)):
        side = np.cross(normal, second - first)
        within &= np.einsum("pij,ij->pi", foot - first, side) >= 0.0
    return np.where(within, height * height, np.inf)


def looked_at(mesh):
    """Corners and middles of the triangles: a groove too deep has its corners on the board's own sides, its middle not."""
    return np.unique(np.vstack([mesh.reshape(-1, 3), mesh.mean(axis=1)]).round(6), axis=0)


def farthest(one, other):
    """One and other: triangles as n x 3 x 3."""
    return max(nearest(looked_at(one), other).max(), nearest(looked_at(other), one).max())
