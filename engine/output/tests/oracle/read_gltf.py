"""Reads binary glTF files with two independent libraries and fails on anything amiss.

    pip install trimesh pygltflib numpy
    python engine/output/tests/oracle/read_gltf.py FILE.glb ...

Prints, for each file, the count of nodes and meshes, and size and volume of the whole in metres, y up.
"""


import numpy
import pygltflib
import trimesh

import reading


def accessor_values(document, index):
    accessor = document.accessors[index]
    view = document.bufferViews[accessor.bufferView]
    blob = document.binary_blob()[view.byteOffset : view.byteOffset + view.byteLength]
    kind = {5126: "<f4", 5125: "<u4"}[accessor.componentType]
    values = numpy.frombuffer(blob, dtype=kind)
    return values.reshape(accessor.count, -1), accessor


def structure(document):
    trouble = []
    for mesh in document.meshes:
        for primitive in mesh.primitives:
            points, accessor = accessor_values(document, primitive.attributes.POSITION)
            normals, _ = accessor_values(document, primitive.attributes.NORMAL)
            indices, _ = accessor_values(document, primitive.indices)
            if not (numpy.array_equal(points.min(0), numpy.float32(accessor.min))
                    and numpy.array_equal(points.max(0), numpy.float32(accessor.max))):
                trouble.append(f"{mesh.name}: bounds differ from the corners")
            if not numpy.allclose(numpy.linalg.norm(normals, axis=1), 1, atol=1e-5):
                trouble.append(f"{mesh.name}: a normal is not of unit length")
            if indices.max() >= len(points) or len(indices) % 3:
                trouble.append(f"{mesh.name}: triangles ask for missing corners")
            a, b, c = (points[indices[i::3, 0]].astype(float) for i in range(3))
            facing = numpy.einsum("ij,ij->i", numpy.cross(b - a, c - a), normals[indices[0::3, 0]].astype(float))
            if (facing < -1e-9).any():
                trouble.append(f"{mesh.name}: a normal points into the wood")
    return trouble


def read(path):
    document = pygltflib.GLTF2().load(path)
    trouble = structure(document)
    scene = trimesh.load(path, merge_primitives=False)
    volume = 0.0
    for name in scene.graph.nodes_geometry:
        pose, geometry = scene.graph[name]
        solid = scene.geometry[geometry].copy()
        solid.apply_transform(pose)
        solid.merge_vertices(merge_norm=True, merge_tex=True)
        if not solid.is_watertight:
            trouble.append(f"{name}: the surface is not closed")
        volume += solid.volume
    named = [node.name for node in document.nodes[1:]]
    size = " x ".join(f"{s:.4f}" for s in scene.extents)
    print(f"{path}: {len(named)} parts, {len(document.meshes)} meshes, {size} m, {volume:.6f} m3 of wood")
    if volume <= 0:
        trouble.append("the volume is not positive")
    return trouble


if __name__ == "__main__":
    reading.run(read)
