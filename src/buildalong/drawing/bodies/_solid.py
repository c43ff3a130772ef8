"""Bodies as solids for the tilted view: one function for each shape, true to size.

Each draws in the part's local frame; ``stand`` is the height at which a body stands on its leads.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from buildalong.circuit import Part, bands_on
from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import Point
from buildalong.drawing._look import Look, colour_of
from buildalong.drawing._tilt import Solids, circle, hull, rectangle
from buildalong.drawing.bodies._axial import band_places
from buildalong.drawing.bodies._rigid import ROTOR, wiper_arrow

__all__ = ["draw_solid"]

STRIPE, ON_TOP = 40.0, 60.0
"""Half the stripe of a can, and half its end on the top where that alone shows it [degrees]."""


@dataclass(frozen=True)
class _Solid:
    """What a solid is drawn from; lengths in user units."""

    pen: Solids
    part: Part
    look: Look
    legs: tuple[Point, ...]

    @property
    def length(self) -> float:
        return self.part.type.body.length * 10

    @property
    def width(self) -> float:
        return self.part.type.body.width * 10

    @property
    def height(self) -> float:
        return self.part.type.body.height * 10

    @property
    def stand(self) -> float:
        return self.look.stand * 10


def draw_solid(pen: Solids, part: Part, look: Look, legs: tuple[Point, ...]) -> None:
    """Draw a body with its leads."""
    _SHAPES.get(part.type.body.shape, _box)(_Solid(pen, part, look, legs))


def _upright_leads(body: _Solid, reach: float) -> None:
    """Leads from the holes up to the underside of a body of this half length."""
    for x, y in body.legs:
        inner = math.copysign(min(abs(x), reach * 0.6), x)
        body.pen.lead(
            (x, y, 0), (x, y, body.stand * 0.35), (inner, y, body.stand * 0.8), (inner, y, body.stand + 2)
        )


def _dip(body: _Solid) -> None:
    pen, look = body.pen, body.look
    shoulder = body.height * 0.55
    nearer = body.pen.facing(1, 0) > 0

    def legs(side: bool) -> None:
        for x, y in body.legs:
            if (x > 0) is side:
                inner = math.copysign(body.width / 2 - 2, x)
                pen.lead((x, y, 0), (x, y, shoulder), (inner, y, shoulder), thick=8)

    legs(not nearer)
    pen.prism(rectangle(0, 0, body.width / 2, body.length / 2), 8, body.height, look.body, look.edge)
    legs(nearer)
    top = -body.length / 2
    notch = [(9 * math.cos(t), top + 9 * math.sin(t)) for t in (math.pi * i / 12 for i in range(13))]
    pen.flat(notch, body.height, palette.BOARD, look.edge)
    pen.flat(circle(-body.width / 2 + 11, body.legs[0][1], 4), body.height, look.print)


def _cylinder(body: _Solid) -> None:
    """Lying on the board between its leads; on end where the holes are too near."""
    pen, look, radius = body.pen, body.look, body.width / 2
    (x1, _), (x2, _) = body.legs
    if x2 - x1 < body.length + 6:
        pen.lead((x2, 0, 0), (x2, 0, body.length + 20), (x1, 0, body.length + 20), (x1, 0, body.length))
        pen.prism(circle(x1, 0, radius), 6, body.length + 6, look.body, look.edge, smooth=True)
        return
    half, axis = body.length / 2, radius + 1
    pen.lead((x1, 0, 0), (x1, 0, axis), (-half, 0, axis))
    pen.lead((x2, 0, 0), (x2, 0, axis), (half, 0, axis))

    def ring(x: float) -> list[Point]:
        turns = (2 * math.pi * i / 20 for i in range(20))
        return [pen.at((x, radius * math.cos(t)), axis + radius * math.sin(t)) for t in turns]

    slices = _slices(body, half)
    if pen.facing(1, 0) < 0:
        slices.reverse()
    whole = hull([*ring(-half), *ring(half)])
    pen.marks.extend(whole)
    for start, end, colour in slices:
        pen.polygon(hull([*ring(start), *ring(end)]), colour)
    near = half if pen.facing(1, 0) > 0 else -half
    pen.polygon(whole, "none", look.edge)
    pen.polygon(ring(near), palette.mix(slices[-1][2], "#000000", 0.18), look.edge, 1.4)


def _slices(body: _Solid, half: float) -> list[tuple[float, float, str]]:
    """Stretches of a lying cylinder with their colours, from the first lead on."""
    bands = [(share, palette.BANDS[colour]) for share, colour in _bands(body)]
    thick = body.length * 0.09
    if not bands and body.part.type.polarised:
        thick, bands = max(body.length * 0.14, 5), [(0.8, body.look.detail)]
    out, x = [], -half
    for share, colour in bands:
        middle = -half + share * body.length
        out += [(x, middle - thick / 2, body.look.body), (middle - thick / 2, middle + thick / 2, colour)]
        x = middle + thick / 2
    return [*out, (x, half, body.look.body)]


def _bands(body: _Solid) -> list[tuple[float, str]]:
    bands = bands_on(body.part)
    return list(zip(band_places(len(bands)), bands, strict=True)) if bands else []


def _arc(half: float) -> list[float]:
    """Turns between this many degrees to both sides of the minus lead."""
    return [math.radians(half * (i / 5 - 1)) for i in range(11)]


def _can(body: _Solid) -> None:
    pen, look, radius = body.pen, body.look, body.length / 2
    low, high = body.stand, body.stand + body.height
    _upright_leads(body, radius)
    pen.prism(circle(0, 0, radius), low, high, look.body, look.edge, smooth=True)
    # The stripe down the side of the minus lead, as far as it can be seen, and its end on the top.
    seen = [t for t in _arc(STRIPE) if pen.facing(math.cos(t), math.sin(t)) > 0]
    if len(seen) > 1:
        rim = [(radius * math.cos(t), radius * math.sin(t)) for t in seen]
        face = [*(pen.at(p, low + 3) for p in rim), *(pen.at(p, high) for p in reversed(rim))]
        pen.polygon(face, look.detail, look.edge, 1.2)
    readable = len(seen) > 3
    end = [(radius * math.cos(t), radius * math.sin(t)) for t in _arc(STRIPE if readable else ON_TOP)]
    pen.flat(end, high, look.detail, look.edge)
    if readable:  # minus signs, level on the page
        middle = sum(seen) / len(seen)
        at = radius * math.cos(middle), radius * math.sin(middle)
        signs = [pen.at(at, low + share * (high - low)) for share in (0.3, 0.7)]
    else:  # as the can is drawn from above: the side of the stripe faces away
        signs = [pen.at((radius * 0.74, 0.0), high)]
    for x, y in signs:
        pen.svg.line(x - 4.5, y, x + 4.5, y, stroke=look.edge, stroke_width=3)
    pen.flat(circle(0, 0, radius), high, "none", look.edge)


def _dome(body: _Solid) -> None:
    pen, colour = body.pen, colour_of(body.part)
    edge = palette.mix(colour, palette.INK, 0.78)
    rim, lens = body.length / 2, body.length / 2 - 4
    foot, crown = body.stand, body.stand + body.height
    _upright_leads(body, rim)
    flat = rim * 0.86
    outline = [(min(x, flat), y) for x, y in circle(0, 0, rim)]
    pen.prism(outline, foot, foot + 10, palette.mix(colour, "#FFFFFF", 0.45), edge, smooth=True)
    neck = crown - lens
    shell = [pen.at(p, foot + 10) for p in circle(0, 0, lens)]
    for step in range(9):
        t = math.pi / 2 * step / 8
        shell += [pen.at(p, neck + lens * math.sin(t)) for p in circle(0, 0, max(lens * math.cos(t), 0.1))]
    shape = hull(shell)
    pen.marks.extend(shape)
    pen.polygon(shape, colour, edge)
    shine = [
        pen.at((-lens * 0.3 + x, -lens * 0.3 + y), neck + lens * 0.5) for x, y in circle(0, 0, lens * 0.32)
    ]
    pen.polygon(shine, palette.mix(colour, "#FFFFFF", 0.5))


def _disc(body: _Solid) -> None:
    """A ceramic disc on edge between its leads."""
    pen, look, radius, half = body.pen, body.look, body.length / 2, body.width / 2
    for x, y in body.legs:
        inner = math.copysign(min(abs(x), radius * 0.6), x)
        pen.lead((x, y, 0), (x, y, body.stand * 0.6), (inner, 0, body.stand + radius * 0.5))
    middle = body.stand + radius

    def face(y: float) -> list[Point]:
        return [pen.at((x, y), middle + z) for x, z in circle(0, 0, radius)]

    near = half if pen.facing(0, 1) > 0 else -half
    shape = hull([*face(-half), *face(half)])
    pen.marks.extend(shape)
    pen.polygon(shape, palette.mix(look.body, "#000000", 0.22), look.edge)
    pen.polygon(face(near), look.body, look.edge)


def _box(body: _Solid) -> None:
    """A box on its legs; a rigid part's length runs along y."""
    pen, look = body.pen, body.look
    along, across = max(body.length / 2, 8), max(body.width / 2, 8)
    if body.part.type.body.legs:
        along, across = across, along
    _upright_leads(body, along)
    pen.prism(
        rectangle(0, 0, along, across), body.stand, body.stand + max(body.height, 10), look.body, look.edge
    )


