"""A circuit that runs while somebody looks: no clock, no network; it goes on when it is told to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from buildalong.bench._touched import OUT, Consequence, Touched, consequence_of
from buildalong.board import Layout
from buildalong.circuit import Circuit, Part, supply_voltages
from buildalong.engine import Action, Live, Options, Run, Trial
from buildalong.finding import Finding

__all__ = ["Control", "Frame", "Running"]

LIT = 0.2e-3
"""From this current on an LED is seen to shine [A], as the engine's measures have it."""
FULL = 20e-3
"""The usual test current of LEDs [A]: drawn at full brightness."""
LEAST_LUX, MOST_LUX = 1.0, 1000.0
MOST_EVENTS = 12
"""Events of one piece that are told."""
OPTIONS = Options(rtol=1e-3, wakings=False, max_samples=2_000, max_events=4_000, max_steps=20_000)


@dataclass(frozen=True, slots=True)
class Control:
    """What a hand can do with a part: ``kind`` press, throw, turn, light or volts, and its range."""

    part: str
    setting: str
    kind: str
    low: float
    high: float
    value: float


@dataclass(frozen=True)
class Frame:
    """One look at the running circuit.

    ``volts``: for each net of the lesson its voltage at the end of the piece, the least and the greatest in
    it; ``strips``: the same net by net of the board, at the end only; ``light``: brightness of each light
    (0..1); ``meter``: what the meter shows [V], None where it hangs in the air; ``told``: what happened.
    """

    time: float
    volts: tuple[tuple[float, float, float], ...]
    light: tuple[float, ...]
    probes: tuple[float | None, ...]
    meter: float | None
    told: tuple[tuple[float, str, str, str], ...]
    verdicts: tuple[str, ...] = ()


