"""Build lists: what they say, every mistake at its place, and the way there and back.

Hostile lists are of our own making.  The six lists of ``benchmarks/hand_layouts`` are an outside check of
the notation: they were typed from the schematics alone, before any layout of the program was seen.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from board._random import circuits, layouts
from buildalong.board import Layout, board, equal, read_back
from buildalong.build.hand import BuildList, kept_from, list_text, mend_list, read_list
from buildalong.build.place import place, verify
from buildalong.build.steps import ORDER_WEIGHTS, check_steps, make_steps, order_cost, order_findings
from buildalong.circuit import Circuit
from buildalong.finding import Severity
from buildalong.lesson import load
from demos import EXAMPLES
from design._circuits import circuit

LISTS = Path(__file__).parents[2] / "benchmarks" / "hand_layouts"
NAMES = sorted(file.stem for file in LISTS.glob("*.txt"))
CALM = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]


def text_of(name: str) -> str:
    return (LISTS / f"{name}.txt").read_text("utf-8")


def demo(name: str) -> tuple[Circuit, BuildList]:
    lesson = load(EXAMPLES / name)
    trials = [trial.name for trial in lesson.trials]
    read = read_list(text_of(name), "build.txt", lesson.circuit, board(lesson.board), trials=trials)
    return lesson.circuit, read


def lighthouse(text: str) -> BuildList:
    return read_list(text, "build.txt", load(EXAMPLES / "lighthouse").circuit, board("400"), trials=["night"])


@pytest.mark.parametrize("name", NAMES)
def test_a_bench_builders_list_makes_the_circuit(name: str) -> None:
    """A list typed by hand from the schematic reads back to the circuit, without an error."""
    circuit, read = demo(name)
    assert read.findings == ()
    assert read.layout is not None
    assert equal(circuit, read_back(circuit.parts, read.layout))
    assert [f.message for f in verify(circuit, read.layout) if f.severity >= Severity.ERROR] == []


@pytest.mark.parametrize("name", NAMES)
def test_written_and_read_again(name: str) -> None:
    """A list that was written from a layout reads back to that very layout, in either order."""
    circuit, read = demo(name)
    assert read.layout is not None
    for steps in ((), read.steps):
        text = list_text(circuit, read.layout, steps)
        again = read_list(text, "again.txt", circuit, read.layout.board)
        assert again.layout == read.layout
        assert list_text(circuit, read.layout, again.steps) == text


@pytest.mark.parametrize("name", ["lighthouse", "mailbox-flag", "level-crossing"])
def test_the_placers_layout_there_and_back(name: str) -> None:
    """What the placer found can be typed as a list, and is the same layout then: wires, bends, colours."""
    lesson = load(EXAMPLES / name)
    found = place(lesson.circuit, board(lesson.board), seconds=0.4).layout
    again = read_list(list_text(lesson.circuit, found), "placed.txt", lesson.circuit, found.board)
    assert again.findings == ()
    assert again.layout == found


@given(st.data())
@settings(max_examples=40, deadline=None, suppress_health_check=CALM)
def test_any_layout_there_and_back(data: st.DataObject) -> None:
    """Random parts in random holes with random wires come back from their list as they were."""
    circuit = data.draw(circuits())
    layout = data.draw(layouts(circuit))
    text = list_text(circuit, layout)
    again = read_list(text, "random.txt", circuit, layout.board)
    if again.layout is None:  # the random board has what no author's list may have: two leads in a hole
        assert {f.code for f in again.findings} <= {
            "two-leads-in-one-hole",
            "no-such-hole",
            "list-empty",
            "wire-bends",
        }
        return
    assert again.layout.holes == layout.holes
    want = sorted((w.start, w.end, w.path, w.style) for w in layout.wires)
    assert sorted((w.start, w.end, w.path, w.style) for w in again.layout.wires) == want


def test_what_a_line_may_say() -> None:
    """First leg and turn, leads by name, bends, reasons, two things in a step, tests, notes."""
    read = lighthouse(
        "# mine\nboard 400\nstyle link\n\nU1 f13 turned 180   # notch down\n"
        "DS1 K=a3 a=a2; R3 b2 b6 | limits the current\nwire Green a20 a22 formed\n\ntest night\n"
    )
    assert read.findings == ()
    assert read.layout is not None
    assert read.layout.holes["U1"] == ("f13", "f12", "f11", "f10", "e10", "e11", "e12", "e13")
    assert read.layout.holes["DS1"] == ("a2", "a3")
    assert (read.layout.wires[0].style, read.layout.wires[0].colour) == ("formed", "green")
    assert [(s.parts, s.wires, s.test) for s in read.steps] == [
        (("U1",), (), None), (("DS1", "R3"), (), None), ((), (0,), None), ((), (), "night"),
    ]  # fmt: skip
    assert read.steps[1].why == "limits the current"


@pytest.mark.parametrize(
    ("text", "code", "line", "column"),
    [
        ("R1 a5 a9\nR9 a1 a2", "list-unknown-word", 2, 1),
        ("R1 a5 a9\nR1 b5 b9", "part-twice", 2, 1),
        ("R1 a5 a99", "no-such-hole", 1, 7),
        ("R1 a5 a9; R2  a5 a1", "two-leads-in-one-hole", 1, 15),
        ("DS1 A=a5 X=a6", "unknown-lead", 1, 10),
        ("DS1 A=a5 A=a6", "lead-twice", 1, 10),
        ("DS1 A=a5 K=q6", "no-such-hole", 1, 12),
        ("R1 a5", "wrong-number-of-holes", 1, 1),
        ("U1 j5", "no-room-there", 1, 4),
        ("U1 e28", "no-room-there", 1, 4),
        ("wire a5", "wire-needs-two-holes", 1, 6),
        ("wire a5 b99", "no-such-hole", 1, 9),
        ("  wire a5 grean b9", "wire-word", 1, 11),
        ("test tomorrow", "test-takes-nothing", 1, 6),
        ("board 830\nR1 a5 a9", "list-other-board", 1, 7),
        ("style wild", "list-head", 1, 7),
        ("R1 a5 a9;; R2 b5 b9", "empty-step", 1, 10),
        ("", "list-empty", 1, 1),
        ("R1 a5 a9\n" * 700, "list-too-long", 601, 1),
        ("\0\x1b[31m", "list-unknown-word", 1, 1),
    ],
)
def test_each_mistake_stands_at_its_place(text: str, code: str, line: int, column: int) -> None:
    """One mistake is one error, with line, column and a cure; there is no layout."""
    read = lighthouse(text)
    assert read.layout is None
    assert [(f.code, f.place and (f.place.line, f.place.column)) for f in read.findings] == [
        (code, (line, column))
    ]
    assert read.findings[0].hint


PIECES = [*["R1", "U1", "wire", "a5", "e5", "L+3", "test", ";", "|", "#", "A=", "turned", "90"], "\n"]


@given(st.text(max_size=200) | st.lists(st.sampled_from(PIECES), max_size=30).map(" ".join))
@settings(max_examples=150, deadline=None)
def test_nothing_is_raised(text: str) -> None:
    """Whatever stands in a list gives a layout or errors, each with its line."""
    read = lighthouse(text)
    assert (read.layout is None) == any(f.severity is Severity.ERROR for f in read.findings)
    assert all(f.place is not None and f.place.line >= 1 for f in read.findings)


@pytest.mark.parametrize(
    ("old", "new", "changes"),
    [
        ("wire h12 h14", "wire h12 h15", 1),
        ("wire a10 L-8\n", "", 1),
        ("DS1 A=d16 K=d15", "DS1 A=d15 K=d16", 1),
        ("R2 h11 h7", "R2 h11 h8", 1),
        ("C2 i13 i15", "C2 i13 z15", 1),
        ("C1 +=b11 -=b10\n", "", 1),
        ("R1 j11 R+10", "R1 j10 R+10", 1),
        ("", "", 0),
    ],
)  # fmt: skip
def test_one_slip_is_mended_with_one_line(old: str, new: str, changes: int) -> None:
    """A slip of one line is repaired by one line; the bytes of all other lines stay."""
    circuit = load(EXAMPLES / "lighthouse").circuit
    wrong = text_of("lighthouse").replace(old, new, 1) if old else text_of("lighthouse")
    done = mend_list(wrong, "build.txt", circuit, board("400"))
    assert done.layout is not None
    assert equal(circuit, read_back(circuit.parts, done.layout))
    again = read_list(done.text, "build.txt", circuit, board("400"))
    assert again.layout is not None
    assert equal(circuit, read_back(circuit.parts, again.layout))
    assert done.changes == changes
    before, after = wrong.split("\n"), done.text.split("\n")
    assert len(set(after) - set(before)) <= changes


DIVIDERS = """
    R1 potentiometer 100k PLUS PLUS SOIL
    R2 resistor 22k SOIL 0V
    R3 resistor 22k PLUS REF
    R4 resistor 10k REF 0V
    U1 comparator-lm393 OUT REF SOIL 0V 0V 0V - PLUS
    R5 resistor 4.7k OUT BASE
    Q1 pnp-bc557 LAMP BASE PLUS
    R6 resistor 270 LAMP RED
    DS1 led-red RED 0V
