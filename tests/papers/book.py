"""Reads what a builder has in hand, the printed book and the full-size templates, and no other file.

The book's tables give lengths as the tape reads them, cuts and notches by three marks each, holes, what is drilled on, and where
every part stands; the sheets of a template, joined by their crosses, give its line to saw to. A `Book` answers what a `Papers`
answers, so that the same parts can be made from either.
"""

import copy
import html.parser
import math
import re

import numpy as np
import pypdf
import shapely
from shapely import affinity

import printed
from papers import INCH, tape_mm
from printed import Page

# Parts of the book without words of their own.
SILENT = ("svg", "script", "style", "math")
# Lines of a template are taken this wide to close the corners between them, mm.
PEN = 0.02
# Points of a template's line that lie on it within this are left out, mm.
SMOOTH = 0.003
AXES = {"right": (0, 1), "left": (0, -1), "rear": (1, 1), "front": (1, -1), "up": (2, 1), "down": (2, -1)}
DATUM = {"datum end": "length", "datum edge": "width", "back face": "thickness"}
LEANS = {
    "far end": ("lean_length_deg", 1), "datum end": ("lean_length_deg", -1),
    "far edge": ("lean_width_deg", 1), "datum edge": ("lean_width_deg", -1),
    "marked face": ("lean_thickness_deg", 1), "back face": ("lean_thickness_deg", -1),
}
AT_BENCH = "at the bench"
LENGTH = re.compile(r'-?[\d /]*\d"|-?\d+ mm')


class Reader(html.parser.HTMLParser):
    """The chapters of a book as what stands in them: ("heading", text), ("item", text), ("words", text), ("table", title, head,
    rows)."""

    KINDS = {"h3": "heading", "li": "item", "p": "words"}

    def __init__(self):
        super().__init__()
        self.chapters, self.blocks, self.silent, self.text, self.table = {}, [], 0, None, None

    def handle_starttag(self, tag, attributes):
        if tag in SILENT:
            self.silent += 1
        elif tag == "section" and "id" in (own := dict(attributes)):
            self.blocks = self.chapters.setdefault(own["id"], [])
        elif tag == "table":
            self.table = {"caption": "", "rows": []}
        elif tag == "tr":
            self.table["rows"].append([])
        elif tag in self.KINDS or tag in ("caption", "td", "th"):
            self.text = ""

    def handle_endtag(self, tag):
        if tag in SILENT:
            self.silent -= 1
        elif tag in self.KINDS and self.text is not None:
            self.blocks.append((self.KINDS[tag], plain(self.text)))
        elif tag == "caption":
            self.table["caption"] = plain(self.text)
        elif tag in ("td", "th"):
            self.table["rows"][-1].append(plain(self.text))
        elif tag == "table":
            head, *rows = self.table["rows"]
            self.blocks.append(("table", self.table["caption"], head, rows))

    def handle_data(self, data):
        if not self.silent and self.text is not None:
            self.text += data


def read(folder):
    """The chapters of a folder's book."""
    reader = Reader()
    reader.feed((folder / "book.html").read_text(encoding="utf-8"))
    return reader.chapters


def plain(text):
    return " ".join(text.split())


def true_mm(text):
    """A size with what its mark is off: `6 3/4" less 0.021"`."""
    mark, *rest = re.split(r" (less|plus) ", text)
    if not rest:
        return tape_mm(mark)
    off = float(rest[1].rstrip('"')) * INCH if rest[1].endswith('"') else float(rest[1].removesuffix(" mm"))
    return tape_mm(mark) + (off if rest[0] == "plus" else -off)


def rows_of(table):
    """Rows by the heads of their columns; a column that holds nothing is not printed."""
    _, _, head, rows = table
    return [dict(zip(head, row)) for row in rows]


def stretches(words):
    """`13/32" through, countersunk 1/2" wide, leaning 2° toward the far end` as stretches from the outside in, and leans."""
    bores, *rest = re.split(r", (?=countersunk|leaning)", words)
    leans = dict.fromkeys(("lean_length_deg", "lean_width_deg", "lean_thickness_deg"), 0.0)
    for own in rest:
        for angle, side in re.findall(r"([\d.]+)° toward the (\w+ \w+)", own):
            key, sign = LEANS[side]
            leans[key] = sign * float(angle)
    found, start = [], 0.0
    for own in bores.split(", then "):
        through = re.fullmatch(r"(.+) through", own)
        if through:
            found.append({"drill": through[1], "depth_from": start, "depth_to": None, "through": "yes"})
        else:
            bit, depth = re.fullmatch(r"(.+) to (.+) deep", own).groups()
            found.append({"drill": bit, "depth_from": start, "depth_to": tape_mm(depth), "through": "no"})
            start = found[-1]["depth_to"]
    return found, leans


