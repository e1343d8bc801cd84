"""Reads the PDF books of built designs by other programs, beside the HTML books of the same designs.

    python tests/oracle/book_pdf.py FOLDER ...

FOLDER is what `slatwork build ... --out FOLDER` wrote, by a program with the feature `book-pdf`. Of book.pdf and owner.pdf: the
file is sound (qpdf) and claims PDF/UA-1; it has title and language; all letters are embedded; its tags are a tree in which headings
go down one by one, tables have heads, drawings and formulas words for who cannot see them, and links lead somewhere; every chapter is among the
bookmarks; no word stands outside the paper's margins; and every heading, paragraph, entry of a list and row of a table that the HTML
has stands in it, rows as a whole. The owner's sheet has two pages. Prints a line a file; any trouble makes the exit code 1.

Needs pypdf, and `pdftotext` and `qpdf` (Debian: poppler-utils, qpdf).
"""

import collections
import html.parser
import pathlib
import re
import subprocess
import sys
import unicodedata

import pypdf

# No word nearer to the edge of the paper than this, points: printers leave 4 to 6 mm.
EDGE = 14.0


class Texts(html.parser.HTMLParser):
    """What a reader of the HTML is told, piece by piece: rows of tables as one piece, everything else by its element."""

    PIECES = {"h1", "h2", "h3", "p", "li", "dt", "dd", "caption", "figcaption", "tr"}
    # Only on screens, or drawn: controls, the skip link, the pictures' own words.
    SKIPPED = {"svg", "script", "style", "nav", "head"}
    # Formulas and their signs: pages give their letters in the order in which they are set.
    SET = {"math", "i"}

    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.pieces, self.open, self.skipped, self.formulas = [], [], 0, 0

    def handle_starttag(self, tag, attributes):
        attributes = dict(attributes)
        # Formulas and the signs that are explained under them.
        self.formulas += not self.skipped and tag in self.SET
        live = tag == "div" and attributes.get("class") == "live"
        if self.skipped or tag in self.SKIPPED or live or attributes.get("class") == "skip" or tag in self.SET:
            self.skipped += tag not in ("meta", "input", "br")
        elif tag in self.PIECES:
            self.open.append([tag, ""])

    def handle_endtag(self, tag):
        if self.skipped:
            self.skipped -= tag not in ("meta", "input", "br")
        elif tag in self.PIECES and self.open:
            self.pieces.append(tuple(self.open.pop()))

    def handle_data(self, data):
        if not self.skipped and self.open:
            self.open[-1][1] += data


def bare(text):
    """Letters alone, small and upright: no blanks, nothing of where a long word may be broken."""
    return re.sub(r"[\s\u200b\u00ad]", "", unicodedata.normalize("NFKC", text)).casefold()


def tree(node, parents=()):
    """Every element of the tree of tags, with the names of those above it."""
    kids = node.get("/K", [])
    kids = kids.get_object() if isinstance(kids, pypdf.generic.IndirectObject) else kids
    name = node.get("/S", "")
    if name:
        yield str(name)[1:], node, parents
        parents = (*parents, str(name)[1:])
    for kid in kids if isinstance(kids, list) else [kids]:
        kid = kid.get_object() if isinstance(kid, pypdf.generic.IndirectObject) else kid
        if isinstance(kid, dict) and "/S" in kid:
            yield from tree(kid, parents)


def read_tags(reader, faults):
    root = reader.trailer["/Root"]
    if not root.get("/MarkInfo", {}).get("/Marked"):
        faults.append("it is not tagged")
        return collections.Counter()
    level, count = 0, collections.Counter()
    for name, node, parents in tree(root["/StructTreeRoot"]):
        count[name] += 1
        if re.fullmatch(r"H[1-6]", name):
            if int(name[1]) > level + 1:
                faults.append(f"a heading of level {name[1]} under one of level {level}")
            level = int(name[1])
        if name in ("Figure", "Formula") and not str(node.get("/Alt", "")).strip():
            faults.append(f"a {name.lower()} without words")
        if name == "TD" and "TR" not in parents or name == "TR" and "Table" not in parents:
            faults.append(f"{name} outside of a table")
        if name == "LI" and "L" not in parents:
            faults.append("an entry outside of a list")
    if count["Table"] and count["TH"] < count["Table"]:
        faults.append("a table without heads")
    return count


