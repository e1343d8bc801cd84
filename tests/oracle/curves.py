#!/usr/bin/env python3
"""Recomputes circles and bent battens (elastica) with numpy and scipy, independently of the engine.

    python3 tests/oracle/curves.py            compare with engine/solid/tests/data/curves.csv
    python3 tests/oracle/curves.py --write    write that file

The elastica is taken from Jacobi's elliptic functions, while the engine uses Carlson's forms of the incomplete
integrals; the modulus is found by a bracketing root finder on the ratio of rise to batten length and chord to length.
"""

import argparse
import pathlib
import sys

import numpy as np
import scipy
from scipy.optimize import brentq
from scipy.special import ellipe, ellipeinc, ellipj, ellipk

FILE = pathlib.Path(__file__).resolve().parents[2] / "engine" / "solid" / "tests" / "data" / "curves.csv"
COLUMNS = "kind,chord,rise,length,end_slope_degrees,quarter_height,crown_radius,x,y"
RATIOS = [0.001, 0.02, 0.05, 0.0625, 0.08, 0.1, 0.125, 0.2, 0.25, 0.3, 0.45, 0.6, 0.8]
CHORDS = [400.0, 1200.0]


def circle(chord, rise):
    radius = (chord**2 / 4 + rise**2) / (2 * rise)
    centre = rise - radius
    half = np.arctan2(chord / 2, -centre)
    quarter = centre + np.sqrt(radius**2 - (chord / 4) ** 2)
    for share in (0.1, 0.37):
        turn = half * (2 * share - 1)
        point = chord / 2 + radius * np.sin(turn), centre + radius * np.cos(turn)
        yield (2 * radius * half, np.degrees(half), quarter, radius, *point)


def elastica(chord, rise):
    def ratio(k):
        return (k / ellipk(k * k)) / (2 * ellipe(k * k) / ellipk(k * k) - 1)

    k = brentq(lambda k: ratio(k) - rise / chord, 1e-9, 0.9, xtol=1e-15, rtol=8.9e-16)
    m, whole = k * k, ellipk(k * k)
    length = chord / (2 * ellipe(m) / whole - 1)
    scale = length / (2 * whole)

    def point(u):
        _, cn, _, amplitude = ellipj(u, m)
        return chord / 2 + scale * (2 * ellipeinc(amplitude, m) - u), scale * 2 * k * cn

    quarter = brentq(lambda u: point(u)[0] - chord / 4, -whole, 0, xtol=1e-15, rtol=8.9e-16)
    for share in (-0.93, -0.61, -0.37, 0.12, 0.55, 0.81):
        yield (length, np.degrees(2 * np.arcsin(k)), point(quarter)[1], scale / (2 * k), *point(share * whole))


def rows():
    for kind, figures in (("circle", circle), ("thrust", elastica)):
        for chord in CHORDS:
            for ratio in RATIOS:
                if kind == "circle" and ratio > 0.5:
                    continue
                for values in figures(chord, ratio * chord):
                    yield kind, (chord, ratio * chord, *map(float, values))


def text():
    yield "# Figures of circles and end-thrust battens over a chord, mm and degrees; point (x, y) lies on the curve."
    yield "# Made by tests/oracle/curves.py --write with scipy.special (ellipk, ellipe, ellipeinc, ellipj) and numpy;"
    yield f"# scipy {scipy.__version__}, numpy {np.__version__}. Facts of mathematics; no other source."
    yield COLUMNS
    for kind, values in rows():
        yield ",".join([kind, *(f"{value:.12g}" for value in values)])


def compare():
    lines = [line for line in FILE.read_text().splitlines() if not line.startswith("#")]
    stored = [(line.split(",")[0], [float(cell) for cell in line.split(",")[1:]]) for line in lines[1:]]
    fresh = list(rows())
    if len(stored) != len(fresh):
        return f"{len(stored)} rows stored, {len(fresh)} expected"
    for (kind, values), (fresh_kind, fresh_values) in zip(stored, fresh):
        if kind != fresh_kind or not np.allclose(values, fresh_values, rtol=1e-10, atol=1e-8):
            return f"stored {kind} {values}, expected {fresh_kind} {fresh_values}"
    return None


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--write", action="store_true", help="write the file instead of comparing with it")
    if parser.parse_args().write:
        FILE.parent.mkdir(parents=True, exist_ok=True)
        FILE.write_text("\n".join(text()) + "\n")
        return 0
    trouble = compare()
    print(trouble or f"{FILE.name}: all rows agree")
    return 1 if trouble else 0


if __name__ == "__main__":
    sys.exit(main())
