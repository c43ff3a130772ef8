"""The picture of one part as the learner holds it: marking, legs, polarity."""

from __future__ import annotations

from dataclasses import replace

from buildalong.circuit import Part, bands_on, printed_on
from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._frame import PITCH, Point, Pose, pose
from buildalong.drawing._look import look_of, marking_of, value_of
from buildalong.drawing._palette import Tone
from buildalong.drawing._pen import Pen
from buildalong.drawing._picture import Picture
from buildalong.drawing._svg import Svg, number
from buildalong.drawing._text import Anchor
from buildalong.drawing._words import MINUS_MARK, PLUS_MINUS, band_meaning, card_words, terminal_words
from buildalong.drawing.bodies import Body, draw_body
from buildalong.drawing.bodies._axial import band_places, cylinder
from buildalong.drawing.bodies._beside import BESIDE, Beside, draw_beside, exit_at
from buildalong.drawing.bodies._hand import HANDS
from buildalong.parts import Terminal
from buildalong.words import colour_word, say

__all__ = ["part_picture"]

WIDTH, HEIGHT = 480.0, 320.0
NAME, SMALL = 21.0, 18.0
BESIDE_LEG = 20.0
"""From the end of a leg to its name."""
BESIDE_NAME = 30.0
"""From a part seen from above over a leg's name to the edge, without the name."""
LEAST = 17.6
"""Least size of a text: 9 pt where the card is 87 mm wide, two on an A4 page."""


def part_picture(part: Part, *, tone: Tone = palette.PLAIN) -> Picture:
    """Draw one part by itself, 480 by 320 units, with its legs and markings named.

    A resistor shows its bands with what each means, an LED and an electrolytic their long and short
    leads, a transistor its flat face, an IC its pins counted from the notch.
    """
    svg = Svg(
        WIDTH, HEIGHT, title=say(part.type.title), alt=card_words(part), background=palette.PAPER, tone=tone
    )
    card = _Card(svg, part)
    shape = part.type.body.shape
    if bands_on(part):
        card.resistor()
    elif part.type.body.kind == "off-board":
        card.beside()
    elif shape in HANDS and len(part.type.leg_terminals) <= 3:
        card.in_hand()
    else:
        card.from_above()
    return svg.picture()


