"""Compiling: each demo lesson as a whole, and planted faults that must be told at the right place."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from buildalong.board import equal, read_back
from buildalong.finding import Finding, Severity
from buildalong.lesson import Compiled, compile_lesson, load

from ._lamp import LAMP, Write, where

EXAMPLES = Path(__file__).parents[2] / "examples"
DEMOS = sorted(path.name for path in EXAMPLES.iterdir() if (path / "lesson.toml").exists())
Demo = Callable[[str], Compiled]


def test_there_are_six_demos() -> None:
    """The demo lessons are there."""
    assert len(DEMOS) == 6


@pytest.mark.parametrize("name", DEMOS)
def test_a_demo_has_no_error(compiled_demo: Demo, name: str) -> None:
    """No error; every promise is measured and kept; the words are checked and in their sections."""
    compiled = compiled_demo(name)
    assert [f for f in compiled.findings if f.severity >= Severity.ERROR] == []
    assert compiled.promises
    assert all(result.ok for result in compiled.promises)
    for identity in ("what-you-will-build", "how-it-works", "what-you-should-see", "try-next"):
        assert compiled.section(identity) is not None
    assert "[?]" not in "".join(section.html for section in compiled.prose)


@pytest.mark.parametrize("name", DEMOS)
def test_the_board_of_a_demo_makes_its_circuit(compiled_demo: Demo, name: str) -> None:
    """The circuit read back from the holes is the lesson's, and the last step ends there."""
    compiled = compiled_demo(name)
    assert compiled.layout is not None
    assert equal(compiled.circuit, read_back(compiled.circuit.parts, compiled.layout))
    assert compiled.steps[-1].after == compiled.layout
    assert all(compiled.stories[trial.name] for trial in compiled.lesson.trials)


PLANTED = {
    "wrong number in the words": ("3 s, they say", "9 s, they say", "claim-unsupported", "lesson.md:1:18"),
    "broken promise": ('is     = "3 s"', 'is     = "5 s"', "promise-broken", "lesson.toml:16:10"),
    "promise that names nothing": (
        "on_time(DS1)",
        "on_time(DS7)",
        "promise-unknown-figure",
        "lesson.toml:16:10",
    ),
    "promise of nothing known": (
        "on_time(DS1)",
        "one_time(DS1)",
        "promise-unknown-figure",
        "lesson.toml:16:10",
    ),
    "promise in another unit": ('is     = "3 s"', 'is     = "3 V"', "promise-unit", "lesson.toml:16:10"),
    "net with one terminal": ('["HELD", "LAMP"]', '["HELD", "LMP"]', "net-single", "lesson.toml:7:59"),
    "short across the supply": (
        '["PLUS", "HELD"]',
        '["PLUS", "0V"]',
        "short-across-supply",
        "lesson.toml:6:38",
    ),
}


@pytest.mark.parametrize(("old", "new", "code", "at"), PLANTED.values(), ids=PLANTED.keys())
def test_planted_faults_are_told(write: Write, old: str, new: str, code: str, at: str) -> None:
    """Each fault is an error at its place."""
    words = "It shines for 3 s, they say.\n"
    folder = write(LAMP.replace(old, new), words.replace(old, new))
    found = [f for f in compile_lesson(folder, seconds=0.05).findings if f.code == code]
    assert found
    assert found[0].severity == Severity.ERROR
    if code != "claim-unsupported":
        assert where(found[0], folder) == at
    else:
        assert where(found[0], folder) == "lesson.md:1:15"


LAYOUTS = {
    "two leads in one hole": (
        'R1 = ["c7", "c11"]\nDS1 = ["c11", "c12"]',
        "two-leads-in-one-hole",
        "lesson.toml:22:8",
    ),
    "hole off the board": ('R1 = ["c7", "c99"]', "no-such-hole", "lesson.toml:21:13"),
    "part that is not there": ('R9 = ["c7", "c11"]', "layout-unknown-part", "lesson.toml:21:6"),
}


@pytest.mark.parametrize(("lines", "code", "at"), LAYOUTS.values(), ids=LAYOUTS.keys())
def test_a_wrong_layout_hides_nothing(write: Write, lines: str, code: str, at: str) -> None:
    """A layout that cannot be built is told at the hole, and words and promises are still checked."""
    folder = write(f"{LAMP}\n[layout]\n{lines}\n", "It shines for 9 s.\n")
    compiled = compile_lesson(folder, seconds=0.05)
    assert (code, at) in [(f.code, where(f, folder)) for f in compiled.findings]
    assert "claim-unsupported" in {f.code for f in compiled.findings}
    assert all(result.ok for result in compiled.promises)


def test_a_supply_beyond_the_chip(write: Write) -> None:
    """A 555 on two cells gets too little; the finding stands at the supply (NE555: 4.5 V at least)."""
    facts = (EXAMPLES / "lighthouse" / "lesson.toml").read_text(encoding="utf-8").replace("4 x AA", "2 x AA")
    folder = write(facts)
    found = [f for f in compile_lesson(folder, seconds=0.05).findings if f.code == "supply-too-low"]
    assert ("lesson.toml:4:11", Severity.ERROR) in [(where(f, folder), f.severity) for f in found]


