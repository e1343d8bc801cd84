"""The book is a second telling: what its tables say is found again in the files for programs, cell by cell."""

import collections
import re

from book import true_mm
from papers import tape_mm

# A size with what its mark is off is told to a thousandth of an inch, mm.
TOLD = 25.4 / 2000 + 1e-6
# As far as a place in the piece may be off its mark, mm: half a 32nd of an inch, or half a millimetre.
INCH_PLACE, MM_PLACE = 25.4 / 64 + 1e-6, 0.5 + 1e-6
# The outermost of the piece is read from a file of 24 bits, mm.
ORIGIN = 0.02


class Faults(list):
    def same(self, what, told, file):
        if told != file:
            self.append(f"{what}: the book says {told!r}, the file {file!r}")


def disagreements(book, papers):
    """What the book tells otherwise than the files, and how many cells were compared."""
    faults = Faults()
    counts = [
        compare(book, papers, faults) for compare in (cut_list, making, holes, drilled, cuts, bends, stops, places)
    ]
    return faults, sum(counts)


def by(rows, *keys):
    found = collections.defaultdict(list)
    for row in rows:
        found[tuple(row[key] for key in keys)].append(row)
    return found


def cut_list(book, papers, faults):
    told, files = book.printed("Cut list"), papers.rows("cut_list")
    faults.same("marks of the cut list", [row["mark"] for row in told], [row["mark"] for row in files])
    for row, file in zip(told, files):
        where = f"cut list {row['mark']}"
        for title, key in (("part", "name"), ("count", "quantity"), ("cut from", "boards")):
            faults.same(f"{where} {title}", row[title], file[key])
        for key in ("length", "width", "thickness"):
            faults.same(f"{where} {key}", row[key].split(" less ")[0].split(" plus ")[0], file[key])
            if abs(true_mm(row[key]) - float(file[f"{key}_mm"])) > TOLD + 1e-9:
                faults.append(f"{where} {key}: {row[key]} is not {file[f'{key}_mm']} mm")
        for key in ("fit", "pair"):
            if file[key] and file[key] not in row.get("note", ""):
                faults.append(f"{where}: the note does not say {file[key]!r}")
    return 8 * len(told)


def making(book, papers, faults):
    """How each part is made, and when; where its holes are the table tells."""
    files, count = by(papers.rows("cutting"), "mark"), 0
    for mark in book.sets:
        told = [own for own in book.steps(mark) if not own[0].startswith("Bore the holes of the table below")]
        file = [(own["words"], own["when"]) for own in files[mark,] if own["work"] != "bore"]
        faults.same(f"making of {mark}", told, file)
        count += len(told)
    return count


def holes(book, papers, faults):
    files = by(papers.rows("holes"), "mark", "hole")
    told = {
        (mark, row["hole"]): row
        for mark, blocks in book.sets.items()
        for table in blocks
        if table[0] == "table" and table[1].startswith("Holes of")
        for row in (dict(zip(table[2], own)) for own in table[3])
    }
    faults.same("holes", sorted(told), sorted(files))
    stretches = by(book.holes, "mark", "hole")
    for key in told.keys() & files.keys():
        row, first, where = told[key], files[key][0], f"hole {key[1]} of {key[0]}"
        for title, name in (
            ("bored from", "side"), ("from datum end", "from_end"), ("from datum edge", "from_edge"),
            ("from back face", "from_face"), ("when", "when"),
        ):
            faults.same(f"{where} {title}", row.get(title, ""), first[name])
        faults.same(f"{where} purpose", row["for"].split("; in ")[0], purpose(first["purpose"], book))
        faults.same(f"{where} turned", stretches[key][0]["turned"], first["turned"])
        own, of_file = stretches[key], files[key]
        faults.same(f"{where} bits", [one["drill"] for one in own], [one["drill"] for one in of_file])
        faults.same(f"{where} through", [one["through"] for one in own], [one["through"] for one in of_file])
        start = float(first["depth_from_mm"] or 0)
        for one, file in zip(own, of_file):
            if one["depth_to"] is not None:
                near(faults, f"{where} depth", one["depth_to"], float(file["depth_to_mm"]) - start, book)
        for lean in ("lean_length_deg", "lean_width_deg", "lean_thickness_deg"):
            if abs(own[0][lean] - float(first[lean] or 0)) > 0.05 + 1e-9:
                faults.append(f"{where}: leans {own[0][lean]} and not {first[lean]} degrees")
        if first["countersink_mm"] and "countersunk" not in row["bore"]:
            faults.append(f"{where}: the countersink is not told")
    return 11 * len(told)


def purpose(words, book):
    """What a hole is for; a bolt is sold by the inch, and a metric book tells its length in whole millimetres."""
    sold = re.fullmatch(r'(.*?) ((?:\d+ )?\d+(?:/\d+)?")', words) if book.metric else None
    return f"{sold[1]} {tape_mm(sold[2]):.0f} mm" if sold else words


def near(faults, what, told, true, book, slack=0.0):
    if abs(told - true) > (MM_PLACE if book.metric else INCH_PLACE) + slack:
        faults.append(f"{what}: the book says {told:.2f} mm, the file {true:.2f} mm")


