"""A small SVG writer: the same calls give the same bytes.

Numbers are rounded to two decimals, attributes stand in the order given, every text is escaped.
Styling is by presentation attributes only, and ids begin with a digest of the picture, so that
several pictures can stand in one page without touching one another.
"""

from __future__ import annotations

import hashlib
import math
import re
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager

from buildalong.drawing import _text
from buildalong.drawing._palette import PLAIN, Tone
from buildalong.drawing._picture import Picture
from buildalong.drawing._text import FALLBACK_FAMILY, FAMILY, Anchor, Style

__all__ = ["Svg", "number", "path"]

Value = str | float | int | None
Point = tuple[float, float]

_ID = "\x00"
_SCALE = re.compile(r"\bscale\(([\d.]+)\)")
_MATRIX = re.compile(r"\bmatrix\(([^)]*)\)")
_CONTROL = {code: None for code in range(32) if code not in (9, 10, 13)}
_ESCAPES = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;"})


def number(value: float) -> str:
    """Write a number with at most two decimals, never '-0'; raises ValueError unless finite."""
    if not math.isfinite(value):
        raise ValueError("a coordinate is not finite")
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _escape(text: str) -> str:
    return text.translate(_CONTROL).translate(_ESCAPES)


def path(*bits: str | float | Point) -> str:
    """Put path data together: ``path("M", (0, 0), "L", (3, 4), "A", 2, 2, 0, 0, 1, (5, 5), "Z")``."""
    words: list[str] = []
    for bit in bits:
        if isinstance(bit, str):
            words.append(bit)
        elif isinstance(bit, tuple):
            words.extend(number(value) for value in bit)
        else:
            words.append(number(bit))
    return " ".join(words)


