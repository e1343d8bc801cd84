"""Reads SVG files with an independent XML parser and fails on anything amiss.

    python engine/output/tests/oracle/read_svg.py FILE.svg ...

Each must be well formed, sized in millimetres as its view box says, titled and described, with every name given once, and
must draw nothing off the sheet. Prints, for each file, the sheet's size and the count of elements by kind.
"""

import re
from collections import Counter
from xml.etree import ElementTree

import reading

SPACE = "{http://www.w3.org/2000/svg}"
KNOWN = {"svg", "title", "desc", "g", "rect", "path", "circle", "ellipse", "text", "tspan"}
NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:e-?\d+)?")
COMMANDS = re.compile(r"([MLAZ])([^MLAZ]*)")
# A line's width may reach over the edge of its sheet, mm; a paper without margin draws on its edge.
ON_EDGE = 0.01


def path_points(text):
    """Corners of a path of moves, lines and arcs; None when it holds anything else."""
    points = []
    if COMMANDS.sub("", text).strip():
        return None
    for command, rest in COMMANDS.findall(text):
        numbers = [float(number) for number in NUMBER.findall(rest)]
        size = {"M": 2, "L": 2, "A": 7, "Z": 0}[command]
        if (size == 0) != (not numbers) or (size and len(numbers) % size):
            return None
        points += [tuple(numbers[i + size - 2 : i + size]) for i in range(0, len(numbers), size or 1)]
    return points


def drawn(element):
    kind = element.tag.removeprefix(SPACE)
    if kind == "path":
        return path_points(element.get("d", ""))
    if kind in ("circle", "ellipse"):
        x, y = float(element.get("cx")), float(element.get("cy"))
        across, up = float(element.get("r", element.get("rx", 0))), float(element.get("r", element.get("ry", 0)))
        return [(x - across, y - up), (x + across, y + up)]
    if kind == "text" and element.get("x") is not None and element.get("transform") is None:
        return [(float(element.get("x")), float(element.get("y")))]
    return []


def read(path):
    trouble = []
    root = ElementTree.parse(path).getroot()
    if root.tag != SPACE + "svg":
        return [f"the root is {root.tag}"]
    sizes = [root.get("width", ""), root.get("height", "")]
    box = [float(number) for number in root.get("viewBox", "").split()]
    if len(box) != 4 or [f"{number:g}mm" for number in box[2:]] != sizes:
        trouble.append(f"sized {sizes}, view box {box}")
        return trouble
    for wanted in ("title", "desc"):
        if not (root.findtext(SPACE + wanted) or "").strip():
            trouble.append(f"no {wanted}")
    names = Counter(element.get("id") for element in root.iter() if element.get("id"))
    trouble += [f"the name {name} is given {count} times" for name, count in names.items() if count > 1]
    trouble += [f"nothing is called {name}" for name in root.get("aria-labelledby", "").split() if name not in names]
    kinds = Counter()
    for element in root.iter():
        kind = element.tag.removeprefix(SPACE)
        kinds[kind] += 1
        if kind not in KNOWN:
            trouble.append(f"an element {kind}")
        points = drawn(element)
        if points is None:
            trouble.append(f"a path that is not moves, lines and arcs: {element.get('d')[:60]}")
            continue
        for x, y in points:
            if not (box[0] - ON_EDGE <= x <= box[0] + box[2] + ON_EDGE and box[1] - ON_EDGE <= y <= box[1] + box[3] + ON_EDGE):
                trouble.append(f"a {kind} reaches ({x:g}, {y:g}), off the sheet")
    if kinds["path"] == 0:
        trouble.append("nothing drawn")
    print(f"{path}: {sizes[0]} x {sizes[1]}", dict(sorted(kinds.items())))
    return trouble


if __name__ == "__main__":
    reading.run(read)