def read_fonts(reader, faults):
    for number, page in enumerate(reader.pages, 1):
        resources = [page["/Resources"]]
        resources += [own.get_object().get("/Resources", {}) for own in resources[0].get("/XObject", {}).values()]
        for font in [own.get_object() for some in resources for own in some.get("/Font", {}).values()]:
            inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
            descriptor = inner.get("/FontDescriptor", {})
            if not any(f"/FontFile{own}" in descriptor for own in ("", "2", "3")):
                faults.append(f"page {number}: letters are not embedded: {font.get('/BaseFont')}")
            if "/ToUnicode" not in font:
                faults.append(f"page {number}: letters that cannot be read out: {font.get('/BaseFont')}")


def read_edges(path, faults):
    words = subprocess.run(["pdftotext", "-bbox", path, "-"], capture_output=True, text=True, check=True).stdout
    number, size = 0, (0, 0)
    for line in words.splitlines():
        values = [float(own) for own in re.findall(r'"([-\d.]+)"', line)]
        if "<page " in line:
            number, size = number + 1, values
        elif "<word " in line:
            left, top, right, bottom = values
            if left < EDGE or top < EDGE or right > size[0] - EDGE or bottom > size[1] - EDGE:
                faults.append(f"page {number}: beyond the margins: {line.strip()[:120]}")


def read_words(path, pieces, faults):
    """Every piece of the HTML stands in the PDF, whatever the page it came on."""
    pages = subprocess.run(["pdftotext", "-raw", "-enc", "UTF-8", path, "-"], capture_output=True, text=True, check=True).stdout
    # Each page ends with its number, where it has one.
    text = bare("".join(re.sub(r"\n\d+\s*$", "", page) for page in pages.split("\f")))
    missing = [(tag, own) for tag, own in pieces if bare(own) and bare(own) not in text]
    faults += [f"does not say {tag}: {' '.join(own.split())[:90]}" for tag, own in missing[:8]]
    if len(missing) > 8:
        faults.append(f"and {len(missing) - 8} more")
    return len(pieces)


def read(folder, name):
    path, faults = folder / f"{name}.pdf", []
    checked = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True)
    if checked.returncode:
        faults.append(f"qpdf: {(checked.stdout + checked.stderr).strip().splitlines()[-1]}")
    reader = pypdf.PdfReader(path)
    root = reader.trailer["/Root"]
    if root.get("/Lang") != "en":
        faults.append("it has no language")
    if b"<pdfuaid:part>1</pdfuaid:part>" not in root["/Metadata"].get_data():
        faults.append("it does not claim PDF/UA-1")
    if not reader.metadata.title or not root.get("/ViewerPreferences", {}).get("/DisplayDocTitle"):
        faults.append("its title is not shown")
    count = read_tags(reader, faults)
    read_fonts(reader, faults)
    read_edges(path, faults)
    texts = Texts()
    texts.feed((folder / f"{name}.html").read_text(encoding="utf-8"))
    told = read_words(path, texts.pieces, faults)
    of_html = collections.Counter(tag for tag, _ in texts.pieces)
    if count["Formula"] != texts.formulas:
        faults.append(f"{count['Formula']} formulas and signs where the HTML has {texts.formulas}")
    # A table's title is the first row of its head.
    rows = count["TR"] - count["Table"]
    if rows != of_html["tr"]:
        faults.append(f"{rows} rows of tables where the HTML has {of_html['tr']}")
    chapters = [" ".join(own.split()) for tag, own in texts.pieces if tag == "h2"]
    marks = [str(own.title) for own in reader.outline if not isinstance(own, list)]
    if marks != chapters:
        faults.append(f"bookmarks are {marks} where chapters are {chapters}")
    if name == "owner" and len(reader.pages) != 2:
        faults.append(f"{len(reader.pages)} pages where two are promised")
    links = sum(len([1 for own in page.get("/Annots", []) if own.get_object().get("/Subtype") == "/Link"]) for page in reader.pages)
    if name == "book" and links < len(chapters):
        faults.append(f"{links} links for {len(chapters)} chapters")
    print(
        f"{path}: {len(reader.pages)} pages, {told} pieces of text, {count['Table']} tables, {count['Figure']} drawings, "
        f"{count['Formula']} formulas, {'fine' if not faults else f'{len(faults)} faults'}"
    )
    for fault in faults[:12]:
        print(f"    {fault}")
    return not faults


if __name__ == "__main__":
    folders = [pathlib.Path(own) for own in sys.argv[1:]]
    fine = [read(folder, name) for folder in folders for name in ("book", "owner")]
    sys.exit(0 if fine and all(fine) else 1)
