"""Reading PDFs back with pikepdf and poppler: marks of PDF/UA, structure, strokes, text."""

from __future__ import annotations

import io
import re
import subprocess
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pikepdf

Point = tuple[float, float]
Line = tuple[Point, ...]


def tagged(data: bytes) -> pikepdf.Pdf:
    """Open a PDF and assert what PDF/UA-1 (ISO 14289-1) asks of the whole: tags, title, language."""
    pdf = pikepdf.open(io.BytesIO(data))
    assert pdf.Root.MarkInfo.Marked
    assert "/StructTreeRoot" in pdf.Root
    assert str(pdf.Root.Lang)
    assert pdf.Root.ViewerPreferences.DisplayDocTitle
    with pdf.open_metadata() as meta:
        assert meta.get("pdfuaid:part") == "1"
        assert meta.get("dc:title")
    return pdf


def elements(pdf: pikepdf.Pdf) -> Iterator[tuple[str, Any]]:
    """The structure elements in reading order, each as (its type, itself)."""

    def below(node: Any) -> Iterator[tuple[str, Any]]:
        kids = node.get("/K")
        for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
            if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
                yield str(kid.S).removeprefix("/"), kid
                yield from below(kid)

    yield from below(pdf.Root.StructTreeRoot)


def strokes(page: pikepdf.Page) -> dict[str, list[Line]]:
    """Colour (RRGGBB) -> the lines stroked in it, in points of the page (ISO 32000-1, 8.5)."""
    here, kept, colour, lines = pikepdf.Matrix(), [], "", []
    out: dict[str, list[Line]] = defaultdict(list)
    for operands, operator in pikepdf.parse_content_stream(page):
        match str(operator):
            case "q":
                kept.append((here, colour))
            case "Q":
                here, colour = kept.pop()
            case "cm":
                here = pikepdf.Matrix(*map(float, operands)) @ here
            case "SCN":
                colour = "".join(f"{round(float(part) * 255):02X}" for part in operands)
            case "m":
                lines.append((here.transform(tuple(map(float, operands))),))
            case "l":
                lines[-1] = (*lines[-1], here.transform(tuple(map(float, operands))))
            case "S":
                out[colour] += lines
                lines = []
            case "f" | "B" | "n" | "f*" | "B*":
                lines = []
    return dict(out)


def faces(data: bytes) -> set[str]:
    """The PostScript names of the faces a PDF carries, without the mark of a subset (ISO 32000-1, 9.6.4)."""
    with pikepdf.open(io.BytesIO(data)) as pdf:
        fonts = [each for each in pdf.objects if isinstance(each, pikepdf.Dictionary) and "/BaseFont" in each]
        names = (re.sub(r"^/([A-Z]{6}\+)?|-Identity-H$", "", str(font.BaseFont)) for font in fonts)
        return set(names)


def text_of(data: bytes, *options: str) -> str:
    """The text of a PDF as poppler reads it, one line for a block."""
    done = subprocess.run(["pdftotext", *options, "-", "-"], input=data, capture_output=True, check=True)
    assert not done.stderr, done.stderr.decode()
    return done.stdout.decode()


def flat(text: str) -> str:
    """Text without its line breaks and kinds of spaces."""
    return " ".join(text.split())


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of text of a PDF: its page, the height of its font [pt of 1/72 inch], what it says.

    ``above``: how far above the bottom of the page it stands [pt].
    """

    page: int
    size: float
    text: str
    above: float


def stretches(data: bytes) -> Iterator[Stretch]:
    """Each stretch of text that is drawn.

    The height is what the text matrix, the matrices around it and the pictures it stands in make of the
    font's size (ISO 32000-1, 9.4.4); which way a picture is turned does not matter.
    """
    with pikepdf.open(io.BytesIO(data)) as pdf:
        for number, page in enumerate(pdf.pages, start=1):
            for found in _written(page.obj, page.obj, pikepdf.Matrix()):
                yield Stretch(number, *found)


def _written(content: Any, holder: Any, here: pikepdf.Matrix) -> Iterator[tuple[float, str, float]]:
    resources = holder.get("/Resources", pikepdf.Dictionary())
    kept: list[pikepdf.Matrix] = []
    size, line, font = 0.0, pikepdf.Matrix(), pikepdf.Dictionary()
    for operands, operator in pikepdf.parse_content_stream(content):
        match str(operator):
            case "q":
                kept.append(here)
            case "Q":
                here = kept.pop()
            case "cm":
                here = pikepdf.Matrix(*map(float, operands)) @ here
            case "BT":
                line = pikepdf.Matrix()
            case "Tm":
                line = pikepdf.Matrix(*map(float, operands))
            case "Tf":
                size, font = float(operands[1]), resources.Font[str(operands[0])]
            case "Tj" | "TJ":
                pieces = operands[0] if str(operator) == "TJ" else [operands[0]]
                codes = b"".join(bytes(piece) for piece in pieces if isinstance(piece, pikepdf.String))
                names, whole = _characters(font), line @ here
                text = "".join(names.get(codes[at : at + 2], "") for at in range(0, len(codes), 2))
                across = abs(whole.a * whole.d - whole.b * whole.c) ** 0.5
                yield size * across, text, whole.f
            case "Do":
                drawn = resources.XObject[str(operands[0])]
                if str(drawn.get("/Subtype")) == "/Form":
                    matrix = pikepdf.Matrix(*map(float, drawn.get("/Matrix", [1, 0, 0, 1, 0, 0])))
                    yield from _written(drawn, drawn, matrix @ here)


def _characters(font: Any) -> dict[bytes, str]:
    """Two-byte code -> character, from the font's table for reading text out (ISO 32000-1, 9.10.3)."""
    table = font.ToUnicode.read_bytes().decode("ascii", "replace") if "/ToUnicode" in font else ""
    out: dict[bytes, str] = {}
    for kind, block in re.findall(r"beginbf(char|range)(.*?)endbf", table, re.S):
        if kind == "char":
            for code, said in re.findall(r"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>", block):
                out[bytes.fromhex(code)] = bytes.fromhex(said).decode("utf-16-be", "replace")
        else:
            for first, last, said in re.findall(r"<(\w+)>\s*<(\w+)>\s*<(\w+)>", block):
                for at in range(int(first, 16), int(last, 16) + 1):
                    out[at.to_bytes(2, "big")] = chr(int(said, 16) + at - int(first, 16))
    return out
