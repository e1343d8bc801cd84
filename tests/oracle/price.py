"""Counts a price again from the printed tables alone: operations from the other papers, then every sum, tax, share and way of selling.

    python tests/oracle/price.py FOLDER ...

FOLDER is what `slatwork build ... --out FOLDER` wrote. Needs nothing but Python. Prints a line a folder; each trouble is told, and any
makes the exit code 1.
"""

import csv
import pathlib
import re
import sys
from fractions import Fraction


def rows(folder, name):
    with open(folder / f"{name}.csv", newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file, strict=True))


def half_up(number):
    return (number + Fraction(1, 2)).__floor__()


def cents(text):
    """25.00 is 2500."""
    return int(Fraction(text) * 100)


class Told:
    def __init__(self):
        self.faults, self.checked = [], 0

    def same(self, what, told, found, within=0):
        self.checked += 1
        if abs(told - found) > within:
            self.faults.append(f"{what}: told {told}, counted {float(found)}")


def ripped(folder):
    """Metres that the saw goes for one piece: along each length, beside each strip that does not end at the board's edge. Nests are traced."""
    strips = {(row["board"], row["cut_start_mm"], row["strip_from_mm"]): row for row in rows(folder, "boards")
              if not row["nested"]}
    metres = 0.0
    for row in strips.values():
        if float(row["strip_from_mm"]) + float(row["strip_width_mm"]) < float(row["board_width_mm"]):
            metres += (float(row["cut_end_mm"]) - float(row["cut_start_mm"])) / 1000 / int(row["pieces"])
    return metres


def counts(folder):
    """What each operation is done, counted from the other papers."""
    cut_list = {row["mark"]: row for row in rows(folder, "cut_list")}
    steps = rows(folder, "cutting")
    boards = sum(int(row["count"]) for row in rows(folder, "purchase"))

    def made(work):
        return sum(int(cut_list[step["mark"]]["quantity"]) for step in steps if step["work"] == work)

    holes = sum(int(row["quantity"]) for row in rows(folder, "holes") if row["stretch"] == "1")
    # Pilots beyond a marked hole are drilled in one go with it.
    through = sum(int(row["count"]) for row in rows(folder, "drilled") if not row["holes"])
    finishing = rows(folder, "finishing")
    screws = sum(int(row["count"]) for row in rows(folder, "hardware")
                 if "wood screw" in row["name"] or "deck screw" in row["name"])
    nested = [(row["board"], row["cut_start"]) for row in rows(folder, "boards") if row["nested"]]
    return {
        "notch": made("notch"),
        "drill": holes + through,
        "round_over": sum(float(row["length_mm"]) for row in finishing if row["what"] == "rounded edges") / 1000,
        "sand": sum(float(row["area_mm2"]) for row in finishing if row["what"] == "surface") / 1e6,
        "assemble": len(rows(folder, "places")),
        "drive_screw": screws,
        # Offcuts off the rack as well.
        "sort_boards": len({row["board"] for row in rows(folder, "boards")}),
        # Edges are bevelled and glued blanks ripped besides.
        "rip at least": ripped(folder),
        # Boards are squared, parts are cut; strips of glued blanks and thick boards add to it. A nest is cut off once, for all its parts.
        "crosscut at least": boards + made("crosscut") - len(nested) + len(set(nested)),
    }


def check_labour(folder, told):
    labour = {row["operation"]: row for row in rows(folder, "labour")}
    for name, count in counts(folder).items():
        operation, _, least = name.partition(" at ")
        found = float(labour[operation]["count"]) if operation in labour else 0.0
        told.same(name, min(found, count) if least else found, count, 1e-6)
    total = 0.0
    for row in labour.values():
        minutes = float(row["setup_minutes"]) + float(row["count"]) * float(row["each_minutes"])
        told.same(f"minutes of {row['operation']}", float(row["all_minutes"]), minutes, 1e-9)
        total += minutes
    single = next(row for row in rows(folder, "batches") if row["pieces"] == "1")
    told.same("minutes of one piece", float(single["each_minutes"]), total, 1e-6)
    each = [float(row["each_minutes"]) for row in rows(folder, "batches")]
    told.same("batches that take longer each", sum(a < b for a, b in zip(each, each[1:])), 0)
    for row in rows(folder, "waiting"):
        told.same(f"hours of {row['what']}", float(row["all_hours"]), int(row["times"]) * float(row["each_hours"]))
    return total, sum(float(row["setup_minutes"]) for row in labour.values()
                      if row["operation"] != "make_template") + float(
                          labour.get("make_template", {"all_minutes": 0})["all_minutes"])


