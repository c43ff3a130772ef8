"""Drawing the plan of an IC's inside with its live levels into a picture."""

from __future__ import annotations

from dataclasses import dataclass

from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._svg import Svg, path
from buildalong.drawing._text import Anchor, Style
from buildalong.drawing.inside import _words as words
from buildalong.drawing.inside._state import State
from buildalong.parts import Block, Inside, InsidePin, InsideWire
from buildalong.words import say, with_unit

__all__ = ["CELL", "HIGH", "draw_plan", "pin_name", "plan_size", "said_level_of", "said_volts"]

CELL = 20.0
"""User units of one cell of the grid."""
NAME = 19.5
HIGH = palette.PLUS.hex
"""What is high, closed or active; it is thicker too and says so, for grey printing."""
LIT = palette.mix(palette.PLUS.hex, palette.PAPER, 0.87)
IDLE = 0.36
"""Share of the ground in the ink of a unit that is not used: paler, still 4.5:1."""
WORD = 72.0
"""A word below a pin's name needs so much width [units]."""
THIN, THICK = 2.2, 5.0
TAB = (26.0, 21.0)
"""The tab of a pin, with its number."""


def plan_size(plan: Inside) -> tuple[float, float]:
    """Width and height of the drawing in user units."""
    return plan.size[0] * CELL, plan.size[1] * CELL


def said_volts(volts: float | None) -> str:
    """A voltage as it stands beside a pin: '4.1 V', '−0.3 V', 'unused' where it leads nowhere."""
    if volts is None:
        return say(words.UNUSED)
    rounded = round(volts, 1) + 0.0
    return with_unit(f"{rounded:.1f}".replace("-", "−"), "V")


def pin_name(terminal: str) -> str:
    """The name of a terminal as it is set: with a minus sign and not a hyphen."""
    return terminal[:-1] + "−" if terminal.endswith("-") else terminal


def said_level_of(state: State, terminal: str) -> str:
    """The voltage of a terminal, and where it goes at once: '6.0 V', '6.0 → 0.0 V'."""
    now = said_volts(state.volts[terminal])
    soon = state.soon.get(terminal)
    return now if soon is None else f"{now.split()[0]} → {said_volts(soon)}"


def draw_plan(svg: Svg, state: State, x: float = 0.0, y: float = 0.0, *, live: bool = False) -> None:
    """Draw the inside of an IC with its top left corner at (x, y); nothing for a part without a plan.

    With ``live`` the voltages beside pins say of which net they are.
    """
    plan = state.part.type.inside
    if plan is not None:
        with svg.group(transform=f"translate({x:g} {y:g})" if x or y else None):
            _Plan(svg, state, plan, live).draw()


