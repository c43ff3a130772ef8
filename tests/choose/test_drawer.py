"""The drawer: what is read of it, and where each fault is told."""

from __future__ import annotations

import pytest

from buildalong.choose import read_drawer
from buildalong.finding import Unreadable
from buildalong.parts import catalogue

DRAWER = """what,value,tolerance,rating,count,price,where
resistor,10k,5 %,,25,0.02,tray A
# ordered in spring
resistor,"47k",1 %,,,0.03,tray A
electrolytic,10 µF,20 %,16 V,4,0.10,"box 3, left"
NE555,,,,6,0.45,box 1
"""


def test_reads_every_row() -> None:
    """Values, tolerances, ratings, counts, prices and places come out in coherent units."""
    drawer, found = read_drawer(DRAWER, "drawer.csv", catalogue())
    assert not found
    one, other, can, chip = drawer.items
    assert (one.candidate.value, one.candidate.tolerance, one.candidate.count) == (10e3, 0.05, 25)
    assert (other.candidate.value, other.candidate.count, other.line) == (47e3, None, 4)
    assert (can.candidate.value, can.candidate.rated, can.candidate.where) == (10e-6, 16.0, "box 3, left")
    assert (chip.type.id, chip.candidate.price) == ("timer-555", 0.45)


@pytest.mark.parametrize(
    ("row", "code", "column", "words"),
    [
        ("resistr,10k,,,,,", "drawer-what", 1, "no part of the catalogue"),
        ("resistor,,,,,,", "drawer-value", 10, "needs a value"),
        ("resistor,10 V,,,,,", "drawer-value", 10, "V"),
        ("resistor,-5,,,,,", "drawer-value", 10, "makes no sense"),
        ("timer-555,10k,,,,,", "drawer-value", 11, "takes no value"),
        ("resistor,10k,500 %,,,,", "drawer-tolerance", 14, "makes no sense"),
        ("resistor,10k,5 %,,2.5,,", "drawer-count", 19, "makes no sense"),
        ("resistor,10k,5 %,,,-1,", "drawer-price", 20, "makes no sense"),
        ("resistor,10k,5 %,,,,a,b", "drawer-what", 1, "8 cells for 7 columns"),
        (f"resistor,10k,5 %,,,,{'x' * 300}", None, 0, ""),
    ],
)
def test_faults_have_line_and_column(row: str, code: str | None, column: int, words: str) -> None:
    """A row that makes no sense is left out and told where it stands; the others are read."""
    text = DRAWER.splitlines()[0] + "\nresistor,1k,,,,,\n" + row + "\n"
    drawer, found = read_drawer(text, "drawer.csv", catalogue())
    if code is None:
        assert [finding.code for finding in found] == ["drawer-where"]
        return
    assert [item.line for item in drawer.items] == [2]
    assert [(f.code, f.place.line, f.place.column) for f in found if f.place] == [(code, 3, column)]
    assert words in found[0].message
    assert found[0].hint


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("", 1, "empty"),
        ("value,price\n10k,1\n", 1, "'what' is missing"),
        ("what,colour\nresistor,red\n", 1, "'colour' is no column"),
        ('what,value\nresistor,"10k\n', 2, "no CSV"),
        ("what\n" + "resistor\n" * 3 + "x" * 2_100_000, 1, "larger than"),
    ],
)
def test_what_is_no_table_is_refused(text: str, line: int, words: str) -> None:
    """Not a table at all: one fatal finding."""
    with pytest.raises(Unreadable) as caught:
        read_drawer(text, "drawer.csv", catalogue())
    (finding,) = caught.value.findings
    assert finding.place is not None
    assert (finding.place.line, words in finding.message) == (line, True)


@pytest.mark.parametrize("mark", [";", "\t"])
def test_semicolons_and_tabs_part_cells_too(mark: str) -> None:
    """What a spreadsheet writes where the comma is the decimal point: the price is 0.12."""
    rows = (("what", "value", "price", "where"), ("resistor", "4,7k", "0,12", "box 1, left"))
    drawer, found = read_drawer("\n".join(mark.join(row) for row in rows), "drawer.csv", catalogue())
    assert not found
    (item,) = drawer.items
    assert (item.candidate.value, item.candidate.price) == (4700.0, 0.12)
    assert item.candidate.where == "box 1, left"


def test_a_resistors_rating_may_be_its_power() -> None:
    """The catalogue's resistor stands 1/4 W (Yageo CFR): as much or more is taken, less is told."""
    rows = "what,value,rating\nresistor,1k,0.25 W\nresistor,1k,1/2 W\nresistor,1k,0.125 W\n"
    drawer, found = read_drawer(rows, "drawer.csv", catalogue())
    assert [item.line for item in drawer.items] == [2, 3]
    assert [(f.code, f.place.line) for f in found if f.place] == [("drawer-rating", 4)]
    assert "250 mW" in found[0].message