class Running:
    """A lesson's board with the supply on, a hand at its buttons and leads, a meter at its holes."""

    def __init__(self, circuit: Circuit, layout: Layout, trials: Sequence[Trial]) -> None:
        self.trials = tuple(trials)
        self.touched = Touched(circuit, layout)
        self.nets = tuple(circuit.nets)
        families = ("led", "buzzer", "motor")
        self.lights = tuple(p.id for p in circuit.parts if p.type.family in families)
        self.controls = {(c.part, c.setting): c for p in circuit.parts for c in _controls(p)}
        self.settings: dict[tuple[str, str], float] = {}
        self.probes: tuple[str, ...] = ()
        self.meter: tuple[str, str] = ("", "")
        self.consequence = Consequence()
        self._passed = 0.0
        self._on: dict[str, float] = {}
        self.live: Live | None = None
        self.switch_on(())

    # -- the board --------------------------------------------------------------------------------

    def switch_on(self, charged: tuple[tuple[str, float], ...]) -> None:
        """Switch the supply on, with some capacitors charged; buttons and knobs stay as they are."""
        self.made, self.strips = self.touched.read_back()
        self._on = {}
        supply = next((p for p in self.made.parts if p.type.family == "supply"), None)
        if supply is None or None in supply.nets or supply.nets[0] == supply.nets[1]:
            self.live = None
            return
        here = {p.id for p in self.made.parts}
        kept = tuple((part, volt) for part, volt in charged if part in here)
        options = Options(
            rtol=OPTIONS.rtol, wakings=False, max_samples=OPTIONS.max_samples,
            max_events=OPTIONS.max_events, max_steps=OPTIONS.max_steps, charged=kept,
        )  # fmt: skip
        self.live = Live(self.made, options=options)
        for (part, setting), value in self.settings.items():
            if part in here:
                self.live.act(Action(0.0, part, setting, value))

    def lead(self, owner: str, leg: int, hole: str) -> Finding | None:
        """Put a lead elsewhere, or pull it out; gives why that cannot be done.

        The supply is off while the lead moves; capacitors keep their charge.  Raises KeyError for a lead
        that is not there.
        """
        new = self.touched.with_lead(owner, leg, hole or OUT)
        if isinstance(new, Finding):
            return new
        self._changed(new)
        return None

    def put_back(self) -> None:
        """Put every lead back into its own hole."""
        self._changed(Touched(self.touched.circuit, self.touched.layout))

    def _changed(self, new: Touched) -> None:
        charged = self.live.charges() if self.live is not None else ()
        self._passed = self.time
        self.touched = new
        self.switch_on(charged)
        self.consequence = consequence_of(new, self.trials)

    def start_again(self) -> None:
        """The supply off, everything discharged, and on again."""
        self._passed = 0.0
        self.switch_on(())

    # -- the hand ---------------------------------------------------------------------------------

    def act(self, part: str, setting: str, value: float) -> None:
        """Press, throw, turn, shade or lower something; raises KeyError where there is no such thing."""
        control = self.controls[part, setting]
        value = min(max(value, control.low), control.high)
        self.settings[part, setting] = value
        if self.live is not None and any(p.id == part for p in self.made.parts):
            self.live.act(Action(0.0, part, setting, value))

    @property
    def time(self) -> float:
        """Seconds since the supply was first switched on."""
        return self._passed + (self.live.time if self.live is not None else 0.0)

    # -- what is seen -----------------------------------------------------------------------------

    def advance(self, dt: float) -> Frame:
        """Go on for ``dt`` seconds and look."""
        if self.live is None:
            self._passed += dt
            dark = (0.0,) * len(self.lights)
            return Frame(self.time, ((0.0, 0.0, 0.0),) * len(self.nets), dark, self._none, None, ())
        run = self.live.advance(dt)
        return self._look(run)

    @property
    def _none(self) -> tuple[float | None, ...]:
        return (None,) * len(self.probes)

    def _look(self, run: Run) -> Frame:
        column = {net: number for number, net in enumerate(run.nets)}
        volts = run.voltages
        span = float(run.times[-1] - run.times[0]) if len(run.times) else 0.0

        def of_net(net: str) -> tuple[float, float, float]:
            at = column.get(self._real(net), -1)
            if at < 0 or not len(volts):
                return 0.0, 0.0, 0.0
            values = volts[:, at]
            return round(float(values[-1]), 4), round(float(values.min()), 4), round(float(values.max()), 4)

        def at_hole(hole: str) -> float | None:
            at = column.get(self._strip_net(hole), -1)
            return round(float(volts[-1, at]), 4) if at >= 0 and len(volts) else None

        for event in run.events:
            if event.kind == "light":
                self._on[event.part] = 1.0 if event.after == "lit" else 0.0
        light = tuple(self._brightness(run, part, span) for part in self.lights)
        red, black = (at_hole(hole) if hole else None for hole in self.meter)
        meter = round(red - black, 4) if red is not None and black is not None else None
        told = tuple(
            (round(self._passed + e.time, 6), e.part, e.kind, e.after or ("1" if e.rising else "0"))
            for e in run.events
            if e.kind in ("light", "state")
        )[:MOST_EVENTS]
        return Frame(
            self.time, tuple(of_net(net) for net in self.nets), light,
            tuple(at_hole(hole) for hole in self.probes), meter, told,
            tuple(verdict.code for verdict in run.verdicts),
        )  # fmt: skip

    def _strip_net(self, hole: str) -> str:
        return self.strips.get(self.touched.layout.board.strip_of.get(hole, ""), "")

    def _real(self, net: str) -> str:
        """The net of the board as it stands that carries a net of the lesson: at its first lead in a hole."""
        circuit, layout = self.touched.circuit, self.touched.layout
        for pin in circuit.nets.get(net, ()):
            part = circuit.by_id[pin.part]
            legs = part.type.leg_terminals
            if pin.part in layout.holes and pin.terminal in legs:
                found = self._strip_net(layout.holes[pin.part][legs.index(pin.terminal)])
                if found:
                    return found
        return ""

    def _brightness(self, run: Run, part: str, span: float) -> float:
        """How bright a light is seen, or whether it is heard or turns (1 or 0)."""
        if part not in run.circuit.by_id or not len(run.times):
            return 0.0
        kind = run.circuit.by_id[part].type
        if kind.family != "led":
            return self._on.get(part, 0.0)
        current = run.current(part, kind.terminals[0].name)
        mean = float(np.trapezoid(current, run.times)) / span if span > 0 else float(current[-1])
        return round(min(abs(mean) / FULL, 1.0) ** 0.45, 3) if abs(mean) >= LIT else 0.0


def _controls(part: Part) -> list[Control]:
    """What a hand can do with this part."""
    family = part.type.family
    if family == "button":
        return [Control(part.id, "pressed", "press", 0.0, 1.0, part.setting("pressed", 0.0))]
    if family == "switch":
        return [Control(part.id, "thrown", "throw", 0.0, 1.0, part.setting("thrown", 0.0))]
    if family == "potentiometer":
        return [Control(part.id, "position", "turn", 0.0, 1.0, part.setting("position", 0.5))]
    if family == "ldr":
        return [Control(part.id, "light", "light", LEAST_LUX, MOST_LUX, part.setting("light", 100.0))]
    if family == "supply":
        _, nominal, fresh = supply_voltages(part)
        return [Control(part.id, "volts", "volts", 0.0, max(nominal, fresh), nominal)]
    return []
