#!/usr/bin/env python3
"""How quickly cutting problems are proven, beside general solvers, in one run on one thread: two tables in Markdown.

    cargo build --release -p slatwork-shop --example cutting
    python3 tests/oracle/peers.py target/release/examples/cutting [--seconds 10] [--instances N] [--shop] [CLASS...]

Needs highspy, pyscipopt and ortools. A bench, not part of CI: an instance takes up to four times the CPU seconds allowed, best
on a machine that does nothing else. Progress is told on standard error.

Instances are those of `engine/shop/tests/cutting/`: N of each class, drawn by a fixed seed (two, where not said; a larger N
holds those of a smaller), of the classes named or of all; with `--shop` every one of the four classes of a shop's everyday
lists. Each is solved by all in turn, before the next:

- ours, the program above: it tells the time its thread ran, its checks of the answer included;
- HiGHS and SCIP on the reduced arc-flow model (J. M. Valerio de Carvalho, Annals of Operations Research 86:629-659, 1999): a
  board is a path whose nodes are lengths cut so far, parts come longest first, only nodes that parts reach are there;
- OR-Tools CP-SAT on counts of each part on each stick, as many sticks as first-fit decreasing fills; of equal sticks those that
  are used come first (ordered by how much is cut from them, it took longer on five of six small ones).

A peer's time is the CPU time of its call to solve and of nothing else: building the model, here in Python, is not counted.
What takes under 20 ms is solved again, anew each time, and told as the mean; ours is told alike. Each is a process of its own
that ends after its CPU seconds of solving. A model of over 400,000 arcs counts as not solved. Every cost that is proven must
be the same for all, and the known optimum where there is one; where not, it is told and the exit code is 1.
"""

import argparse
import json
import math
import multiprocessing
import os
import random
import resource
import signal
import statistics
import subprocess
import sys
import time
from importlib.metadata import version
from pathlib import Path

INSTANCES = Path(__file__).resolve().parents[2] / "engine/shop/tests/cutting"
SHOP = ["shop_imperial", "shop_metric", "shop_mixed", "shop_offcut"]
GROUPS = {
    "shop": SHOP,
    "fair": ["shop_fair"],
    "variable-sized": ["vsbpp_monaci", "vsbpp_hs_lin", "vsbpp_hs_conc", "vsbpp_hs_conv"],
    "easy": ["falkenauer_u", "scholl_1", "scholl_2", "schwerin_1", "schwerin_2", "random"],
    "hard": ["falkenauer_t", "scholl_3", "waescher", "hard28", "gi", "ai", "ani"],
}
SEED = 5
MOST_ARCS = 400_000
# As in the program: what is shorter is run again, for the system's count of time is coarse.
SHORT_SECONDS, MOST_RUNS = 0.02, 50
# The system's timer counts in ticks and may come early; what took longer than it should is told apart by the time itself.
TIMER_SLACK = 1.1
# For a solver that hangs: on a busy machine CPU seconds may take many times as long by the clock.
PATIENCE_SECONDS = 3600
OURS, QUICKEST = "slatwork", "the quickest peer of each"
UNPROVEN = (None, math.inf)


