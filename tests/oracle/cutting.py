#!/usr/bin/env python3
"""Small cutting problems of the shop, solved by a general constraint solver (OR-Tools CP-SAT), against the engine's answers.

    python3 tests/oracle/cutting.py PROGRAM [COUNT] [SEED]

PROGRAM is the example `cutting` of slatwork-shop, built for release. Problems are drawn at random: up to nine parts of up to
six lengths, one to three stock lengths with prices, up to three offcuts at hand of limited number, kerf and trims, in whole
nanometres of sixty-fourths of an inch or tenths of a millimetre. The model here knows boards and counts, no patterns.
Layouts are gone over as well: each fits, all parts are there, the cost adds up.
"""

import json
import random
import subprocess
import sys

from ortools.sat.python import cp_model

INCH64, TENTH = 396_875, 100_000


def draw(rng, name):
    unit = rng.choice([INCH64, TENTH])
    inch = 64 if unit == INCH64 else 254
    lengths = rng.sample(range(6 * inch, 70 * inch), rng.randint(1, 6))
    items = [[length * unit, rng.randint(1, 3)] for length in sorted(lengths, reverse=True)]
    while sum(demand for _, demand in items) > 9:
        items.pop()
    stocks = []
    for feet in rng.sample([6, 8, 10, 12, 14, 16], rng.randint(1, 3)):
        stocks.append([12 * feet * inch * unit, rng.randint(80, 120) * feet, None])
    for _ in range(rng.randint(0, 3)):
        stocks.append([rng.randint(10 * inch, 100 * inch) * unit, rng.choice([0, 25, 50]), rng.randint(1, 2)])
    if rng.random() < 0.15:
        # A yard that may run out.
        stocks = [[length, cost, count or rng.randint(1, 3)] for length, cost, count in stocks]
    kerf = rng.choice([0, 1, 8]) * (unit if unit == INCH64 else 4 * unit)
    trim = [rng.choice([0, 32, 64]) * unit for _ in range(2)]
    return {"name": name, "stocks": stocks, "items": items, "kerf": kerf, "trim": trim}


def cheapest(case):
    """Least cost, or None where stock does not suffice."""
    model, kerf = cp_model.CpModel(), case["kerf"]
    parts = sum(demand for _, demand in case["items"])
    made, cost = [[] for _ in case["items"]], []
    for length, price, count in case["stocks"]:
        room = length - sum(case["trim"])
        before = None
        for _ in range(min(count, parts) if count is not None else parts):
            used = model.new_bool_var("")
            counts = [model.new_int_var(0, demand, "") for _, demand in case["items"]]
            # Parts and a kerf between each two: the last cut may fall into the remainder.
            taken = sum((own + kerf) * n for (own, _), n in zip(case["items"], counts))
            model.add(taken <= (room + kerf) * used) if room + kerf > 0 else model.add(used == 0)
            model.add(sum(counts) <= parts * used)
            if before is not None:
                model.add(used <= before)
            before = used
            cost.append(price * used)
            for row, n in zip(made, counts):
                row.append(n)
    for (_, demand), row in zip(case["items"], made):
        model.add(sum(row) == demand)
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    if status != cp_model.OPTIMAL:
        raise SystemExit(f"{case['name']}: the oracle is not done")
    return round(solver.objective_value)


def layout_fault(case, answer):
    left = {length: demand for length, demand in case["items"]}
    used, cost = [0] * len(case["stocks"]), 0
    for layout in answer["layouts"]:
        length, price, _ = case["stocks"][layout["stock"]]
        parts = sum(count for _, count in layout["cuts"])
        taken = sum(own * count for own, count in layout["cuts"]) + (parts - 1) * case["kerf"] + sum(case["trim"])
        if taken > length:
            return "a layout is too long"
        used[layout["stock"]] += layout["times"]
        cost += price * layout["times"]
        for own, count in layout["cuts"]:
            left[own] -= count * layout["times"]
    if any(n > 0 for n in left.values()):
        return "parts are lacking"
    if any(count is not None and n > count for n, (_, _, count) in zip(used, case["stocks"])):
        return "more stock than there is"
    return None if cost == answer["cost"] else "the cost does not add up"


def compare(case, answer):
    if "fault" in answer:
        longest = max(length - sum(case["trim"]) for length, _, _ in case["stocks"])
        too_long = case["items"][0][0] > longest
        return None if too_long else f"refused: {answer['fault']}"
    best = cheapest(case)
    if best is None:
        return None if answer["missing"] else f"a plan of {answer['cost']} where stock does not suffice"
    if answer["missing"]:
        return f"parts are missing from a plan, and one costs {best}"
    if not answer["optimal"] or answer["cost"] != best:
        return f"costs {answer['cost']} (bound {answer['bound']}), the oracle {best}"
    return layout_fault(case, answer)


def main():
    program = sys.argv[1]
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 200
    rng = random.Random(int(sys.argv[3]) if len(sys.argv) > 3 else 5)
    cases = [draw(rng, f"case {at}") for at in range(count)]
    run = subprocess.run([program, "-"], input=json.dumps(cases), capture_output=True, text=True, check=True)
    answers = [json.loads(line) for line in run.stdout.splitlines()]
    if len(answers) != len(cases):
        raise SystemExit(f"{len(answers)} answers to {len(cases)} problems")
    faults = [(case["name"], fault) for case, answer in zip(cases, answers) if (fault := compare(case, answer))]
    refused = sum("fault" in answer for answer in answers)
    short = sum(bool(answer.get("missing")) for answer in answers)
    print(f"cutting: {count} problems, {refused} with parts too long, {short} short of stock, {len(faults)} disagree")
    for name, fault in faults:
        print(f"  {name}: {fault}")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
