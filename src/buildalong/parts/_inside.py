"""The inside of an IC as a plan: blocks, wires and pins, tied to the cells of its behavioural model.

Places are in cells of a grid, x to the right, y down.  What is drawn live says of which cell it
tells: a condition is a watcher that is true, or a cell that is in one of some states.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

__all__ = ["Block", "Condition", "Inside", "InsidePin", "InsideWire"]

Cells = Annotated[float, Field(ge=0, le=80)]
Place = tuple[Cells, Cells]
Word = Annotated[str, Field(max_length=24)]


class _Plan(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


class Condition(_Plan):
    """True while every watcher named is true and none of ``unless`` is, or while a state is in ``states``."""

    cell: str = Field(description="name of a cell of the model")
    watchers: tuple[str, ...] = Field((), max_length=6, description="all of these must be true")
    unless: tuple[str, ...] = Field((), max_length=6, description="and none of these")
    states: tuple[str, ...] = Field((), max_length=64, description="or: the cell is in one of these states")

    @model_validator(mode="after")
    def _check(self) -> Self:
        if bool(self.states) == bool(self.watchers or self.unless):
            raise ValueError("a condition names either states, or watchers (with or without unless)")
        return self


class InsidePin(_Plan):
    """A pin on the edge of the plan."""

    terminal: str
    at: Place
    side: Literal["left", "right", "top", "bottom"]
    shows: Literal["volts", "level"] = Field("volts", description="its voltage, or only high (1) or low (0)")
    cell: str = Field("", description="the unit it belongs to, where an IC holds several")


class InsideWire(_Plan):
    """A line through points; analogue where ``sum`` or nothing is given, high or low where ``when`` is."""

    points: tuple[Place, ...] = Field(min_length=2, max_length=12)
    when: Condition | None = Field(None, description="high while this is true")
    sum: dict[str, float] = Field({}, description="its voltage: this sum of terminal voltages")
    label: Place | None = Field(None, description="where the voltage of 'sum' is written (its left end)")
    dot: bool = Field(False, description="it begins on another line, with a dot")
    dashed: bool = Field(False, description="an action rather than a wire")
    cell: str = Field("", description="the unit it belongs to")


class Block(_Plan):
    """One block: where it stands (its middle), what it looks like, when it is active."""

    form: Literal["comparator", "amplifier", "box", "resistor", "switch", "ring", "bubble", "edge", "ground"]
    at: Place
    size: Place = (2, 2)
    title: Word = ""
    labels: tuple[tuple[Word, Cells, Cells], ...] = Field((), max_length=12, description="text, x, y")
    plus: Literal["top", "bottom"] = Field("top", description="which input of a comparator is the + input")
    when: Condition | None = Field(None, description="active (high, closed) while this is true")
    shows: str = Field("", description="a cell whose state is written in it, or stepped through by a ring")
    says: dict[str, Word] = Field({}, description="words for its states; otherwise the states themselves")
    on: Word = Field("", description="what is said of it while active: 'high', 'closed'")
    off: Word = ""
    cell: str = Field("", description="the unit it belongs to")


class Inside(_Plan):
    """The plan of an IC's inside."""

    size: Place
    outline: tuple[Cells, Cells, Cells, Cells] = Field(description="left, top, right, bottom of the chip")
    source: str
    pins: tuple[InsidePin, ...] = Field(max_length=64)
    blocks: tuple[Block, ...] = Field(max_length=60)
    wires: tuple[InsideWire, ...] = Field(max_length=80)

    def conditions(self) -> Iterator[Condition]:
        """Every condition that the plan draws."""
        for when in (*(block.when for block in self.blocks), *(wire.when for wire in self.wires)):
            if when is not None:
                yield when

    def check(self, terminals: set[str], model: Mapping[str, Any]) -> None:
        """Raise ValueError for a terminal, cell, watcher or state that the part does not have."""
        cells = {str(cell.get("name")): cell for cell in model.get("cells", ()) if isinstance(cell, Mapping)}
        named = [pin.terminal for pin in self.pins]
        named += [name for wire in self.wires for name in wire.sum]
        for name in named:
            if name not in terminals:
                raise ValueError(f"inside names the terminal '{name}', which is not there")
        used = [pin.cell for pin in self.pins] + [wire.cell for wire in self.wires]
        used += [name for block in self.blocks for name in (block.cell, block.shows)]
        used += [condition.cell for condition in self.conditions()]
        for name in used:
            if name and name not in cells:
                raise ValueError(f"inside names the cell '{name}'; known are {', '.join(cells)}")
        for condition in self.conditions():
            cell = cells[condition.cell]
            watchers = [watcher.get("name") for watcher in cell.get("watchers", ())]
            others = {w.get("name") for name, c in cells.items() if name != condition.cell
                      for w in c.get("watchers", ())}  # fmt: skip
            for name in (*condition.watchers, *condition.unless):
                if name not in watchers:
                    raise ValueError(f"inside names the watcher '{name}', which '{condition.cell}' lacks")
                if name in others:
                    raise ValueError(f"inside names the watcher '{name}', which two cells have: use states")
            for name in condition.states:
                if name not in cell.get("states", ()):
                    raise ValueError(f"inside names the state '{name}', which '{condition.cell}' lacks")
