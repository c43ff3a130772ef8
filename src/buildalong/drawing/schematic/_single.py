"""The symbol of one part by itself, with the names of its terminals."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from buildalong.circuit import Circuit, Part
from buildalong.drawing._palette import INK, INK_SOFT, PAPER, PLAIN, Tone
from buildalong.drawing._picture import Picture
from buildalong.drawing._svg import Svg, number
from buildalong.drawing._text import Anchor
from buildalong.drawing.schematic._boxes import BoxSpec, box_variant
from buildalong.drawing.schematic._draw import draw_symbol
from buildalong.drawing.schematic._layout import CELL, Label, Symbol
from buildalong.drawing.schematic._shape import DOWN, LEFT, RIGHT, UP, Variant, around, drawn_variants, moved
from buildalong.drawing.schematic._structure import read_structure
from buildalong.drawing.schematic._words import symbol_of
from buildalong.words import say

__all__ = ["symbol_picture"]

SCALE = 1.9
"""Enlargement: the smallest text, a terminal's name, becomes 20 units."""
NAME = 10.5
MARGIN = 8.0
MINUS = "−"
MINUS_HIGH = 0.248
"""How high the middle of a minus sign stands over the baseline, by the font's own table; of the size."""
STANDARDS = {"iec": "IEC 60617", "ieee": "IEEE 315"}


def symbol_picture(part: Part, standard: str = "iec", *, tone: Tone = PLAIN) -> Picture:
    """Draw the symbol of a part.

    A supply, which a schematic shows as its rails, has that of a cell, a battery or a source of voltage.

    An IC of several halves is shown with all of them, one below another; a mark beside a symbol, such
    as the arrows of light, stands above it.  Terminals bear their names, those of boxes their numbers too.
    """
    alone = replace(part, nets=tuple(f"N{index}" for index in range(len(part.type.terminals))))
    if part.type.family == "supply":
        variant = _supply(part, standard)
    else:
        items = read_structure(Circuit((alone,)), standard, feeds=False).items
        variant = _marked_above(items[0].variants) if items[0].box is None else _compact(items[0].box)
        for item in items[1:]:
            variant = _below(variant, item.variants[0])
    labels = [label for label in variant.labels if label.role not in ("ref", "value", "supply")]
    if not labels:
        labels = _names(part, variant)
    boxes = [variant.body, *(label.box for label in labels), *(stroke.at[:4] for stroke in variant.leads)]
    boxes += [(x * CELL, y * CELL, x * CELL, y * CELL) for _, x, y, _ in variant.terminals]
    left, top = min(min(b[0], b[2]) for b in boxes) - MARGIN, min(min(b[1], b[3]) for b in boxes) - MARGIN
    right, bottom = max(max(b[0], b[2]) for b in boxes) + MARGIN, max(max(b[1], b[3]) for b in boxes) + MARGIN
    width, height = math.ceil((right - left) * SCALE), math.ceil((bottom - top) * SCALE)
    after = STANDARDS.get(standard, standard)
    noun = say(part.type.noun)
    alt = say(
        "Symbol after {standard}: {noun}, terminals {terminals}.", noun=noun, standard=after,
        terminals=_listed(part, variant),
    )  # fmt: skip
    svg = Svg(width, height, title=say("Symbol: {noun}", noun=noun), alt=alt, background=PAPER, tone=tone)
    symbol = Symbol(part.id, "", (), variant.leads, variant.strokes, variant.body, ())
    move = f"translate({number(-left * SCALE)} {number(-top * SCALE)}) scale({number(SCALE)})"
    with svg.group(transform=move):
        with svg.group(stroke=INK, fill="none", stroke_linecap="round", stroke_linejoin="round"):
            draw_symbol(svg, symbol, False)
        for label in labels:
            colour = INK_SOFT if label.role == "pin" else INK
            svg.text(
                label.x, label.y, label.text, label.size, anchor=label.anchor, style=label.style, fill=colour
            )
    return svg.picture()


