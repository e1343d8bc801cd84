"""Reads the printed pages of a full-size template: strokes and words of each page, and the sheets joined by their crosses."""

import collections
import math
import re

import numpy
from pypdf.generic import ContentStream

POINT = 72 / 25.4
NEAR = 0.01
# Sampling: two samples of one curve are at most this far apart, mm.
STEP = 0.25
# A cross is a circle of this radius, drawn with this pen.
CROSS, CROSS_PEN = 2.0, 0.25
# What is sawn and bored is drawn with this pen, undashed; what is made later, dashed.
CUT_PEN = 0.2
# What is marked, such as a hole that is bored from behind.
MARK_PEN = 0.18

def cubic(points):
    a, b, c, d = (numpy.array(p) for p in points)
    length = sum(numpy.linalg.norm(q - p) for p, q in ((a, b), (b, c), (c, d)))
    t = numpy.linspace(0, 1, max(3, int(length / STEP) + 2))[:, None]
    return (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t**2 * c + t**3 * d


def line(a, b):
    a, b = numpy.array(a), numpy.array(b)
    t = numpy.linspace(0, 1, max(2, int(numpy.linalg.norm(b - a) / STEP) + 2))[:, None]
    return a + (b - a) * t


class Page:
    """The strokes and the words of a page, in the millimetres that are drawn: the paper's where nothing is stretched."""

    def __init__(self, page, reader):
        box = page.mediabox
        self.size = (float(box.width) / POINT, float(box.height) / POINT)
        self.strokes, self.words = [], []
        matrix, pen, dash, path, at, start = None, 1, [], [], None, None
        for operands, operator in ContentStream(page.get_contents(), reader).operations:
            numbers = [float(o) for o in operands if isinstance(o, (int, float))]
            if operator == b"cm":
                assert numbers[1:3] == [0, 0] and numbers[4:] == [0, 0], "one scaling at the head"
                matrix = (numbers[0] / POINT, numbers[3] / POINT)
            elif operator == b"w":
                pen = numbers[0]
            elif operator == b"d":
                dash = list(operands[0])
            elif operator == b"m":
                at = start = tuple(numbers)
            elif operator == b"l":
                path.append(line(at, numbers))
                at = tuple(numbers)
            elif operator == b"c":
                path.append(cubic([at, numbers[:2], numbers[2:4], numbers[4:]]))
                at = tuple(numbers[4:])
            elif operator == b"h":
                path.append(line(at, start))
                at = start
            elif operator in (b"S", b"f"):
                if path and operator == b"S":
                    points = numpy.vstack(path)
                    self.strokes.append((round(pen, 3), bool(dash), points))
                path = []
            elif operator == b"Tm":
                self.text_at = tuple(numbers[4:])
            elif operator == b"Tj":
                raw = operands[0]
                text = raw.decode("cp1252") if isinstance(raw, bytes) else str(raw)
                self.words.append((text, self.text_at))
        self.stretch = matrix

    def crosses(self):
        """Centre of each registration mark by its label."""
        found = {}
        labels = [(t, p) for t, p in self.words if re.fullmatch(r"[A-Z]+\d+-[A-Z]+\d+ [ab]", t)]
        for pen, dashed, points in self.strokes:
            low, high = points.min(0), points.max(0)
            if pen == CROSS_PEN and len(points) > 20 and abs(high - low - 2 * CROSS).max() < 1e-3:
                centre = (low + high) / 2
                label = min(labels, key=lambda own: math.dist(own[1], centre))[0]
                found[label] = centre
        return found

    def cut(self):
        return [points for pen, dashed, points in self.strokes if pen == CUT_PEN and not dashed]

    def marked(self):
        return [points for pen, dashed, points in self.strokes if pen == MARK_PEN and not dashed]

    def later(self):
        return [points for pen, dashed, points in self.strokes if pen == CUT_PEN and dashed]


def drawn_sheets(pages):
    """The sheets that the template is drawn on, without the first pages."""
    return [page for page in pages if any(re.search(r": sheet [A-Z]+\d+, ", text) for text, _ in page.words)]


def groups(pages):
    """Sheets put together by the crosses that they share, each with its shift into the frame of its group's first; and what is
    wrong with the crosses."""
    marks = [page.crosses() for page in pages]
    count = collections.Counter(label for own in marks for label in own)
    wrong = [f"cross {label} is on {times} sheets" for label, times in count.items() if times != 2]
    found, left = [], list(range(len(pages)))
    while left:
        shifts, open_pages = {left[0]: numpy.zeros(2)}, [left[0]]
        while open_pages:
            at = open_pages.pop()
            for other in range(len(pages)):
                shared = marks[at].keys() & marks[other].keys()
                if other in shifts or not shared:
                    continue
                steps = [shifts[at] + marks[at][label] - marks[other][label] for label in shared]
                if numpy.ptp(numpy.array(steps), axis=0).max() > NEAR:
                    wrong.append(f"crosses of one seam do not agree: {steps}")
                shifts[other] = steps[0]
                open_pages.append(other)
        found.append([(pages[index], shift) for index, shift in sorted(shifts.items())])
        left = [index for index in left if index not in shifts]
    return found, wrong


def lines(group, kind):
    """The lines of one kind (`Page.cut`, `Page.later`) on a group of sheets, in the frame of its first."""
    return [piece + shift for page, shift in group for piece in kind(page)]


def unfolded(pieces, fold=None):
    """A half pattern and its mirror image at the fold, which its lines reach."""
    if fold is None:
        fold = numpy.vstack(pieces).max(0)[0]
    return pieces + [numpy.column_stack([2 * fold - piece[:, 0], piece[:, 1]]) for piece in pieces]
