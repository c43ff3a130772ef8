"""The shape of a part type's data; the same schema checks the catalogue and a lesson's own parts."""

from __future__ import annotations

from typing import Any, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from buildalong.quantity import Quantity, QuantityError, parse

__all__ = ["Body", "Figure", "Leg", "PartType", "Terminal", "ValueRule"]

MEMORY = "from memory"
COMMON = "common practice"
OWN = "our choice"
"""Sources that need no entry in ``sources``: they say themselves how far to trust the figure."""


class _Data(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


class Figure(_Data):
    """A number from a data sheet: typical, least, most, in one unit, with conditions and source.

    Each of ``typ``, ``min``, ``max`` is written as a quantity text ("2.52 nA"); at least one stands.
    """

    typ: str | None = Field(None, description="typical value, e.g. '1.67 V'")
    min: str | None = Field(None, description="least value")
    max: str | None = Field(None, description="largest value")
    at: str = Field("", description="conditions, e.g. '5 V supply, 25 °C'")
    source: str = Field(description="key in the part's sources, or 'from memory', 'common practice'")

    @model_validator(mode="after")
    def _check(self) -> Self:
        texts = [t for t in (self.typ, self.min, self.max) if t is not None]
        if not texts:
            raise ValueError("a figure needs at least one of typ, min, max")
        try:
            units = {parse(t).unit for t in texts}
        except QuantityError as error:
            raise ValueError(str(error)) from None
        if len(units) > 1:
            raise ValueError(f"a figure mixes the units {', '.join(sorted(units))}")
        return self

    @property
    def quantity(self) -> Quantity:
        """The value to compute with: typical, else the mean of the limits, else the one limit."""
        if self.typ is not None:
            return parse(self.typ)
        if self.min is not None and self.max is not None:
            low, high = parse(self.min), parse(self.max)
            return Quantity((low.value + high.value) / 2, low.unit)
        return parse(self.max or self.min or "0")

    @property
    def value(self) -> float:
        """The number of :attr:`quantity`."""
        return self.quantity.value

    @property
    def low(self) -> float:
        """The least value, or the typical one where no limit is given."""
        return parse(self.min).value if self.min is not None else self.value

    @property
    def high(self) -> float:
        """The largest value, or the typical one where no limit is given."""
        return parse(self.max).value if self.max is not None else self.value


Role = Literal[
    "passive", "positive", "negative", "anode", "cathode", "base", "collector", "emitter",
    "supply", "ground", "input", "output", "open-output", "control", "wiper", "contact",
]  # fmt: skip


class Terminal(_Data):
    """One electrical terminal of a part, in the order in which lessons name the nets."""

    name: str = Field(description="short name, unique in the part: 'A', 'TRIG', '1'")
    title: str = Field(description="the word used in sentences: 'anode', 'trigger'")
    role: Role = Field(description="what the terminal does")
    number: str = Field("", description="pin number printed in the data sheet, if any")
    must_connect: bool = Field(True, description="whether leaving it open is a finding")
    open_ok: str = Field("", description="why it may be left open, shown to the author")


class Leg(_Data):
    """One lead of a rigid part: its terminal and its place on the 2.54 mm grid.

    ``at`` is [across, along]: along the board's rows (numbers), across its columns (letters).
    """

    terminal: str
    at: tuple[int, int]
    label: str = Field("", description="name of this leg where a terminal has several")


class Body(_Data):
    """Size of the part and how its leads reach the board; lengths in millimetres."""

    kind: Literal["axial", "radial", "rigid", "off-board"]
    shape: str = Field(description="name of the body drawing: 'cylinder', 'can', 'dome', 'dip', ...")
    length: float = Field(0, description="mm along the line of its leads")
    width: float = Field(0, description="mm across it")
    height: float = Field(0, description="mm above the board")
    lead: float = Field(description="lead diameter, mm")
    span: tuple[int, int] = Field((1, 1), description="least and most lead distance, pitches of 2.54 mm")
    ideal_span: int = Field(1, description="the tidiest lead distance, pitches")
    legs: tuple[Leg, ...] = Field((), description="rigid parts: every leg; otherwise empty")
    straddles: bool = Field(False, description="must stand across the trench (DIP, tact button)")
    source: str = Field(description="where the sizes are from")


class ValueRule(_Data):
    """Which value a lesson must give for the part, and what makes sense."""

    unit: str
    least: str
    most: str
    series: str = Field("E24", description="preferred numbers it is made in")
    tolerance: str = Field(description="usual tolerance, '5 %'")
    source: str


class Slip(_Data):
    """A way in which beginners get the part wrong."""

    kind: str
    sentence: str = Field(description="said to the learner, in one sentence")
    source: str


class Marking(_Data):
    """What is printed on the part."""

    kind: Literal["bands", "code", "text", "none"]
    text: str = Field("", description="template: {value}, {code}, or the fixed print")
    reading: str = Field("", description="how to read it, in one sentence")


class PartType(_Data):
    """One entry of the catalogue."""

    id: str
    family: str
    title: str = Field(description="the name in a parts list")
    noun: str = Field(description="the short name in a sentence: 'resistor', 'timer'")
    letter: str = Field(description="reference letter after IEEE 315: R, C, D, DS, Q, U, BT, S")
    about: str = Field("", description="one or two sentences for the part card")
    aliases: tuple[str, ...] = ()
    terminals: tuple[Terminal, ...]
    internal_links: tuple[tuple[str, str], ...] = ()
    value: ValueRule | None = None
    polarised: bool = False
    swappable: bool = Field(False, description="turning it round changes nothing (resistor)")
    ratings: dict[str, Figure] = {}
    figures: dict[str, Figure] = Field({}, description="further catalogue figures, for text and tests")
    model: dict[str, Any] = Field({}, description="electrical model; checked by the engine's own schema")
    symbol: dict[str, Any] = Field({}, description="schematic symbol; checked by the drawing's schema")
    look: dict[str, Any] = Field({}, description="appearance; checked by the drawing's schema")
    body: Body
    marking: Marking
    slips: tuple[Slip, ...] = ()
    cautions: tuple[str, ...] = ()
    sources: dict[str, str] = {}

    @model_validator(mode="after")
    def _check(self) -> Self:
        names = [t.name for t in self.terminals]
        if len(set(names)) != len(names):
            raise ValueError("terminal names repeat")
        for leg in self.body.legs:
            if leg.terminal not in names:
                raise ValueError(f"body.legs names the terminal '{leg.terminal}', which is not there")
        for key, figure in {**self.ratings, **self.figures}.items():
            if figure.source not in self.sources and figure.source not in (MEMORY, COMMON, OWN):
                raise ValueError(f"figure '{key}' names the source '{figure.source}', not in sources")
        return self

    @property
    def leg_terminals(self) -> tuple[str, ...]:
        """Terminal name of each leg, in leg order; a layout names one hole for each."""
        if self.body.legs:
            return tuple(leg.terminal for leg in self.body.legs)
        return tuple(t.name for t in self.terminals)

    @property
    def leg_names(self) -> tuple[str, ...]:
        """A name for each leg, unique in the part."""
        if self.body.legs:
            return tuple(leg.label or leg.terminal for leg in self.body.legs)
        return tuple(t.name for t in self.terminals)

    def terminal(self, name: str) -> Terminal:
        """Give the terminal of that name or number; raises KeyError."""
        for terminal in self.terminals:
            if name in (terminal.name, terminal.number) and name:
                return terminal
        raise KeyError(name)
