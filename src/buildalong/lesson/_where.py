"""Where in the author's files a finding belongs that names only a part, a net or a wire."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from buildalong.circuit import Circuit
from buildalong.finding import Finding, Place
from buildalong.lesson._positions import Positions

__all__ = ["located", "place_of"]


def located(
    findings: Iterable[Finding],
    circuit: Circuit | None,
    places: Positions,
    holes: Mapping[str, tuple[str, ...]] | None = None,
    *,
    on_board: bool = False,
) -> list[Finding]:
    """Give every finding that has none the place in lesson.toml of what it is about.

    ``holes`` are those that the author gave by hand: a finding about a part and one of them stands there.
    With ``on_board`` the findings are about the board: each stands at its part's line in the layout.
    """
    out: list[Finding] = []
    for finding in findings:
        place = _by_hand(finding.about, places, holes or {}, on_board) or place_of(
            finding.about, circuit, places
        )
        out.append(finding.at(place))
    return out


def _by_hand(
    about: tuple[str, ...], places: Positions, holes: Mapping[str, tuple[str, ...]], on_board: bool
) -> Place | None:
    for part in about:
        for number, hole in enumerate(holes.get(part, ())):
            if hole in about:
                return places.value("layout", part, number)
    if on_board:
        for part in about:
            if part in holes:
                return places.value("layout", part)
        known = any(name.startswith("wire ") or f"parts.{name}" in places for name in about)
        if "layout.wires" in places and not known:
            return places.value("layout", "wires")
    return None


def place_of(about: tuple[str, ...], circuit: Circuit | None, places: Positions) -> Place | None:
    """The place of a part's field, a part, a wire, a net or the supply; None where none is named."""
    if not about:
        return None
    supply = circuit.supply.id if circuit and any(p.type.family == "supply" for p in circuit.parts) else "BT1"
    # ("U1", "supply"): a part that does not stand the supply; the supply's line is where it is mended.
    if about[0] in ("supply", supply) or "supply" in about[1:]:
        return places.value("supply")
    head = about[0]
    if head.startswith("wire ") and head[5:].isdigit():
        return places.value("layout", "wires", int(head[5:]) - 1)
    if f"parts.{head}" in places:
        return _in_part(head, about[1:], circuit, places)
    if f"layout.{head}" in places:
        return places.value("layout", head)
    if circuit is not None and head in circuit.nets:
        pin = circuit.nets[head][-1]
        if pin.part == supply:
            return places.value("supply")
        return _pin(pin.part, pin.terminal, circuit, places)
    return place_of(about[1:], circuit, places)


def _in_part(part: str, fields: tuple[str, ...], circuit: Circuit | None, places: Positions) -> Place:
    if not fields:
        return places.key("parts", part)
    if fields[0] == "pins" and len(fields) > 1 and fields[1].isdigit():
        number = int(fields[1])
        if f"parts.{part}.pins.{number}" in places or circuit is None or part not in circuit.by_id:
            return places.value("parts", part, "pins", number)
        return _pin(part, circuit.by_id[part].type.terminals[number].name, circuit, places)
    for path in (("parts", part, *fields), ("parts", part, "set", *fields)):
        if ".".join(path) in places:
            return places.value(*path)
    # A hole or a leg of the part: its line in the layout.
    if f"layout.{part}" in places and fields[0] != "value":
        return places.value("layout", part)
    return places.key("parts", part)


def _pin(part: str, terminal: str, circuit: Circuit, places: Positions) -> Place:
    kind = circuit.by_id[part].type
    number = [t.name for t in kind.terminals].index(terminal)
    for key in (terminal, kind.terminals[number].number):
        if key and not key.isdigit() and f"parts.{part}.pins.{key}" in places:
            return places.value("parts", part, "pins", key)
    return places.value("parts", part, "pins", number)
