"""Write the table of docs/schematic.md: every demo and every netlist of the tests, drawn and counted.

Run ``python tools/schematic_reference.py`` after a change; a test proves that the table is current.
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


def table(drawn: Callable[[str, Circuit], SchematicLayout]) -> str:
    """The table; ``drawn`` gives each circuit's layout."""
    rows = [
        "| circuit | parts | wire, cells | bends | crossings | dots off the rails | own rail marks |",
        "|---|---|---|---|---|---|---|",
    ]
    for name, circuit in circuits().items():
        layout = drawn(name, circuit)
        found = statistics(layout)
        marks = sum(symbol.unit.startswith("mark") for symbol in layout.symbols)
        counts = (len(circuit.parts) - 1, found.length, found.bends, found.crossings, found.dots, marks)
        rows.append(f"| {name.replace('-', ' ')} | {' | '.join(map(str, counts))} |")
    return "\n".join(rows) + "\n"


def main() -> None:
    """Renew the table in the page."""
    text = PAGE.read_text(encoding="utf-8")
    head, rest = text.split(BEGIN)
    _, tail = rest.split(END)
    new = table(lambda _, circuit: draw_layout(circuit))
    PAGE.write_text(head + BEGIN + new + END + tail, encoding="utf-8")


if __name__ == "__main__":
    main()
