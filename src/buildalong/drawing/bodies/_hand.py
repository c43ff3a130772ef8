"""Bodies as they look in the hand: from the front, leads hanging down.

Each draws around (0, 0), in tenths of a millimetre, and gives the points where its leads end.
With a pen turned by a quarter the same part lies on the table, and its print stays upright.
"""

from __future__ import annotations

from buildalong.circuit import Part, printed_on
from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._frame import PITCH, Point
from buildalong.drawing._look import colour_of, look_of, value_of
from buildalong.drawing._pen import Pen
from buildalong.drawing._svg import path

__all__ = ["HANDS", "LONG", "height", "lead_length"]

PRINT = 13.0
"""Size of the print on a body drawn at true size; a body drawn otherwise divides it by its scale."""
LONG, SHORT = 88.0, 66.0
"""Leads below the body; real ones are longer."""
STIFF = 40.0
"""Legs below a body that stands on the board."""
LEVER = 3.0
"""How far the lever of a slide switch stands out of its case [mm]."""


def height(part: Part) -> float:
    """How high the body is without its leads."""
    body = part.type.body
    high = {"dome": 8.6, "disc": body.length, "ldr": body.width, "slide": body.height + LEVER}.get(
        body.shape, body.height
    )
    return high * 10


def lead_length(part: Part) -> float:
    """How far its longest lead reaches below the body."""
    return STIFF if part.type.body.shape == "slide" else LONG


def can(pen: Pen, part: Part) -> tuple[Point, ...]:
    """An electrolytic: sleeve with the light stripe at the minus lead, which is the shorter one."""
    look = look_of(part.type)
    wide, high = part.type.body.length * 10, part.type.body.height * 10
    lead = 12.7
    pen.lead((-lead, high / 2 - 4), (-lead, high / 2 + LONG), 5)
    pen.lead((lead, high / 2 - 4), (lead, high / 2 + SHORT), 5)
    top, left = -high / 2, -wide / 2
    pen.rect(left, top, wide, high, look.body, look.edge, 5)
    stripe = wide * 0.2
    pen.rect(-left - stripe - 2, top + 2, stripe, high - 4, look.detail, None)
    for share in (0.25, 0.5, 0.75):
        y = top + high * share
        pen.stroke(((-left - stripe * 0.8 - 2, y), (-left - stripe * 0.2 - 2, y)), look.edge, 2.2)
    pen.rect(left, top, wide, high, "none", look.edge, 5)
    words = printed_on(part).rsplit(" ", 2) if printed_on(part).count(" ") == 3 else [printed_on(part)]
    # As printed on the sleeve: without the space before the unit.
    lines = [word.replace(" ", "") for word in ([words[0], " ".join(words[1:])] if len(words) > 1 else words)]
    # In the middle of the sleeve between its outline and the stripe.
    room, x, size = wide - stripe - 4, -(stripe + 1) / 2, PRINT * pen.fine
    if pen.angle or any(_text.width(line, size, "bold") > room - size / 3 for line in lines):
        # In one line along the sleeve: on a can that lies, or whose value is too long.
        pen.text(x, 0, " ".join(lines), size, look.print, high - 16, down=not pen.angle, least=size * 0.7)
    else:
        for index, line in enumerate(lines):
            pen.text(x, top + high * 0.4 + index * size * 1.2, line, size, look.print, room, least=size)
    return (-lead, high / 2 + LONG), (lead, high / 2 + SHORT)


def dome(pen: Pen, part: Part) -> tuple[Point, ...]:
    """An LED: long lead anode; short lead, cup and flat side cathode."""
    colour = colour_of(part)
    edge = palette.mix(colour, palette.INK, 0.78)
    high, radius, rim = 86.0, 25.0, 29.0
    bottom = high / 2
    lead = 12.7
    pen.lead((-lead, bottom - 4), (-lead, bottom + LONG), 5)
    pen.lead((lead, bottom - 4), (lead, bottom + SHORT), 5)
    pale = palette.mix(colour, "#FFFFFF", 0.35)
    crown = -high / 2 + radius
    lens = path(
        "M", (-radius, bottom - 10), "L", (-radius, crown), "A", radius, radius, 0, 0, 1, (radius, crown),
        "L", (radius, bottom - 10), "Z",
    )  # fmt: skip
    pen.shape(lens, pale, edge)
    foot = bottom - 12
    inner = palette.mix(colour, palette.INK, 0.45)
    pen.shape(path("M", (lead - 15, -10), "L", (lead + 5, -10), "L", (lead + 3, foot), "L", (lead - 3, foot),
                   "L", (lead - 3, 2), "Z"), inner)  # fmt: skip
    pen.shape(path("M", (-lead - 3, foot), "L", (-lead - 3, -14), "L", (-lead + 6, -14),
                   "L", (-lead + 3, -4), "L", (-lead + 3, foot), "Z"), inner)  # fmt: skip
    # The rim ends early on the side of the flat.
    pen.rect(-rim, bottom - 12, rim + radius, 12, pale, edge, 1.5)
    return (-lead, bottom + LONG), (lead, bottom + SHORT)


def disc(pen: Pen, part: Part) -> tuple[Point, ...]:
    """A ceramic disc with its code."""
    look = look_of(part.type)
    radius = part.type.body.length * 5
    for x in (-25.4, 25.4):
        pen.stroke(((x * 0.6, radius * 0.6), (x, radius + 14), (x, radius + LONG)), palette.METAL_EDGE, 7)
        pen.stroke(((x * 0.6, radius * 0.6), (x, radius + 14), (x, radius + LONG)), palette.METAL, 3.6)
    pen.circle((0, 0), radius, look.body, look.edge)
    pen.text(0, 0, printed_on(part), 20, look.print, radius * 1.7)
    return (-25.4, radius + LONG), (25.4, radius + LONG)