def leading(words, length):
    """Where a board leads, as a direction: `rear`, or what it comes each way: `40 1/2" rear, 3 1/16" down`."""
    way = np.zeros(3)
    for own in words.split(", "):
        *far, side = own.rsplit(" ", 1)
        axis, sign = AXES[side]
        way[axis] = sign * (tape_mm(far[0]) if far else length)
    return way / np.linalg.norm(way)


class Book:
    """The book and the templates of one folder. Places are those of the piece whose outermost left, foremost and lowest is
    `origin`, mm."""

    # A depth counts from where the bit comes to wood, as it does at the bench.
    depths_from_wood = True

    def __init__(self, folder, origin, chapters=None):
        self.folder, self.origin, self.patterns = folder, origin, {}
        self.chapters = chapters or read(folder)
        self.sets = self._sets()
        self.metric = not any('"' in row["length"] for row in self.printed("Cut list"))
        self.cut_list = [self._cut_row(row) for row in self.printed("Cut list")]
        own = [(mark, table) for mark, blocks in self.sets.items() for table in blocks if table[0] == "table"]
        of = lambda title: [(mark, row) for mark, table in own if table[1].startswith(title) for row in rows_of(table)]
        self.holes = [part for mark, row in of("Holes of") for part in self._hole_rows(mark, row)]
        self.planes, self.notch_walls, self.scribed, self.notches = [], [], [], []
        for mark, row in of("Angled cuts and notches of"):
            self._cut(mark, row)
        self.outlines = [self._corner(mark, row) for mark, row in of("The line that")]
        self._bends()
        self.drilled = [self._drilled(row) for row in self.printed("Drilled on")]
        self.places = [self._place(row, origin) for row in self.printed("Datum corners")]

    def tables(self, title):
        return [own for blocks in self.chapters.values() for own in blocks if own[0] == "table" and own[1].startswith(title)]

    def printed(self, title):
        return [row for table in self.tables(title) for row in rows_of(table)]

    def _sets(self):
        """What is told of each set, by its mark."""
        found, mark = {}, None
        for block in self.chapters["sets"]:
            if block[0] == "heading":
                mark = block[1].split(":")[0]
            elif mark:
                found.setdefault(mark, []).append(block)
        return found

    def steps(self, mark):
        """How a part is made, step by step, each with its time."""
        told = [own[1].rstrip(".") for own in self.sets[mark] if own[0] == "item"]
        timed = [re.fullmatch(r"(.*) \(((?:in place|marked from|drilled on|at the bench,)[^()]*)\)", own) for own in told]
        return [(own[1], own[2]) if own else (words, AT_BENCH) for words, own in zip(told, timed)]

    def _cut_row(self, row):
        sizes = {key: true_mm(row[key]) for key in ("length", "width", "thickness")}
        shaped = any("to its pattern" in words for words, _ in self.steps(row["mark"]))
        sprung = next((words for words, _ in self.steps(row["mark"]) if words.startswith("Leave straight")), None)
        return {
            "mark": row["mark"], "name": row["part"], "quantity": int(row["count"]), **sizes,
            "outline": "datum edge" if sprung else "marked face" if shaped else "rectangle",
            "outline_from": 0.0, "outline_to": sizes["width" if sprung else "thickness"],
            "sprung": tape_mm(re.search(r"down (.+?) in the middle", sprung)[1]) if sprung else None,
        }

    def _hole_rows(self, mark, row):
        found, leans = stretches(row["bore"])
        place = {
            f"from_{key}": tape_mm(text) if (text := row.get(title, "")) else None
            for key, title in (("end", "from datum end"), ("edge", "from datum edge"), ("face", "from back face"))
        }
        turned = re.search(r"; in (.*) countersunk from the other side$", row["for"])
        turned = turned[1].split(", ") if turned else []
        common = {"mark": mark, "hole": row["hole"], "side": row["bored from"], **place, **leans, "turned": "; ".join(turned)}
        for own in found:
            yield {**common, **own, "diameter_mm": tape_mm(own["drill"]), "when": row["when"]}

    def _cut(self, mark, row):
        number = re.match(r"(cut|notch) (\d+)(?:, part (\d+))?(?:: (.*))?$", row["cut"])
        if row["from the"] == "scribed":
            play = row.get("first mark", "").removesuffix(" play")
            around = {"around": re.fullmatch(r"(?:cope round|housing for) (.+)", row["for"])[1]}
            self.scribed.append({"mark": mark, "notch": number[2], **around, "play": tape_mm(play) if play else 0.0})
            self.notches.append({"mark": mark, "notch": number[2], "purpose": row["for"], "when": row["when"]})
            return
        marks = [tape_mm(row.get(title) or row["first mark"]) for title in ("first mark", "second", "third")]
        plane = {"mark": mark, "along": DATUM[row["from the"]], **dict(zip(("first", "second", "third"), marks))}
        if number[1] == "cut":
            keep = {"beyond": "before", "before": "beyond"}[row["off"]]
            self.planes.append({**plane, "cut": number[2], "what": number[4], "keep": keep, "when": row["when"]})
        else:
            self.notch_walls.append({**plane, "notch": number[2], "region": number[3] or "1", "remove": row["off"]})
            if row.get("for"):
                self.notches.append({"mark": mark, "notch": number[2], "purpose": row["for"], "when": row["when"]})

    def _corner(self, mark, row):
        run = re.fullmatch(r"arc of (.+) radius, (rounded outward|hollow)", row["to the next corner"])
        turn = {"rounded outward": 1, "hollow": -1}[run[2]] if run else 0
        place = {"from_end": tape_mm(row["from datum end"]), "from_datum": tape_mm(row["from back face"])}
        return {"mark": mark, **place, "radius": tape_mm(run[1]) if run else None, "turn": turn, "bulge": 0.0}

    def falsified(self, title):
        """The same read from a book in which the first figure of the first table so headed is a mark too long; None where there
        is no such figure."""
        chapters = copy.deepcopy(self.chapters)
        tables = [own for blocks in chapters.values() for own in blocks if own[0] == "table" and own[1].startswith(title)]
        for row in (row for table in tables for row in table[3]):
            for at, text in enumerate(row):
                if LENGTH.fullmatch(text):
                    value = tape_mm(text)
                    row[at] = f"{value + 1:.0f} mm" if self.metric else f'{round(value / INCH * 16) + 1}/16"'
                    return Book(self.folder, self.origin, chapters)
        return None

    def _bends(self):
        """The bulge of an arc shorter than a half circle, from its chord and radius."""
        for mark in {row["mark"] for row in self.outlines}:
            own = self.of("outlines", mark)
            for row, following in zip(own, own[1:] + own[:1]):
                if row["turn"]:
                    half = math.dist(*((r["from_end"], r["from_datum"]) for r in (row, following))) / 2
                    row["bulge"] = row["turn"] * math.tan(math.asin(min(1.0, half / row["radius"])) / 2)

    def _drilled(self, row):
        holes, names, mark = re.fullmatch(r"holes? ([\d, ]+) of (.+) \((\w+)\)", row["through"]).groups()
        return {
            "mark": row["mark"], "part": row["part"], "count": row["holes"], "diameter_mm": tape_mm(row["bit"]),
            "depth": tape_mm(row["deep"]), "through_mark": mark, "through": "; ".join(self._names(names, mark)),
            "holes": holes.replace(", ", "; "), "drill": row["bit"], "depth_words": row["deep"], "purpose": row["for"],
        }

    def _names(self, words, mark):
        """Parts of a set, of more than two in turn only the first and the last told."""
        all_names = [row["part"] for row in self.printed("Datum corners") if row["mark"] == mark]
        found = []
        for own in words.split(", "):
            first, *last = own.split(" to ")
            found += all_names[all_names.index(first) : all_names.index((last or [first])[0]) + 1]
        return found

    def _place(self, row, origin):
        size = next(own for own in self.cut_list if own["mark"] == row["mark"])
        along = leading(row["datum end to far end"], size["length"])
        across = leading(row["datum edge to far edge"], 1.0)
        across = across - along * (along @ across)
        across /= np.linalg.norm(across)
        corner = dict(zip(("right", "rear", "up"), (tape_mm(row[key]) + low for key, low in zip(("right", "rear", "up"), origin))))
        ways = {f"{name}_{key}": way[i] for name, way in (("along", along), ("across", across)) for i, key in enumerate(corner)}
        return {"part": row["part"], "mark": row["mark"], **corner, **ways}

    def with_pattern(self, mark, pattern):
        other = copy.copy(self)
        other.patterns = {**self.patterns, mark: pattern}
        return other

    def hole_off(self):
        """Most that a hole may be off along each direction it is marked in, mm: half a mark of the rule, and a tenth for angles."""
        return 0.1 + (0.5 if self.metric else INCH / 64)

    @property
    def half_mark(self):
        """Most that a rounded length is off, mm: half the distance between two marks of the tape."""
        return 0.5 if self.metric else INCH / 32

    def of(self, table, mark):
        return [row for row in getattr(self, table) if row["mark"] == mark]

    def template(self, mark):
        """Corners of the line that a shaped part has in the end, (x, y, bulge): sawn to its template, and where some of it waits,
        to the dashed line."""
        pattern = self.pattern(mark)
        return None if pattern is None else [(x, y, 0.0) for x, y in pattern.outline.exterior.coords[:-1]]

    def pattern(self, mark):
        """The printed template of a part; None where it has none."""
        if mark not in self.patterns:
            found = sorted((self.folder / "templates").glob(f"{mark}_*.pdf"))
            late = any("to its pattern" in words and when != AT_BENCH for words, when in self.steps(mark))
            self.patterns[mark] = Pattern(found[0], late) if found else None
        return self.patterns[mark]


