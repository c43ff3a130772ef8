"""From a layout to a picture."""

from __future__ import annotations

import math
from collections.abc import Collection

from buildalong.circuit import Circuit
from buildalong.drawing._palette import ACCENT, INK, INK_SOFT, PAPER, PLAIN, VOLTAGE, Tone
from buildalong.drawing._picture import Picture
from buildalong.drawing._svg import Svg, path
from buildalong.drawing._text import Box
from buildalong.drawing.schematic._layout import CELL, MARGIN, Label, SchematicLayout, Stroke, Symbol
from buildalong.drawing.schematic._shape import around
from buildalong.drawing.schematic._words import supply_words, value_text
from buildalong.words import in_parts, say

__all__ = ["extent", "picture_of"]

MEASURED = {"volts": VOLTAGE, "amps": ACCENT}
"""Colours of the numbers of a moment; voltages are bold besides, and both bear their unit."""
LINE, BAR, DOT = 1.6, 2.8, 3.2
"""Line widths of wires and symbols, so that a lead runs on into either, and of plates; radius of a dot."""


def picture_of(
    circuit: Circuit,
    layout: SchematicLayout,
    standard: str,
    highlight: Collection[str],
    title: str,
    more: str = "",
    tone: Tone = PLAIN,
) -> Picture:
    """Draw a layout; ``highlight`` names parts in the accent colour, ``more`` is added to the words."""
    left, top, right, bottom = extent(layout)
    left, top = math.floor(left - MARGIN), math.floor(top - MARGIN)
    right, bottom = math.ceil(right + MARGIN), math.ceil(bottom + MARGIN)
    words = f"{_alt(circuit, standard)} {more}".rstrip()
    ground = None if tone is PLAIN else PAPER
    size = (right - left, bottom - top)
    svg = Svg(*size, title=title, alt=words, x=left, y=top, background=ground, tone=tone)
    with svg.group(
        stroke=INK, stroke_width=LINE * tone.line, fill="none", stroke_linecap="round",
        stroke_linejoin="round",
    ):  # fmt: skip
        svg.path(
            path(
                *(
                    bit
                    for s in layout.segments
                    for bit in (
                        "M",
                        (s.start.x * CELL, s.start.y * CELL),
                        "L",
                        (s.end.x * CELL, s.end.y * CELL),
                    )
                )
            )
        )
        for symbol in layout.symbols:
            draw_symbol(svg, symbol, symbol.part in highlight)
        with svg.group(fill=INK, stroke="none"):
            for dot in layout.dots:
                svg.circle(dot.x * CELL, dot.y * CELL, DOT * (1 + tone.line) / 2)
    with svg.group(fill=INK, stroke="none"):
        for symbol in layout.symbols:
            for label in symbol.labels:
                lit = symbol.part in highlight and label.role in ("ref", "value")
                _write(svg, label, ACCENT if lit else INK_SOFT if label.role == "pin" else None)
        for label in layout.labels:
            _write(svg, label, MEASURED.get(label.role, INK_SOFT))
    for mark in layout.marks:
        _stroke(svg, mark, MEASURED["amps"])
    return svg.picture()


def extent(layout: SchematicLayout) -> Box:
    """The rectangle of everything drawn, without a margin."""
    boxes: list[Box] = [s.body for s in layout.symbols] + [t.box for s in layout.symbols for t in s.labels]
    boxes += [(s.start.x * CELL, s.start.y * CELL, s.end.x * CELL, s.end.y * CELL) for s in layout.segments]
    boxes += [t.box for t in layout.labels]
    return around(boxes or [(0.0, 0.0, 80.0, 40.0)])


def draw_symbol(svg: Svg, symbol: Symbol, lit: bool) -> None:
    """Draw the strokes of a symbol; a lit one in the accent colour."""
    colour = ACCENT if lit else None
    with svg.group(stroke=colour, stroke_width=LINE * svg.tone.line):
        for lead in symbol.leads:
            svg.line(*lead.at)
        for stroke in symbol.strokes:
            _stroke(svg, stroke, colour or INK)


def _stroke(svg: Svg, stroke: Stroke, ink: str) -> None:
    at = stroke.at
    points = list(zip(at[::2], at[1::2], strict=False))
    if stroke.kind == "line":
        svg.line(*at)
    elif stroke.kind == "bar":
        svg.line(*at, stroke_width=BAR * svg.tone.line, stroke_linecap="butt")
    elif stroke.kind in ("polyline", "outline"):
        (svg.polygon if stroke.kind == "outline" else svg.polyline)(points)
    elif stroke.kind == "polygon":
        svg.polygon(points, fill=ink, stroke="none")
    elif stroke.kind in ("rect", "block"):
        fill = ink if stroke.kind == "block" else PAPER
        svg.rect(at[0], at[1], at[2] - at[0], at[3] - at[1], fill=fill, stroke_linejoin="miter")
    elif stroke.kind in ("circle", "ring"):
        svg.circle(at[0], at[1], at[2], fill=PAPER if stroke.kind == "ring" else None)
    elif stroke.kind == "arc":
        x, y, r, first, last = at
        start = (x + r * math.cos(math.radians(first)), y + r * math.sin(math.radians(first)))
        end = (x + r * math.cos(math.radians(last)), y + r * math.sin(math.radians(last)))
        svg.path(
            path("M", start, "A", r, r, 0, 1 if abs(last - first) > 180 else 0, 1 if last > first else 0, end)
        )
    elif stroke.kind == "text":
        svg.text(at[0], at[1] + 4.6, stroke.text, 14, anchor="middle", fill=ink, stroke="none")
    else:
        raise ValueError(f"no symbol has a primitive '{stroke.kind}'")


def _alt(circuit: Circuit, standard: str) -> str:
    """What the picture shows, in words: the parts and what joins them."""
    names = {"iec": "IEC 60617", "ieee": "IEEE 315"}
    parts = []
    for part in circuit.parts:
        text = supply_words(part)[1] if part.type.family == "supply" else value_text(part)
        noun = say(part.type.noun)
        # An adjective may end otherwise: "gelb" in "gelbe LED".
        told = not text or any(word.startswith(text[:-1] or text) for word in noun.split())
        parts.append(f"{part.id} ({noun})" if told else f"{part.id} ({noun}, {text})")
    nets = [
        f"{say('{name}:', name=net)} {', '.join(f'{pin.part} {_sign(pin.terminal)}' for pin in pins)}"
        for net, pins in circuit.nets.items()
        if len(pins) > 1
    ]
    return say(
        "Schematic with symbols after {standard}. Parts: {parts}. Connections: {nets}.",
        standard=names.get(standard, standard), parts=", ".join(parts), nets=in_parts(nets),
    )  # fmt: skip


def _sign(terminal: str) -> str:
    """A terminal as it is read aloud: a hyphen is passed over, a minus is not."""
    return "−" if terminal == "-" else terminal


def _write(svg: Svg, label: Label, colour: str | None) -> None:
    svg.text(
        label.x, label.y, label.text, label.size, anchor=label.anchor, style=label.style, fill=colour,
        data_net=label.net or None,
    )  # fmt: skip