"""
ITS_LIST = """\
U1 e12
wire i14 i15
wire b15 b17
wire h15 h18 e18 e17
wire b8 b9
wire c11 c12
wire b10 b14
wire a8 a7 h7 h12
R3 a9 a13; R4 d13 d17
R2 a14 a17
R5 d11 f11
R6 g10 g17
Q1 C=i10 B=i11 E=i12
DS1 A=j17 K=j15
R1 A=c8 W=e9 B=c10
BT1 +=j12 -=j14
"""


@pytest.mark.parametrize("slips", [("b10 b14", "b10 b13", "R6 g10", "R6 g9"), ("c11 c12", "c10 c12")])
def test_ends_that_stand_in_the_next_row_go_back(slips: tuple[str, ...]) -> None:
    """Each end is put back by its own line and nothing is added, although other changes would mend it too."""
    made, wrong = circuit(DIVIDERS), ITS_LIST
    for right, slip in zip(slips[::2], slips[1::2], strict=True):
        wrong = wrong.replace(right, slip)
    done = mend_list(wrong, "build.txt", made, board("400"))
    assert done.text == ITS_LIST
    assert done.changes == len(slips) // 2


def shifted(text: str, rows: int, *still: str) -> str:
    """A list with everything some rows further down but the lines that begin so."""
    out = []
    for line in text.split("\n"):
        if not line.startswith(("board", "style", *still)):
            line = re.sub(r"\b([a-j])(\d+)\b", lambda m: f"{m[1]}{int(m[2]) + rows}", line.split("#")[0])
            line = re.sub(r"\b([LR][+-])(\d+)", lambda m: f"{m[1]}{int(m[2]) + rows}", line)
        out.append(line)
    return "\n".join(out)


@pytest.mark.parametrize(
    ("rows", "still", "told"),
    [
        (2, ("U1",), "U1 moved down by 2 rows"),
        (1, ("C2",), "C2 moved down by one row"),
        (1, ("R2", "DS1"), "R2 and DS1 moved down by one row"),
        (1, ("wire",), "8 wires moved down by one row"),
        (2, (), ""),
    ],
)
def test_what_stayed_behind_follows(rows: int, still: tuple[str, ...], told: str) -> None:
    """Where all else moved, only the lines change that did not, and one sentence says so."""
    circuit = load(EXAMPLES / "lighthouse").circuit
    wrong = shifted(text_of("lighthouse"), rows, *still)
    done = mend_list(wrong, "build.txt", circuit, board("400"))
    assert done.layout is not None
    assert equal(circuit, read_back(circuit.parts, done.layout))
    assert [f for f in verify(circuit, done.layout) if f.severity >= Severity.ERROR] == []
    assert done.told == ((told,) if told else ())
    assert done.changes == sum(line.startswith(still) for line in wrong.split("\n") if still)


@pytest.mark.parametrize(
    ("name", "right", "wrong"),
    [
        ("lighthouse", "U1 e10", "U1 e20"),
        ("lighthouse", "U1 e10", "U1 f13 turned 180"),
        ("lighthouse", "U1 e10", "U1 d10"),
        ("cupboard-light", "U1 e10", "U1 e5"),
        ("cupboard-light", "U1 e10", "U1 f10"),
        ("mailbox-flag", "U1 e7", "U1 e1"),
        ("mailbox-flag", "U1 e7", "U1 e12"),
        ("mailbox-flag", "U1 e7", "U1 e7 turned 90"),
    ],
)
def test_an_ic_goes_back(name: str, right: str, wrong: str) -> None:
    """An IC that alone was moved, turned or set beside the trench goes back, whatever it stood on."""
    lesson = load(EXAMPLES / name)
    text = text_of(name)
    assert right in text
    done = mend_list(text.replace(right, wrong), "build.txt", lesson.circuit, board(lesson.board))
    assert done.changes == 1
    assert done.layout == demo(name)[1].layout
    assert [sentence.split()[0] for sentence in done.told] == ["U1"]


def test_a_board_that_grows() -> None:
    """Parts and wires of the earlier board stay where the next circuit has them; others are told."""
    circuit, read = demo("lighthouse")
    assert read.layout is not None
    smaller = circuit.without("D1")
    kept, notes = kept_from(smaller, read.layout)
    assert set(kept.holes) == set(smaller.by_id)
    assert kept.wires == read.layout.wires  # the two that met at D1 join the net still
    assert notes[0].about == ("D1",)
    without_lamp, _ = kept_from(circuit.without("C2"), read.layout)
    assert len(without_lamp.wires) == len(read.layout.wires) - 1  # the one that fed C2 leads nowhere now
    same, none = kept_from(circuit, read.layout)
    assert (same, none) == (read.layout, [])


@pytest.mark.parametrize("name", NAMES)
def test_tests_tell_what_happens(name: str) -> None:
    """The steps of each demo are safe, and what a test tells is seen in a run of the board as it then is.

    The run is made here again from the read-back, and looked at without the words' own code.
    """
    from buildalong.engine import simulate

    lesson = load(EXAMPLES / name)
    circuit, read = demo(name)
    assert read.layout is not None
    steps = make_steps(circuit, read.layout, trials=lesson.trials)
    assert check_steps(circuit, steps) == []
    for step in (step for step in steps if step.kind == "test"):
        run = simulate(read_back(circuit.parts, step.after), lesson.trials[0])
        told = [part for part in step.shows if circuit.by_id[part].type.family == "led"]
        assert told
        lit = {event.part for event in run.events if event.kind == "light" and event.rising}
        assert lit & set(told)
        assert set(told) <= set(step.before.holes)
        assert "BT1" not in step.before.holes


def test_an_order_that_is_kept_and_judged() -> None:
    """An author's order stays as it is; what is hard about it is told at its line."""
    lesson = load(EXAMPLES / "lighthouse")
    lines = [line.split("#")[0].strip() for line in text_of("lighthouse").split("\n")]
    things = [line for line in lines if line and not line.startswith(("board", "style", "test"))]
    text = "\n".join(["test", *reversed(things)])
    read = read_list(text, "build.txt", lesson.circuit, board("400"))
    assert read.layout is not None
    steps = make_steps(lesson.circuit, read.layout, order=read.steps, trials=lesson.trials)
    assert [s.parts for s in steps if s.parts][:2] == [("BT1",), ("DS1",)]
    found = order_findings(lesson.circuit, read.layout, read.steps, lesson.trials)
    told = {f.code: f.place and f.place.line for f in found}
    assert told["supply-before-the-end"] == 2
    assert told["test-shows-nothing"] == 1
    assert "order-could-be-easier" in told
    best = make_steps(lesson.circuit, read.layout, trials=lesson.trials)
    assert next(s.kind for s in best) == "ic"


