"""Reading PDFs back with pikepdf and poppler: marks of PDF/UA, structure, strokes, text."""

from __future__ import annotations

import io
import subprocess
from collections import defaultdict
from collections.abc import Iterator
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


def text_of(data: bytes, *options: str) -> str:
    """The text of a PDF as poppler reads it, one line for a block."""
    done = subprocess.run(["pdftotext", *options, "-", "-"], input=data, capture_output=True, check=True)
    assert not done.stderr, done.stderr.decode()
    return done.stdout.decode()


def flat(text: str) -> str:
    """Text without its line breaks and kinds of spaces."""
    return " ".join(text.split())