@dataclass(frozen=True)
class _Plan:
    svg: Svg
    state: State
    plan: Inside
    live: bool = False

    def ink(self, cell: str, colour: str = palette.INK, unused: bool = False) -> str:
        """The colour to draw with; paler in a unit that is not used, and at a pin that leads nowhere."""
        return palette.mix(colour, palette.CHIP, IDLE) if unused or self.state.idle(cell) else colour

    def _leads_nowhere(self, wire: InsideWire) -> bool:
        """Whether a wire ends at a pin that has no net."""
        ends = (wire.points[0], wire.points[-1])
        return any(pin.at in ends and self.state.volts[pin.terminal] is None for pin in self.plan.pins)

    def draw(self) -> None:
        left, top, right, bottom = (value * CELL for value in self.plan.outline)
        self.svg.rect(
            left, top, right - left, bottom - top, rx=8, fill=palette.CHIP, stroke=palette.INK, stroke_width=3
        )
        for wire in sorted(self.plan.wires, key=self._high):
            self._wire(wire)
        for block in self.plan.blocks:
            getattr(self, f"_{block.form}")(block)
        for block in self.plan.blocks:
            for text, at_x, at_y in block.labels:
                self._text(at_x * CELL, at_y * CELL, text, NAME, self.ink(block.cell), style="bold")
        for pin in self.plan.pins:
            self._pin(pin)
        self._labels()

    def _text(
        self, x: float, y: float, text: str, size: float, fill: str, *, style: Style = "regular"
    ) -> None:
        """A text centred on a point."""
        self.svg.text(x, y + 0.334 * size, text, size, anchor="middle", style=style, fill=fill)

    # -- wires and pins ----------------------------------------------------------------------

    def _high(self, wire: InsideWire) -> bool:
        live = wire.when is not None and self.state.holds(wire.when)
        return live and not self.state.idle(wire.cell) and not self._leads_nowhere(wire)

    def _wire(self, wire: InsideWire) -> None:
        high = self._high(wire)
        ink = self.ink(wire.cell, unused=self._leads_nowhere(wire))
        points = [(px * CELL, py * CELL) for px, py in wire.points]
        self.svg.path(
            path("M", points[0], *(bit for p in points[1:] for bit in ("L", p))), fill="none",
            stroke=HIGH if high else ink, stroke_width=THICK if high else THIN,
            stroke_linejoin="round", stroke_dasharray="7 5" if wire.dashed else None,
        )  # fmt: skip
        if wire.dot:
            self.svg.circle(*points[0], 4.6, fill=ink)

    def _labels(self) -> None:
        """The voltages of the wires that bear one."""
        for wire in self.plan.wires:
            if wire.label is not None and wire.sum:
                level = self.state.level(wire)
                if level is not None:
                    x, y = wire.label[0] * CELL, wire.label[1] * CELL
                    self.svg.text(x, y, said_volts(level), NAME, fill=self.ink(wire.cell))

    def _pin(self, pin: InsidePin) -> None:
        x, y = pin.at[0] * CELL, pin.at[1] * CELL
        wide, tall = TAB if len(self._number(pin)) < 3 else (TAB[0] + 10, TAB[1])
        dx, dy = {"left": (-1, 0), "right": (1, 0), "top": (0, -1), "bottom": (0, 1)}[pin.side]
        cx, cy = x + dx * wide / 2, y + dy * tall / 2
        high = pin.shows == "level" and bool(self.state.high(pin.terminal))
        ink = self.ink(pin.cell, unused=self.state.volts[pin.terminal] is None)
        self.svg.rect(
            cx - wide / 2, cy - tall / 2, wide, tall, fill=HIGH if high else palette.PAPER,
            stroke=HIGH if high else ink, stroke_width=THIN,
        )  # fmt: skip
        inked = palette.readable_on(HIGH) if high else palette.INK
        self._text(cx, cy, self._number(pin), NAME, inked if high else ink, style="bold")
        shown = self.state.part.type.terminal(pin.terminal).shown
        name, level = pin_name(shown), self._level(pin)
        soon = self.state.soon.get(pin.terminal)
        net = self.state.part.net(pin.terminal) if self.live and pin.shows != "level" else None
        if pin.side in ("left", "right"):
            out = x + dx * (wide + 6)
            self._row(out, y - 3, name, "end" if dx < 0 else "start", "bold", ink)
            self._row(out, y + 18, level, "end" if dx < 0 else "start", "regular", ink, net)
            if soon is not None:
                self._row(out, y + 38, f"→ {said_volts(soon)}", "end" if dx < 0 else "start", "regular", ink)
            return
        first = y - tall - 25.5 if pin.side == "top" else y + tall + 20
        self._row(x, first, name, "middle", "bold", ink)
        below = first + (19.5 if pin.side == "top" else 20)
        if soon is None:
            self._row(x, below, level, "middle", "regular", ink, net)
        else:  # begins where the voltage alone would
            start = x - _text.width(level, NAME) / 2
            self._row(start, below, said_level_of(self.state, pin.terminal), "start", "regular", ink, net)

    def _row(
        self, x: float, y: float, text: str, anchor: Anchor, style: Style, ink: str, net: str | None = None
    ) -> None:
        self.svg.text(x, y, text, NAME, anchor=anchor, style=style, fill=ink, data_net=net)

    def _number(self, pin: InsidePin) -> str:
        return self.state.part.type.terminal(pin.terminal).number

    def _level(self, pin: InsidePin) -> str:
        high = self.state.high(pin.terminal)
        if pin.shows == "level" and high is not None:
            return str(int(high))
        if high is None and self._crowded(pin):
            return "–"
        return said_volts(self.state.volts[pin.terminal])

    def _crowded(self, pin: InsidePin) -> bool:
        """Whether the next pin of its side stands so near that there is no room for a word below its name."""
        along = 0 if pin.side in ("top", "bottom") else 1
        others = (p.at[along] for p in self.plan.pins if p.side == pin.side and p is not pin)
        return along == 0 and any(abs(at - pin.at[0]) * CELL < WORD for at in others)

    # -- blocks ------------------------------------------------------------------------------

    def _active(self, block: Block) -> bool:
        return block.when is not None and self.state.holds(block.when) and not self.state.idle(block.cell)

    def _style(self, block: Block, fill: str = palette.PAPER) -> dict[str, str | float]:
        active = self._active(block)
        return {
            "fill": LIT if active else fill,
            "stroke": HIGH if active else self.ink(block.cell),
            "stroke_width": 3.6 if active else THIN,
            "stroke_linejoin": "round",
        }

    def _sides(self, block: Block) -> tuple[float, float, float, float]:
        (x, y), (w, h) = block.at, block.size
        return (x - w / 2) * CELL, (y - h / 2) * CELL, (x + w / 2) * CELL, (y + h / 2) * CELL

    def _bit(self, block: Block, x: float, y: float) -> None:
        """1 or 0 in a block whose output is high or low."""
        if block.when is not None and not self.state.idle(block.cell):
            active = self._active(block)
            self._text(x, y, str(int(active)), NAME, HIGH if active else palette.INK, style="bold")

    def _triangle(self, block: Block) -> tuple[float, float, float, float]:
        left, top, right, bottom = self._sides(block)
        self.svg.polygon([(left, top), (right, (top + bottom) / 2), (left, bottom)], **self._style(block))
        return left, top, right, bottom

    def _comparator(self, block: Block) -> None:
        left, top, right, bottom = self._triangle(block)
        # The inputs stand at a quarter and three quarters, as the wires of the plan do.
        quarter = (bottom - top) / 4
        signs = ("+", "−") if block.plus == "top" else ("−", "+")
        rows = self._inputs(block) or (top + quarter, bottom - quarter)
        for sign, row in zip(signs, rows, strict=True):
            self._text(left + 11, row, sign, NAME, self.ink(block.cell), style="bold")
        self._bit(block, left + 0.5 * (right - left), (top + bottom) / 2)

    def _inputs(self, block: Block) -> tuple[float, float] | None:
        """The heights at which wires end at the left edge of a comparator."""
        left, top, _, bottom = self._sides(block)
        ends = {y * CELL for wire in self.plan.wires for x, y in wire.points if abs(x * CELL - left) < 1}
        rows = sorted(y for y in ends if top < y < bottom)
        return (rows[0], rows[1]) if len(rows) == 2 else None

    def _amplifier(self, block: Block) -> None:
        left, top, right, bottom = self._triangle(block)
        self._bit(block, left + 0.36 * (right - left), (top + bottom) / 2)

    def _box(self, block: Block) -> None:
        left, top, right, bottom = self._sides(block)
        self.svg.rect(left, top, right - left, bottom - top, **self._style(block))
        x, y = (left + right) / 2, (top + bottom) / 2
        said = self._said(block)
        if not said:
            self._text(x, y, say(block.title), NAME, self.ink(block.cell), style="bold")
            return
        shift = 9 if any(at_x * CELL < x - 10 for _, at_x, _ in block.labels) else 0
        room, title = right - left - 6 - 2 * shift, say(block.title)
        if max(_text.width(title, NAME), _text.width(said, NAME, "bold")) > room and block.when is not None:
            # Long words: the title between the labels, and the state as in the other blocks.
            shown, size = _text.fit(title, NAME, right - left - 3, "regular", _text.LEAST)
            self._text(x, y, shown, size, palette.INK)
            self._bit(block, right - 10, bottom - 18)
            return
        shown, size = _text.fit(title, NAME, room, "regular", NAME)
        self._text(x + shift, y - 11, shown, size, palette.INK)
        shown, size = _text.fit(said, NAME, room, "bold", NAME)
        self._text(x + shift, y + 11, shown, size, HIGH if self._active(block) else palette.INK, style="bold")

    def _said(self, block: Block) -> str:
        if not block.shows:
            return ""
        now = self.state.cells.get(block.shows, "")
        return say(block.says.get(now, now) or words.OFF)

    def _resistor(self, block: Block) -> None:
        left, top, right, bottom = self._sides(block)
        self.svg.rect(left, top, right - left, bottom - top, **self._style(block))

    def _bubble(self, block: Block) -> None:
        (x, y), (w, _) = block.at, block.size
        self.svg.circle(x * CELL, y * CELL, w / 2 * CELL, **self._style(block))

    def _edge(self, block: Block) -> None:
        """The mark of an input that answers to a rising edge (IEC 60617-12, dynamic input)."""
        left, top, right, bottom = self._sides(block)
        self.svg.polyline(
            [(left, top), (right, (top + bottom) / 2), (left, bottom)], fill="none",
            stroke=self.ink(block.cell), stroke_width=THIN, stroke_linejoin="round",
        )  # fmt: skip

    def _switch(self, block: Block) -> None:
        """A contact between its upper and its lower end, open or closed."""
        left, top, right, bottom = self._sides(block)
        x, active = (left + right) / 2, self._active(block)
        ink, thick = (HIGH, THICK) if active else (self.ink(block.cell), THIN + 0.8)
        gap = 9.0
        for a, b in ((top, top + gap), (bottom - gap, bottom)):
            self.svg.line(x, a, x, b, stroke=self.ink(block.cell), stroke_width=THIN)
        self.svg.line(
            x, bottom - gap, x if active else left - 2, top + gap, stroke=ink, stroke_width=thick,
            stroke_linecap="round",
        )  # fmt: skip
        for row in (top + gap, bottom - gap):
            self.svg.circle(x, row, 3.6, fill=palette.PAPER, stroke=ink, stroke_width=THIN)

    def _ground(self, block: Block) -> None:
        left, top, right, bottom = self._sides(block)
        middle, ink = (left + right) / 2, self.ink(block.cell)
        for part, share in enumerate((1.0, 0.6, 0.25)):
            half, y = (right - left) / 2 * share, top + (bottom - top) * part / 2
            self.svg.line(middle - half, y, middle + half, y, stroke=ink, stroke_width=THIN)

    def _ring(self, block: Block) -> None:
        """A row of places, one for each state; the one in force is filled."""
        left, top, right, bottom = self._sides(block)
        states = next(c["states"] for c in self.state.part.type.model["cells"] if c["name"] == block.shows)
        wide, now = (right - left) / len(states), self.state.cells.get(block.shows, "")
        for index, name in enumerate(states):
            here = name == now
            self.svg.rect(
                left + index * wide, top, wide, bottom - top, fill=HIGH if here else palette.PAPER,
                stroke=palette.INK, stroke_width=THIN,
            )  # fmt: skip
            ink = palette.readable_on(HIGH) if here else palette.INK
            self._text(left + (index + 0.5) * wide, (top + bottom) / 2, name, NAME, ink, style="bold")
