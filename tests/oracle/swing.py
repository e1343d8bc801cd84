#!/usr/bin/env python3
"""Hangs swings by minimising their energy with scipy, independently of the engine, and integrates their motion.

    python3 tests/oracle/swing.py            compare with the cases in engine/checks/tests/cases
    python3 tests/oracle/swing.py --write    write the drawn cases, swing_drawn.json

The engine sinks on springs and then solves the equations of equilibrium; here the height of the weights is minimised
under the inequality constraints of the chains (SLSQP), and tensions are the non-negative forces that balance the seat.
"""

import argparse
import json
import pathlib
import sys

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import minimize, nnls
from scipy.spatial.transform import Rotation

CASES = pathlib.Path(__file__).resolve().parents[2] / "engine" / "checks" / "tests" / "cases"
DRAWN = CASES / "swing_drawn.json"
NUMBER = 24
# What SLSQP can be asked for; the nine-digit references are met better.
ANGLE, LENGTH, FORCE = 1e-4, 1e-6, 1e-5


def turned(step):
    """Tilt, roll and yaw in radians: about fixed x, then y, then z."""
    return Rotation.from_euler("xyz", [-step[3], -step[4], step[5]])


class Seat:
    def __init__(self, case):
        self.eyes = np.array([chain["at"] for chain in case["chains"]], float)
        self.hooks = np.array([chain["hook"] for chain in case["chains"]], float)
        self.lengths = np.array([chain["length"] for chain in case["chains"]], float)
        masses = np.array([own["mass"] for own in case["masses"]], float)
        places = np.array([own["at"] for own in case["masses"]], float)
        self.centre = masses @ places / masses.sum()
        self.weight = masses.sum() * case["gravity"]

    def height(self, step):
        return step[2] + turned(step).apply(self.centre)[2]

    def spare(self, step):
        return self.lengths**2 - ((step[:3] + turned(step).apply(self.eyes) - self.hooks) ** 2).sum(axis=1)

    def rest(self, start):
        options = {"maxiter": 2000, "ftol": 1e-16}
        for _ in range(4):
            found = minimize(self.height, start, jac=self.slope, method="SLSQP", options=options,
                             constraints={"type": "ineq", "fun": self.spare, "jac": self.growth})
            start = found.x
        return found.x

    def slope(self, step):
        return derivative(lambda at: np.array([self.height(at)]), step)[0]

    def growth(self, step):
        return derivative(self.spare, step)

    def start(self):
        middle = (self.hooks - self.eyes).mean(axis=0)
        return np.array([middle[0], middle[1], middle[2] - self.lengths.mean() * 0.999, 0.0, 0.0, 0.0])

    def tensions(self, step):
        eyes = step[:3] + turned(step).apply(self.eyes)
        centre = step[:3] + turned(step).apply(self.centre)
        up = self.hooks - eyes
        up /= np.linalg.norm(up, axis=1)[:, None]
        # A chain that is slack by more than a hundredth of a millimetre pulls nothing.
        taut = self.spare(step) / (2 * self.lengths) < 1e-5
        wrench = np.vstack([up.T, np.cross(eyes - centre, up).T])[:, taut]
        forces = np.zeros(len(eyes))
        # A little weight on each force picks the shortest where many would do.
        rows = np.vstack([wrench, 1e-7 * np.eye(taut.sum())])
        forces[taut] = nnls(rows, np.r_[0, 0, 1, np.zeros(3 + taut.sum())])[0]
        return forces * self.weight

    def answer(self):
        step = self.rest(self.start())
        return step, self.tensions(step)


def derivative(of, at, by=1e-4):
    """Central differences of the fourth order: exact to 1e-11 or so."""
    columns = []
    for axis in by * np.eye(len(at)):
        near, far = of(at + axis) - of(at - axis), of(at + 2 * axis) - of(at - 2 * axis)
        columns.append((8 * near - far) / (12 * by))
    return np.array(columns).T


def compare(name, case):
    wanted = case["expected"]
    seat = Seat(case)
    step, tensions = seat.answer()
    upright = turned(step).apply([0, 0, 1])[2] > 0
    assert upright == (wanted["status"] == "ok"), f"{name}: upright {upright}"
    if not upright:
        # SLSQP may end on its head by another way round; the chain that holds it is the same.
        return
    angles = np.degrees(step[3:])
    off = max(abs(angles - [wanted[key] for key in ("tilt_deg", "roll_deg", "yaw_deg")]))
    assert off < ANGLE, f"{name}: angles {angles} are off by {off}"
    off = max(abs(step[:3] - wanted["seat_origin"]))
    assert off < LENGTH, f"{name}: the place is off by {off}"
    names = [chain["id"] for chain in case["chains"]]
    off = max(abs(tensions - [wanted["tensions"][own] for own in names])) / seat.weight
    assert off < FORCE, f"{name}: tensions {tensions} are off by {off} weights"


