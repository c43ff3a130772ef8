"""What an author asks of the board besides holes and wires, with its words and its place in the lesson."""

from __future__ import annotations

import re
from collections.abc import Sequence

from buildalong.board import Area, Board, Layout, area_from
from buildalong.build.hand import BuildList
from buildalong.build.place import Wishes
from buildalong.circuit import Circuit
from buildalong.finding import Finding, Place, Severity
from buildalong.lesson._lesson import Lesson
from buildalong.lesson._validate import nearest

__all__ = ["Requests"]

_PARTS = r"(?P<parts>[^\s,]+(?:\s*(?:,|\band\b)\s*[^\s,]+)*?)"
_WHERE = re.compile(rf"{_PARTS}\s+(?:in|on|at|within)\s+(?P<area>.+)$")


class Requests:
    """The lines ``where`` and ``keep_free`` of a lesson on one board."""

    def __init__(self, lesson: Lesson, circuit: Circuit, board: Board) -> None:
        self.lesson, self.circuit, self.board = lesson, circuit, board
        self.findings: list[Finding] = []

    def error(self, code: str, message: str, hint: str, place: Place) -> None:
        """Keep an error."""
        self.findings.append(Finding(Severity.ERROR, code, message, hint, place))

    def wishes(self) -> tuple[Wishes, list[Finding]]:
        """Pieces of the board for parts, and pieces that stay free; with what is wrong about them."""
        request, places = self.lesson.layout, self.lesson.places
        areas: dict[str, Area] = {}
        for number, line in enumerate(request.where):
            place = places.value("layout", "where", number)
            found = _WHERE.fullmatch(line.strip())
            if found is None:
                message = f"'{line[:60]}' does not say which part stands where"
                self.error("where-unreadable", message, "write it like 'R1 in rows 10 to 15'", place)
                continue
            for name in re.split(r"\s*,\s*|\s+and\s+", found["parts"]):
                if name not in self.circuit.by_id:
                    near = nearest(name, list(self.circuit.by_id))
                    hint = f"did you mean {near}?" if near else "name a part of the circuit"
                    self.error("layout-unknown-part", f"there is no part {name[:40]}", hint, place)
                elif name in areas:
                    message = f"{name} is given two pieces of the board"
                    self.error("where-twice", message, "put what they have in common into one line", place)
                elif (area := self.area(found["area"], place)) is not None:
                    areas[name] = area
        free = [
            self.area(line, places.value("layout", "keep_free", number))
            for number, line in enumerate(request.free)
        ]
        return Wishes(areas, tuple(area for area in free if area is not None)), self.findings

    def area(self, text: str, place: Place) -> Area | None:
        """One piece of the board; None, and an error, where it is none."""
        try:
            return area_from(self.board, text)
        except ValueError as error:
            self.error("no-such-area", str(error), "name rows, columns, a side or two corners", place)
            return None

    def words(self, name: str, fixed: Layout | None, wishes: Wishes) -> str:
        """Say a request."""
        kind, _, rest = name.partition(" ")
        if kind == "where":
            return f"{rest} in '{wishes.areas[rest].words}'"
        if kind == "free":
            return f"'{wishes.free[int(rest) - 1].words}' kept free"
        if fixed is None:
            return name
        if kind == "wire":
            wire = fixed.wires[int(rest) - 1]
            return f"the wire from {wire.start} to {wire.end}"
        return f"{name} in {', '.join(fixed.holes[name])}"

    def places(self, names: Sequence[str], listed: BuildList | None) -> list[Place | None]:
        """Where the requests stand."""
        places = self.lesson.places
        out: list[Place | None] = []
        for name in names:
            kind, _, rest = name.partition(" ")
            if kind == "where":
                line = next(
                    n for n, text in enumerate(self.lesson.layout.where) if rest in re.split(r"[\s,]+", text)
                )
                out.append(places.value("layout", "where", line))
            elif kind == "free":
                out.append(places.value("layout", "keep_free", int(rest) - 1))
            elif listed is not None:
                out.append(listed.place_of((name,)))
            elif kind == "wire":
                out.append(places.value("layout", "wires", int(rest) - 1))
            else:
                out.append(places.value("layout", name))
        return out