def _supply(part: Part, standard: str) -> Variant:
    """A supply lying, plus on the left; where cells are counted, several of them are a battery."""
    symbol = symbol_of(part)
    if "count" in part.type.settings:
        symbol["form"] = "cell" if part.setting("count", 1) == 1 else "battery"
    return drawn_variants(symbol, standard, part.id, "", [(3, True, "right", 0.0)])[0]


def _marked_above(variants: Sequence[Variant]) -> Variant:
    """The first variant, or its mirror image whose mark stands higher."""
    alike = [variant for variant in variants if variant.turn == variants[0].turn]
    return min(alike, key=lambda variant: variant.body[1] + variant.body[3])


def _below(upper: Variant, lower: Variant) -> Variant:
    """Two variants as one, the lower half of an IC clear of the leads of the upper one."""
    foot = max(upper.body[3], *(lead.at[3] for lead in upper.leads))
    rows = math.ceil((foot - lower.body[1]) / CELL)
    down = rows * CELL
    left, top, right, bottom = lower.body
    terminals = tuple((name, x, y + rows, way) for name, x, y, way in lower.terminals)
    return replace(
        upper, terminals=upper.terminals + terminals,
        leads=upper.leads + tuple(moved(stroke, 0, down) for stroke in lower.leads),
        strokes=upper.strokes + tuple(moved(stroke, 0, down) for stroke in lower.strokes),
        labels=upper.labels + tuple(replace(label, y=label.y + down) for label in lower.labels),
        body=around((upper.body, (left, top + down, right, bottom + down))),
    )  # fmt: skip


def _compact(box: BoxSpec) -> Variant:
    """A box with its pins one cell apart, since no wires need room between them; even, for a middle pin."""
    box = replace(box, width=box.width + box.width % 2)
    seen = {LEFT: 1, RIGHT: 1}
    positions = []
    for pin, start in zip(box.pins, box.start(), strict=True):
        positions.append(seen.get(pin.side, start))
        if pin.side in seen:
            seen[pin.side] += 1
    # A row is left free at the ends for the names of the supply pins.
    height = max(seen.values()) + 2
    shifted = [p + 1 if pin.side in seen else p for pin, p in zip(box.pins, positions, strict=True)]
    return box_variant(box, shifted, height)


def _listed(part: Part, variant: Variant) -> str:
    return ", ".join(part.type.terminal(name).title for name, *_ in variant.terminals)


def _names(part: Part, variant: Variant) -> list[Label]:
    """The names of the terminals; a plus sign that the symbol draws itself is not written again."""
    ends = {name: (x, y) for name, x, y, _ in variant.terminals}
    if "+" not in ends or not part.type.symbol.get("arrows"):
        return [_name(part, *terminal) for terminal in variant.terminals]
    # The minus sign stands at its own lead as the drawn plus sign stands at the other.
    level = variant.strokes[-2].at
    x, y = (level[0] + level[2]) / 2, (level[1] + level[3]) / 2
    x, y = (-x, y) if ends["+"][1] == ends["-"][1] else (x, -y)
    return [Label(MINUS, x, y + MINUS_HIGH * NAME, NAME, "middle", "bold", "name")]


def _name(part: Part, name: str, x: int, y: int, way: int) -> Label:
    """The name of a terminal at the end of its lead."""
    px, py = x * CELL, y * CELL
    high = 0.668 * NAME
    ends: dict[int, tuple[float, float]] = {
        UP: (px, py - 3), DOWN: (px, py + 3 + high),
        LEFT: (px - 3, py + high / 2), RIGHT: (px + 3, py + high / 2),
    }  # fmt: skip
    anchors: dict[int, Anchor] = {UP: "middle", DOWN: "middle", LEFT: "end", RIGHT: "start"}
    return Label(name.replace("-", MINUS), *ends[way], NAME, anchors[way], "bold", "name")