def pendulum(case):
    """From the turning point: the time of a quarter swing and the force at the bottom, integrated."""
    radius, gyration, gravity = case["radius"], case["gyration"], case["gravity"]
    pull = gravity * radius / (radius**2 + gyration**2)
    bottom = lambda _, state: state[0]
    bottom.terminal = True
    moved = solve_ivp(lambda _, state: [state[1], -pull * np.sin(state[0])], [0, 10],
                      [np.radians(case["amplitude_deg"]), 0], method="DOP853", rtol=1e-12, atol=1e-14, events=bottom)
    speed = moved.y_events[0][0][1]
    force = case["mass"] * (gravity + radius * speed**2)
    for key, found in (("period", 4 * moved.t_events[0][0]), ("force_at_bottom", force)):
        wanted = case["expected"][key]
        assert abs(found - wanted) < 1e-8 * wanted, f"{case['id']}: {key} {found} is not {wanted}"


def ring(case):
    """Front and rear force at the turning points: acceleration from rest, then force and moment on the free body."""
    front, rear, top, centre = (np.array(case[key]) for key in ("attach_front", "attach_rear", "ring", "cg"))
    cross = lambda one, other: one[0] * other[1] - one[1] * other[0]
    arm = np.linalg.norm(top - centre)
    for key, angle in (("at_plus_amplitude_pair", 1), ("at_minus_amplitude_pair", -1)):
        swung = np.radians(case["amplitude_deg"]) * angle
        # The body turns with the line from the ring down to the centre of gravity.
        tilt = swung - np.arctan2(*(centre - top)[::1] * [1, -1])
        turn = np.array([[np.cos(tilt), -np.sin(tilt)], [np.sin(tilt), np.cos(tilt)]])
        up = [turn @ (top - eye) / np.linalg.norm(top - eye) for eye in (front, rear)]
        arms = [turn @ (eye - centre) for eye in (front, rear)]
        # Two forces and the angular acceleration: force across and along, moment about the centre of gravity.
        lever = turn @ (centre - top)
        gained = np.array([-lever[1], lever[0]]) * case["mass"]
        rows = np.array([[up[0][0], up[1][0], -gained[0]], [up[0][1], up[1][1], -gained[1]],
                         [cross(arms[0], up[0]), cross(arms[1], up[1]), -case["inertia_about_cg"]]])
        forces = np.linalg.solve(rows, [0, case["mass"] * case["gravity"], 0])[:2]
        off = max(abs(forces - case["expected"][key])) / (case["mass"] * case["gravity"])
        assert off < 1e-8 and arm > 0, f"{case['id']}: {key} {forces} is off by {off}"


def drawn():
    """Seats with hooks about their corners and chains a little off, those in which all chains carry or one is well slack."""
    random = np.random.default_rng(20261125)
    cases = []
    while len(cases) < NUMBER:
        corners = np.array([[x, y, 0] for x in (-0.6, 0.6) for y in (-0.25, 0.25)])
        eyes = corners + random.uniform(-0.05, 0.05, (4, 3))
        hooks = corners + random.uniform(-0.25, 0.25, (4, 3)) + [0, 0, 1.6]
        if len(cases) % 3 == 0:
            hooks[1], hooks[3] = hooks[0], hooks[2]
        lengths = np.linalg.norm(hooks - eyes, axis=1) + random.uniform(-0.02, 0.02, 4)
        chains = [{"id": name, "at": eye.tolist(), "hook": hook.tolist(), "length": length}
                  for name, eye, hook, length in zip(("LF", "LR", "RF", "RR"), eyes, hooks, lengths.tolist())]
        sitter = random.uniform([-0.45, -0.1, 0.1], [0.45, 0.15, 0.3]).tolist()
        case = {"gravity": 9.80665, "chains": chains,
                "masses": [{"mass": 22, "at": [0, 0, 0.12]}, {"mass": random.uniform(40, 120), "at": sitter}]}
        seat = Seat(case)
        step, tensions = seat.answer()
        clear = np.all((tensions > 0.02 * seat.weight) | (seat.spare(step) > 0.002))
        if not clear or abs(turned(step).apply([0, 0, 1])[2]) < 0.9:
            continue
        angles = np.degrees(step[3:]).round(9).tolist()
        case["tolerance"] = {"angle_deg": ANGLE, "length": LENGTH, "force_over_weight": FORCE}
        case["expected"] = {"status": "ok", "tilt_deg": angles[0], "roll_deg": angles[1], "yaw_deg": angles[2],
                            "seat_origin": step[:3].round(12).tolist(),
                            "tensions": dict(zip(("LF", "LR", "RF", "RR"), tensions.round(9).tolist()))}
        cases.append(case)
    return cases


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--write", action="store_true")
    if parser.parse_args().write:
        DRAWN.write_text("[\n" + ",\n".join(json.dumps(case) for case in drawn()) + "\n]\n")
    for path in sorted((CASES / "swing").glob("*.json")):
        case = json.loads(path.read_text())
        if "chains" in case:
            compare(path.stem, case)
        elif "radius" in case:
            pendulum(case)
        else:
            ring(case)
        print(f"{path.stem}: agrees")
    for number, case in enumerate(json.loads(DRAWN.read_text())):
        compare(f"drawn {number}", case)
    print(f"{NUMBER} drawn swings agree")


if __name__ == "__main__":
    sys.exit(main())
