"""What is shown beside the words: a picture fitted in, a list, the parts on the table."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.circuit import Part
from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._icon import part_icon
from buildalong.drawing._picture import Picture
from buildalong.drawing._svg import Svg
from buildalong.drawing.screen._flow import Item, flow
from buildalong.drawing.screen._shape import EXHIBIT, Rect
from buildalong.words import in_parts, say

__all__ = ["fitted", "listing", "parts_table"]

WIDE, HIGH = EXHIBIT
EDGE = 12.0


def fitted(
    picture: Picture, frame: tuple[float, float, float, float] | None = None, *, clear: bool = False
) -> Picture:
    """Set a picture into an exhibit so that ``frame`` (left, top, width, height of its own plane) fills it.

    Pictures of one plane that are given the same frame lie one over another.  ``clear`` leaves the
    ground clear.
    """
    left, top, width, height = frame or picture.box
    scale = min((WIDE - 2 * EDGE) / width, (HIGH - 2 * EDGE) / height)
    x, y, w, h = picture.box
    svg = Svg(WIDE, HIGH, title="Exhibit", alt=picture.alt, background=None if clear else palette.PAPER)
    svg.insert(
        picture,
        (WIDE - width * scale) / 2 + (x - left) * scale,
        (HIGH - height * scale) / 2 + (y - top) * scale,
        w * scale,
        h * scale,
    )
    return svg.picture()


def listing(points: Sequence[str], *, warn: bool = False) -> Picture:
    """Lines to be read, large; ``warn`` puts a warning sign above them."""
    svg = Svg(WIDE, HIGH, title=points[0] if points else "", alt=" ".join(points), background=palette.PAPER)
    top = 50.0
    if warn:
        svg.polygon(((WIDE / 2, 40), (WIDE / 2 + 78, 172), (WIDE / 2 - 78, 172)), fill=palette.PAPER,
                    stroke=palette.WRONG, stroke_width=11, stroke_linejoin="round")  # fmt: skip
        svg.text(WIDE / 2, 160, "!", 92, anchor="middle", style="bold", fill=palette.WRONG)
        top = 210.0
    items = [Item(point, 40, gap=20, bullet=palette.WRONG if warn else palette.INK) for point in points]
    flow(svg, items, Rect(50, top, WIDE - 100, HIGH - top - 30))
    return svg.picture()


def parts_table(rows: Sequence[tuple[Part, str, str]], rest: str = "") -> Picture:
    """Parts as they lie on the table, with references and names; ``rest`` says what is left out."""
    told = [say("{id}: {what}", id=refs, what=name) for _, refs, name in rows]
    svg = Svg(WIDE, HIGH, title=say("Parts"), alt=in_parts(told), background=palette.PAPER)
    columns = 1 if len(rows) <= 4 else 2
    lines = -(-len(rows) // columns)
    foot = 60.0 if rest else 0.0
    wide, high = (WIDE - 60) / columns, min((HIGH - 50 - foot) / max(lines, 1), 210.0)
    first = (HIGH - foot - high * lines) / 2
    for index, (part, references, name) in enumerate(rows):
        x, y = 30 + (index % columns) * wide, first + index // columns * high
        icon = part_icon(part)
        tall = min(high - 86, 120.0)
        svg.insert(icon, x + 12, y + 8, tall * icon.width / icon.height, tall)
        across = wide - 30
        shown, size = _text.fit(references, 36, across - tall * icon.width / icon.height - 20, "bold", 26)
        svg.text(x + tall * icon.width / icon.height + 32, y + 8 + tall / 2 + 12, shown, size, style="bold",
                 fill=palette.INK)  # fmt: skip
        shown, size = _text.fit(name, 30, across, least=24)
        svg.text(x + 12, y + tall + 44, shown, size, fill=palette.INK)
    if rest:
        svg.text(WIDE / 2, HIGH - 34, rest, 30, anchor="middle", fill=palette.INK_SOFT)
    return svg.picture()
