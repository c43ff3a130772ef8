"""Parts, pins and nets as frozen values."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property

from buildalong.parts import PartType

__all__ = ["Circuit", "Part", "Pin"]


@dataclass(frozen=True, slots=True, order=True)
class Pin:
    """One terminal of one part: ``part`` is the reference ("R1"), ``terminal`` the terminal's name."""

    part: str
    terminal: str

    def __str__(self) -> str:
        """Write it as ``R1.A``."""
        return f"{self.part}.{self.terminal}"


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the circuit.

    ``nets`` gives the net of each terminal in the order of ``type.terminals``; None is left open.
    ``value`` is in the unit of ``type.value`` (ohm, farad), None where the type has no value.
    ``tolerance`` is a ratio (0.05); ``settings`` holds numbers the lesson sets for this part:
    ``count`` of cells, ``position`` of a potentiometer (0..1), ``light`` on a sensor (lux),
    ``rated`` working voltage (volt), and figures of the model that the lesson overrides.
    """

    id: str
    type: PartType = field(repr=False)
    nets: tuple[str | None, ...]
    value: float | None = None
    tolerance: float | None = None
    settings: tuple[tuple[str, float], ...] = ()
    label: str = ""

    def net(self, terminal: str) -> str | None:
        """The net at a terminal, by name or pin number; raises KeyError."""
        wanted = self.type.terminal(terminal)
        return self.nets[self.type.terminals.index(wanted)]

    def setting(self, name: str, default: float) -> float:
        """A number that the lesson set for this part, or the default."""
        return dict(self.settings).get(name, default)


@dataclass(frozen=True)
class Circuit:
    """Parts in the author's order; exactly one of them is the supply (family ``supply``, two terminals)."""

    parts: tuple[Part, ...]

    @cached_property
    def by_id(self) -> dict[str, Part]:
        """Parts by reference."""
        return {part.id: part for part in self.parts}

    @cached_property
    def nets(self) -> dict[str, tuple[Pin, ...]]:
        """Pins on each net, nets in order of first appearance."""
        out: dict[str, list[Pin]] = {}
        for part in self.parts:
            for terminal, net in zip(part.type.terminals, part.nets, strict=True):
                if net is not None:
                    out.setdefault(net, []).append(Pin(part.id, terminal.name))
        return {net: tuple(pins) for net, pins in out.items()}

    @cached_property
    def supply(self) -> Part:
        """The supply; raises LookupError where the circuit has none."""
        for part in self.parts:
            if part.type.family == "supply":
                return part
        raise LookupError("the circuit has no supply")

    @property
    def besides_supply(self) -> tuple[Part, ...]:
        """The parts that a lesson counts: all but the supply."""
        return tuple(part for part in self.parts if part.type.family != "supply")

    @property
    def ground(self) -> str:
        """The net of the supply's negative terminal: the reference of all voltages."""
        return self.supply.nets[1] or ""

    @property
    def plus(self) -> str:
        """The net of the supply's positive terminal."""
        return self.supply.nets[0] or ""

    def pins(self) -> Iterator[tuple[Pin, str | None]]:
        """Every pin with its net, in the author's order."""
        for part in self.parts:
            for terminal, net in zip(part.type.terminals, part.nets, strict=True):
                yield Pin(part.id, terminal.name), net

    def as_graph_edges(self) -> tuple[tuple[str, str, str], ...]:
        """Edges (part id, net, terminal) of the graph of parts and nets, for libraries of graphs.

        Prefix the ids if parts and nets may share a name; open terminals have no edge.
        """
        return tuple((pin.part, net, pin.terminal) for pin, net in self.pins() if net is not None)

    def with_part(self, part: Part) -> Circuit:
        """The circuit with the part of the same id replaced."""
        return Circuit(tuple(part if old.id == part.id else old for old in self.parts))

    def without(self, part_id: str) -> Circuit:
        """The circuit without one part."""
        return Circuit(tuple(part for part in self.parts if part.id != part_id))

    def renamed(self, names: dict[str, str]) -> Circuit:
        """The circuit with nets renamed; two nets given one name are joined."""
        return Circuit(
            tuple(
                replace(part, nets=tuple(None if n is None else names.get(n, n) for n in part.nets))
                for part in self.parts
            )
        )
