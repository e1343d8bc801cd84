#!/usr/bin/env python3
"""Small ripping problems of the shop, solved by a general constraint solver (OR-Tools CP-SAT), against the engine's answers.

    python3 tests/oracle/ripping.py PROGRAM [COUNT] [SEED]
    python3 tests/oracle/ripping.py PROGRAM --instances FILE [SECONDS]

PROGRAM is the example `ripping` of slatwork-shop, built for release. Problems are drawn at random: up to eight parts of up to
five sizes, boards of several widths and lengths with prices, some of limited number, both kerfs, trims, edge allowance,
narrowest strip. The model here places each part in a strip, each strip in a section, each section on a board; it knows no
patterns. Layouts are gone over as well: each can be cut, all parts are there, the cost adds up.

The second form solves the instances of a file by the same model and prints what it proves: for the benchmark's.
"""

import json
import random
import subprocess
import sys
import time

from ortools.sat.python import cp_model


def draw(rng, name):
    widths = rng.sample([24, 32, 40, 56, 88, 116, 148, 180], rng.randint(1, 4))
    boards = []
    for _ in range(rng.randint(1, 4)):
        length, width = rng.choice([72, 96, 120, 144]) * 8, rng.choice([56, 88, 116, 148, 180])
        boards.append([length, width, length * width * rng.randint(80, 120) // 80_000, None])
    for _ in range(rng.randint(0, 2)):
        boards.append([rng.randint(100, 700), rng.choice([40, 88, 148]), rng.choice([0, 2]), rng.randint(1, 2)])
    if rng.random() < 0.15:
        # A yard that may run out.
        boards = [[length, width, cost, count or rng.randint(1, 3)] for length, width, cost, count in boards]
    case = {
        "name": name, "boards": boards, "parts": [], "rip_kerf": rng.choice([0, 1, 2]),
        "crosscut_kerf": rng.choice([0, 1, 2]), "trim": [rng.choice([0, 4]) for _ in range(2)],
        "edge_allowance": rng.choice([0, 2, 4]), "narrowest_strip": rng.choice([0, 26]),
    }
    left = 8
    for _ in range(rng.randint(1, 5)):
        widest = rng.choice([None, None, None, 116, 148])
        narrowest = rng.choice([None, None, None, 88, 116])
        part = [rng.randint(60, 560), rng.choice(widths), min(rng.randint(1, 4), left), widest, narrowest]
        if part[2] and any(way(case, part, board) for board in boards):
            case["parts"].append(part)
            left -= part[2]
    return case


def way(case, part, board):
    """How a part comes from a board: whole, strip, or not at all."""
    length, width, _, widest, narrowest = part
    if narrowest is not None and board[1] < narrowest:
        return None
    if widest is not None and board[1] > widest or length > board[0] - sum(case["trim"]):
        return None
    beside = board[1] - width
    if beside == 0 or 0 < beside < case["rip_kerf"]:
        return "whole"
    return "strip" if beside >= case["edge_allowance"] and beside > 0 and width >= case["narrowest_strip"] else None


def cheapest(case, seconds=60):
    """Least cost, None where boards do not suffice; and whether that is proven."""
    model = cp_model.CpModel()
    kerf, rip = case["crosscut_kerf"], case["rip_kerf"]
    parts = [part for part in case["parts"] for _ in range(part[2])]
    n = len(parts)
    # Strip s is named after its first part, section g after its first strip, board b after its first section.
    strip = [[model.new_bool_var("") for _ in range(s + 1)] for s in range(n)]
    section = [[model.new_bool_var("") for _ in range(s + 1)] for s in range(n)]
    plank = [[model.new_bool_var("") for _ in range(s + 1)] for s in range(n)]
    kind = [[model.new_bool_var("") for _ in case["boards"]] for _ in range(n)]
    longest = max(board[0] for board in case["boards"])
    length = [model.new_int_var(0, longest, "") for _ in range(n)]
    for i in range(n):
        model.add_exactly_one(strip[i])
        for j in range(i):
            # Who lies in a strip that another began is of its width, and begins no strip.
            model.add_implication(strip[i][j], strip[j][j])
            if parts[i][1] != parts[j][1]:
                model.add(strip[i][j] == 0)
            model.add_implication(section[i][j], section[j][j])
            model.add_implication(plank[i][j], plank[j][j])
        model.add(sum(section[i]) == strip[i][i])
        model.add(sum(plank[i]) == section[i][i])
        model.add(sum(kind[i]) == plank[i][i])
    for i in range(n):
        mine = [k for k in range(i, n)]
        row = sum((parts[k][0] + kerf) * strip[k][i] for k in mine) - kerf
        for g in range(i + 1):
            model.add(length[g] >= row).only_enforce_if(section[i][g])
        for b, board in enumerate(case["boards"]):
            usable = board[0] - sum(case["trim"])
            along = []
            for k in mine:
                taken = model.new_int_var(0, longest + kerf, "")
                model.add(taken >= length[k] + kerf).only_enforce_if(plank[k][i])
                along.append(taken)
            model.add(sum(along) <= usable + kerf).only_enforce_if(kind[i][b])
    # on[i][b]: part i comes from a board of kind b.
    on = [[model.new_bool_var("") for _ in case["boards"]] for _ in range(n)]
    for i in range(n):
        model.add_exactly_one(on[i])
        for b, board in enumerate(case["boards"]):
            if way(case, parts[i], board) is None:
                model.add(on[i][b] == 0)
            for g in range(i + 1):
                model.add(on[g][b] == 1).only_enforce_if(plank[i][g], on[i][b])
                model.add(on[g][b] == 1).only_enforce_if(section[i][g], on[i][b])
                model.add(on[g][b] == 1).only_enforce_if(strip[i][g], on[i][b])
            model.add(kind[i][b] == 1).only_enforce_if(plank[i][i], on[i][b])
            # A row across the whole width lies alone; strips share the width beside the edge.
            across = sum((parts[k][1] + rip) * section[k][i] for k in range(i, n))
            if way(case, parts[i], board) == "whole":
                model.add(sum(section[k][i] for k in range(i + 1, n)) == 0).only_enforce_if(section[i][i], on[i][b])
            else:
                room = board[1] - case["edge_allowance"] + rip
                model.add(across <= room).only_enforce_if(section[i][i], on[i][b])
    for b, board in enumerate(case["boards"]):
        if board[3] is not None:
            model.add(sum(kind[i][b] for i in range(n)) <= board[3])
    model.minimize(sum(board[2] * kind[i][b] for i in range(n) for b, board in enumerate(case["boards"])))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None, None, True
    if status == cp_model.UNKNOWN:
        return None, None, False
    return round(solver.objective_value), round(solver.best_objective_bound + 0.49), status == cp_model.OPTIMAL


def faults(case, answer):
    """What is wrong with the layouts."""
    made, used, cost = [0] * len(case["parts"]), [0] * len(case["boards"]), 0
    kerf, rip = case["crosscut_kerf"], case["rip_kerf"]
    for layout in answer["layouts"]:
        board = case["boards"][layout["board"]]
        used[layout["board"]] += layout["times"]
        cost += board[2] * layout["times"]
        if sum(own["length"] + kerf for own in layout["sections"]) - kerf > board[0] - sum(case["trim"]):
            yield "sections longer than the board"
        for section in layout["sections"]:
            strips = section["strips"]
            across = sum(own["width"] + rip for own in strips) - rip
            if section["ripped"] and across > board[1] - case["edge_allowance"]:
                yield "strips wider than the board"
            for own in strips:
                if sum((case["parts"][part][0] + kerf) * count for part, count in own["cuts"]) - kerf > section["length"]:
                    yield "a strip longer than its section"
                for part, count in own["cuts"]:
                    made[part] += count * layout["times"]
                    expected = "strip" if section["ripped"] else "whole"
                    if case["parts"][part][1] != own["width"] or way(case, case["parts"][part], board) != expected:
                        yield "a part that does not come so"
            if not section["ripped"] and len(strips) != 1:
                yield "a row beside another"
    alike = {}
    for part, own in zip(case["parts"], made):
        key = (part[0], part[1], part[3], part[4])
        alike[key] = alike.get(key, 0) + own - part[2]
    if any(own < 0 for own in alike.values()):
        yield "parts are lacking"
    if any(board[3] is not None and own > board[3] for board, own in zip(case["boards"], used)):
        yield "more boards than there are"
    if cost != answer["cost"]:
        yield "the cost does not add up"


def answers(program, cases):
    run = subprocess.run([program, "-"], input=json.dumps(cases), capture_output=True, text=True, check=True)
    return [json.loads(line) for line in run.stdout.splitlines()]


def compare(program, count, seed):
    rng = random.Random(seed)
    cases = []
    while len(cases) < count:
        case = draw(rng, f"{seed}-{len(cases)}")
        if case["parts"]:
            cases.append(case)
    wrong = short = 0
    for case, answer in zip(cases, answers(program, cases), strict=True):
        least, _, proven = cheapest(case)
        own = list(faults(case, answer)) if least is not None and "fault" not in answer else []
        right = bool(answer.get("missing")) if least is None else answer.get("optimal") and answer["cost"] == least
        short += least is None
        if not proven or own or not right:
            wrong += 1
            print(json.dumps(case), "\n ", least, proven, own, {key: answer.get(key) for key in ("cost", "bound", "fault", "missing")})
    print(f"{count} ripping problems against CP-SAT, {short} of them short of boards: {wrong} differ")
    return wrong


def instances(file, seconds):
    with open(file, encoding="utf-8") as text:
        given = json.load(text)
    for own in given:
        parts = [[length, width, demand, None] for length, width, demand, *_ in own["items"]]
        case = {"name": own["name"], "boards": [[length, width, 1, None] for length, width, *_ in own["stocks"]], "parts": parts,
                "rip_kerf": 0, "crosscut_kerf": 0, "trim": [0, 0], "edge_allowance": 0, "narrowest_strip": 0}
        begin = time.process_time()
        least, bound, proven = cheapest(case, seconds)
        print(own["name"], f"least {least} bound {bound} proven {proven} in {time.process_time() - begin:.1f} s", flush=True)


def main():
    program, *words = sys.argv[1:]
    if words[:1] == ["--instances"]:
        instances(words[1], float(words[2]) if len(words) > 2 else 60.0)
        return 0
    count, seed = (int(word) for word in (words + ["60", "1"][len(words):]))
    return 1 if compare(program, count, seed) else 0


if __name__ == "__main__":
    sys.exit(main())
