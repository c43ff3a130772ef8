"""The shape of a part type's data; the same schema checks the catalogue and a lesson's own parts."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated, Any, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from buildalong.parts._inside import Inside
from buildalong.parts._levels import with_levels
from buildalong.quantity import SERIES, Quantity, QuantityError, parse, parse_as

__all__ = [
    "RATINGS", "Body", "Capacity", "Figure", "Leg", "Marking", "PartType", "Setting", "Size", "Slip",
    "Terminal", "ValueRule",
]  # fmt: skip

MEMORY = "from memory"
COMMON = "common practice"
OWN = "our choice"
PLAIN_SOURCES = (MEMORY, COMMON, OWN)
"""Sources that need no entry in ``sources``: they say themselves how far to trust the figure."""

RATINGS = {
    "power": ("W", "most power the part may turn into heat all the time"),
    "voltage": ("V", "most voltage across the part all the time"),
    "current": ("A", "most current through the part all the time"),
    "pulse_current": ("A", "most current for a short pulse"),
    "reverse_voltage": ("V", "most voltage against the direction of the part"),
    "base_emitter_reverse": ("V", "most voltage of the emitter above the base"),
    "supply_min": ("V", "least supply voltage at which the part is promised to work"),
    "supply_max": ("V", "most supply voltage recommended"),
    "supply_absolute": ("V", "supply voltage that may never be passed, not even for a moment"),
    "output_current": ("A", "most current into or out of one output"),
    "source_current": ("A", "most current out of an output that is high"),
    "sink_current": ("A", "most current into an output that is low"),
    "sink_promised": ("A", "current into a low output up to which every sample holds its level"),
    "input_above": ("V", "most voltage of an input above the plus supply pin"),
    "input_below": ("V", "most voltage of an input below the ground pin"),
    "temperature": ("°C", "highest temperature around the part"),
}
"""Ratings known here: name -> unit and meaning.  No part passes them in a correct lesson."""

_NAME = re.compile(r"[a-z][a-z0-9_]{0,39}")
Identity = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]{0,39}$")]
Text = Annotated[str, Field(max_length=600)]
Millimetres = Annotated[float, Field(ge=0, le=200)]


class _Data(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


def _quantity(text: str, unit: str) -> float:
    try:
        return parse_as(text, unit)
    except QuantityError as error:
        raise ValueError(str(error)) from None


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
        numbers = [parse(t).value for t in (self.min, self.typ, self.max) if t is not None]
        if numbers != sorted(numbers):
            raise ValueError("a figure needs min, typ and max in rising order")
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
    printed: str = Field("", description="its name in the type's own data sheet, if that is another")

    @property
    def shown(self) -> str:
        """The name that pictures and cards write."""
        return self.printed or self.name


class Leg(_Data):
    """One lead of a rigid part: its terminal and its place on the 2.54 mm grid.

    ``at`` is [across, along]: along the board's rows (numbers), across its columns (letters).
    """

    terminal: str
    at: tuple[Annotated[int, Field(ge=0, le=30)], Annotated[int, Field(ge=0, le=30)]]
    label: str = Field("", description="name of this leg where a terminal has several")


class Body(_Data):
    """Size of the part and how its leads reach the board; lengths in millimetres."""

    kind: Literal["axial", "radial", "rigid", "off-board"]
    shape: str = Field(description="name of the body drawing: 'cylinder', 'can', 'dome', 'dip', ...")
    length: Millimetres = Field(0, description="mm along the line of its leads")
    width: Millimetres = Field(0, description="mm across it")
    height: Millimetres = Field(0, description="mm above the board")
    lead: Millimetres = Field(description="lead diameter, mm")
    span: tuple[int, int] = Field((1, 1), description="least and most lead distance, pitches of 2.54 mm")
    ideal_span: int = Field(1, description="the tidiest lead distance, pitches")
    legs: tuple[Leg, ...] = Field((), max_length=64, description="rigid parts: every leg; otherwise empty")
    straddles: bool = Field(False, description="must stand across the trench (DIP, tact button)")
    source: str = Field(description="where the sizes are from")

    @model_validator(mode="after")
    def _check(self) -> Self:
        if not 1 <= self.span[0] <= self.ideal_span <= self.span[1] <= 20:
            raise ValueError("span is [least, most] in pitches, 1 to 20, with ideal_span between them")
        if self.kind == "rigid" and not self.legs:
            raise ValueError("a rigid body needs legs: one entry for each leg, with its place")
        places = [leg.at for leg in self.legs]
        if len(set(places)) != len(places):
            raise ValueError("two legs stand at the same place")
        return self


class Size(_Data):
    """Another body size, from a value upwards; what it does not say stays as in the body."""

    above: str = Field(description="values above this have the size")
    length: Millimetres
    width: Millimetres
    height: Millimetres
    lead: Millimetres
    span: tuple[int, int]
    ideal_span: int
    source: str


class ValueRule(_Data):
    """Which value a lesson must give for the part, and what makes sense."""

    unit: str
    least: str
    most: str
    series: str = Field("E24", description="preferred numbers it is made in: E3 to E192")
    tolerance: str = Field(description="usual tolerance, '5 %'")
    source: str

    @model_validator(mode="after")
    def _check(self) -> Self:
        if not 0 < _quantity(self.least, self.unit) < _quantity(self.most, self.unit):
            raise ValueError("least must be above zero and below most")
        if self.series not in SERIES:
            raise ValueError(f"series is one of {', '.join(SERIES)}")
        if not 0 < _quantity(self.tolerance, "") < 1:
            raise ValueError("tolerance is a percentage above 0 % and below 100 %")
        return self


class Setting(_Data):
    """A number that a lesson may set for one part (``light`` on a sensor, ``count`` of cells)."""

    unit: str = Field("", description="coherent unit; empty for a plain number or a percentage")
    least: str
    most: str
    usual: str = Field(description="taken where the lesson says nothing")
    title: str = Field(description="what it is, for the reference and for messages")
    whole: bool = Field(False, description="only whole numbers make sense")

    @model_validator(mode="after")
    def _check(self) -> Self:
        low, usual, high = (_quantity(text, self.unit) for text in (self.least, self.usual, self.most))
        if not low <= usual <= high:
            raise ValueError("usual must lie between least and most")
        return self

    @property
    def value(self) -> float:
        """The usual value in the coherent unit."""
        return parse_as(self.usual, self.unit)


class Capacity(_Data):
    """How much charge one cell gives at a steady load until its end voltage."""

    load: str = Field(description="steady current, '25 mA'")
    charge: str = Field(description="charge until the end voltage, '3000 mAh'")
    source: str

    @model_validator(mode="after")
    def _check(self) -> Self:
        if _quantity(self.load, "A") <= 0 or _quantity(self.charge, "Ah") <= 0:
            raise ValueError("load and charge must be above zero")
        return self


class Slip(_Data):
    """A way in which beginners get the part wrong."""

    kind: Identity
    sentence: Text = Field(description="said to the learner, in one sentence")
    source: str


class Marking(_Data):
    """What is printed on the part."""

    kind: Literal["bands", "code", "text", "none"]
    text: str = Field("", max_length=60, description="template: {value}, {code}, {rated}, or the fixed print")
    reading: Text = Field("", description="how to read it, in one sentence")


class PartType(_Data):
    """One entry of the catalogue."""

    id: Identity
    family: Identity
    title: str = Field(description="the name in a parts list")
    noun: str = Field(description="the short name in a sentence: 'resistor', 'timer'")
    letter: str = Field(description="reference letter after IEEE 315: R, C, D, DS, Q, U, BT, S")
    about: Text = Field("", description="one or two sentences for the part card")
    aliases: tuple[str, ...] = Field((), max_length=20)
    terminals: tuple[Terminal, ...] = Field(min_length=2, max_length=40)
    pin_names: dict[str, str] = Field({}, description="terminal -> its name in this type's data sheet")
    internal_links: tuple[tuple[str, str], ...] = ()
    value: ValueRule | None = None
    polarised: bool = False
    swappable: bool = Field(False, description="turning it round changes nothing (resistor)")
    ratings: dict[str, Figure] = {}
    figures: dict[str, Figure] = Field({}, description="further catalogue figures, for text and tests")
    settings: dict[str, Setting] = Field({}, description="numbers a lesson may set for one part")
    capacity: tuple[Capacity, ...] = Field((), description="supplies: charge of one cell at several loads")
    model: dict[str, Any] = Field({}, description="electrical model; checked by the engine's own schema")
    symbol: dict[str, Any] = Field({}, description="schematic symbol; checked by the drawing's schema")
    look: dict[str, Any] = Field({}, description="appearance; checked by the drawing's schema")
    inside: Inside | None = Field(None, description="plan of an IC's inside, for the pictures")
    body: Body
    sizes: tuple[Size, ...] = Field((), max_length=12, description="larger bodies for larger values")
    marking: Marking
    slips: tuple[Slip, ...] = ()
    cautions: tuple[str, ...] = ()
    sources: dict[str, str] = {}

    @model_validator(mode="before")
    @classmethod
    def _levels(cls, data: Any) -> Any:
        return with_levels(data) if isinstance(data, Mapping) else data

    @model_validator(mode="before")
    @classmethod
    def _print(cls, data: Any) -> Any:
        """Tell each terminal the name that the type's own data sheet gives it."""
        printed = data.get("pin_names") if isinstance(data, Mapping) else None
        terminals = data.get("terminals") if isinstance(data, Mapping) else None
        if not isinstance(printed, Mapping) or not isinstance(terminals, list | tuple):
            return data
        names = [t.get("name") if isinstance(t, Mapping) else None for t in terminals]
        told = [
            {**t, "printed": printed[name]}
            if isinstance(name, str) and isinstance(printed.get(name), str)
            else t
            for t, name in zip(terminals, names, strict=True)
        ]
        return {**data, "terminals": told}

    @model_validator(mode="after")
    def _check(self) -> Self:
        names = [t.name for t in self.terminals]
        for name in self.pin_names:
            if name not in names:
                raise ValueError(f"pin_names names the terminal '{name}', which is not there")
        if len(set(names)) != len(names):
            raise ValueError("terminal names repeat")
        for leg in self.body.legs:
            if leg.terminal not in names:
                raise ValueError(f"body.legs names the terminal '{leg.terminal}', which is not there")
        for pair in self.internal_links:
            if not set(pair) <= set(names):
                raise ValueError(f"internal_links names {' and '.join(pair)}, of which one is no terminal")
        for name in [*self.figures, *self.settings]:
            if not _NAME.fullmatch(name):
                raise ValueError(f"'{name}' is no name: use small letters, digits and underscores")
        for name, figure in self.ratings.items():
            if name not in RATINGS:
                raise ValueError(f"'{name}' is no rating; known are {', '.join(RATINGS)}")
            if figure.quantity.unit != RATINGS[name][0]:
                raise ValueError(f"the rating '{name}' is in {RATINGS[name][0]}, not {figure.quantity.unit}")
        limits = [_quantity(size.above, self.value.unit) for size in self.sizes if self.value]
        if len(limits) != len(self.sizes) or limits != sorted(limits):
            raise ValueError("sizes need a value rule, and rise with 'above'")
        for size in self.sizes:
            self._body_of(size)
        if self.inside is not None:
            self.inside.check(set(names), self.model)
        for what, source in self.sources_named():
            if source not in self.sources and source not in PLAIN_SOURCES:
                known = ", ".join([*self.sources, *(f"'{text}'" for text in PLAIN_SOURCES)])
                raise ValueError(f"{what} names the source '{source}', not in sources; known are {known}")
        return self

    def _body_of(self, size: Size) -> Body:
        return Body.model_validate({**dict(self.body), **size.model_dump(exclude={"above"})})

    def sized(self, value: float) -> Self:
        """The type with the body that a part of this value [coherent unit] has."""
        if self.value is None:
            return self
        unit = self.value.unit
        fitting = [size for size in self.sizes if value > parse_as(size.above, unit) * (1 + 1e-9)]
        return self.model_copy(update={"body": self._body_of(fitting[-1])}) if fitting else self

    def sources_named(self) -> list[tuple[str, str]]:
        """Everything that bears a source, with that source, in the order of the data."""
        named = [(f"rating '{key}'", figure.source) for key, figure in self.ratings.items()]
        named += [(f"figure '{key}'", figure.source) for key, figure in self.figures.items()]
        named += [(f"capacity at {point.load}", point.source) for point in self.capacity]
        named += [(f"slip '{slip.kind}'", slip.source) for slip in self.slips]
        named.append(("body", self.body.source))
        named += [(f"size above {size.above}", size.source) for size in self.sizes]
        if self.value is not None:
            named.append(("value", self.value.source))
        return named

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
