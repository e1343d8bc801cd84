#!/usr/bin/env python3
"""Solves frames with PyNiteFEA, independently of the engine, and times both side by side.

    python3 tests/oracle/frames.py PROGRAM            the reference cases it can express, and random frames
    python3 tests/oracle/frames.py PROGRAM --times    the same, with times at about 60 and 600 members

PROGRAM is the example `random_frame` of slatwork-checks, built for release. PyNiteFEA knows no shear deformation, end
springs or offsets: such cases are left out and counted. The reference cases are compared with the values in their files,
which the tests of the engine hold it to.
"""

import argparse
import json
import pathlib
import statistics
import subprocess
import sys
import time

import numpy as np
from Pynite import FEModel3D

CASES = pathlib.Path(__file__).resolve().parents[2] / "engine" / "checks" / "tests" / "cases" / "frames"
FREEDOMS = ["ux", "uy", "uz", "rx", "ry", "rz"]
MOVES = ["DX", "DY", "DZ", "RX", "RY", "RZ"]
BOARD = {"E": 9e9, "G": 0.56e9, "A": 0.003382, "J": 1.191203e-6}
# Largest difference as a share of the largest value of the kind.
ALIKE = 1e-7
# As an answer must come out: PyNite's time by the engine's.
TARGETS = {"60": 200.0, "600": 40.0}


def add_member(model, name, i, j, figures, y_axis, **kind):
    material, section = f"material {name}", f"section {name}"
    model.add_material(material, figures["E"], figures["G"], 0.3, 0.0)
    model.add_section(section, figures["A"], figures["Iy"], figures["Iz"], figures["J"])
    model.add_member(name, i, j, material, section, **kind)
    turn(model.members[name], np.array(y_axis, float))


def turn(member, y_axis):
    """Turns a member about itself until its y axis is the one wanted."""
    axes = member.T()[:3, :3]
    across = y_axis - axes[0] * (axes[0] @ y_axis)
    across /= np.linalg.norm(across)
    angle = np.degrees(np.arctan2(across @ axes[2], across @ axes[1]))
    for own in (angle, -angle):
        member.rotation = own
        if np.allclose(member.T()[1, :3], across, atol=1e-9):
            return
    raise SystemExit(f"no rotation brings the y axis of {member.name} to {y_axis}")


def add_uniform(model, member, load):
    for axis, value in zip(("FX", "FY", "FZ"), load):
        if value:
            model.add_member_dist_load(member, axis, value, value)


def off(own, other):
    own, other = np.array(own, float).reshape(-1, 2, 3), np.array(other, float).reshape(-1, 2, 3)
    scales = np.abs(other).max(axis=(0, 2))
    scales = np.where(scales > 1e-9 * scales.max(), scales, max(scales.max(), 1e-300))
    return float((np.abs(own - other).max(axis=(0, 2)) / scales).max())


def displacements(model, names, combination="Combo 1"):
    return [[getattr(model.nodes[name], move)[combination] for move in MOVES] for name in names]


def random_frame(program, across, deep, storeys, seed):
    command = [program, *map(str, (across, deep, storeys, seed))]
    run = subprocess.run(command, capture_output=True, text=True, check=True)
    rows = {}
    for line in run.stdout.splitlines():
        word, *values = line.split()
        rows.setdefault(word, []).append([float(value) for value in values])
    return rows


def pynite_of(rows):
    model = FEModel3D()
    for at, place in enumerate(rows["node"]):
        model.add_node(str(at), *place)
    for at, (i, j, bend_y, bend_z, *y_axis) in enumerate(rows["member"]):
        add_member(model, f"m{at}", str(int(i)), str(int(j)), {**BOARD, "Iy": bend_y, "Iz": bend_z}, y_axis)
    for (node,) in rows["held"]:
        model.def_support(str(int(node)), *[True] * 6)
    for node, *load in rows["load"]:
        for word, value in zip(("FX", "FY", "FZ", "MX", "MY", "MZ"), load):
            model.add_node_load(str(int(node)), word, value)
    for member, *load in rows["uniform"]:
        add_uniform(model, f"m{int(member)}", load)
    return model


def solve(model):
    start = time.perf_counter()
    model.analyze_linear(sparse=True)
    # Member end forces are part of an answer; PyNite works them out when asked.
    for member in model.members.values():
        member.f()
    return (time.perf_counter() - start) * 1e3


def compare_random(program, shape, seed):
    rows = random_frame(program, *shape, seed)
    model = pynite_of(rows)
    solve(model)
    names = [str(at) for at in range(len(rows["node"]))]
    moved = off([row[1:] for row in rows["moved"]], displacements(model, names))
    ends = [row[1:] for row in rows["ends"]]
    forces = off(ends, [model.members[f"m{at}"].f().flatten() for at in range(len(ends))])
    worst = max(moved, forces)
    print(f"random {shape} {seed}: {len(ends)} members, off by {worst:.1e}")
    return worst <= ALIKE