def test_a_trial_that_cannot_be_read_is_told_alone(write: Write) -> None:
    """What promises and words would be in another trial than the author's is not told as their fault."""
    folder = write(change=("at 1 s for 3 s", "from 1 s to 4 s"), words="It shines for 3 s.\n")
    compiled = compile_lesson(folder, want={"runs", "words"})
    assert [(f.code, where(f, folder)) for f in compiled.findings] == [("trial-line", "lesson.toml:13:10")]
    assert [result.measured for result in compiled.promises] == [None]


def test_the_same_lesson_gives_the_same_result(write: Write) -> None:
    """Findings, figures, board and words are equal in two compilations."""
    folder = write(LAMP, "It shines for {{ on_time(DS1) }}.\n")
    one, two = (compile_lesson(folder, seconds=0.05) for _ in range(2))
    assert one.findings == two.findings
    assert one.figures == two.figures
    assert one.layout == two.layout
    assert one.prose == two.prose


BELL = """
title = "A bell"
board = "400"
supply = "4 x AA"

[parts]
S1 = { part = "push-button", pins = ["PLUS", "HELD"] }
R1 = { part = "resistor", value = "10k", pins = ["HELD", "0V"] }
M1 = { part = "PART", pins = ["FIRST", "SECOND"] }

[[trial]]
name = "a press"
lasts = "4 s"
press = ["S1 at 1 s for 2 s"]

[[promise]]
that = "on_time(M1)"
is = "2 s"
within = "20 %"
"""


@pytest.mark.parametrize(
    ("kind", "first", "second", "said", "hint"),
    [
        (
            "buzzer-5v",
            "0V",
            "HELD",
            "stays silent",
            "M1's minus lead is on HELD, which is the higher voltage",
        ),
        ("buzzer-5v", "0V", "LOOSE", "stays silent", "measure something else"),
        ("led-red", "0V", "HELD", "stays dark", "M1's cathode is on HELD, which is the higher voltage"),
        ("motor-3v", "0V", "0V", "does not turn", "measure something else"),
    ],
)
def test_a_light_that_never_comes_on(
    tmp_path: Path, kind: str, first: str, second: str, said: str, hint: str
) -> None:
    """Diodes conduct one way only: a part whose voltage is reversed all the time has its leads swapped."""
    text = BELL.replace("PART", kind).replace("FIRST", first).replace("SECOND", second)
    (tmp_path / "lesson.toml").write_text(text, encoding="utf-8")
    (tmp_path / "lesson.md").write_text("A bell.\n", encoding="utf-8")
    found = next(
        f for f in compile_lesson(tmp_path, seconds=0.2).findings if f.code == "promise-never-happened"
    )
    assert said in found.message
    assert found.hint.startswith(hint)


def test_a_light_without_a_resistor_overloads_the_output(tmp_path: Path) -> None:
    """Behind 1 Ω the comparator takes more than its typical 16 mA at 1.5 V (LM393, from memory)."""
    text = (EXAMPLES / "dusk-light/lesson.toml").read_text(encoding="utf-8")
    text = text.replace('"330", ', '"1", ')
    (tmp_path / "lesson.toml").write_text(text, encoding="utf-8")
    (tmp_path / "lesson.md").write_text("A light.\n", encoding="utf-8")
    found = compile_lesson(tmp_path, seconds=0.2).findings
    assert [(f.code, f.about) for f in found if f.severity >= Severity.ERROR] == [
        ("output-overloaded", ("U1",))
    ]


CHANGES = {
    "a blank": ("title ", "title  "),
    "a value": ('"68k"', '"62k"'),
    "a promise that is broken": ('"10 Hz"', '"20 Hz"'),
    "another trial": ('"3 s"', '"2 s"'),
    "a part that is not there": ('"counter-4017"', '"counter-4711"'),
}


@pytest.mark.parametrize("what", CHANGES)
def test_what_was_compiled_before_changes_nothing(what: str) -> None:
    """With and without it all findings, figures, stories and words are the same; those so far are of them."""
    folder = EXAMPLES / "runway-lights"
    facts = (folder / "lesson.toml").read_text(encoding="utf-8")
    old, new = CHANGES[what]
    assert old in facts
    lesson = load(folder, texts={"lesson.toml": facts.replace(old, new)})
    want = ("runs", "words")
    told: list[Finding] = []
    alone = compile_lesson(lesson, want=want, so_far=lambda findings, left: told.extend(findings))
    after = compile_lesson(lesson, want=want, before=compile_lesson(folder, want=want))
    assert after.findings == alone.findings
    assert after.figures == alone.figures
    assert after.promises == alone.promises
    assert after.stories == alone.stories
    assert after.prose == alone.prose
    assert set(told) <= set(alone.findings)
