"""Measuring pictures from outside: reads the SVG and the font files."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

from fontTools.ttLib import TTFont

from buildalong.drawing import Picture, missing_characters

FONTS = Path(__file__).parents[2] / "src" / "buildalong" / "drawing" / "fonts"
SVG = "{http://www.w3.org/2000/svg}"

Point = tuple[float, float]
Matrix = tuple[float, float, float, float, float, float]
IDENTITY: Matrix = (1, 0, 0, 1, 0, 0)


@dataclass(frozen=True)
class Text:
    """A text with the rectangle around its ink, from cap height to baseline, in the picture."""

    text: str
    box: tuple[float, float, float, float]
    fill: str
    bold: bool
    italic: bool


@dataclass(frozen=True)
class Circle:
    x: float
    y: float
    r: float
    fill: str
    stroke: str


@cache
def font(name: str) -> tuple[dict[int, str], object, float]:
    file = TTFont(FONTS / name)
    return file.getBestCmap(), file["hmtx"], file["head"].unitsPerEm


def advance(character: str, bold: bool = False, italic: bool = False) -> float:
    """Width of a character at size 1, by the font's own table."""
    style = "Bold" if bold else "Italic" if italic else "Regular"
    second = "Bold" if bold else "Regular"
    for name in (f"AtkinsonHyperlegible-{style}.ttf", f"DejaVuSans-{second}.ttf"):
        cmap, widths, per_em = font(name)
        if ord(character) in cmap:
            return widths[cmap[ord(character)]][0] / per_em  # type: ignore[index]
    raise AssertionError(f"no vendored font has '{character}'")


def multiply(a: Matrix, b: Matrix) -> Matrix:
    return (
        a[0] * b[0] + a[2] * b[1], a[1] * b[0] + a[3] * b[1], a[0] * b[2] + a[2] * b[3],
        a[1] * b[2] + a[3] * b[3], a[0] * b[4] + a[2] * b[5] + a[4], a[1] * b[4] + a[3] * b[5] + a[5],
    )  # fmt: skip


def matrix(text: str) -> Matrix:
    """The matrix of a transform attribute made of translate, rotate, scale and matrix."""
    out = IDENTITY
    for name, inside in re.findall(r"(\w+)\(([^)]*)\)", text):
        n = [float(v) for v in inside.split()]
        if name == "translate":
            out = multiply(out, (1, 0, 0, 1, n[0], n[1]))
        elif name == "scale":
            out = multiply(out, (n[0], 0, 0, n[-1], 0, 0))
        elif name == "rotate":
            a = math.radians(n[0])
            turn = (math.cos(a), math.sin(a), -math.sin(a), math.cos(a), 0.0, 0.0)
            if len(n) == 3:
                turn = multiply(multiply((1, 0, 0, 1, n[1], n[2]), turn), (1, 0, 0, 1, -n[1], -n[2]))
            out = multiply(out, turn)
        elif name == "matrix":
            out = multiply(out, (n[0], n[1], n[2], n[3], n[4], n[5]))
        else:
            raise AssertionError(name)
    return out


def apply(m: Matrix, x: float, y: float) -> tuple[float, float]:
    return m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]


class Sheet:
    """A parsed picture."""

    def __init__(self, svg: str) -> None:
        self.root = ElementTree.fromstring(svg)
        self.texts: list[Text] = []
        self.circles: list[Circle] = []
        self.paths: list[tuple[str, Matrix]] = []
        self.lines: list[tuple[str, str, tuple[Point, Point]]] = []  # width, unscaled, colour, both ends
        x, y, w, h = (float(v) for v in self.root.attrib["viewBox"].split())
        self.frame = (x, y, x + w, y + h)
        self._walk(self.root, IDENTITY)

    def _walk(self, element: ElementTree.Element, m: Matrix) -> None:
        if element.attrib.get("opacity") == "0":  # what is not seen now
            return
        m = multiply(m, matrix(element.attrib.get("transform", "")))
        tag = element.tag.removeprefix(SVG)
        if tag == "text":
            self.texts.append(self._text(element, m))
        if tag == "circle":
            x, y = apply(m, float(element.attrib["cx"]), float(element.attrib["cy"]))
            scale = math.sqrt(abs(m[0] * m[3] - m[1] * m[2]))
            a = element.attrib
            self.circles.append(Circle(x, y, float(a["r"]) * scale, a.get("fill", ""), a.get("stroke", "")))
        if tag == "line":
            x1, y1, x2, y2 = (float(element.attrib[key]) for key in ("x1", "y1", "x2", "y2"))
            width = element.attrib.get("stroke-width", "")
            stroke = element.attrib.get("stroke", "")
            self.lines.append((width, stroke, (apply(m, x1, y1), apply(m, x2, y2))))
        if tag == "path":
            self.paths.append((element.attrib["d"], m))
        for child in element:
            self._walk(child, m)

    def _text(self, element: ElementTree.Element, m: Matrix) -> Text:
        a = element.attrib
        size = float(a["font-size"])
        bold, italic = a.get("font-weight") == "bold", a.get("font-style") == "italic"
        pieces = [(element.text or "", size)]
        for span in element:
            pieces.append((span.text or "", float(span.attrib.get("font-size", size))))
            pieces.append((span.tail or "", size))
        text = "".join(piece for piece, _ in pieces)
        wide = sum(advance(c, bold, italic) * s for piece, s in pieces for c in piece)
        x, y = float(a["x"]), float(a["y"]) + float(a.get("dy", 0))
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[a.get("text-anchor", "start")]
        corners = [apply(m, cx, cy) for cx in (left, left + wide) for cy in (y - 0.668 * size, y)]
        xs, ys = [p[0] for p in corners], [p[1] for p in corners]
        return Text(text, (min(xs), min(ys), max(xs), max(ys)), a.get("fill", "#000000"), bold, italic)


def ends(d: str, m: Matrix) -> tuple[tuple[float, float], tuple[float, float]]:
    """First and last point of a path of absolute M, L, A commands, in the picture."""
    numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", d)]
    return apply(m, *numbers[:2]), apply(m, *numbers[-2:])


def overlap(a: tuple[float, ...], b: tuple[float, ...], slack: float = 0.5) -> bool:
    """Whether two rectangles share more than a hair."""
    return min(a[2], b[2]) - max(a[0], b[0]) > slack and min(a[3], b[3]) - max(a[1], b[1]) > slack


def crosses(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    """Whether two segments cross: each has the ends of the other on its two sides (by determinants)."""

    def turn(a: Point, b: Point, c: Point) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    (a, b), (c, d) = one, other
    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0


def assert_tidy(picture: Picture) -> None:
    """Every letter is in the fonts, every text within the picture, and none over another."""
    assert missing_characters(picture) == ()
    sheet = Sheet(picture.svg)
    x0, y0, x1, y1 = sheet.frame
    for text in sheet.texts:
        assert x0 <= text.box[0], text
        assert text.box[2] <= x1, text
        assert y0 <= text.box[1], text
        assert text.box[3] <= y1, text
    for one, other in combinations(sheet.texts, 2):
        assert not overlap(one.box, other.box), (one.text, other.text)