class _Card:
    def __init__(self, svg: Svg, part: Part) -> None:
        self.svg, self.part = svg, part
        self.pen = Pen(svg, ground=palette.PAPER)

    def label(
        self, x: float, y: float, text: str, anchor: Anchor = "start", bold: bool = True, size: float = NAME,
        room: float = WIDTH,
    ) -> None:  # fmt: skip
        shown, size = _text.fit(text, size, room, "bold" if bold else "regular", LEAST)
        self.svg.text(
            x, y, shown, size, anchor=anchor, style="bold" if bold else "regular",
            fill=palette.INK if bold else palette.INK_SOFT,
        )  # fmt: skip

    def pointer(self, start: Point, end: Point) -> None:
        self.svg.line(*start, *end, stroke=palette.INK_SOFT, stroke_width=1.8)
        self.svg.circle(*end, 3, fill=palette.INK_SOFT)

    # -- resistors ---------------------------------------------------------------------------

    def resistor(self) -> None:
        part, scale = self.part, 4.6
        length, width = part.type.body.length * 10 * scale, part.type.body.width * 10 * scale
        pen = replace(self.pen, fine=2 / scale)
        cx, cy = WIDTH / 2, HEIGHT / 2 - 8
        reach = (WIDTH / 2 - 36) / scale
        with self.svg.group(transform=f"translate({number(cx)} {number(cy)}) scale({number(scale)})"):
            cylinder(Body(pen, part, look_of(part.type), ((-reach, 0), (reach, 0))))
        bands = bands_on(part)
        for index, (share, colour) in enumerate(zip(band_places(len(bands)), bands, strict=True)):
            x = cx - length / 2 + share * length
            above = index % 2 == 0
            edge = cy - width / 2 - 4 if above else cy + width / 2 + 4
            tip = edge - 18 if above else edge + 18
            self.svg.line(x, edge, x, tip, stroke=palette.INK_SOFT, stroke_width=1.8)
            meaning = band_meaning(part, index)
            if above:
                self.label(x, tip - 30, colour_word(colour), "middle", size=20)
                self.label(x, tip - 8, meaning, "middle", bold=False, size=SMALL)
            else:
                self.label(x, tip + 19, colour_word(colour), "middle", size=20)
                self.label(x, tip + 41, meaning, "middle", bold=False, size=SMALL)
        self.label(
            cx,
            HEIGHT - 14,
            say("read from the left: {value}", value=value_of(part)),
            "middle",
            bold=False,
            size=SMALL,
        )

    # -- parts with leads --------------------------------------------------------------------

    def in_hand(self) -> None:
        part = self.part
        shape = part.type.body.shape
        lying = shape == "cylinder"
        body = part.type.body
        scale = {"cylinder": 2.9, "can": 1.42, "dome": 1.62, "to92": 1.9, "disc": 1.75}.get(shape, 1.65)
        if shape == "can":  # large cans are shown smaller, so that leads and words find room
            scale *= min(1.0, 11.5 / max(body.height, 1.0))
        cx = WIDTH / 2 if lying or part.type.swappable else WIDTH * 0.36
        high = {
            "can": body.height,
            "dome": 8.6,
            "to92": body.height,
            "disc": body.length,
            "ldr": body.width,
        }.get(shape, body.height)
        cy = HEIGHT / 2 if lying else 16 + high * 5 * scale
        with self.svg.group(transform=f"translate({number(cx)} {number(cy)}) scale({number(scale)})"):
            ends = HANDS[shape](replace(self.pen, fine=1.4 / scale), part)
        placed = [(cx + x * scale, cy + y * scale) for x, y in ends]
        if lying:
            self._lying_names(placed, cy)
        elif shape == "to92":
            self._leg_letters(placed)
        else:
            self._lead_names(placed, cx, cy, high * 5 * scale, scale)

    def _lying_names(self, ends: list[Point], cy: float) -> None:
        for end, terminal, anchor in zip(ends, self.part.type.terminals, ("start", "end"), strict=True):
            x = 18 if anchor == "start" else WIDTH - 18
            self.label(x, cy + 62, terminal_words(terminal), "start" if anchor == "start" else "end")
            self.svg.line(end[0], cy + 8, end[0], cy + 40, stroke=palette.INK_SOFT, stroke_width=1.8)
        if self.part.type.polarised:
            length = self.part.type.body.length * 10 * 2.9
            x = WIDTH / 2 + length / 2 - max(length * 0.14, 14.5) * 1.4
            self.label(x, 52, say("the ring marks the cathode"), "middle", bold=False, size=SMALL)
            self.pointer((x, 62), (x, cy - self.part.type.body.width * 14.5 - 8))

    def _leg_letters(self, ends: list[Point]) -> None:
        for (x, y), terminal in zip(ends, self.part.type.leg_terminals, strict=True):
            self.label(x, y + 24, terminal, "middle")
        for index, name in enumerate(self.part.type.leg_terminals):
            title = say(self.part.type.terminal(name).title)
            self.label(WIDTH * 0.62, 150 + index * 30, f"{name}  {title}", bold=False, size=SMALL + 1)
        self.label(WIDTH * 0.62, 64, say("flat face"), size=SMALL + 1)
        self.label(WIDTH * 0.62, 88, say("towards you"), size=SMALL + 1)
        self.pointer((WIDTH * 0.61, 74), (WIDTH * 0.36 + 34, 92))

    def _lead_names(self, ends: list[Point], cx: float, cy: float, half: float, scale: float) -> None:
        part = self.part
        if part.type.swappable or not part.type.polarised:
            words = printed_on(part)
            if words and value_of(part):
                means = say("{print} means {value}", print=words, value=value_of(part))
                self.label(cx, HEIGHT - 14, means, "middle", bold=False, size=SMALL)
            elif part.type.swappable:
                self.label(cx, HEIGHT - 14, say("either way round"), "middle", bold=False, size=SMALL)
            return
        x = WIDTH * 0.56
        (plus_x, plus_y), (minus_x, minus_y) = ends
        plus, minus = part.type.terminals
        rows = [
            (say("short lead: {name}", name=_end(minus)), minus_x, minus_y - 8),
            (say("long lead: {name}", name=_end(plus)), plus_x, plus_y - 5),
        ]
        for (words, end_x, end_y), y in zip(rows, (minus_y - 8, plus_y - 2), strict=True):
            self.label(x, y + 7, words, size=20, room=WIDTH - x - 8)
            self.pointer((x - 8, y), (end_x + 6, min(end_y, y)))
        dome = part.type.body.shape == "dome"
        mark = say(MINUS_MARK["dome" if dome else "can"], name=_end(minus))
        y = cy + half - 10 * scale / 1.6 if dome else cy
        side = cx + (27 if dome else part.type.body.length * 5 - 4) * scale
        beside = y - (26 if dome else 0)
        self.label(x, beside + 7, mark, size=20, room=WIDTH - x - 8)
        self.pointer((x - 8, beside), (side, y))

    # -- parts on stiff legs -----------------------------------------------------------------

    def from_above(self) -> None:
        part = self.part
        legs = part.type.body.legs
        points = [(leg.at[0] * PITCH, leg.at[1] * PITCH) for leg in legs] or [
            (index * PITCH, 0.0) for index in range(len(part.type.leg_terminals))
        ]
        at = pose(part, points)
        xs, ys = [p[0] for p in at.legs], [p[1] for p in at.legs]
        body = part.type.body
        across = max(max(xs) - min(xs), body.width * 10) + 16
        along = max(max(ys) - min(ys), body.length * 10) + 8
        one_row = len({round(x) for x in xs}) == 1
        named = max(
            _text.width(terminal_words(part.type.terminal(name)), NAME, "bold")
            for name in part.type.leg_terminals
        )
        room = 236.0 if one_row else min(WIDTH - 2 * (named + BESIDE_NAME), 300.0)
        scale = min((HEIGHT - 56) / along, room / across, 3.0)
        cx, cy = WIDTH / 2, (HEIGHT - 26) / 2 + 4
        with self.svg.group(transform=f"translate({number(cx)} {number(cy)}) scale({number(scale)})"):
            draw_body(
                Body(replace(self.pen, fine=1.4 / scale), part, look_of(part.type), at.legs, named=False)
            )
        self._pin_names(at, cx, cy, scale)
        words = {
            "dip": say("pin 1 is left of the notch, beside the dot"),
            "tact": say("legs with one number are joined inside"),
        }.get(body.shape, say("seen from above"))
        self.label(WIDTH / 2, HEIGHT - 10, words, "middle", bold=False, size=SMALL)

    def _pin_names(self, at: Pose, cx: float, cy: float, scale: float) -> None:
        part = self.part
        body = part.type.body
        xs = [x for x, _ in at.legs]
        middle = (min(xs) + max(xs)) / 2
        half = max(max(xs) - middle, body.width * 5) * scale
        cx, shift = cx + middle * scale, middle
        one_row = len({round(x) for x, _ in at.legs}) == 1
        # The sign on a sounder stands right of its leg.
        leftwards = body.shape == "buzzer"
        for (x, y), name in zip(at.legs, part.type.leg_terminals, strict=True):
            terminal = part.type.terminal(name)
            words = terminal_words(terminal)
            px, py = cx + (x - shift) * scale, cy + y * scale
            left = leftwards or (x < -1 and not one_row)
            size = min(NAME, 0.8 * PITCH * scale)
            edge = cx - half - BESIDE_LEG if left else cx + half + BESIDE_LEG
            if abs(px - (edge + (BESIDE_LEG if left else -BESIDE_LEG))) > 4:
                tip = edge + (4 if left else -4)
                self.svg.line(px, py, tip, py, stroke=palette.PAPER, stroke_width=4.4)
                self.svg.line(px, py, tip, py, stroke=palette.INK_SOFT, stroke_width=1.8)
            room = (edge - 8) if left else (WIDTH - edge - 8)
            self.label(edge, py + 0.334 * size, words, "end" if left else "start", size=size, room=room)

    # -- parts beside the board --------------------------------------------------------------

    def beside(self) -> None:
        part, scale = self.part, 1.6
        words = {"positive": say("red: +"), "negative": say("black: −")}
        said = [words.get(t.role, "") for t in part.type.terminals]
        # Body, leads and words stand in the middle of the card, its name below the body.
        wide = (
            BESIDE[0] * scale
            + 56 * scale
            + max((14 + _text.width(w, 20, "bold") for w in said if w), default=0)
        )
        left, top = (WIDTH - wide) / 2, (HEIGHT - BESIDE[1] * scale - 46) / 2
        shares = [(index + 1) / 3 for index in range(2)]
        exits = [exit_at(0, 0, "left", share) for share in shares]
        leads = tuple(((x, y), (x + 56, y)) for x, y in exits)
        with self.svg.group(transform=f"translate({number(left)} {number(top)}) scale({number(scale)})"):
            for lead, terminal in zip(leads, part.type.terminals, strict=True):
                colour = {"positive": "red", "negative": "black"}.get(terminal.role, "grey")
                fill = palette.wire_colour(colour)
                self.pen.stroke(lead, palette.mix(fill, "#000000", 0.55), 9)
                self.pen.stroke(lead, fill, 6.4)
            draw_beside(self.pen, Beside(part, 0, 0, "left", leads))
        for lead, name in zip(leads, said, strict=True):
            x, y = left + lead[1][0] * scale + 14, top + lead[1][1] * scale
            self.label(x, y + 7, name, size=20, room=WIDTH - x - 6)
        self.label(
            left + BESIDE[0] * scale / 2,
            top + BESIDE[1] * scale + 40,
            marking_of(part) or say(part.type.noun),
            "middle",
        )


def _end(terminal: Terminal) -> str:
    """What the lead of a terminal is: "plus", "cathode"."""
    return say(PLUS_MINUS.get(terminal.title, terminal.title))
