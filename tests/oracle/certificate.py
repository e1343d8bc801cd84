#!/usr/bin/env python3
"""Plans and proofs of `slatwork calc cut`, gone over by another program in whole numbers.

    python3 tests/oracle/certificate.py PROGRAM FILE... [-NAME...]

PROGRAM is slatwork; each FILE holds instances in the layout of the benchmark, those named with a dash are passed over (a few
have more patterns than this program lists in a moment). What is read is the printed JSON with its
certificate and nothing else; the rules are those told in `engine/project/src/calc/certificate.rs`. Every answer must pass, and
every one that is spoiled (a bound, a worth, a multiplier, a layout) must not.
"""

import copy
import heapq
import json
import math
import subprocess
import sys
from bisect import bisect_right

MOST_SUMS = 1 << 20


class Wrong(Exception):
    """Why an answer is not shown."""


def demand(condition, why):
    if not condition:
        raise Wrong(why)


def room(case, stock):
    return stock[0] - sum(case["trim"]) + case["kerf"]


def layouts(case, plan):
    left = {}
    for length, count in case["items"]:
        left[length] = left.get(length, 0) + count
    used, cost = [0] * len(case["stocks"]), 0
    for layout in plan["layouts"]:
        stock, times = layout["stock"], layout["times"]
        taken = sum((length + case["kerf"]) * count for length, count in layout["cuts"])
        demand(layout["cuts"] and times > 0, "a layout cuts nothing")
        demand(taken <= room(case, case["stocks"][stock]), "a layout is too long")
        over = room(case, case["stocks"][stock]) - case["kerf"] - taken
        demand(layout["left"] == max(0, over), "what is left is wrong")
        used[stock] += times
        cost += case["stocks"][stock][1] * times
        for length, count in layout["cuts"]:
            left[length] -= count * times
    for length, count in plan["missing"]:
        left[length] -= count
    demand(all(count == 0 for count in left.values()), "parts do not add up")
    for count, (_, _, available) in zip(used, case["stocks"]):
        demand(available is None or count <= available, "more stock than there is")
    boards = {own["stock"]: own["count"] for own in plan["boards"]}
    demand(boards == {at: count for at, count in enumerate(used) if count}, "boards do not add up")
    demand(cost == plan["cost"], "the cost does not add up")