def drilled(book, papers, faults):
    files = papers.rows("drilled")
    faults.same("rows of what is drilled on", len(book.drilled), len(files))
    for row, file in zip(book.drilled, files):
        where = f"drilled on in {file['mark']}"
        for key, name in (
            ("mark", "mark"), ("part", "name"), ("count", "count"), ("drill", "drill"), ("through_mark", "through_mark"),
            ("through", "through"), ("holes", "holes"),
        ):
            faults.same(f"{where} {name}", row[key], file[name])
        faults.same(f"{where} purpose", row["purpose"], purpose(file["purpose"], book))
        near(faults, f"{where} depth", row["depth"], float(file["depth_mm"]), book)
    return 9 * len(files)


def cuts(book, papers, faults):
    """Planes and walls, mark by mark; of a hollow that follows a curve only that it is scribed, from what and when."""
    files = by(papers.rows("planes"), "mark", "cut")
    told = by(book.planes, "mark", "cut")
    faults.same("angled cuts", sorted(told), sorted(files))
    for key in told.keys() & files.keys():
        (row,), (file,) = told[key], files[key]
        plane(faults, f"cut {key[1]} of {key[0]}", row, file, ("what", "along", "keep", "when"))
    files, told = by(papers.rows("notches"), "mark", "notch"), by(book.notches, "mark", "notch")
    faults.same("notches", sorted(told), sorted(files))
    for key in told.keys() & files.keys():
        for name in ("purpose", "when"):
            faults.same(f"notch {key[1]} of {key[0]} {name}", told[key][0][name], files[key][0][name])
    scribed = {(row["mark"], row["notch"]) for row in book.scribed}
    files = {key: rows for key, rows in by(papers.rows("notch_walls"), "mark", "notch").items() if key not in scribed}
    told = by(book.notch_walls, "mark", "notch")
    faults.same("walls", {key: len(rows) for key, rows in told.items()}, {key: len(rows) for key, rows in files.items()})
    for key in told.keys() & files.keys():
        for row, file in zip(told[key], files[key]):
            plane(faults, f"notch {key[1]} of {key[0]}", row, file, ("region", "along", "remove"))
    return 7 * len(book.planes) + 6 * len(book.notch_walls) + 2 * len(book.notches)


def plane(faults, where, row, file, names):
    for name in names:
        faults.same(f"{where} {name}", row[name], file[name])
    for name in ("first", "second", "third"):
        faults.same(f"{where} {name} mark", round(row[name], 6), round(tape_mm(file[name]), 6))


def bends(book, papers, faults):
    sprung = {row["mark"] for row in papers.rows("cut_list") if row["sprung"]}
    files = [row for row in papers.rows("outlines") if row["mark"] in sprung]
    faults.same("corners of bent lines", len(book.outlines), len(files))
    for row, file in zip(book.outlines, files):
        where = f"corner {file['corner']} of {file['mark']}"
        for key in ("from_end", "from_datum", "radius"):
            told = None if row[key] is None else round(row[key], 6)
            faults.same(f"{where} {key}", told, round(tape_mm(file[key]), 6) if file[key] else None)
        faults.same(f"{where} turn", row["turn"], (float(file["bulge"]) > 0) - (float(file["bulge"]) < 0))
    return 4 * len(files)


def stops(book, papers, faults):
    """Every setting, as it stands in the table of stops."""
    titles = {"set to": "stop", "true size": "off", "mark": "mark", "part": "name", "section": "section", "count": "count",
              "note": "note", "work": "work"}
    told, files = book.printed("stops and settings"), papers.rows("stops")
    faults.same("rows of the stops", len(told), len(files))
    for number, (row, file) in enumerate(zip(told, files), 1):
        for title, name in titles.items():
            faults.same(f"stop {number} {title}", row.get(title, ""), file[name])
        for name in ("mitre", "bevel"):
            own = row.get(name, "").rstrip("°")
            if bool(own) != bool(file[f"{name}_deg"]) or (own and abs(float(own) - float(file[f"{name}_deg"])) > 0.05 + 1e-9):
                faults.append(f"stop {number} {name}: the book says {own!r}, the file {file[f'{name}_deg']!r}")
    return 10 * len(files)


def places(book, papers, faults):
    """Where the datum corners stand, and where the boards lead from there."""
    faults.same("parts that stand", [row["part"] for row in book.places], [row["part"] for row in papers.places])
    lengths = {row["mark"]: row["length"] for row in papers.cut_list}
    slope = 1000.0 if book.metric else 12 * 25.4
    for row, file in zip(book.places, papers.places):
        where = f"place of {file['part']}"
        faults.same(f"{where} mark", row["mark"], file["mark"])
        for key in ("right", "rear", "up"):
            near(faults, f"{where} {key}", row[key], file[key], book, ORIGIN)
            for way, length in (("along", lengths[file["mark"]]), ("across", slope)):
                # A direction of three figures, each off its mark, is set to length and square again.
                off = abs(row[f"{way}_{key}"] - file[f"{way}_{key}"]) * length
                if off > 2 * (MM_PLACE if book.metric else INCH_PLACE):
                    faults.append(f"{where}: {way} leads {off:.2f} mm off {key}")
    return 10 * len(book.places)
