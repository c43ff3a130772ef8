"""The shape of the electrical model in a part's data, and reading it with clear errors.

Every number is a :class:`~buildalong.parts.Figure`: a typical value, limits, conditions and source.
"""

from __future__ import annotations

import itertools
from functools import cached_property, lru_cache
from typing import Annotated, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter, ValidationError, model_validator

from buildalong.finding import Finding, Severity, Unreadable
from buildalong.parts import Figure, PartType
from buildalong.quantity import QuantityError, parse_as

__all__ = [
    "BuzzerModel", "CapacitorModel", "Cell", "ContactModel", "CurveData", "DiodeModel", "IcModel", "LdrModel",
    "Model", "MotorModel", "PotentiometerModel", "ResistorModel", "Rule", "SupplyModel", "SwitchModel",
    "TransistorModel", "WatcherData", "model_of",
]  # fmt: skip


class _Data(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


def _check_rising(curve: CurveAt | ReverseData) -> None:
    """Refuse a curve whose voltages do not rise or whose currents fall."""
    try:
        volts = [v for v, _ in curve.numbers]
        amps = [i for _, i in curve.numbers]
    except QuantityError as error:
        raise ValueError(str(error)) from None
    if any(b <= a for a, b in itertools.pairwise(volts)):
        raise ValueError("the voltages of a curve must rise")
    if any(b < a for a, b in itertools.pairwise(amps)):
        raise ValueError("the currents of a curve must not fall")


class ResistorModel(_Data):
    """A resistance that is the part's value."""

    kind: Literal["resistor"]


class PotentiometerModel(_Data):
    """A track with a wiper; ``position`` 0 is at the first terminal."""

    kind: Literal["potentiometer"]
    end_resistance: Figure
    position: Figure


class LdrModel(_Data):
    """R = resistance · (illuminance / 10 lx) ^ -gamma."""

    kind: Literal["ldr"]
    resistance: Figure = Field(description="at 10 lx")
    gamma: Figure
    light: Figure = Field(description="illuminance where the lesson says nothing")


class ReverseData(_Data):
    """What an electrolytic conducts the wrong way round: points of reverse voltage and current.

    The currents are those of ``value``; they grow with the capacitance, as the foil does.
    """

    value: Figure
    points: tuple[tuple[str, str], ...] = Field(min_length=2)
    source: str

    @cached_property
    def numbers(self) -> tuple[tuple[float, float], ...]:
        """Points in volt and ampere."""
        return tuple((parse_as(v, "V"), parse_as(i, "A")) for v, i in self.points)

    @model_validator(mode="after")
    def _check(self) -> Self:
        _check_rising(self)
        return self


class CapacitorModel(_Data):
    """Capacitance with series resistance and leakage."""

    kind: Literal["capacitor"]
    esr: Figure | None = Field(None, description="series resistance; else from dissipation")
    dissipation: Figure | None = Field(None, description="loss factor at 120 Hz, gives the series resistance")
    self_discharge: Figure = Field(description="leakage conductance over capacitance [1/s]")
    reverse: ReverseData | None = None


class DiodeModel(_Data):
    """Shockley equation with series resistance and breakdown; ``on_current`` makes it a light."""

    kind: Literal["diode"]
    ideality: Figure
    series_resistance: Figure
    saturation_current: Figure | None = None
    forward_voltage: Figure | None = Field(None, description="instead of the saturation current")
    forward_current: Figure | None = Field(None, description="at which the forward voltage holds")
    breakdown_voltage: Figure
    temperature_coefficient: Figure = Field(description="of the forward voltage [V/K], as '-2 mV' per kelvin")
    on_current: Figure | None = Field(None, description="forward current from which an LED counts as lit")

    @model_validator(mode="after")
    def _check(self) -> Self:
        direct = self.saturation_current is not None
        indirect = self.forward_voltage is not None and self.forward_current is not None
        if direct == indirect:
            raise ValueError("give saturation_current, or forward_voltage with forward_current")
        return self


class TransistorModel(_Data):
    """Gummel-Poon equations without temperature laws; names follow the common parameter names."""

    kind: Literal["transistor"]
    polarity: Literal["npn", "pnp"]
    IS: Figure
    NF: Figure
    NR: Figure
    BF: Figure
    BR: Figure
    ISE: Figure
    NE: Figure
    ISC: Figure
    NC: Figure
    VAF: Figure
    IKF: Figure
    RB: Figure
    RC: Figure
    RE: Figure
    CJE: Figure
    CJC: Figure
    breakdown: Figure | None = Field(None, description="collector-emitter voltage; else the rating")
    BVEB: Figure = Field(description="base-emitter breakdown voltage")
    conducts: Figure = Field(description="base-emitter voltage from which the story calls it conducting")


class ContactModel(_Data):
    """A push-button."""

    kind: Literal["contact"]
    closed: Figure
    open: Figure


class SwitchModel(_Data):
    """A changeover contact: common to first (0) or second (1) throw."""

    kind: Literal["switch"]
    closed: Figure
    open: Figure


class SupplyModel(_Data):
    """``count`` cells in series, each an electromotive force with a source resistance."""

    kind: Literal["supply"]
    emf: Figure
    resistance: Figure
    count: int = Field(1, ge=1, le=12)


class MotorModel(_Data):
    """Winding resistance, back-EMF, inertia, and viscous friction from the no-load current."""

    kind: Literal["motor"]
    resistance: Figure
    constant: Figure = Field(description="back-EMF per angular speed [V·s]")
    inertia: Figure = Field(description="of rotor and load [kg·m²]")
    friction: Figure = Field(description="viscous friction torque per angular speed [N·m·s]")
    on_voltage: Figure


class BuzzerModel(_Data):
    """A sounder with its own oscillator: silent below a voltage, then a resistance."""

    kind: Literal["buzzer"]
    start_voltage: Figure
    rated_voltage: Figure
    rated_current: Figure


class CurveAt(_Data):
    """One measured curve: points of voltage and current, at one supply voltage."""

    supply: str
    points: tuple[tuple[str, str], ...] = Field(min_length=2)

    @cached_property
    def at_supply(self) -> float:
        """The supply voltage [V] the curve holds for."""
        return parse_as(self.supply, "V")

    @cached_property
    def numbers(self) -> tuple[tuple[float, float], ...]:
        """Points in volt and ampere."""
        return tuple((parse_as(v, "V"), parse_as(i, "A")) for v, i in self.points)

    @model_validator(mode="after")
    def _check(self) -> Self:
        try:
            parse_as(self.supply, "V")
        except QuantityError as error:
            raise ValueError(str(error)) from None
        _check_rising(self)
        return self


class CurveData(_Data):
    """Current from one terminal to another as a curve of their voltage, in certain states of a cell."""

    name: str
    source_terminal: str = Field(alias="from")
    sink_terminal: str = Field(alias="to")
    cell: str = ""
    states: tuple[str, ...] = ()
    at: tuple[CurveAt, ...] = Field(min_length=1)
    source: str

    @model_validator(mode="after")
    def _check(self) -> Self:
        if len({len(curve.points) for curve in self.at}) > 1:
            raise ValueError(f"curve '{self.name}' needs equally many points at each supply voltage")
        if bool(self.cell) != bool(self.states):
            raise ValueError(f"curve '{self.name}' needs both cell and states, or neither")
        return self


class WatcherData(_Data):
    """A watched level: true when the weighted sum of terminal voltages exceeds ``level``."""

    name: str
    title: str = Field(description="the sentence it stands for, said when it becomes true")
    title_false: str = Field(description="said when it becomes false")
    sum: dict[str, float]
    level: Figure
    back: Figure | None = Field(None, description="level below which it becomes false again")
    sum_back: dict[str, float] | None = Field(None, description="sum to compare with ``back``")


class Rule(_Data):
    """Where a cell goes: ``when`` all are true and ``unless`` none is; ``on`` needs a rising watcher."""

    to: str = ""
    ring: tuple[str, ...] = ()
    on: str = ""
    when: tuple[str, ...] = ()
    unless: tuple[str, ...] = ()
    source: str = ""

    @model_validator(mode="after")
    def _check(self) -> Self:
        if bool(self.to) == bool(self.ring):
            raise ValueError("a rule needs either 'to' or 'ring'")
        return self


class Cell(_Data):
    """One state-holding unit of an IC; ``off`` is its state without supply."""

    name: str
    states: tuple[str, ...] = Field(min_length=1, max_length=40)
    wakes: tuple[str, ...] = Field(min_length=1, description="states it may wake in; several: no promise")
    wakes_source: str
    power: str = Field(description="the watcher that tells whether it has supply")
    watchers: tuple[WatcherData, ...] = Field(max_length=16)
    rules: tuple[Rule, ...]

    @model_validator(mode="after")
    def _check(self) -> Self:
        names = [w.name for w in self.watchers]
        for rule in self.rules:
            for name in (*rule.when, *rule.unless, *((rule.on,) if rule.on else ())):
                if name not in names:
                    raise ValueError(f"cell '{self.name}' has a rule on the watcher '{name}', not there")
            for state in (*rule.ring, *((rule.to,) if rule.to else ())):
                if state not in self.states:
                    raise ValueError(f"cell '{self.name}' has a rule to the state '{state}', not there")
        if self.power not in names:
            raise ValueError(f"cell '{self.name}' names no watcher for its supply")
        if "off" in self.states:
            raise ValueError("the state 'off' is added by itself")
        for state in self.wakes:
            if state not in self.states:
                raise ValueError(f"cell '{self.name}' may wake in '{state}', not one of its states")
        return self


class Between(_Data):
    """A resistor or diode inside an IC, first terminal to second (anode to cathode)."""

    between: tuple[str, str]
    resistance: Figure
    saturation_current: Figure | None = None


class IcModel(_Data):
    """The one behavioural model of all ICs: watchers, state tables, curves, inner resistors, diodes."""

    kind: Literal["ic"]
    supply: tuple[str, str] = Field(description="terminals of plus and minus supply")
    resistors: tuple[Between, ...] = ()
    diodes: tuple[Between, ...] = ()
    clamps: tuple[Between, ...] = Field((), description="diodes that conduct only beyond the supply's rails")
    cells: tuple[Cell, ...] = ()
    curves: tuple[CurveData, ...] = ()


Model = Annotated[
    ResistorModel | PotentiometerModel | LdrModel | CapacitorModel | DiodeModel | TransistorModel
    | ContactModel | SwitchModel | SupplyModel | MotorModel | BuzzerModel | IcModel,
    Field(discriminator="kind"),
]  # fmt: skip

_ADAPTER: TypeAdapter[Model] = TypeAdapter(Model)
_CACHE: dict[int, tuple[PartType, Model]] = {}


def model_of(kind: PartType) -> Model:
    """The checked electrical model of a part type; raises Unreadable where its data is wrong."""
    known = _CACHE.get(id(kind))
    if known is not None and known[0] is kind:
        return known[1]
    model = _read(kind)
    if len(_CACHE) > 500:
        _CACHE.clear()
    _CACHE[id(kind)] = (kind, model)
    return model


def _read(kind: PartType) -> Model:
    if not kind.model:
        raise Unreadable(_complaint(kind, "it has no [model] table"))
    try:
        model = _ADAPTER.validate_python(kind.model)
    except ValidationError as error:
        raise Unreadable(
            *(
                _complaint(kind, f"model.{'.'.join(str(x) for x in e['loc'][1:])}: {e['msg']}")
                for e in error.errors()
            )
        ) from None
    if isinstance(model, IcModel):
        names = {t.name for t in kind.terminals}
        used = set(model.supply)
        for item in (*model.resistors, *model.diodes, *model.clamps):
            used.update(item.between)
        for curve in model.curves:
            used.update((curve.source_terminal, curve.sink_terminal))
        for cell in model.cells:
            for w in cell.watchers:
                used.update(w.sum)
                used.update(w.sum_back or {})
        if used - names:
            raise Unreadable(_complaint(kind, f"the model names terminals not there: {sorted(used - names)}"))
    return model


def _complaint(kind: PartType, text: str) -> Finding:
    return Finding(
        Severity.FATAL,
        "model-unreadable",
        f"The electrical model of '{kind.id}' cannot be used: {text}.",
        "See docs/engine.md for the form of a model.",
        about=(kind.id,),
    )


@lru_cache(maxsize=4096)
def number(figure: Figure) -> float:
    """The number of a figure, read once."""
    return figure.value
