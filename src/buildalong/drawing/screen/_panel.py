"""The words of a frame: heading, text, warning, list; the exhibit is laid into it afterwards."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.drawing import _palette as palette
from buildalong.drawing._picture import Picture
from buildalong.drawing._svg import Svg
from buildalong.drawing.screen._flow import Item, flow
from buildalong.drawing.screen._shape import Rect, Shape

__all__ = ["panel"]

KICKER, TITLE, TEXT, POINT = 30.0, 60.0, 40.0, 36.0
CIRCLE = 46.0
LINE = 12.0
"""Thickness of the line that shows how far the film is."""


def panel(
    shape: Shape,
    title: str,
    *,
    kicker: str = "",
    number: int = 0,
    text: str = "",
    callout: str = "",
    points: Sequence[str] = (),
    share: float = 0.0,
    large: bool = False,
    boxes: bool = True,
) -> Picture:
    """Draw the words of a frame, with an empty plate for the exhibit.

    ``number`` is that of a step, ``callout`` a warning, ``share`` (0..1) how far the film is; ``large``
    sets the title larger; ``boxes``: the points are to be ticked off.
    """
    alt = " ".join(bit for bit in (title, text, callout, *points) if bit)
    svg = Svg(shape.width, shape.height, title=title, alt=alt, background=palette.PAPER)
    at = shape.exhibit
    svg.rect(at.x - 1, at.y - 1, at.width + 2, at.height + 2, fill="none", stroke=palette.LINE_SOFT,
             stroke_width=2)  # fmt: skip
    room = shape.heading
    y = room.y
    if number:
        svg.circle(room.x + CIRCLE, y + CIRCLE, CIRCLE, fill=palette.INK)
        svg.text(
            room.x + CIRCLE,
            y + CIRCLE + 17,
            str(number),
            50,
            anchor="middle",
            style="bold",
            fill=palette.PAPER,
        )
        if kicker:
            flow(svg, [Item(kicker, KICKER, colour=palette.INK_SOFT)],
                 Rect(room.x + 2 * CIRCLE + 24, y + 20, room.width - 2 * CIRCLE - 24, 80))  # fmt: skip
        y += 2 * CIRCLE + 22
    elif kicker:
        y = flow(svg, [Item(kicker, KICKER, colour=palette.INK_SOFT)], Rect(room.x, y, room.width, 84)) + 16
    head = Item(title, TITLE * (1.3 if large else 1.0), "bold")
    body = [Item(text, TEXT, gap=30)] if text else []
    if callout:
        body.append(Item(callout, TEXT, bar=palette.WRONG, gap=30))
    if boxes:
        body += [Item(point, POINT, bullet=palette.INK, gap=16) for point in points]
    elif points:
        body += [Item(points[0], POINT, colour=palette.INK_SOFT, gap=44)]
        body += [Item(point, POINT, colour=palette.INK_SOFT) for point in points[1:]]
    if shape.words is None:
        flow(svg, [head, *body], Rect(room.x, y, room.width, room.y + room.height - y))
    else:
        flow(svg, [head], Rect(room.x, y, room.width, room.y + room.height - y))
        flow(svg, body, shape.words)
    svg.rect(0, shape.height - LINE, shape.width, LINE, fill=palette.TRENCH)
    svg.rect(0, shape.height - LINE, shape.width * min(max(share, 0.0), 1.0), LINE, fill=palette.INK_SOFT)
    return svg.picture()