class Pattern:
    """A template as printed, its sheets glued together, from the datum corner; mm."""

    def __init__(self, path, is_sawn_late):
        reader = pypdf.PdfReader(path)
        pages = [Page(page, reader) for page in reader.pages]
        sheets = printed.drawn_sheets(pages)
        self.first_words = " ".join(text for page in pages if page not in sheets for text, _ in page.words)
        found, self.complaints = printed.groups(sheets)
        is_half = any(text.startswith("Half pattern") for page in pages for text, _ in page.words)
        groups = [self._lines(group, is_half) for group in found]
        # The largest thing drawn is the part; ends to wrap round lie on sheets of their own or above it.
        self.cut, self.later, self.marked = max(groups, key=lambda own: largest(own[0] + own[1]).area)
        outline = largest(self.cut + self.later if is_sawn_late else self.cut)
        low = np.array(outline.bounds[:2])
        self.cut, self.later, self.marked = (
            [piece - low for piece in own] for own in (self.cut, self.later, self.marked)
        )
        self.outline = shapely.simplify(affinity.translate(outline, *-low), SMOOTH)

    @staticmethod
    def _lines(group, is_half):
        kinds = [printed.lines(group, kind) for kind in (Page.cut, Page.later, Page.marked)]
        if is_half:
            fold = np.vstack(kinds[0]).max(0)[0]
            kinds = [printed.unfolded(own, fold) if own else own for own in kinds]
        return kinds


    def moved(self, by):
        """A copy whose lines right of the middle stand so far up the sheet, and whose holes do."""
        other, middle = copy.copy(self), np.mean(self.outline.bounds[::2])
        up = lambda points: points + by * (points[:, :1] > middle) * np.array([0.0, 1.0])
        other.outline = shapely.transform(self.outline, up)
        other.cut, other.later, other.marked = ([up(own) for own in kind] for kind in (self.cut, self.later, self.marked))
        return other


def largest(pieces):
    """The largest room that lines close in."""
    if not pieces:
        return shapely.Polygon()
    wide = shapely.union_all([shapely.simplify(shapely.LineString(piece), SMOOTH / 3).buffer(PEN) for piece in pieces])
    rings = [shapely.Polygon(ring) for own in getattr(wide, "geoms", [wide]) for ring in own.interiors]
    if not rings:
        return shapely.Polygon()
    return max(rings, key=lambda own: own.area).buffer(PEN, join_style="mitre")