class Sizes:
    """An instance in common units: parts longest first, kinds of stock that none without limit beats."""

    def __init__(self, case):
        wanted = {}
        for length, count in case["items"]:
            wanted[length] = wanted.get(length, 0) + count
        self.lengths = sorted((length for length, count in wanted.items() if count), reverse=True)
        self.unit = math.gcd(*(length + case["kerf"] for length in self.lengths)) or 1
        self.sizes = [(length + case["kerf"]) // self.unit for length in self.lengths]
        self.demands = [wanted[length] for length in self.lengths]
        kinds = {}
        for at, (length, cost, available) in enumerate(case["stocks"]):
            own = room(case, (length,)) // self.unit
            if available != 0 and own >= self.sizes[-1]:
                kind = kinds.setdefault((own, cost, available is None), [at, own, cost, None if available is None else 0])
                if available is not None:
                    kind[3] += min(available, sum(self.demands))
        everyone = list(kinds.values())

        def beaten(kind):
            return any(
                other[3] is None and other[1] >= kind[1] and other[2] <= kind[2]
                and (other[1] > kind[1] or other[2] < kind[2] or kind[3] is not None)
                for other in everyone
            )

        self.kinds = [kind for kind in everyone if not beaten(kind)]

    def next_sum(self, cost):
        """The least sum of costs that is not below one."""
        step = math.gcd(*(kind[2] for kind in self.kinds)) or 1
        first = max(0, -(-cost // step))
        unlimited = [kind[2] for kind in self.kinds if kind[3] is None and kind[2] > 0]
        last = first + (min(unlimited) if unlimited else max(kind[2] for kind in self.kinds)) // step
        if last > MOST_SUMS:
            return first * step
        reached = [at == 0 for at in range(last + 1)]
        for _, _, own, available in self.kinds:
            each = own // step
            if each == 0:
                continue
            used = [0 if is_sum else None for is_sum in reached]
            for at in range(each, last + 1):
                before = used[at - each]
                if used[at] is None and before is not None and (available is None or before < available):
                    used[at] = before + 1
            reached = [count is not None for count in used]
        return next((at * step for at in range(first, last + 1) if reached[at]), (last + 1) * step)


def with_part(frontier, size, worth, count, limit):
    """Fillings (sizes, worths) that no other beats, with up to so many parts of one size more."""
    portion = 1
    count = min(count, limit // size if size <= limit else 0)
    while count > 0 and worth > 0:
        now = min(portion, count)
        more = [(own + now * size, value + now * worth) for own, value in zip(*frontier) if own + now * size <= limit]
        merged = sorted(more + list(zip(*frontier)), key=lambda own: (own[0], -own[1]))
        sizes, values = [], []
        for own, value in merged:
            if not values or value > values[-1]:
                sizes.append(own)
                values.append(value)
        frontier = (sizes, values)
        count, portion = count - now, portion * 2
    return frontier


def most(frontier, limit):
    at = bisect_right(frontier[0], limit)
    return frontier[1][at - 1] if at else 0


class Proof:
    def __init__(self, case, certificate):
        self.own = Sizes(case)
        self.certificate = certificate
        demand(certificate["scale"] > 0, "the scale is negative")
        self.worth = self.worths(certificate["worth"])

    def worths(self, told):
        worth = dict(map(tuple, told))
        worths = [worth.get(length, 0) for length in self.own.lengths]
        demand(min(worths) >= 0, "worths are negative")
        return worths

    def shown(self, value):
        """What the worths show, with what a room's parts can be worth at the most."""
        scale, total = self.certificate["scale"], sum(u * d for u, d in zip(self.worth, self.own.demands))
        for _, own, cost, available in self.own.kinds:
            gain = value(own) - cost * scale
            demand(available is not None or gain <= 0, "a pattern is worth more than its stock costs")
            total -= max(0, gain) * (available or 0)
        return total

    def tally(self):
        """Every case of numbers of boards costs more than `below`, or holds no numbers."""
        own, told = self.own, self.certificate
        unit, below, cuts = told["scale"] * told["parts"], told["below"], []
        demand(told["parts"] > 0, "parts are negative")
        for cut in told["cuts"]:
            self.worth = self.worths(cut)
            frontier = self.frontiers()[0]
            asked = sum(u * d for u, d in zip(self.worth, own.demands))
            cuts.append((asked, [most(frontier, kind[1]) for kind in own.kinds]))
        parts = sum(own.demands)

        def greatest(kind):
            by_cost = below // kind[2] if kind[2] else parts
            return min(parts, by_cost, parts if kind[3] is None else kind[3])

        open_cases = [(0, [(0, greatest(kind)) for kind in own.kinds])]
        while open_cases:
            at, between = open_cases.pop()
            if any(low > high for low, high in between):
                continue
            case = told["cases"][at]
            y = case["multipliers"]
            demand(len(y) <= len(cuts) and all(own >= 0 for own in y), "multipliers that do not suit their cuts")
            shown = sum(u * cut[0] for u, cut in zip(y, cuts))
            for place, (kind, (low, high)) in enumerate(zip(own.kinds, between)):
                left = kind[2] * unit - sum(u * cut[1][place] for u, cut in zip(y, cuts))
                shown += left * (low if left >= 0 else high)
            if shown > below * unit:
                continue
            split = case["split"]
            demand(split is not None and not split["holding"] and case["lattice"] is None, "a case is not closed")
            demand(split["fewer"] > at and split["more"] > at, "a case leads back")
            places = [place for place, kind in enumerate(own.kinds) if kind[0] == split["stock"]]
            demand(places, "a split of no stock")
            for next_case, change in [(split["fewer"], lambda l, h: (l, min(h, split["most"]))), (split["more"], lambda l, h: (max(l, split["most"] + 1), h))]:
                changed = list(between)
                changed[places[0]] = change(*between[places[0]])
                open_cases.append((next_case, changed))

    def frontiers(self):
        limit = max(kind[1] for kind in self.own.kinds)
        found = [([0], [0])]
        for size, worth, count in reversed(list(zip(self.own.sizes, self.worth, self.own.demands))):
            found.append(with_part(found[-1], size, worth, count, limit))
        return found[::-1]

    def bound(self):
        """The least cost that the certificate leaves possible."""
        scale = self.certificate["scale"]
        if self.certificate["kind"] == "tallies":
            self.tally()
            yield self.own.next_sum(self.certificate["below"] + 1)
            return
        if self.certificate["kind"] == "multipliers":
            # The whole room at the highest worth for its size is no less than any filling of it.
            at = max(range(len(self.worth)), key=lambda at: (self.worth[at] * 10**30 // self.own.sizes[at]))
            best, size = self.worth[at], self.own.sizes[at]
            try:
                by_size = self.shown(lambda room: -(-room * best // size) if size > 1 else room * best)
            except Wrong:
                by_size = 0
            bound = self.own.next_sum(-(-by_size // scale))
            yield bound
        frontiers = self.frontiers()
        shown = self.shown(lambda room: most(frontiers[0], room))
        if self.certificate["kind"] == "multipliers":
            yield self.own.next_sum(-(-shown // scale))
            return
        below = self.certificate["below"]
        self.walk(self.patterns(frontiers, below * scale - shown))
        yield self.own.next_sum(below + 1)

    def patterns(self, frontiers, lacking):
        """All that a plan up to `below` could use: full, of no more waste than lacks, not held by cheaper stock without limit."""
        own, found, scale = self.own, [], self.certificate["scale"]
        for index, (_, limit, cost, available) in enumerate(own.kinds):
            allowed = cost * scale
            if available is not None:
                allowed = max(allowed, most(frontiers[0], limit))
            open_ends = [(0, limit, 0, ())]
            while open_ends:
                part, left, worth, taken = open_ends.pop()
                if worth + most(frontiers[part], left) < allowed - lacking:
                    continue
                if part == len(own.sizes):
                    counts = dict(taken)
                    full = all(size > left or counts.get(at, 0) >= own.demands[at] for at, size in enumerate(own.sizes))
                    used = limit - left
                    cheaper = any(k[3] is None and k[1] >= used and k[2] < cost for k in own.kinds)
                    if taken and full and not cheaper:
                        found.append((index, counts))
                    continue
                for count in range(min(own.demands[part], left // own.sizes[part]) + 1):
                    more = taken + ((part, count),) if count else taken
                    open_ends.append((part + 1, left - count * own.sizes[part], worth + count * self.worth[part], more))
        return found

    def walk(self, patterns):
        """Every case is closed, or split into two."""
        own, certificate = self.own, self.certificate
        scale, parts = certificate["scale"], sum(own.demands)
        limited = [next(at for at, kind in enumerate(own.kinds) if kind[0] == stock) for stock in certificate["limited"]]
        fixed = [(lambda p, at=at: p[1].get(at, 0), count, 1) for at, count in enumerate(own.demands)]
        fixed += [(lambda p, at=at: int(p[0] == at), own.kinds[at][3], -1) for at in limited]
        open_cases = [(0, [], patterns)]
        while open_cases:
            at, choices, pool = open_cases.pop()
            case = certificate["cases"][at]
            rows = fixed + [row for _, row in choices]
            y = case["multipliers"]
            demand(len(y) == len(rows) and all(u * row[2] >= 0 for u, row in zip(y, rows)), "multipliers do not suit their rows")
            weighed = [(u, row[0]) for u, row in zip(y, rows) if u]
            wastes = [own.kinds[p[0]][2] * scale - sum(u * count(p) for u, count in weighed) for p in pool]
            value = sum(u * row[1] for u, row in zip(y, rows)) + parts * min([0, *wastes])
            lacking = certificate["below"] * scale - value
            if lacking < 0:
                continue
            if case["lattice"] is not None:
                wasted = [(p, waste - min([0, *wastes])) for p, waste in zip(pool, wastes) if waste <= lacking]
                self.remainders(case["lattice"], wasted, y, lacking)
                continue
            split = case["split"]
            demand(split is not None, "a case is not closed")
            demand(split["fewer"] > at and split["more"] > at, "a case leads back")
            pool = [p for p, waste in zip(pool, wastes) if waste <= lacking]
            key = (split["stock"], tuple(map(tuple, split["holding"])))

            def counts(pattern, stock=split["stock"], holding=key[1]):
                is_kind = stock is None or own.kinds[pattern[0]][0] == stock
                return int(is_kind and all(pattern[1].get(part, 0) >= least for part, least in holding))

            for next_case, right, sense in [(split["fewer"], split["most"], -1), (split["more"], split["most"] + 1, 1)]:
                row = (counts, right, sense)
                names = [name for name, _ in choices]
                if (key, sense) in names:
                    place = names.index((key, sense))
                    changed = [*choices[:place], ((key, sense), row), *choices[place + 1 :]]
                else:
                    changed = [*choices, ((key, sense), row)]
                open_cases.append((next_case, changed, pool))


    def remainders(self, lattice, wasted, y, lacking):
        """Every way from nothing to what is wanted, seen in remainders by the lattice, wastes more than is lacking."""
        parts, rows = lattice["parts"], lattice["rows"]
        demand(len(parts) == len(set(parts)) == len(rows), "a lattice that makes no sense")
        for at, row in enumerate(rows):
            demand(len(row) == len(rows) and not any(row[:at]) and row[at] > 0, "a lattice that makes no sense")

        def remainder(counts):
            for at, row in enumerate(rows):
                times = counts[at] // row[at]
                counts = [count - times * own for count, own in zip(counts, row)]
            return tuple(counts)

        steps = {}
        for pattern, waste in wasted:
            step = remainder([pattern[1].get(part, 0) for part in parts])
            steps[step] = min(waste, steps.get(step, waste))
        for part in parts:
            step = remainder([-int(other == part) for other in parts])
            steps[step] = min(y[part], steps.get(step, y[part]))
        goal, settled, ways = remainder([self.own.demands[part] for part in parts]), set(), [(0, remainder([0] * len(parts)))]
        while ways:
            waste, at = heapq.heappop(ways)
            if at in settled:
                continue
            demand(at != goal, "remainders do not close a case")
            settled.add(at)
            for step, more in steps.items():
                if waste + more <= lacking:
                    heapq.heappush(ways, (waste + more, remainder([a + b for a, b in zip(at, step)])))


def check(case, plan):
    layouts(case, plan)
    if plan["missing"]:
        demand(plan["bound"] is None and not plan["optimal"], "a bound where parts are missing")
        return "missing"
    bound, cost = plan["bound"], plan["cost"]
    demand(bound <= cost and plan["gap"] == cost - bound, "bound and gap do not fit")
    demand(plan["optimal"] == (bound == cost), "it is called what it is not")
    kind = plan["certificate"]["kind"]
    if bound > 0:
        demand(kind != "nothing", "there is no proof")
        demand(any(shown >= bound for shown in Proof(case, plan["certificate"]).bound()), "less is shown than is said")
    return kind


def spoiled(case, plan):
    """The same with one thing wrong, and what."""

    def but(name, change):
        other = copy.deepcopy(plan)
        change(other)
        return name, other

    def cheaper(other):
        other["cost"] -= 1
        other["gap"] = other["cost"] - other["bound"]

    def dearer_worth(other):
        other["certificate"]["worth"] = [[length, 3 * worth + 1] for length, worth in other["certificate"]["worth"]]

    yield but("cost", cheaper)
    yield but("a layout less", lambda other: other["layouts"].pop())
    yield but("a cut more", lambda other: other["layouts"][0]["cuts"][0].__setitem__(1, 1000))
    if plan["certificate"]["kind"] in ["multipliers", "cases"] and plan["bound"]:
        # Where cheap offcuts govern, worths are far below what boards without limit cost, and so are three times as much.
        if all(available is None for _, _, available in case["stocks"]):
            yield but("worth", dearer_worth)
        yield but("no worth", lambda other: other["certificate"].update(worth=[[1, 0]], below=0))
    if plan["certificate"]["kind"] == "tallies":
        yield but("no cuts", lambda other: other["certificate"].update(cuts=[]))
        yield but("cut off", lambda other: other["certificate"].update(cases=[{**c, "split": None, "multipliers": []} for c in other["certificate"]["cases"]]))
    if plan["certificate"]["kind"] == "cases" and plan["certificate"]["cases"][0]["lattice"]:
        coarser = {"parts": [0], "rows": [[1]]}
        yield but("nothing remains", lambda other: other["certificate"]["cases"][0].update(lattice=coarser))
    if plan["certificate"]["kind"] == "cases":
        yield but("no case", lambda other: other["certificate"]["cases"][0].update(multipliers=[]))
        yield but("cut off", lambda other: other["certificate"].update(cases=[{**c, "split": None, "lattice": None, "multipliers": [0] * len(c["multipliers"])} for c in other["certificate"]["cases"]]))


def main():
    program = sys.argv[1]
    files = [word for word in sys.argv[2:] if not word.startswith("-")]
    without = [word[1:] for word in sys.argv[2:] if word.startswith("-")]
    faults, kinds = [], {}
    for file in files:
        with open(file, encoding="utf-8") as own:
            cases = [case for case in json.load(own) if case["name"] not in without]
        words = [program, "calc", "cut", "-", "--certificate", "--format", "json"]
        run = subprocess.run(words, input=json.dumps(cases), capture_output=True, text=True, check=False)
        plans = json.loads(run.stdout)["instances"]
        if len(plans) != len(cases):
            raise SystemExit(f"{file}: {len(plans)} answers to {len(cases)} instances")
        for case, plan in zip(cases, plans):
            try:
                kind = check(case, plan)
                kinds[kind] = kinds.get(kind, 0) + 1
            except Wrong as wrong:
                faults.append(f"{case['name']}: {wrong}")
                continue
            if case.get("opt") is not None and not plan["missing"]:
                if not plan["bound"] <= case["opt"] <= plan["cost"]:
                    faults.append(f"{case['name']}: {plan['bound']}..{plan['cost']} is not about the optimum {case['opt']}")
            for name, other in spoiled(case, plan):
                try:
                    check(case, other)
                    faults.append(f"{case['name']}: a spoiled answer passes ({name})")
                except Wrong:
                    pass
    told = ", ".join(f"{count} {kind}" for kind, count in sorted(kinds.items()))
    print(f"certificates: {told}; {len(faults)} wrong")
    for fault in faults:
        print(f"  {fault}")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
