"""Reads the parts of model.glb with an independent library: the solids that the papers are held against."""

import numpy as np
import pygltflib
import trimesh

MM = 1000.0
# glTF: metres, y up, z toward the reader. The piece: mm, x right, y to the rear, z up.
TO_PIECE = np.array([[1.0, 0, 0], [0, 0, -1], [0, 1, 0]])


class Body:
    """A closed mesh in its own place, where the file puts it in the piece, and the pilots that are not cut into it."""

    def __init__(self, name, mark, mesh, pose, pilots):
        self.name, self.mark, self.mesh, self.pose, self.pilots = name, mark, mesh, pose, pilots


def bodies(path):
    """Every part by name."""
    extras = {node.name: node.extras or {} for node in pygltflib.GLTF2().load(str(path)).nodes}
    scene = trimesh.load(path, merge_primitives=False)
    found = {}
    for name in scene.graph.nodes_geometry:
        pose, geometry = scene.graph[name]
        mesh = scene.geometry[geometry].copy()
        mesh.merge_vertices(merge_norm=True, merge_tex=True)
        points = mesh.vertices @ pose[:3, :3].T + pose[:3, 3]
        mesh = trimesh.Trimesh(points @ TO_PIECE.T * MM, mesh.faces, process=False)
        told = extras.get(name, {})
        found[name] = Body(name, told.get("mark"), mesh, pose, told.get("pilots", []))
    return found
