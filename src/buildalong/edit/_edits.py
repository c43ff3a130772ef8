"""Edits as data: what an author may do to a lesson, one frozen value for each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from buildalong.finding import Finding, Severity, Unreadable

__all__ = [
    "EDITS",
    "AddPart",
    "Edit",
    "FewestWires",
    "KeepThese",
    "MoveLead",
    "MovePart",
    "MoveWire",
    "PutPart",
    "PutWire",
    "RemoveKey",
    "RemovePart",
    "RemoveWire",
    "RenamePart",
    "ReplaceText",
    "SetKey",
    "SetPin",
    "SetValue",
    "Tidy",
    "TurnPart",
    "read_edit",
]

MOST_WORDS = 1_000_000
"""Longest text in an edit, letters."""


@dataclass(frozen=True, slots=True)
class SetValue:
    """Give a part another value, as an author writes it: "62k".  The supply's is its kind."""

    part: str
    value: str


@dataclass(frozen=True, slots=True)
class SetKey:
    """Set a key: ``("title",)``, ``("promise", 0, "is")``; members count from 0."""

    path: tuple[str | int, ...]
    value: str | bool | int | float | tuple[str, ...]
    file: str = "lesson.toml"


@dataclass(frozen=True, slots=True)
class RemoveKey:
    """Take out a key, a table or a member, with all that is in it."""

    path: tuple[str | int, ...]
    file: str = "lesson.toml"


@dataclass(frozen=True, slots=True)
class AddPart:
    """Add a part of a type; ``pins``: the net of each terminal in order, "-" for an open one."""

    name: str
    part: str
    pins: tuple[str, ...]
    value: str = ""


@dataclass(frozen=True, slots=True)
class RemovePart:
    """Take a part out of the circuit and off the board."""

    part: str


@dataclass(frozen=True, slots=True)
class RenamePart:
    """Give a part another name wherever the lesson names it: circuit, board, trials, promises, words."""

    part: str
    name: str


@dataclass(frozen=True, slots=True)
class SetPin:
    """Put a terminal, by name or number, on another net; "-" leaves it open."""

    part: str
    pin: str
    net: str


@dataclass(frozen=True, slots=True)
class PutPart:
    """Put a part into holes, one for each leg in order; a rigid part may be given its first leg's only."""

    part: str
    holes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MovePart:
    """Move a part as it stands, so that one of its legs (counted from 0) comes into a hole."""

    part: str
    hole: str
    leg: int = 0


@dataclass(frozen=True, slots=True)
class MoveLead:
    """Move one lead of a part, by its name or number, into another hole."""

    part: str
    lead: str
    hole: str


@dataclass(frozen=True, slots=True)
class TurnPart:
    """Turn a rigid part clockwise by 90, 180 or 270 degrees about its first leg; others change ends."""

    part: str
    turn: int = 180


@dataclass(frozen=True, slots=True)
class PutWire:
    """Lay a wire, in the words of a layout: its ends, bends between them, a colour, a style."""

    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MoveWire:
    """Move the first (0) or last (1) end of a wire, counted from 1, into another hole."""

    wire: int
    end: int
    hole: str


@dataclass(frozen=True, slots=True)
class RemoveWire:
    """Take out a wire, counted from 1."""

    wire: int


@dataclass(frozen=True, slots=True)
class Tidy:
    """Give up every hole and wire of the author's: all is placed anew."""


@dataclass(frozen=True, slots=True)
class FewestWires:
    """Keep the parts where they stand and give up the wires: as few as are found are laid anew."""


@dataclass(frozen=True, slots=True)
class KeepThese:
    """Keep these parts and wires ("R1", "wire 2") where they are; all else is placed anew."""

    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReplaceText:
    """Put a text in the place of the letters from ``start`` to ``end`` of a file.

    ``old``: what is believed to stand there; the edit is refused where it does not.
    """

    file: str
    start: int
    end: int
    text: str
    old: str | None = None


Edit = (
    SetValue | SetKey | RemoveKey | AddPart | RemovePart | RenamePart | SetPin | PutPart | MovePart
    | MoveLead | TurnPart | PutWire | MoveWire | RemoveWire | Tidy | FewestWires | KeepThese | ReplaceText
)  # fmt: skip

EDITS: dict[str, type[Any]] = {
    "set-value": SetValue,
    "set-key": SetKey,
    "remove-key": RemoveKey,
    "add-part": AddPart,
    "remove-part": RemovePart,
    "rename-part": RenamePart,
    "set-pin": SetPin,
    "put-part": PutPart,
    "move-part": MovePart,
    "move-lead": MoveLead,
    "turn-part": TurnPart,
    "put-wire": PutWire,
    "move-wire": MoveWire,
    "remove-wire": RemoveWire,
    "tidy": Tidy,
    "fewest-wires": FewestWires,
    "keep-these": KeepThese,
    "replace-text": ReplaceText,
}
"""What an edit is called in a message: ``{"do": "set-value", "part": "R1", "value": "62k"}``."""


def read_edit(message: Mapping[str, object]) -> Edit:
    """An edit from a message, as JSON has it.  Raises Unreadable with one finding."""
    from pydantic import TypeAdapter, ValidationError

    rest = dict(message)
    name = rest.pop("do", None)
    kind = EDITS.get(name) if isinstance(name, str) else None
    if kind is None:
        raise _refused(f"'{str(name)[:40]}' is no edit", f"known are {', '.join(EDITS)}")
    strange = sorted(set(rest) - set(kind.__dataclass_fields__))
    if strange:
        known = ", ".join(kind.__dataclass_fields__) or "nothing else"
        raise _refused(f"{name} takes no '{strange[0][:40]}'", f"it takes {known}")
    try:
        found: Edit = TypeAdapter(kind).validate_python(rest)
    except ValidationError as error:
        fault = error.errors(include_url=False)[0]
        where = ".".join(str(step) for step in fault["loc"][:3])
        raise _refused(f"{name}: {where}: {fault['msg'][:200]}", "see docs/editing.md") from None
    if any(isinstance(value, str) and len(value) > MOST_WORDS for value in rest.values()):
        raise _refused(f"{name} brings more than {MOST_WORDS} letters", "make it shorter")
    return found


def _refused(message: str, hint: str) -> Unreadable:
    return Unreadable(Finding(Severity.ERROR, "edit-unreadable", message, hint))