def reduced(case):
    """Parts with their kerf, longest first, as (weight, demand); sticks as (capacity, cost, available); the unit of cost."""
    kerf, trims = case["kerf"], sum(case["trim"])
    common = math.gcd(*(length + kerf for length, _ in case["items"]))
    items = sorted((((length + kerf) // common, demand) for length, demand in case["items"]), reverse=True)
    parts, least = sum(demand for _, demand in items), items[-1][0]
    unit = math.gcd(*(cost for _, cost, _ in case["stocks"])) or 1
    kinds = [
        ((length - trims + kerf) // common, cost // unit, parts if available is None else min(parts, available))
        for length, cost, available in case["stocks"]
    ]
    return items, [kind for kind in kinds if kind[0] >= least], unit


def item_arcs(items, widest):
    """Arcs (tail, head, item) from every node that longer parts reach, at most as many in a row as there are parts."""
    arcs, reached = [], {0}
    for item, (weight, demand) in enumerate(items):
        tails = set()
        for node in reached:
            tails.update(range(node, min(node + demand * weight, widest - weight + 1), weight))
        arcs += [(tail, tail + weight, item) for tail in sorted(tails)]
        reached.update(tail + weight for tail in tails)
        if len(arcs) > MOST_ARCS:
            return None
    return arcs


def arc_flow(items, kinds):
    """The model as whole columns (cost, most, {row: factor}) and rows (least, most); None where it is too large."""
    arcs = item_arcs(items, max(capacity for capacity, _, _ in kinds))
    if arcs is None:
        return None
    nodes = sorted({head for _, head, _ in arcs} | {capacity for capacity, _, _ in kinds})
    # What flows into a node flows out; that of node 0 follows from the others.
    row_of = {node: row for row, node in enumerate(nodes)}
    columns = []
    for tail, head, item in arcs:
        column = {row_of[head]: 1, len(nodes) + item: 1}
        if tail:
            column[row_of[tail]] = -1
        columns.append((0, items[item][1], column))
    # Loss: from each node to the next, never before the first part.
    columns += [(0, math.inf, {row_of[tail]: -1, row_of[head]: 1}) for tail, head in zip(nodes, nodes[1:])]
    # A stick of each kind ends where it is full.
    columns += [(cost, available, {row_of[capacity]: -1}) for capacity, cost, available in kinds]
    rows = [(0, 0)] * len(nodes) + [(demand, math.inf) for _, demand in items]
    return (columns, rows) if len(columns) <= MOST_ARCS else None


def highs(model):
    """HiGHS with the model read in: a call that solves it and gives the proven cost, or None."""
    import highspy
    import numpy

    columns, rows = model
    program = highspy.HighsLp()
    program.num_col_, program.num_row_ = len(columns), len(rows)
    program.col_cost_ = numpy.array([cost for cost, _, _ in columns], dtype=float)
    program.col_lower_ = numpy.zeros(len(columns))
    program.col_upper_ = numpy.array([most for _, most, _ in columns], dtype=float)
    program.row_lower_ = numpy.array([least for least, _ in rows], dtype=float)
    program.row_upper_ = numpy.array([most for _, most in rows], dtype=float)
    program.integrality_ = [highspy.HighsVarType.kInteger] * len(columns)
    matrix = program.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kColwise
    matrix.start_ = numpy.cumsum([0] + [len(column) for _, _, column in columns])
    matrix.index_ = numpy.array([row for _, _, column in columns for row in column])
    matrix.value_ = numpy.array([factor for _, _, column in columns for factor in column.values()], dtype=float)
    solver = highspy.Highs()
    # Costs are whole: less than one between plan and bound is proof, a share of the cost is not.
    options = {"output_flag": False, "threads": 1, "parallel": "off", "mip_rel_gap": 0.0, "mip_abs_gap": 0.999}
    for option, value in options.items():
        if solver.setOptionValue(option, value) != highspy.HighsStatus.kOk:
            raise SystemExit(f"HiGHS does not know {option}")
    if solver.passModel(program) != highspy.HighsStatus.kOk:
        raise SystemExit("HiGHS does not take the model")

    def solve():
        solver.run()
        proven = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
        return round(solver.getInfo().objective_function_value) if proven else None

    return solve


def scip(model):
    """SCIP, likewise."""
    import pyscipopt

    columns, rows = model
    solver = pyscipopt.Model()
    solver.hideOutput()
    sums = [[] for _ in rows]
    for cost, most, column in columns:
        flow = solver.addVar(vtype="I", lb=0, ub=None if most == math.inf else most, obj=cost)
        for row, factor in column.items():
            sums[row].append(factor * flow)
    for terms, (least, most) in zip(sums, rows):
        total = pyscipopt.quicksum(terms)
        solver.addCons(total == least if least == most else total >= least)

    def solve():
        solver.optimize()
        return round(solver.getObjVal()) if solver.getStatus() == "optimal" else None

    return solve


def filled(items, capacity):
    """How many sticks first-fit decreasing fills with the parts that fit."""
    rooms = []
    for weight in (weight for weight, demand in items if weight <= capacity for _ in range(demand)):
        at = next((at for at, room in enumerate(rooms) if weight <= room), None)
        if at is None:
            at = len(rooms)
            rooms.append(capacity)
        rooms[at] -= weight
    return len(rooms)


def most_sticks(items, kinds):
    """How many sticks of each kind are enough for a cheapest plan.

    What such a plan cuts from one kind can be packed anew on no more sticks than first-fit decreasing fills with all parts, and
    none of the kind's sticks together cost more than a plan of one kind alone.
    """
    fills = [filled(items, capacity) for capacity, _, _ in kinds]
    alone = [
        fill * cost
        for fill, (capacity, cost, available) in zip(fills, kinds)
        if items[0][0] <= capacity and fill <= available
    ]
    paid = min(alone, default=math.inf)
    return [
        min(fill, available, paid // cost if 0 < cost and alone else fill)
        for fill, (_, cost, available) in zip(fills, kinds)
    ]


def cp_sat(problem):
    """CP-SAT on counts of each part on each stick, likewise."""
    from ortools.sat.python import cp_model

    items, kinds = problem
    model, made, paid = cp_model.CpModel(), [[] for _ in items], []
    for (capacity, cost, _), number in zip(kinds, most_sticks(items, kinds)):
        before = None
        for _ in range(number):
            used, counts, weights = model.new_bool_var(""), [], []
            for row, (weight, demand) in zip(made, items):
                if weight <= capacity:
                    counts.append(model.new_int_var(0, min(demand, capacity // weight), ""))
                    weights.append(weight)
                    row.append(counts[-1])
            model.add(cp_model.LinearExpr.weighted_sum(counts, weights) <= capacity * used)
            if before is not None:
                model.add(used <= before)
            before = used
            paid.append(cost * used)
    for (_, demand), row in zip(items, made):
        model.add(sum(row) == demand)
    model.minimize(sum(paid))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    return lambda: round(solver.objective_value) if solver.solve(model) == cp_model.OPTIMAL else None


def scip_version():
    import pyscipopt

    return f"SCIP {pyscipopt.Model().version()} (PySCIPOpt {version('pyscipopt')})"


def apart(work):
    """What `work` gives in a process of its own, for solvers share nothing, and its exit code; None where it was cut off."""
    fork = multiprocessing.get_context("fork")
    receive, send = fork.Pipe(duplex=False)

    def quietly():
        # HiGHS greets on standard output, which is for the tables.
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        send.send(work())

    child = fork.Process(target=quietly)
    child.start()
    send.close()
    if not receive.poll(PATIENCE_SECONDS):
        child.kill()
    try:
        value = receive.recv()
    except EOFError:
        value = None
    child.join()
    if child.exitcode == 1:
        raise SystemExit("the bench itself failed")
    return value, child.exitcode


def timed(build, model, seconds):
    """Proven cost and milliseconds of a solver, as the mean of several runs where one is short."""
    spent, runs, cost = 0.0, 0, None
    while runs == 0 or (spent < SHORT_SECONDS and runs < MOST_RUNS):
        solve = build(model)
        signal.setitimer(signal.ITIMER_PROF, TIMER_SLACK * seconds)
        before = time.process_time()
        cost = solve()
        spent += time.process_time() - before
        signal.setitimer(signal.ITIMER_PROF, 0)
        runs += 1
    return cost, 1e3 * spent / runs


def within(run, seconds):
    """The run, or that it proves nothing in the time."""
    return run if run and run[0] is not None and run[1] <= 1e3 * seconds else UNPROVEN


def ours(program, case, seconds):
    """Proven cost and milliseconds of the program, which tells its time itself."""
    most = math.ceil(TIMER_SLACK * seconds) + 1
    run = subprocess.run(
        [program, "-"],
        input=json.dumps(case),
        capture_output=True,
        text=True,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, (most, most)),
    )
    if run.returncode in (-signal.SIGXCPU, -signal.SIGKILL):
        return UNPROVEN
    answer = json.loads(run.stdout)
    if "fault" in answer or answer["missing"]:
        raise SystemExit(f"{case['name']}: {answer.get('fault', 'parts are missing')}")
    return within((answer["cost"] if answer["optimal"] else None, answer["milliseconds"]), seconds)


def peers():
    """Each peer with its version: how it is built, and from which model."""
    return {
        f"HiGHS {version('highspy')}": (highs, arc_flow),
        apart(scip_version)[0]: (scip, arc_flow),
        f"OR-Tools {version('ortools')} CP-SAT": (cp_sat, lambda items, kinds: (items, kinds)),
    }


def turn(program, case, solvers, seconds, broken):
    """One instance: what each proves, and in how many milliseconds."""
    items, kinds, unit = reduced(case)
    runs = {OURS: ours(program, case, seconds)}
    models = {kind: kind(items, kinds) for _, kind in solvers.values()}
    for name, (build, kind) in solvers.items():
        runs[name] = UNPROVEN
        if models[kind] is not None:
            run, ended = apart(lambda: timed(build, models[kind], seconds))
            if ended not in (0, -signal.SIGPROF):
                broken.append(f"{name} broke off ({ended}) on {case['name']}")
            cost, milliseconds = within(run, seconds)
            runs[name] = (cost if cost is None else cost * unit, milliseconds)
    return runs


def drawn(name, arguments):
    """The instances of a class that take part."""
    cases = json.loads((INSTANCES / f"{name}.json").read_text())
    if arguments.shop and name in SHOP:
        return cases
    return random.Random(f"{SEED} {name}").sample(cases, len(cases))[: arguments.instances]


def told(milliseconds, seconds):
    if milliseconds == math.inf:
        return f"> {1e3 * seconds:.0f}"
    return f"{milliseconds:.{2 if milliseconds < 10 else 0}f}"


def median(rows, solver, seconds):
    return told(statistics.median(runs[solver][1] for _, _, runs in rows), seconds)


def proven(rows, solver, seconds=math.inf):
    return sum(runs[solver][0] is not None and runs[solver][1] <= 1e3 * seconds for _, _, runs in rows)


def paired(rows, solver):
    """Times of a peer over ours where both prove: how many, median, least."""
    both = [runs for _, _, runs in rows if runs[OURS][0] is not None and runs[solver][0] is not None]
    ratios = [runs[solver][1] / runs[OURS][1] for runs in both]
    if not ratios:
        return ["0", "-", "-"]
    return [str(len(ratios)), *(f"{told(figure, 0)}x" for figure in (statistics.median(ratios), min(ratios)))]


def table(head, body):
    print("\n| " + " | ".join(head) + " |\n|" + "---|" * len(head))
    for cells in body:
        print("| " + " | ".join(cells) + " |")


def at_least(rows, solver, seconds):
    """Median of a peer's times over ours on all that ours proves; what the peer does not prove counts as the seconds allowed."""
    both = [runs for _, _, runs in rows if runs[OURS][0] is not None]
    ratios = [min(runs[solver][1], 1e3 * seconds) / runs[OURS][1] for runs in both]
    return f"{told(statistics.median(ratios), 0)}x" if ratios else "-"


def print_tables(rows, names, seconds):
    """By solver, then by group."""
    head = ["solver", "instances", "proven within 1 s", f"within {seconds:g} s", "median ms"]
    table(
        [*head, "both prove", "its time / ours: median", "least", "on all ours proves: median at least"],
        (
            [name, str(len(rows)), str(proven(rows, name, 1)), str(proven(rows, name)), median(rows, name, seconds)]
            + (["", "", "", ""] if name == OURS else [*paired(rows, name), at_least(rows, name, seconds)])
            for name in names
        ),
    )
    groups = {group: [row for row in rows if row[1] == group] for group in GROUPS}
    table(
        ["group: proven, median ms", "instances", *names, "quickest / ours: both prove", "median", "least"],
        (
            [group, str(len(own))]
            + [f"{proven(own, name)}, {median(own, name, seconds)}" for name in names]
            + paired(own, QUICKEST)
            for group, own in groups.items()
            if own
        ),
    )


def print_quicker(rows, solvers, seconds):
    """Where a peer that proves its answer was quicker than ours."""
    quicker = [
        f"- {name}: {solver} {told(runs[solver][1], seconds)} ms, {OURS} {told(runs[OURS][1], seconds)} ms"
        for name, _, runs in rows
        for solver in solvers
        if runs[solver][1] < runs[OURS][1]
    ]
    print("\nA peer was quicker with its proof on:\n" if quicker else "\nNo peer was quicker with its proof.")
    for line in quicker:
        print(line)


def disagreement(case, runs):
    """Proven costs and the known optimum, where they are not all the same."""
    costs = {name: cost for name, (cost, _) in runs.items() if cost is not None}
    if case["opt"] is not None:
        costs["known"] = case["opt"]
    return f"{case['name']}: {costs}" if len(set(costs.values())) > 1 else None


def read_arguments():
    classes = [name for group in GROUPS.values() for name in group]
    parser = argparse.ArgumentParser(description="How quickly cutting problems are proven, beside general solvers.")
    parser.add_argument("program", help="the example `cutting` of slatwork-shop, built for release")
    parser.add_argument("--seconds", type=float, default=10, help="CPU seconds of solving (10)")
    parser.add_argument("--instances", type=int, default=2, help="how many of each class (2)")
    parser.add_argument("--shop", action="store_true", help="every instance of the four classes of a shop's lists")
    parser.add_argument("classes", nargs="*", metavar="CLASS", help=f"of {', '.join(classes)}; all, where none is named")
    arguments = parser.parse_intermixed_args()
    if unknown := set(arguments.classes) - set(classes):
        parser.error(f"no class {', '.join(sorted(unknown))}")
    return arguments


def main():
    arguments = read_arguments()
    seconds, solvers, rows, faults, broken = arguments.seconds, peers(), [], [], []
    for group, classes in GROUPS.items():
        for name in (name for name in classes if not arguments.classes or name in arguments.classes):
            for case in drawn(name, arguments):
                runs = turn(arguments.program, case, solvers, seconds, broken)
                print(case["name"], *(told(own, seconds) for _, own in runs.values()), sep="  ", file=sys.stderr)
                faults += filter(None, [disagreement(case, runs)])
                runs[QUICKEST] = min((runs[solver] for solver in solvers), key=lambda run: run[1])
                rows.append((case["name"], group, runs))
    print(f"{len(rows)} instances, one thread, {seconds:g} CPU seconds of solving each; models are built before.")
    print_tables(rows, [OURS, *solvers, QUICKEST], seconds)
    print_quicker(rows, solvers, seconds)
    print("\n".join(["", *broken, f"{len(faults)} disagree", *faults]))
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