def _ldr(body: _Solid) -> None:
    pen, look = body.pen, body.look
    a, b = body.length / 2, body.width / 2
    _upright_leads(body, a)
    outline = [(x * a, y * b) for x, y in circle(0, 0, 1)]
    top = body.stand + body.height
    pen.prism(outline, body.stand, top, look.body, look.edge, smooth=True)
    track = [(-a * 0.6 + i * a * 0.2, b * 0.5 * (1 if i % 2 else -1), top) for i in range(7)]
    pen.svg.polyline(
        [pen.at((x, y), z) for x, y, z in track], fill="none", stroke=look.detail, stroke_width=2.4
    )


def _to92(body: _Solid) -> None:
    pen, look = body.pen, body.look
    radius, deep = body.length / 2, body.width
    face = -deep / 3
    centre = face + deep - radius
    outline = [(max(centre + x, face), y) for x, y in circle(0, 0, radius)]
    for x, y in body.legs:
        pen.lead((x, y, 0), (x, y, body.stand * 0.4), (x, y / 2, body.stand))
    pen.prism(outline, body.stand, body.stand + body.height, look.body, look.edge, smooth=True)
    if pen.facing(-1, 0) > 0:
        high = math.sqrt(max(radius**2 - (centre - face) ** 2, 0.0)) - 2
        corners = [pen.at((face, y), z) for y, z in (
            (-high, body.stand + 2), (high, body.stand + 2), (high, body.stand + body.height - 1),
            (-high, body.stand + body.height - 1))]  # fmt: skip
        pen.polygon(corners, palette.mix(look.body, "#FFFFFF", 0.14), look.edge, 1.2)


