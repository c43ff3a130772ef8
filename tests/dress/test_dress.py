"""Flexible wires as a tidy hand leads them: around bodies and over no hole in use (common practice).

What lies where is measured here with the corners of bodies and plain distances, not with the map that the
wires are led over.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from buildalong.board import Layout, Wire, board, outline_of
from buildalong.build.dress import all_led, dressed
from buildalong.build.place import score
from buildalong.circuit import Circuit, Part
from buildalong.lesson import compile_lesson
from buildalong.parts import catalogue
from drawing._demo import BOARDS, circuit_of, layout_of

Point = tuple[float, float]
FLEXIBLE = [name for name in BOARDS if name.endswith("flexible")]
NARROW = 0.15
"""A thin pencil along the middle of a wire [pitches]."""


def places(line: tuple[Point, ...]) -> list[Point]:
    """Places along a line, a tenth of a pitch apart."""
    out = []
    for (ax, ay), (bx, by) in pairwise(line):
        steps = max(1, math.ceil(10 * math.dist((ax, ay), (bx, by))))
        out += [(ax + (bx - ax) * k / steps, ay + (by - ay) * k / steps) for k in range(steps + 1)]
    return out


def inside(place: Point, outline: tuple[Point, ...]) -> bool:
    """Whether a place lies well inside a convex outline: on the same side of all its edges."""
    sides = []
    for (ax, ay), (bx, by) in pairwise((*outline, outline[0])):
        cross = (bx - ax) * (place[1] - ay) - (by - ay) * (place[0] - ax)
        sides.append(cross / math.dist((ax, ay), (bx, by)))
    return min(sides) > NARROW or max(sides) < -NARROW


def bodies_under(circuit: Circuit, layout: Layout, line: tuple[Point, ...]) -> list[str]:
    """The parts over whose bodies a line runs."""
    outlines = {p.id: outline_of(p.type, layout.board, layout.holes.get(p.id, ())) for p in circuit.parts}
    return [
        name
        for name, outline in outlines.items()
        if outline and any(inside(place, outline) for place in places(line))
    ]


def holes_hidden(layout: Layout, wire: Wire, line: tuple[Point, ...]) -> list[str]:
    """The holes in use of others over whose middle a line runs."""
    others = {hole for hole, _ in layout.used()} - {wire.start, wire.end}
    return [h for h in others if min(math.dist(layout.board.holes[h], at) for at in places(line)) < NARROW]


def test_wires_are_led_around_bodies_and_holes() -> None:
    """Of the straight ways many run over bodies and holes in use; of the ways they are led none."""
    before = 0
    for name in FLEXIBLE:
        circuit, layout = circuit_of(name), layout_of(name)
        for wire in layout.wires:
            straight = layout.line(replace(wire, dress=()))
            before += len(bodies_under(circuit, layout, straight)) + len(holes_hidden(layout, wire, straight))
            assert not bodies_under(circuit, layout, layout.line(wire)), (name, wire)
            assert not holes_hidden(layout, wire, layout.line(wire)), (name, wire)
    assert before > 10


def one_wire(start: str, end: str, **standing: tuple[str, str]) -> tuple[Circuit, Layout]:
    """A flexible wire on an empty board, or beside resistors."""
    kind = catalogue()["resistor"]
    parts = tuple(Part(name, kind, (f"A{name}", f"B{name}"), 1e3) for name in standing)
    return Circuit(parts), Layout(board("170"), dict(standing), (Wire(start, end, "red", "flexible"),))


def test_where_nothing_is_in_the_way_it_is_straight() -> None:
    """Also where the straight way is neither along nor across the board."""
    for end in ("b12", "h5", "j9"):
        circuit, layout = one_wire("b5", end)
        wire = dressed(circuit, layout).wires[0]
        assert wire.dress == (layout.board.holes["b5"], layout.board.holes[end])


def test_it_goes_round_a_resistor_by_the_shorter_way() -> None:
    """A resistor in c5 to c9 parts a7 from d7: neither over it nor over the holes of its leads."""
    circuit, layout = one_wire("a7", "d7", R1=("c5", "c9"))
    line = dressed(circuit, layout).wires[0].dress
    assert len(line) > 2
    assert not bodies_under(circuit, layout, line)
    length = sum(math.dist(a, b) for a, b in pairwise(line))
    # past the hole of a lead, two pitches aside, and not much further
    assert length < 2 * math.hypot(1.5, 2.5) + 1.0


def test_the_same_layout_is_dressed_alike_whatever_it_wore() -> None:
    """What is dressed already stays so where no way is better; nothing else of it changes."""
    circuit, layout = circuit_of("dusk-light-400-flexible"), layout_of("dusk-light-400-flexible")
    bare = replace(layout, wires=tuple(replace(wire, dress=()) for wire in layout.wires))
    assert bare == layout  # a dress is for pictures: layouts are compared without
    once, again = dressed(circuit, bare), dressed(circuit, dressed(circuit, bare))
    assert [wire.dress for wire in once.wires] == [wire.dress for wire in again.wires]
    assert all(wire.dress for wire in once.wires)
    assert [all_led(one) for one in (bare, once)] == [False, True]


def test_a_moved_end_takes_the_dress_off() -> None:
    """What was led from elsewhere says nothing about the new way."""
    circuit, layout = one_wire("a7", "d7", R1=("c5", "c9"))
    wire = replace(dressed(circuit, layout).wires[0], end="e7")
    assert layout.line(wire) == (layout.board.holes["a7"], layout.board.holes["e7"])


def test_stiff_wires_and_ways_of_the_author_stay() -> None:
    """Only flexible wires without bends of their own are led."""
    circuit, layout = one_wire("a7", "d7", R1=("c5", "c9"))
    wires = (Wire("a3", "a5"), Wire("a7", "d7", "red", "flexible", ((0.0, 11.0), (3.0, 11.0))))
    assert [wire.dress for wire in dressed(circuit, replace(layout, wires=wires)).wires] == [(), ()]


def test_the_score_weighs_wires_as_they_are_led() -> None:
    """No layout runs over more bodies dressed than bare."""
    for name in FLEXIBLE:
        circuit, layout = circuit_of(name), layout_of(name)
        bare = replace(layout, wires=tuple(replace(wire, dress=()) for wire in layout.wires))
        assert score(circuit, layout).amount("over a part") <= score(circuit, bare).amount("over a part")


def test_a_lesson_with_flexible_wires_is_dressed(tmp_path: Path) -> None:
    """In every step alike: what is led on the first picture lies so on the last."""
    from demos import EXAMPLES

    folder = tmp_path / "mailbox-flag"
    folder.mkdir()
    for file in (EXAMPLES / "mailbox-flag").iterdir():
        if file.is_file():
            (folder / file.name).write_bytes(file.read_bytes())
    facts = folder / "lesson.toml"
    facts.write_text(f'{facts.read_text("utf-8")}\n[layout]\nstyle = "flexible"\n', "utf-8")
    compiled = compile_lesson(folder, want=("board",), seconds=0.2)
    assert compiled.layout is not None
    final = {(wire.start, wire.end): wire.dress for wire in compiled.layout.wires}
    assert final
    assert all(final.values())
    for step in compiled.steps:
        for wire in step.after.wires:
            assert final.get((wire.start, wire.end), wire.dress) == wire.dress