def test_the_supply_may_stand_beside_what_is_tall() -> None:
    """The supply goes last by every caution, so nobody is told to put it in before what stands there."""
    made = circuit("R1 resistor 330 PLUS A\nDS1 led-red A 0V")
    supply, lamp = "BT1 +=b5 -=d10", "DS1 A=b9 K=b10"
    told = []
    for lines in ((lamp, "R1 d9 d5", supply), ("R1 d9 d5", lamp, supply)):
        read = read_list("\n".join(lines), "build.txt", made, board("400"))
        assert read.layout is not None
        found = order_findings(made, read.layout, read.steps, ())
        told.append([f.about for f in found if f.code == "hard-to-reach"])
    assert told == [[("R1",)], []]


def test_less_is_better_in_the_order_of_steps() -> None:
    """The weights are all positive, and the trade's order costs less than the same turned round."""
    circuit, read = demo("level-crossing")
    assert read.layout is not None
    assert all(weight > 0 for weight, _ in ORDER_WEIGHTS.values())
    things = [step for step in read.steps if step.test is None]
    assert order_cost(circuit, read.layout, things) < order_cost(circuit, read.layout, things[::-1])


def test_nothing_of_a_layout_is_lost_that_has_no_wire() -> None:
    """A layout without wires is written and read as well."""
    circuit, read = demo("mailbox-flag")
    assert read.layout is not None
    bare = Layout(read.layout.board, read.layout.holes)
    assert read_list(list_text(circuit, bare), "bare.txt", circuit, bare.board).layout == bare
