"""Single parts: as they look, as icons, as symbols."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from tools.gallery._desk import Desk
from tools.gallery._exhibit import Exhibit

from buildalong.circuit import Part
from buildalong.drawing import Picture, part_icon, part_picture
from buildalong.drawing.schematic import STANDARDS, symbol_picture
from buildalong.parts import catalogue

__all__ = ["icons", "parts", "symbols"]

VALUES = {"Ω": 4700.0, "F": 1e-7, "H": 1e-3}
"""A value for a part that needs one, by its unit."""
OF_FAMILY = {"electrolytic": 1e-5}
"""A value by family, where no maker sells that of its unit."""


def parts(desk: Desk) -> Iterator[Exhibit]:
    """Every type of the catalogue as it looks."""
    yield from _each(desk, part_picture)


def icons(desk: Desk) -> Iterator[Exhibit]:
    """Every type of the catalogue, small and without words."""
    yield from _each(desk, part_icon)


def symbols(desk: Desk) -> Iterator[Exhibit]:
    """The symbol of every type of the catalogue in both standards."""
    for kind, part in _every(desk):
        for name, standard in STANDARDS.items():
            yield Exhibit(f"{kind}, {name}", part.type.title, symbol_picture(part, standard))


def _each(desk: Desk, draw: Callable[[Part], Picture | None]) -> Iterator[Exhibit]:
    for kind, part in _every(desk):
        drawn = draw(part)
        if drawn is not None:
            yield Exhibit(kind, part.type.title, drawn)


def _every(desk: Desk) -> Iterator[tuple[str, Part]]:
    for kind, entry in catalogue().items():
        desk.tell(kind)
        value = OF_FAMILY.get(entry.family, VALUES[entry.value.unit]) if entry.value else None
        nets = tuple(terminal.name for terminal in entry.terminals)
        cells = (("count", 4.0),) if "count" in entry.settings else ()
        yield kind, Part("X1", entry, nets, value, settings=cells)
