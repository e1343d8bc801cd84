"""Puts a built piece together again from its papers: moves every part along its path through what stands by then.

    pip install trimesh manifold3d numpy networkx
    python tests/oracle/replay.py FOLDER ...

FOLDER is what `slatwork build ... --out FOLDER` wrote. Reads model.glb (parts by name, at their places) and assembly.csv
(moves, removals included) and nothing else. What is held stands there until it is taken away, in a later step, and comes
back in one later still; what it is marked from must stand. Each body is set at 13 even stations of its path and at 12 odd ones between,
nearer together towards its place, and met with every part of the assembly that it comes to; wood in common beyond COMMON is a
collision. Prints a line a folder; each trouble is told, and any makes the exit code 1.
"""

import csv
import pathlib
import sys

import manifold3d
import numpy
import trimesh

# Wood in common, mm3, that is no collision: facets of curves press in by up to a tenth of a millimetre where parts are seated,
# and a glTF keeps single precision.
COMMON = 60.0
STATIONS = 12


def parts_of(path):
    """Manifold and bounds of each part in the world, mm."""
    scene = trimesh.load(path, force="scene")
    found = {}
    for node in scene.graph.nodes_geometry:
        matrix, name = scene.graph[node]
        mesh = scene.geometry[name].copy()
        mesh.merge_vertices(merge_tex=True, merge_norm=True)
        mesh.apply_transform(matrix)
        x, y, z = mesh.vertices.T * 1000.0
        points = numpy.stack([x, -z, y], axis=1)
        solid = manifold3d.Manifold(manifold3d.Mesh(points.astype(numpy.float32), mesh.faces.astype(numpy.uint32)))
        if solid.is_empty():
            raise ValueError(f"{node} is no closed solid: {solid.status()}")
        found[node] = solid
    return found


def common(one, other):
    a, b = one.bounding_box(), other.bounding_box()
    if any(a[i] >= b[i + 3] or b[i] >= a[i + 3] for i in range(3)):
        return 0.0
    return (one ^ other).volume()


def stations(start):
    """Distances from the place: even ones and odd ones between, with the last centimetres told apart."""
    even = [start * k / STATIONS for k in range(STATIONS + 1)]
    odd = [start * ((k + 0.5) / STATIONS) ** 2 for k in range(STATIONS)]
    return sorted(set(even + odd), reverse=True)


def collisions(parts, moved, standing, direction, start):
    worst = {}
    for distance in stations(start):
        shift = [distance * d for d in direction]
        for part in moved:
            body = parts[part].translate(shift)
            for other in standing:
                volume = common(body, parts[other])
                if volume > COMMON and volume > worst.get((part, other), (0.0, 0.0))[0]:
                    worst[part, other] = (volume, distance)
    return [f"{part} meets {other}: {volume:.0f} mm3 at {distance:.0f} mm from its place"
            for (part, other), (volume, distance) in worst.items()]


def grouped(rows):
    """Rows that move together."""
    groups = []
    for row in rows:
        last = groups[-1][0] if groups else None
        together = last and row["body"] and all(row[key] == last[key] for key in ("step", "on", "does", "body"))
        if together:
            groups[-1].append(row)
        else:
            groups.append([row])
    return groups


def replay(folder):
    parts = parts_of(folder / "model.glb")
    with open(folder / "assembly.csv", newline="", encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file, strict=True) if row["part"]]
    assemblies, troubles, moves, removals = {}, [], 0, 0
    held, away = {}, {}
    for group in grouped(rows):
        first = group[0]
        moved = [row["part"] for row in group]
        standing = assemblies.setdefault(first["on"], [])
        place = f"step {first['step']}, on {first['on']}"
        unknown = [part for part in moved if part not in parts]
        if unknown:
            troubles.append(f"{place}: {unknown} are not in the model")
            continue
        twice = [part for part in moved if part in standing]
        if twice:
            troubles.append(f"{place}: {twice} stand already")
        if first["body"] and sorted(assemblies.pop(first["body"], [])) != sorted(moved):
            troubles.append(f"{place}: the {first['body']} is not what was built")
        does, step = first["does"], int(first["step"])
        if does == "taken away":
            removals += 1
            if held.pop(moved[0], step) >= step:
                troubles.append(f"{place}: {moved} are taken away and were not held in a step before")
            away[moved[0]] = step
        if does == "laid":
            if standing:
                troubles.append(f"{place}: {moved} are laid where something stands")
        elif not first["start_mm"]:
            troubles.append(f"{place}: {moved} have no way")
        else:
            direction = [float(first[f"direction_{axis}"]) for axis in "xyz"]
            met = collisions(parts, moved, standing + list(held), direction, float(first["start_mm"]))
            troubles += [f"{place}: {trouble}" for trouble in met]
            moves += 1
        if does == "held":
            held[moved[0]] = step
            absent = [name for name in first["marked_from"].split("; ") if name not in standing]
            if absent:
                troubles.append(f"{place}: {moved} are marked from {absent}, which do not stand")
        elif does != "taken away":
            if any(away.pop(part, 0) >= step for part in moved):
                troubles.append(f"{place}: {moved} come back in the step in which they are taken away")
            standing.extend(moved)
    if held or away:
        troubles.append(f"{sorted(held)} are held and never taken away, {sorted(away)} never brought back")
    whole = [on for on, standing in assemblies.items() if standing]
    if len(whole) != 1 or sorted(assemblies[whole[0]]) != sorted(parts):
        troubles.append(f"{len(whole)} assemblies are left, and not one whole piece")
    print(f"{folder.name}: {len(parts)} parts, {moves} moves, {removals} removals, {len(troubles)} troubles")
    return [f"{folder.name}: {trouble}" for trouble in troubles]


def main():
    troubles = [trouble for folder in sys.argv[1:] for trouble in replay(pathlib.Path(folder))]
    for trouble in troubles:
        print(f"  {trouble}")
    sys.exit(1 if troubles or len(sys.argv) < 2 else 0)


if __name__ == "__main__":
    main()
