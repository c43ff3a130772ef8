"""What a circuit is to the engine: conductances, sources, capacitors, junctions, curves, state tables.

Nodes are nets, then one for each open terminal ("U1.CONT"); the reference is the net of the
supply's negative terminal.  Every element remembers its part and the terminals at its ends, so
that terminal currents can be summed afterwards.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from buildalong.circuit import Circuit, Part

__all__ = ["CellRow", "Element", "Netlist", "Ramp", "WatcherRow", "terminal_name"]


@dataclass(slots=True)
class Element:
    """One two-terminal element, or a transistor (then ``nodes`` is collector, base, emitter).

    ``small``: a capacitor too small to control the error; a diode or curve that holds no net at rest.
    """

    part: str
    ends: tuple[str | None, ...]
    nodes: tuple[int, ...]
    numbers: tuple[float, ...]
    small: bool = False
    cell: int = -1
    mask: int = -1
    corners: tuple[tuple[float, float], ...] = ()


@dataclass(slots=True)
class WatcherRow:
    """A watcher: sums over nodes, with constants, to become true and to stay true."""

    part: str
    name: str
    on: tuple[tuple[int, float], ...]
    on_constant: float
    off: tuple[tuple[int, float], ...]
    off_constant: float
    cell: int
    kind: int


@dataclass(slots=True)
class CellRow:
    """A state table: states ("off" last), rules as (edge watcher, true mask, false mask, from mask, next)."""

    part: str
    name: str
    states: tuple[str, ...]
    wakes: tuple[str, ...]
    first_watcher: int
    watchers: int
    rules: list[tuple[int, int, int, int, tuple[int, ...]]] = field(default_factory=list)
    wake_rule: int = -1


@dataclass(slots=True)
class Ramp:
    """A conductance that follows a setting: kind, element, two constants, value at the start."""

    part: str
    setting: str
    kind: int
    element: int
    p0: float
    p1: float
    start: float


@dataclass(slots=True)
class Netlist:
    """All elements of one variant of one circuit."""

    circuit: Circuit
    nodes: list[str] = field(default_factory=list)
    conductances: list[Element] = field(default_factory=list)
    sources: list[tuple[int, int, int, float]] = field(default_factory=list)
    capacitors: list[Element] = field(default_factory=list)
    diodes: list[Element] = field(default_factory=list)
    transistors: list[Element] = field(default_factory=list)
    curves: list[Element] = field(default_factory=list)
    watchers: list[WatcherRow] = field(default_factory=list)
    cells: list[CellRow] = field(default_factory=list)
    ramps: list[Ramp] = field(default_factory=list)
    thermal: float = 0.0
    nominal: float = 5.0
    ends: list[tuple[int, ...]] = field(default_factory=list)
    """How many elements of each kind there were before each part, and in the end."""
    afloat: dict[tuple[bool, ...], list[tuple[tuple[str, ...], tuple[str, ...]]]] = field(
        default_factory=dict
    )
    """What :func:`floating_nets` found, by which diodes and curves are small; variants share it."""

    @property
    def elements(self) -> list[Element]:
        """All elements in the order of a record's columns (a transistor has two columns)."""
        return [*self.conductances, *self.capacitors, *self.diodes, *self.transistors, *self.curves]


def terminal_name(part: Part, i: int) -> str:
    """Name of the node a terminal is on: its net, or its own where it is left open."""
    net = part.nets[i]
    return f"{part.id}.{part.type.terminals[i].name}" if net is None else net