def block(pen: Pen, part: Part) -> tuple[Point, ...]:
    """A film capacitor with its code."""
    look = look_of(part.type)
    wide, high = part.type.body.length * 10, part.type.body.height * 10
    for x in (-25.4, 25.4):
        pen.lead((x, high / 2 - 4), (x, high / 2 + LONG), 5)
    pen.rect(-wide / 2, -high / 2, wide, high, look.body, look.edge, 4)
    pen.text(0, 0, printed_on(part), 22, look.print, wide - 10)
    return (-25.4, high / 2 + LONG), (25.4, high / 2 + LONG)


def ldr(pen: Pen, part: Part) -> tuple[Point, ...]:
    """A light-dependent resistor: the face that looks at the light."""
    look = look_of(part.type)
    a, b = part.type.body.length * 5, part.type.body.width * 5
    for side in (-17.0, 17.0):
        pen.lead((side, b * 0.5), (side, b + LONG), 5)
    pen.shape(path("M", (-a, 0), "A", a, b, 0, 0, 1, (a, 0), "A", a, b, 0, 0, 1, (-a, 0), "Z"), look.body,
              look.edge)  # fmt: skip
    points: list[Point] = []
    for step in range(6):
        y = b * 0.5 if step % 2 else -b * 0.5
        x = -a * 0.55 + step * a * 1.1 / 6
        points += [(x, y), (x + a * 1.1 / 6, y)]
    pen.stroke(tuple(points), look.detail, 2.6)
    return (-17, b + LONG), (17, b + LONG)


def to92(pen: Pen, part: Part) -> tuple[Point, ...]:
    """A transistor with its flat face towards the reader, legs spread to the holes."""
    look = look_of(part.type)
    wide, high = part.type.body.length * 10, part.type.body.height * 10
    bottom = high / 2
    ends = []
    for index in range(3):
        x0, x1 = (index - 1) * PITCH / 2, (index - 1) * PITCH
        run = ((x0, bottom - 4), (x0, bottom + 14), (x1, bottom + 34), (x1, bottom + LONG))
        pen.stroke(run, palette.METAL_EDGE, 7)
        pen.stroke(run, palette.METAL, 3.6)
        ends.append(run[-1])
    pen.rect(-wide / 2, -high / 2, wide, high, look.body, look.edge, 3)
    inset = wide * 0.1
    pen.rect(
        -wide / 2 + inset, -high / 2 + 3, wide - 2 * inset, high - 6, palette.mix(look.body, "#FFFFFF", 0.1)
    )
    text = printed_on(part)
    size = PRINT * pen.fine * (0.85 if pen.angle else 1.0)
    # Some of the face stays free between its edges and the print.
    room = (high - 6 if pen.angle else wide - 2 * inset) - size / 2
    if _text.width(text, size, "bold") <= room:
        lines: tuple[str, ...] = (text,)
    else:
        # A long type is printed on two lines, as on the real one: 2N over 3904 (onsemi), P2N2 over 222A.
        head = 2 if text.startswith("2N") else (len(text) + 1) // 2
        lines = (text[:head], text[head:])
    if any(_text.width(line, size, "bold") > room for line in lines):
        lines = ()
    lift = 0 if pen.angle else -2
    for index, line in enumerate(lines):
        dx, dy = pen.upright(0, lift + (index - (len(lines) - 1) / 2) * size * 1.15)
        pen.text(dx, dy, line, size, look.print, room, least=size)
    return tuple(ends)


def cylinder(pen: Pen, part: Part) -> tuple[Point, ...]:
    """A diode, lying: the ring is at the cathode."""
    look = look_of(part.type)
    length, width = part.type.body.length * 10, part.type.body.width * 10
    reach = length / 2 + 40
    pen.lead((-reach, 0), (-length / 2, 0), 5)
    pen.lead((length / 2, 0), (reach, 0), 5)
    pen.rect(-length / 2, -width / 2, length, width, look.body, look.edge, 3)
    thick = max(length * 0.14, 5)
    pen.rect(length / 2 - thick * 1.9, -width / 2, thick, width, look.detail, look.edge, 0, 1)
    pen.text(-thick, 0, printed_on(part) or value_of(part), 10, look.print, length - thick * 3.4, least=6.3)
    return (-reach, 0), (reach, 0)


def slide(pen: Pen, part: Part) -> tuple[Point, ...]:
    """A slide switch from the side: its lever stands towards the outer contact that is joined."""
    look = look_of(part.type)
    wide, bottom = part.type.body.length * 10, height(part) / 2
    top = bottom - part.type.body.height * 10
    ends = []
    for x in (-PITCH, 0.0, PITCH):
        pen.lead((x, bottom - 4), (x, bottom + STIFF), 5)
        ends.append((x, bottom + STIFF))
    at = wide / 2 * (0.22 if part.setting("thrown", 0.0) else -0.22)
    pen.rect(at - wide * 0.13, -bottom, wide * 0.26, LEVER * 10 + 4, look.detail, look.edge, 2)
    pen.rect(-wide / 2, top, wide, bottom - top, look.body, look.edge, 3)
    return tuple(ends)


HANDS = {
    "block": block,
    "can": can,
    "cylinder": cylinder,
    "disc": disc,
    "dome": dome,
    "ldr": ldr,
    "slide": slide,
    "to92": to92,
}
"""Views in the hand by the name of the body's shape."""
