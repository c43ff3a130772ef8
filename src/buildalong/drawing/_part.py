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
from buildalong.drawing.bodies._beside import BESIDE, draw_loose
from buildalong.drawing.bodies._hand import HANDS, height, lead_length
from buildalong.parts import Terminal
from buildalong.words import colour_word, say

__all__ = ["part_picture"]

WIDTH, HEIGHT = 480.0, 320.0
NAME, SMALL = 21.0, 18.0
BESIDE_LEG = 20.0
"""From the end of a leg to its name."""
BESIDE_NAME = 30.0
"""From a part seen from above over a leg's name to the edge, without the name."""
LEFT_THIRD, BESIDE_THIRD = 0.28, 0.49
"""Shares of the width: the middle of a body with words beside it, and where the words begin."""
CAPTION = HEIGHT - 30.0
"""Upper edge of a line of words below the part."""
LEAD = 56.0
"""Leads of a part beside the board, of the units in which its body is 150 wide."""
RING = 4.4
"""From the middle of a leg seen through a body to where its leader begins, in tenths of a millimetre."""
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
        """A line with a dot at its end, cased so that both are seen on a dark body."""
        self.svg.line(*start, *end, stroke=palette.PAPER, stroke_width=4.4)
        self.svg.circle(*end, 4.4, fill=palette.PAPER)
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
        value = value_of(part)
        read = say("read from the left: {value}", value=value) if len(bands) > 1 else value
        self.label(cx, HEIGHT - 14, read, "middle", bold=False, size=SMALL)

    # -- parts with leads --------------------------------------------------------------------

    def in_hand(self) -> None:
        part = self.part
        shape = part.type.body.shape
        lying = shape == "cylinder"
        body = part.type.body
        scale = {"cylinder": 2.9, "can": 1.42, "dome": 1.62, "to92": 1.9, "disc": 1.75, "slide": 1.9}.get(
            shape, 1.65
        )
        if shape == "can":  # large cans are shown smaller, so that leads and words find room
            scale *= min(1.0, 11.5 / max(body.height, 1.0))
        cx = WIDTH / 2 if lying or part.type.swappable else WIDTH * LEFT_THIRD
        half = height(part) / 2 * scale
        # Between the upper edge and the caption, where there is room to spare.
        spare = (CAPTION - 2 * half - lead_length(part) * scale) / 2
        spare = spare if part.type.swappable or shape == "slide" else 0.0
        cy = HEIGHT / 2 + 12 if lying else max(16.0, spare) + half
        with self.svg.group(transform=f"translate({number(cx)} {number(cy)}) scale({number(scale)})"):
            ends = HANDS[shape](replace(self.pen, fine=1.4 / scale), part)
        placed = [(cx + x * scale, cy + y * scale) for x, y in ends]
        if lying:
            self._lying_names(placed, cy)
        elif len(placed) == 3:
            self._leg_letters(placed)
        else:
            self._lead_names(placed, cx, cy, half, scale)

    def _lying_names(self, ends: list[Point], cy: float) -> None:
        for end, terminal, anchor in zip(ends, self.part.type.terminals, ("start", "end"), strict=True):
            x = 18 if anchor == "start" else WIDTH - 18
            self.label(x, cy + 62, terminal_words(terminal), "start" if anchor == "start" else "end")
            self.svg.line(end[0], cy + 8, end[0], cy + 40, stroke=palette.INK_SOFT, stroke_width=1.8)
        if self.part.type.polarised:
            length = self.part.type.body.length * 10 * 2.9
            x = WIDTH / 2 + length / 2 - max(length * 0.14, 14.5) * 1.4
            self.label(x, cy - 92, say("the stripe marks the cathode"), "middle", bold=False, size=SMALL)
            self.pointer((x, cy - 82), (x, cy - self.part.type.body.width * 14.5 - 8))

    def _leg_letters(self, ends: list[Point]) -> None:
        part = self.part
        for (x, y), terminal in zip(ends, part.type.leg_terminals, strict=True):
            self.label(x, y + 24, terminal, "middle")
        x = WIDTH * BESIDE_THIRD
        for index, name in enumerate(part.type.leg_terminals):
            title = say(part.type.terminal(name).title)
            self.label(x, 162 + index * 30, f"{name}  {title}", bold=False, size=SMALL + 1)
        if part.type.body.shape == "slide":
            self.label(x, 111, say("seen from the side"), size=SMALL + 1)
            return
        self.label(x, 87, say("flat face"), size=SMALL + 1)
        self.label(x, 111, say("towards you"), size=SMALL + 1)
        self.pointer((x - 8, 92), (WIDTH * LEFT_THIRD + 34, 92))

    def _lead_names(self, ends: list[Point], cx: float, cy: float, half: float, scale: float) -> None:
        part = self.part
        if part.type.swappable or not part.type.polarised:
            printed = printed_on(part)
            said = [say("either way round")] if part.type.swappable else []
            if printed and value_of(part):
                said.insert(0, say("{print} means {value}", print=printed, value=value_of(part)))
            self.label(cx, HEIGHT - 14, "  ·  ".join(said), "middle", bold=False, size=SMALL)
            return
        x = WIDTH * BESIDE_THIRD
        (plus_x, plus_y), (minus_x, minus_y) = ends
        plus, minus = part.type.terminals
        rows = [
            (say("short lead: {name}", name=_end(minus)), minus_x, minus_y - 12),
            (say("long lead: {name}", name=_end(plus)), plus_x, plus_y - 8),
        ]
        for words, end_x, y in rows:
            self.label(x, y + 7, words, size=20, room=WIDTH - x - 8)
            self.pointer((x - 8, y), (end_x + 6, y))
        dome = part.type.body.shape == "dome"
        mark = say(MINUS_MARK["dome" if dome else "can"], name=_end(minus))
        # On a can between two of the signs that its stripe bears.
        y = cy + half - 10 * scale / 1.6 if dome else cy - half / 4
        side = cx + (27 if dome else part.type.body.length * 5 - 4) * scale
        self.label(x, y + 7, mark, size=20, room=WIDTH - x - 8)
        self.pointer((x - 8, y), (side, y))

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
            "tact": say("legs with the same number are joined inside"),
        }.get(body.shape, say("seen from above"))
        if len(part.type.leg_terminals) == 3:
            middle = part.type.terminal(part.type.leg_terminals[1])
            words += f"  ·  {middle.name} {say(middle.title)}"
        printed, value = printed_on(part), value_of(part)
        if printed and value and printed != value:
            words += "  ·  " + say("{print} means {value}", print=printed, value=value)
        below = min(HEIGHT - 10, cy + along * scale / 2 + 34)
        self.label(WIDTH / 2, below, words, "middle", bold=False, size=SMALL)

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
                start = px + (-RING if left else RING) * scale
                self.svg.line(start, py, tip, py, stroke=palette.PAPER, stroke_width=4.4)
                self.svg.line(start, py, tip, py, stroke=palette.INK_SOFT, stroke_width=1.8)
            room = (edge - 8) if left else (WIDTH - edge - 8)
            self.label(edge, py + 0.334 * size, words, "end" if left else "start", size=size, room=room)

    # -- parts beside the board --------------------------------------------------------------

    def beside(self) -> None:
        part, scale = self.part, 1.6
        words = {"positive": say("red: +"), "negative": say("black: −")}
        said = [words.get(t.role, "") for t in part.type.terminals]
        # What is printed on the body is not written below it again.
        printed = look_of(part.type).cells in ("block", "plug")
        caption = "" if printed else marking_of(part) or say(part.type.noun)
        # Body, leads and words stand in the middle of the card, its name below the body.
        wide = (BESIDE[0] + LEAD) * scale + max(
            (14 + _text.width(w, 20, "bold") for w in said if w), default=0
        )
        left, top = (WIDTH - wide) / 2, (HEIGHT - BESIDE[1] * scale - (46 if caption else 0)) / 2
        with self.svg.group(transform=f"translate({number(left)} {number(top)}) scale({number(scale)})"):
            ends = draw_loose(self.pen, part, LEAD)
        for end, name in zip(ends, said, strict=True):
            x, y = left + end[0] * scale + 14, top + end[1] * scale
            self.label(x, y + 7, name, size=20, room=WIDTH - x - 6)
        if caption:
            self.label(left + BESIDE[0] * scale / 2, top + BESIDE[1] * scale + 40, caption, "middle")


def _end(terminal: Terminal) -> str:
    """What the lead of a terminal is: "plus", "cathode"."""
    return say(PLUS_MINUS.get(terminal.title, terminal.title))
