"""Write the tables of docs/schematic.md: every demo and every netlist of the tests, drawn and counted.

Run ``python tools/schematic_reference.py`` after a change; a test proves that the tables are current.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from buildalong.circuit import Circuit
from buildalong.drawing import Picture
from buildalong.drawing.schematic import SchematicLayout, draw_layout, picture, statistics

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "schematic.md"
BEGIN, END = "<!-- table -->\n", "<!-- end of table -->\n"
PROTOTYPE = {
    "blinker": (7, 25, 1, 0, 3), "lighthouse": (9, 35, 1, 0, 5), "cupboard-light": (8, 41, 1, 1, 3),
    "mailbox-flag": (7, 25, 1, 1, 2), "level-crossing": (10, 34, 4, 1, 4), "motor-switch": (5, 12, 1, 0, 2),
    "runway-lights": (17, 91, 1, 0, 12), "dusk-light": (8, 34, 2, 2, 4), "ten-lights": (26, 103, 1, 0, 12),
}  # fmt: skip
"""Parts, wire, bends, crossings and dots of nine like circuits as our first prototype drew them."""


def circuits() -> Mapping[str, Circuit]:
    """The demos' circuits, then the netlists in tests/schematic, by name."""
    sys.path.insert(0, str(ROOT / "tests" / "schematic"))
    from _netlists import NETLISTS
    from _schematic_demo import DEMOS, demo

    return {**{name: demo(name) for name in DEMOS}, **NETLISTS}


def gallery() -> Iterator[tuple[str, Picture]]:
    """(title, picture) of each of them, for a page of all pictures."""
    for name, circuit in circuits().items():
        yield name.replace("-", " "), picture(circuit, draw_layout(circuit))


def tables(drawn: Callable[[str, Circuit], SchematicLayout]) -> str:
    """Both tables; ``drawn`` gives each circuit's layout."""
    layouts = {name: drawn(name, circuit) for name, circuit in circuits().items()}
    return f"{_beside(layouts)}\n{_all(layouts)}"


def _beside(layouts: Mapping[str, SchematicLayout]) -> str:
    """Nine circuits as the prototype drew them and as they are drawn today."""
    rows = [
        "| circuit | parts then, now | wire, cells | bends | crossings | dots off the rails |",
        "|---|---|---|---|---|---|",
    ]
    for name, then in PROTOTYPE.items():
        found = statistics(layouts[name])
        now = (len(circuits()[name].parts) - 1, found.length, found.bends, found.crossings, found.dots)
        pairs = (f"{old}, {new}" for old, new in zip(then, now, strict=True))
        rows.append(f"| {name.replace('-', ' ')} | {' | '.join(pairs)} |")
    return "\n".join(rows) + "\n"


def _all(layouts: Mapping[str, SchematicLayout]) -> str:
    rows = [
        "| circuit | parts | wire, cells | bends | crossings | dots off the rails | own rail marks |",
        "|---|---|---|---|---|---|---|",
    ]
    for name, circuit in circuits().items():
        layout = layouts[name]
        found = statistics(layout)
        marks = sum(symbol.unit.startswith("mark") for symbol in layout.symbols)
        counts = (len(circuit.parts) - 1, found.length, found.bends, found.crossings, found.dots, marks)
        rows.append(f"| {name.replace('-', ' ')} | {' | '.join(map(str, counts))} |")
    return "\n".join(rows) + "\n"


def main() -> None:
    """Renew the tables in the page."""
    text = PAGE.read_text(encoding="utf-8")
    head, rest = text.split(BEGIN)
    _, tail = rest.split(END)
    new = tables(lambda _, circuit: draw_layout(circuit))
    PAGE.write_text(head + BEGIN + new + END + tail, encoding="utf-8")


if __name__ == "__main__":
    main()