def cannot_express(case):
    keys = {key for member in case["members"] for key in member}
    if keys & {"Ay", "Az", "springs_i", "springs_j", "offset_i", "offset_j"}:
        return "shear, springs or offsets"
    if any(row["status"] != "ok" for row in case["expected"].values()):
        return "no equilibrium"
    # PyNite never takes a wire up again, and its contacts are springs of the same kind.
    if any("one_sided" in support for support in case["supports"]):
        return "contacts"
    return None


def pynite_case(case, factors):
    model = FEModel3D()
    for node in case["nodes"]:
        model.add_node(node["id"], *node["xyz"])
    trusses = {}
    for member in case["members"]:
        kind = member.get("kind", "beam")
        ends = member["i"], member["j"]
        add_member(model, member["id"], *ends, member, member["y_axis"], tension_only=kind == "tension_only")
        releases = [freedom in member.get(key, []) for key in ("release_i", "release_j") for freedom in FREEDOMS]
        if kind != "beam":
            # A truss turns freely; torsion is kept at its end, or the member would spin.
            releases = [False] * 3 + [True] * 3 + [False] * 4 + [True] * 2
            for end in ("i", "j"):
                trusses.setdefault(member[end], True)
        else:
            for end in ("i", "j"):
                trusses[member[end]] = False
        if any(releases):
            model.def_releases(member["id"], *releases)
    held = {name: [False] * 6 for name in model.nodes}
    for support in case["supports"]:
        for freedom in support.get("fixed", []):
            held[support["node"]][FREEDOMS.index(freedom)] = True
        for freedom, stiffness in support.get("springs", {}).items():
            model.def_support_spring(support["node"], MOVES[FREEDOMS.index(freedom)], stiffness)
    for name, only_trusses in trusses.items():
        if only_trusses:
            held[name][3:] = [True] * 3
    for name, own in held.items():
        model.def_support(name, *own)
    for name, factor in factors.items():
        loads = case["load_cases"][name]
        for load in loads.get("nodal", []):
            values = [*load.get("force", [0] * 3), *load.get("moment", [0] * 3)]
            for word, value in zip(("FX", "FY", "FZ", "MX", "MY", "MZ"), values):
                model.add_node_load(load["node"], word, factor * value)
        for load in loads.get("member_uniform", []):
            add_uniform(model, load["member"], [factor * value for value in load["w"]])
        for load in loads.get("member_point", []):
            for axis, value in zip(("FX", "FY", "FZ"), load["force"]):
                model.add_member_pt_load(load["member"], axis, factor * value, load["a"])
    return model


def compare_cases():
    fine, left_out = True, []
    for path in sorted(CASES.glob("*.json")):
        case = json.loads(path.read_text())
        why = cannot_express(case)
        if why:
            left_out.append(f"{case['id'][:2]} ({why})")
            continue
        for combination, factors in case["combinations"].items():
            model = pynite_case(case, factors)
            model.analyze(sparse=True)
            expected = case["expected"][combination]["displacements"]
            # Where trusses meet, turns mean nothing.
            worst = off(displacements(model, expected), list(expected.values()))
            alike = worst <= case["tolerance"]["relative"]
            print(f"{case['id']} {combination}: off by {worst:.1e}{'' if alike else ' NOT ALIKE'}")
            fine &= alike
    print("left out:", ", ".join(left_out))
    return fine


def times(program):
    fine = True
    for name, shape, rounds in (("60", (2, 2, 3), 9), ("600", (5, 4, 7), 5)):
        rows = random_frame(program, *shape, 1)
        model = pynite_of(rows)
        own = random_frame(program, *shape, 1)["milliseconds"][0][1]
        other = statistics.median(solve(model) for _ in range(rounds))
        again = random_frame(program, *shape, 1)["milliseconds"][0][1]
        own = max(own, again)
        ratio = f"{other / own:.0f} times (target {TARGETS[name]:.0f})"
        print(f"{len(rows['member'])} members: {own:.3f} ms, PyNiteFEA {other:.0f} ms, {ratio}")
        fine &= other / own >= TARGETS[name]
    return fine


def main():
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("program")
    arguments.add_argument("--times", action="store_true")
    given = arguments.parse_args()
    fine = compare_cases()
    for seed in range(1, 9):
        fine &= compare_random(given.program, (1 + seed % 3, 1 + seed % 2, 1 + seed % 4), seed)
    if given.times:
        fine &= times(given.program)
    sys.exit(0 if fine else 1)


if __name__ == "__main__":
    main()
