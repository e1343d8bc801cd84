"""When each piece of work is done: the same in the book, on the templates and in the files, and in an order that can be followed."""

import collections
import json
import re

import numpy as np
from scipy.spatial import cKDTree

from book import AT_BENCH

# A circle is found on a sheet where lines lie within this of it, mm: its place is told to the mark of the rule.
ON_LINE = 0.7
LEAVE_ON = "; leave the wood on until then"
THROUGH = re.compile(r"drilled on through (.+), the two held together")


def disagreements(book, papers):
    """What is wrong, and how many pieces of work were looked at."""
    drawn, ordered = on_templates(book), in_order(book, papers)
    return drawn[0] + ordered[0], drawn[1] + ordered[1]


def on_templates(book):
    """Work that waits is drawn dashed and told with its time on the first sheet; all else is drawn to be done by the template."""
    faults, looked = [], 0
    for row in book.cut_list:
        mark, pattern = row["mark"], book.pattern(row["mark"])
        if pattern is None:
            continue
        faults += [f"template of {mark}: {own}" for own in pattern.complaints]
        for words in later_work(book, mark):
            looked += 1
            if words not in pattern.first_words:
                faults.append(f"template of {mark} does not say {words!r}")
        if LEAVE_ON in pattern.first_words and not any(words.endswith(LEAVE_ON) for words in later_work(book, mark)):
            faults.append(f"template of {mark} leaves wood on for what the book has sawn at the bench")
        looked += holes_on(book, row, pattern, faults)
    return faults, looked


def later_work(book, mark):
    """What a template must tell of its time."""
    for what, when in sawn_later(book, mark):
        yield f"{what}: {when}{LEAVE_ON}"
    for notch in book.of("notches", mark):
        if notch["when"] != AT_BENCH:
            yield f"{notch['purpose']}: {notch['when']}"
    for cut in book.of("planes", mark):
        if cut["when"] != AT_BENCH:
            yield f": {cut['when']}{LEAVE_ON}"


def sawn_later(book, mark):
    """Lines that are sawn to a pattern when the part is no longer at the bench: what, and when."""
    for words, when in book.steps(mark):
        sawn = re.match(r"Saw the (.+?)(?: (?:along|at) .*)? to its pattern", words)
        if sawn and when != AT_BENCH:
            yield sawn[1], when


def holes_on(book, row, pattern, faults):
    """Circles of holes square to the face, dashed where the hole waits, and the time of each in the template's own table."""
    solid, dashed = (tree(own) for own in (pattern.cut + pattern.marked, pattern.later))
    looked = 0
    holes = book.of("holes", row["mark"])
    for hole in holes:
        places = [hole[key] for key in ("from_end", "from_edge", "from_face")]
        if hole["depth_from"] == 0.0:
            looked += 1
            if not told_at(hole, pattern.first_words):
                faults.append(f"template of {row['mark']}: hole {hole['hole']} is not told as {hole['when']!r}")
        leans = any(abs(hole[key]) >= 0.05 for key in ("lean_length_deg", "lean_width_deg", "lean_thickness_deg"))
        if not hole["side"].endswith("face") or leans:
            continue
        looked += 1
        found, other = (dashed, solid) if hole["when"] != AT_BENCH else (solid, dashed)
        if not on_lines(found, places[:2], hole["diameter_mm"] / 2):
            elsewhere = ", but as the other kind" if on_lines(other, places[:2], hole["diameter_mm"] / 2) else ""
            faults.append(f"template of {row['mark']}: hole {hole['hole']} is not where the book has it{elsewhere}")
    return looked


def told_at(hole, words):
    """Whether the template's table tells a hole with its time, which goes without saying at the bench."""
    found = re.search(rf" {hole['hole']} {hole['side']} (.*?)(?= \d+ (?:marked face|back face|datum|far)|$)", words)
    waits = bool(found) and re.search(r"; (in place|marked from|drilled on).*", found[1])
    return bool(found) and (found[1].endswith(f"; {hole['when']}") if hole["when"] != AT_BENCH else not waits)


def tree(pieces):
    return cKDTree(np.vstack(pieces)) if pieces else None


def on_lines(lines, centre, radius):
    if lines is None:
        return False
    angle = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    circle = np.array(centre) + radius * np.column_stack([np.cos(angle), np.sin(angle)])
    return lines.query(circle)[0].max() <= ON_LINE


def in_order(book, papers):
    """What is done in place comes in a step in which all of it stands; what is marked from another part is tried against it; and
    at the bench nothing waits."""
    moves = papers.rows("assembly")
    stands = {}
    for move in moves:
        if move["does"] in ("laid", "comes in"):
            stands.setdefault(move["part"], int(move["step"]))
    marked = collections.defaultdict(set)
    for move in moves:
        if move["marked_from"]:
            marked[move["part"]].add((int(move["step"]), move["marked_from"]))
    steps = assembly(book)
    names = collections.defaultdict(list)
    for place in papers.places:
        names[place["mark"]].append(place["part"])
    faults, looked = [], 0
    joints = bored_for_joints(papers)
    for row in book.cut_list:
        mark = row["mark"]
        told = collections.Counter(hole["when"] for hole in book.of("holes", mark) if hole["depth_from"] == 0.0)
        for when, count in joints[names[mark][0]].items():
            looked += 1
            if told[when] < count:
                faults.append(f"{mark}: the joints have {count} holes {when}, the book {told[when]}")
        for hole in book.of("holes", mark):
            guide = THROUGH.fullmatch(hole["when"])
            if guide and hole["depth_from"] == 0.0:
                looked += 1
                both = max(min(stands[part] for part in names[mark]), stands[guide[1]])
                drills = [n for n, text in steps.items() if any(w.startswith("Drill ") and hole["drill"] in w for w in text)]
                if not any(n >= both for n in drills):
                    faults.append(f"no step drills hole {hole['hole']} of {mark} {hole['when']}")
        for what, when in sawn_later(book, mark):
            looked += 1
            last = max(stands[part] for part in names[mark])
            found = [n for n, text in steps.items() if any(f"saw the {what}" in words.lower() for words in text)]
            if not any(n >= last for n in found):
                faults.append(f"no step after {last} saws the {what} of {mark}, which is sawn {when}")
        for notch in book.of("notches", mark):
            if notch["when"].startswith("marked from "):
                looked += 1
                other = notch["when"].removeprefix("marked from ")
                if not any(other in own.split("; ") for part in names[mark] for _, own in marked[part]):
                    faults.append(f"{mark} is {notch['when']}, and no step tries it there")
    return faults, looked


def bored_for_joints(papers):
    """How many holes the joints of each part ask for, by their times."""
    found = collections.defaultdict(collections.Counter)
    for joint in json.loads((papers.folder / "joints.json").read_text(encoding="utf-8"))["joints"]:
        for bore in (bore for fastening in joint["fastenings"] for bore in fastening["bores"] if bore["in_solid"]):
            found[bore["part"]][bore["when"]] += 1
    return found


def assembly(book):
    """What each step of the assembly says, by its number."""
    found, number = {}, None
    for block in book.chapters["assembly"]:
        if block[0] == "heading":
            head = re.match(r"(\d+)\. ", block[1])
            number = int(head[1]) if head else None
        if number and block[0] in ("heading", "item"):
            found.setdefault(number, []).append(block[1])
    return found
