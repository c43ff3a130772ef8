"""The class's drawer: a CSV table of the parts that people own.

One row a kind of part.  The first line names the columns, in any order: ``what`` (a part of the
catalogue by its id or another name), ``value``, ``tolerance``, ``rating`` (rated voltage, or the power
that a resistor stands), ``count``,
``price`` (of one piece, a plain number in the class's own currency), ``pack`` (how many are sold
together), ``where``.  Only ``what`` must be
there; a line that begins with ``#`` is left out.  Commas part the cells; so do semicolons or tabs where the
first line has them and no comma, and then a comma may stand for the decimal point.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from buildalong.choose._candidate import Candidate
from buildalong.finding import Finding, Place, Severity, Unreadable
from buildalong.parts import Catalogue, PartType
from buildalong.quantity import QuantityError, format_quantity, parse_as

__all__ = ["COLUMNS", "MAX_ROWS", "Drawer", "Item", "read_drawer"]

COLUMNS = ("what", "value", "tolerance", "rating", "count", "price", "pack", "where")
MAX_ROWS = 5_000
MAX_TEXT = 2_000_000
_MAX_CELL = 200


@dataclass(frozen=True, slots=True)
class Item:
    """One row of the drawer: a part type of the catalogue, and the candidate it makes."""

    type: PartType = field(repr=False)
    candidate: Candidate
    line: int


@dataclass(frozen=True)
class Drawer:
    """Everything in the drawer, in the order of its rows."""

    items: tuple[Item, ...]

    @property
    def stock(self) -> tuple[tuple[PartType, Candidate], ...]:
        """Type and candidate of each row that has a value or needs none."""
        return tuple((item.type, item.candidate) for item in self.items)


def read_drawer(text: str, file: str, catalogue: Catalogue) -> tuple[Drawer, list[Finding]]:
    """Read a drawer; rows that cannot be understood are left out and told with line and column.

    Raises Unreadable where the text is no such table at all.
    """
    if len(text) > MAX_TEXT:
        raise _unreadable(file, 1, f"the drawer is larger than {MAX_TEXT // 1_000_000} MB", "leave rows out")
    rows = _rows(text, file)
    first = next(rows, None)
    if first is None:
        raise _unreadable(file, 1, "the drawer is empty", f"begin with the line {','.join(COLUMNS)}")
    names = [name.strip().lower() for name in first[1]]
    wrong = [name for name in names if name not in COLUMNS]
    if wrong or "what" not in names or len(set(names)) != len(names):
        said = (
            f"'{wrong[0][:40]}' is no column" if wrong else "a column 'what' is missing, or one stands twice"
        )
        raise _unreadable(file, first[0], said, f"the columns are {', '.join(COLUMNS)}")
    items: list[Item] = []
    found: list[Finding] = []
    for line, cells in rows:
        if len(items) >= MAX_ROWS:
            raise _unreadable(file, line, f"the drawer has more than {MAX_ROWS} rows", "leave rows out")
        row = _Row(file, line, names, cells, found)
        item = row.item(catalogue)
        if item is not None:
            items.append(item)
    return Drawer(tuple(items)), found


def _rows(text: str, file: str) -> Iterator[tuple[int, list[str]]]:
    text = text.removeprefix("\ufeff")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_mark(text), strict=True)
    last = 1
    try:
        for cells in reader:
            line, last = last, reader.line_num + 1
            if cells and not cells[0].lstrip().startswith("#") and any(cell.strip() for cell in cells):
                yield line, cells
    except csv.Error as error:
        raise _unreadable(file, last, f"this line is no CSV: {error}", "check its quotation marks") from None


def _mark(text: str) -> str:
    """What parts the cells, told from the line that names the columns."""
    first = next((line for line in text.splitlines() if line.strip() and not line.startswith("#")), "")
    return "," if "," in first else next((mark for mark in ";\t" if mark in first), ",")


def _unreadable(file: str, line: int, message: str, hint: str) -> Unreadable:
    return Unreadable(Finding(Severity.FATAL, "drawer-unreadable", message, hint, Place(file, line, 1)))


class _Row:
    """One row on its way to an item; faults go to ``found`` with their column."""

    def __init__(
        self, file: str, line: int, names: list[str], cells: list[str], found: list[Finding]
    ) -> None:
        self.file, self.line, self.names, self.found = file, line, names, found
        self.cells = [cell.strip() for cell in cells]
        self.sound = True

    def fault(self, column: str, message: str, hint: str) -> None:
        """Tell a fault at a column; the offset is that of a row without quotation marks."""
        self.sound = False
        index = self.names.index(column) if column in self.names else 0
        offset = sum(len(cell) + 1 for cell in self.cells[:index]) + 1
        place = Place(self.file, self.line, offset)
        self.found.append(Finding(Severity.ERROR, f"drawer-{column}", message, hint, place))

    def text(self, column: str) -> str:
        """The cell under a column, "" where there is none."""
        if column not in self.names:
            return ""
        index = self.names.index(column)
        text = self.cells[index] if index < len(self.cells) else ""
        if len(text) > _MAX_CELL:
            self.fault(column, f"a cell is at most {_MAX_CELL} characters long", "shorten it")
            return ""
        return text

    def number(self, column: str, unit: str, legal: Callable[[float], bool], hint: str) -> float | None:
        """The quantity under a column, None where the cell is empty or wrong."""
        text = self.text(column)
        if not text:
            return None
        try:
            value = parse_as(text, unit)
        except QuantityError as error:
            self.fault(column, str(error), hint)
            return None
        if not (math.isfinite(value) and legal(value)):
            self.fault(column, f"'{text}' makes no sense here", hint)
            return None
        return value

    def item(self, catalogue: Catalogue) -> Item | None:
        """The item of this row, None where something is wrong with it."""
        if len(self.cells) > len(self.names):
            self.fault("what", f"this row has {len(self.cells)} cells for {len(self.names)} columns", _QUOTE)
            return None
        kind = self._kind(catalogue)
        if kind is None:
            return None
        rule = kind.value
        value = tolerance = None
        if rule is not None:
            value = self.number("value", rule.unit, lambda v: v > 0, f"write one such as {rule.least}")
            if value is None and self.sound:
                self.fault("value", f"a {kind.noun} needs a value in {rule.unit}", f"such as {rule.least}")
            tolerance = self.number("tolerance", "", lambda v: 0 < v < 1, "write a percentage such as 5 %")
            if tolerance is None:
                tolerance = parse_as(rule.tolerance, "")
        elif self.text("value"):
            self.fault("value", f"a {kind.noun} takes no value", "leave the cell empty")
        rated = self.rated(kind)
        price = self.number("price", "", lambda v: v >= 0, "write a plain number, such as 0.05")
        count = self.number("count", "", lambda v: v >= 0 and v == int(v), _WHOLE)
        pack = self.number("pack", "", lambda v: v >= 1 and v == int(v), _WHOLE)
        if not self.sound:
            return None
        pieces = None if count is None else int(count)
        made = Candidate(
            value or 0.0, tolerance or 0.0, rated, price, pieces, self.text("where"), int(pack or 1)
        )
        return Item(kind, made, self.line)

    def rated(self, kind: PartType) -> float | None:
        """The rated voltage [V].  A power is only held against the one that the program reckons with."""
        power = kind.ratings.get("power")
        try:
            given = parse_as(self.text("rating"), "W") if power is not None else None
        except QuantityError:
            given = None
        if power is None or given is None:
            return self.number("rating", "V", lambda v: v > 0, "write the rated voltage, such as 25 V")
        if not given >= power.value * (1 - 1e-9):
            reckoned = format_quantity(power.value, "W")
            self.fault("rating", f"a {kind.noun} is reckoned with {reckoned}, and this one stands less",
                       "leave the row out, or give the lesson a part of its own with that power")  # fmt: skip
        return None

    def _kind(self, catalogue: Catalogue) -> PartType | None:
        name = self.text("what")
        kind = catalogue.named(name)
        if kind is None and self.sound:
            near = catalogue.nearest(name)
            hint = f"did you mean {' or '.join(near)}?" if near else "use a name of the catalogue"
            self.fault("what", f"'{name[:40]}' is no part of the catalogue", hint)
        return kind


_WHOLE = "write a whole number, or leave the cell empty"
_QUOTE = "put a cell that holds a comma between quotation marks"