class Svg:
    """A picture being drawn.  Units are user units; y grows downwards.

    Attribute names are written with underscores (``stroke_width``); ``None`` leaves one out; a
    trailing underscore is dropped (``class_``).  ``tone`` puts colours in the place of others;
    without ``words`` no text is written.
    """

    def __init__(
        self, width: float, height: float, *, title: str, alt: str, x: float = 0, y: float = 0,
        background: str | None = None, tone: Tone = PLAIN, words: bool = True,
    ) -> None:  # fmt: skip
        self.tone = tone
        self.x, self.y, self.width, self.height = x, y, width, height
        self.title, self.alt, self.words = title, alt, words
        self._body: list[str] = []
        self._depth = 1
        self._scales = [1.0]
        self._smallest = 0.0
        if background:
            self.rect(x, y, width, height, fill=background)

    def id(self, name: str) -> str:
        """An id that is unique to this picture, for ``id=`` attributes."""
        return f"{_ID}{name}"

    def ref(self, name: str) -> str:
        """The ``url(#...)`` that points at :meth:`id`."""
        return f"url(#{_ID}{name})"

    def element(self, tag: str, text: Value = None, /, **attributes: Value) -> None:
        """Write any element, with escaped text inside if given."""
        written = self._open(tag, attributes)
        if text is None:
            self._line(f"{written}/>")
        else:
            self._line(f"{written}>{_escape(str(text))}</{tag}>")

    @contextmanager
    def group(self, tag: str = "g", **attributes: Value) -> Iterator[None]:
        """Write an element around what is drawn inside the ``with``."""
        self._line(f"{self._open(tag, attributes)}>")
        self._depth += 1
        self._scales.append(self._scales[-1] * _scale(str(attributes.get("transform", ""))))
        yield
        self._scales.pop()
        self._depth -= 1
        self._line(f"</{tag}>")

    def rect(self, x: float, y: float, width: float, height: float, **attributes: Value) -> None:
        """Draw a rectangle."""
        self.element("rect", x=x, y=y, width=width, height=height, **attributes)

    def line(self, x1: float, y1: float, x2: float, y2: float, **attributes: Value) -> None:
        """Draw a straight line."""
        self.element("line", x1=x1, y1=y1, x2=x2, y2=y2, **attributes)

    def circle(self, x: float, y: float, radius: float, **attributes: Value) -> None:
        """Draw a circle."""
        self.element("circle", cx=x, cy=y, r=radius, **attributes)

    def polyline(self, points: Iterable[Point], **attributes: Value) -> None:
        """Draw straight lines through points (set ``fill="none"`` for an open one)."""
        self.element("polyline", points=_points(points), **attributes)

    def polygon(self, points: Iterable[Point], **attributes: Value) -> None:
        """Draw a closed polygon."""
        self.element("polygon", points=_points(points), **attributes)

    def path(self, data: str, **attributes: Value) -> None:
        """Draw a path; build the data with :func:`path`."""
        self.element("path", d=data, **attributes)

    def text(
        self, x: float, y: float, text: str, size: float, *, anchor: Anchor = "start",
        style: Style = "regular", **attributes: Value,
    ) -> None:  # fmt: skip
        """Write a label with its baseline at y; ``_{}`` and ``^{}`` lower and raise."""
        if not self.words:
            return
        written = self._open(
            "text",
            {
                "x": x, "y": y, "font_size": size,
                "text_anchor": None if anchor == "start" else anchor,
                "font_weight": "bold" if style == "bold" else None,
                "font_style": "italic" if style == "italic" else None,
                **attributes,
            },
        )  # fmt: skip
        inner: list[str] = []
        shift = 0.0
        for run in _text.runs(text):
            shown = run.scale * size * self._scales[-1]
            self._smallest = min(self._smallest or shown, shown)
            change, shift = run.shift - shift, run.shift
            span: dict[str, Value] = {
                "dy": change * size if change else None,
                "font_size": run.scale * size if run.scale != 1 else None,
                "font_family": FALLBACK_FAMILY if run.fallback else None,
            }
            if change or run.scale != 1 or run.fallback:
                inner.append(f"{self._open('tspan', span)}>{_escape(run.text)}</tspan>")
            else:
                inner.append(_escape(run.text))
        self._line(f"{written}>{''.join(inner)}</text>")

    def insert(self, picture: Picture, x: float, y: float, width: float, height: float) -> None:
        """Put a finished picture into this rectangle; it keeps its proportions."""
        self._line(picture.placed(x, y, width, height).rstrip("\n"))

    def picture(self) -> Picture:
        """Finish the drawing."""
        body = "\n".join(self._body)
        size = f"{number(self.width)} {number(self.height)}"
        digest = hashlib.sha256(f"{self.title}\n{self.alt}\n{size}\n{body}".encode()).hexdigest()[:8]
        lines = [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{number(self.x)} {number(self.y)} {size}"'
            f' width="{number(self.width)}" height="{number(self.height)}" role="img"'
            f' aria-labelledby="{_ID}desc" aria-describedby="{_ID}title" font-family="{FAMILY}">',
            f' <title id="{_ID}title">{_escape(self.title)}</title>',
            f' <desc id="{_ID}desc">{_escape(self.alt)}</desc>',
            body,
            "</svg>",
            "",
        ]
        svg = "\n".join(line for line in lines if line or line == lines[-1])
        return Picture(
            svg.replace(_ID, f"p{digest}-"), self.alt, self.width, self.height, round(self._smallest, 4)
        )

    def _open(self, tag: str, attributes: Mapping[str, Value]) -> str:
        bits = [f"<{tag}"]
        for name, value in attributes.items():
            if value is None:
                continue
            shown = value if isinstance(value, str) else number(value)
            if name in ("fill", "stroke"):
                shown = self.tone.colour(shown)
            safe = _ID.join(_escape(bit) for bit in shown.split(_ID))
            bits.append(f'{name.rstrip("_").replace("_", "-")}="{safe}"')
        return " ".join(bits)

    def _line(self, text: str) -> None:
        self._body.append(" " * self._depth + text)


def _scale(transform: str) -> float:
    """By how much a transform enlarges: of a matrix the root of its determinant."""
    if found := _SCALE.search(transform):
        return float(found[1])
    if found := _MATRIX.search(transform):
        a, b, c, d = (float(figure) for figure in found[1].split()[:4])
        return math.sqrt(abs(a * d - b * c))
    return 1.0


def _points(points: Iterable[Point]) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)