def _tact(body: _Solid) -> None:
    pen, look = body.pen, body.look
    for x, y in body.legs:
        side = math.copysign(min(abs(y), body.length / 2 - 4), y)
        pen.lead((math.copysign(body.width / 2 - 2, x), side, 12), (x, y, 12), (x, y, 0), thick=7.4)
    case = body.height * 0.7
    pen.prism(rectangle(0, 0, body.width / 2, body.length / 2), 4, case, look.body, look.edge)
    pen.prism(circle(0, 0, 17), case, body.height, look.detail, look.edge, smooth=True)


def _slide(body: _Solid) -> None:
    pen, look = body.pen, body.look
    a, b = body.length / 2, body.width / 2
    pen.prism(rectangle(0, 0, b, a), 0, body.height, look.body, look.edge)
    y = a * (0.22 if body.part.setting("thrown", 0.0) else -0.22)
    pen.flat(rectangle(0, 0, b * 0.45, a * 0.52), body.height, palette.mix(look.body, "#000000", 0.45))
    pen.prism(rectangle(0, y, b * 0.4, a * 0.26), body.height, body.height + 30, look.detail, look.edge)


def _trimmer(body: _Solid) -> None:
    pen, look = body.pen, body.look
    a, b = body.length / 2, body.width / 2
    xs = [x for x, _ in body.legs]
    middle = (min(xs) + max(xs)) / 2
    pen.prism(rectangle(middle, 0, b, a), 0, body.height, look.body, look.edge)
    pen.prism(circle(middle, 0, b * ROTOR), body.height, body.height + 6, look.detail, look.edge, smooth=True)
    slot, head = wiper_arrow(body.part, (middle, 0), b)
    ends = [pen.at(place, body.height + 6) for place in slot]
    pen.svg.polyline(ends, fill="none", stroke=look.edge, stroke_width=4.6)
    pen.flat(head, body.height + 6, look.edge)


def _buzzer(body: _Solid) -> None:
    pen, look, radius = body.pen, body.look, body.length / 2
    pen.prism(circle(0, 0, radius), 2, body.height, look.body, look.edge, smooth=True)
    pen.flat(circle(0, 0, radius * 0.16), body.height, palette.mix(look.body, "#000000", 0.6), look.detail)
    x, y = body.legs[0]
    for dx, dy in ((6, 0), (0, 6)):
        line = [pen.at((x + 12 - dx, y - dy), body.height), pen.at((x + 12 + dx, y + dy), body.height)]
        pen.svg.polyline(line, fill="none", stroke=look.print, stroke_width=2.8)


_SHAPES: Mapping[str, Callable[[_Solid], None]] = {
    "block": _box, "buzzer": _buzzer, "can": _can, "cylinder": _cylinder, "dip": _dip, "disc": _disc,
    "dome": _dome, "ldr": _ldr, "slide": _slide, "tact": _tact, "to92": _to92, "trimmer": _trimmer,
}  # fmt: skip
"""Solids by the name of the body's shape; any other is a box of the right size."""