def check_goods(folder, told):
    sums = {}
    for row in rows(folder, "goods"):
        price = int(row["price_cents"])
        sums[row["goods"]] = sums.get(row["goods"], 0) + price
        if row["unit"] in ("board", "piece") and not row["bought"]:
            told.same(row["name"], price, half_up(Fraction(row["amount"]) * int(row["price_each_cents"])))
        packs = re.findall(r"(\d+) of ([\d.]+)", row["bought"])
        if len(packs) == 1 and row["price_each_cents"]:
            told.same(row["name"], price, int(packs[0][0]) * int(row["price_each_cents"]))
        if packs:
            held = sum(int(count) * float(holds) for count, holds in packs)
            # What is needed is told rounded up, by less than a unit.
            told.same(f"packs of {row['name']} that hold too little", max(0.0, float(row["amount"]) - held - 1), 0)
    boards = sum(int(row["price_all_cents"]) for row in rows(folder, "purchase"))
    told.same("boards", sums.get("lumber", 0), boards)
    return sums


def check_cost(folder, told, goods, minutes):
    lines = {row["line"]: row for row in rows(folder, "cost")}
    amount = {name: int(row["amount_cents"]) for name, row in lines.items()}

    def share(name):
        return Fraction(re.match(r"([\d.]+) %", lines[name]["how"])[1]) / 100

    for line, of in [("lumber", "lumber"), ("hardware", "hardware"), ("consumables", "consumable"), ("delivery", "delivery")]:
        told.same(line, amount[line], goods.get(of, 0))
    counted = amount["lumber"] + amount["hardware"] + amount["consumables"]
    told.same("sundries", amount["sundries"], half_up(counted * share("sundries")))
    bought = counted + amount["sundries"] + amount["delivery"]
    told.same("purchase tax", amount["purchase tax"], half_up(bought * share("purchase tax")))
    told.same("materials", amount["materials"], bought + amount["purchase tax"])
    rates = {line: cents(re.search(r" at ([\d.]+)$", lines[line]["how"])[1]) for line in ("labour", "overhead")}
    for line, rate in rates.items():
        told.same(line, amount[line], half_up(Fraction(minutes) / 60 * rate))
    told.same("cost", amount["cost"], amount["materials"] + amount["labour"] + amount["overhead"])
    kept = 1 - share("margin") - share("card fee") - share("warranty")
    told.same("price", amount["price"], half_up((amount["cost"] + amount["fair fee"]) / kept))
    for fee in ("card fee", "warranty"):
        told.same(fee, amount[fee], half_up(amount["price"] * share(fee)))
    parts = sum(amount[name] for name in ("cost", "fair fee", "card fee", "warranty", "margin"))
    told.same("all that goes off the price", amount["price"], parts)
    told.same("margin", amount["margin"], amount["price"] * share("margin"), 2)
    return amount, rates, {name: share(name) for name in ("card fee", "warranty")}


def check_ways(folder, told, amount, rates, shares, once_minutes):
    hour = sum(rates.values())
    once = half_up(Fraction(once_minutes) / 60 * hour)
    for row in rows(folder, "selling"):
        way, price = row["way"], int(row["price_cents"])
        fees = half_up(price * shares["warranty"])
        if found := re.match(r"wholesale at ([\d.]+) %", way):
            told.same(way, price, half_up(amount["price"] * Fraction(found[1]) / 100))
        elif found := re.match(r"consignment less ([\d.]+) %", way):
            fees += half_up(price * Fraction(found[1]) / 100)
        else:
            fees += half_up(price * shares["card fee"]) + amount["fair fee"]
        if found := re.match(r"([\d.]+) x materials", way):
            told.same(way, price, half_up(amount["materials"] * Fraction(found[1])))
        told.same(f"fees of {way}", int(row["fees_cents"]), fees)
        told.same(f"left of {way}", int(row["left_cents"]), price - fees - amount["cost"])
        told.same(f"hours of {way}", float(row["allowed_hours"]), max(0, price - fees - amount["materials"]) / hour, 1e-9)
        brings = price - fees - (amount["cost"] - once)
        pays = max(1, -(-once // brings)) if brings > 0 else 0
        told.same(f"batch of {way}", int(row["break_even"] or 0), pays)


def check(folder):
    told = Told()
    minutes, once = check_labour(folder, told)
    amount, rates, shares = check_cost(folder, told, check_goods(folder, told), minutes)
    check_ways(folder, told, amount, rates, shares, once)
    return told


def main(folders):
    failed = False
    for folder in map(pathlib.Path, folders):
        told = check(folder)
        print(f"{folder.name}: {told.checked} figures of the price counted again, {len(told.faults)} wrong")
        for fault in told.faults:
            print(f"  {fault}")
        failed |= bool(told.faults)
    return int(failed or not folders)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
