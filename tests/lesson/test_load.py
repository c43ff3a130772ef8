"""Reading a lesson: every fault of the author has its own finding, at its place, with a cure."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildalong.finding import Severity
from buildalong.lesson import load

from ._lamp import LAMP, Write, told, unreadable, where

# (what is changed, into what) -> code, line:column, message, part of the cure
FAULTS = {
    "unknown part, nearest named": (
        ('"push-button"', '"push-buton"'),
        "unknown-part", "6:16", "there is no part 'push-buton'", "did you mean push-button?",
    ),
    "value out of any sense": (
        ('"150"', '"150 M"'),
        "value-out-of-range", "7:36",
        "R1 (resistor) is 150 MΩ; such parts are made from 1 Ω to 10 MΩ", "check the prefix",
    ),
    "value in another unit": (
        ('"150"', '"150 F"'),
        "value-unreadable", "7:36", "R1: '150 F' is in F, but Ω is expected", "write a value in Ω",
    ),
    "negative time in a press": (
        ('"S1 at 1 s for 3 s"', '"S1 at -1 s for 3 s"'),
        "negative-time", "13:10", "the time '-1 s' is negative; a trial starts at 0 s",
        "S1 at 2 s for 150 ms",
    ),
    "negative length of a trial": (
        ('"6 s"', '"-6 s"'),
        "negative-time", "12:9", "lasts: the time '-6 s' is negative; a trial starts at 0 s", "30 s",
    ),
    "button that does not exist": (
        ("S1 at", "S7 at"),
        "unknown-part-in-trial", "13:10", "there is no part S7; it cannot be pressed", "that works on S1",
    ),
    "pressing a resistor": (
        ("S1 at", "R1 at"),
        "wrong-part-in-trial", "13:10", "R1 is a resistor; it cannot be pressed", "that works on S1",
    ),
    "a line that is not understood": (
        ("S1 at 1 s for 3 s", "press S1"),
        "trial-line", "13:10", "'press S1' is not understood", "write it like 'S1 at 2 s for 150 ms'",
    ),
    "pressed after the end": (
        ("S1 at 1 s", "S1 at 9 s"),
        "after-the-end", "13:10", "'S1 at 9 s for 3 s' happens after the trial has ended (6 s)", "longer",
    ),
    "trial too long": (
        ('"6 s"', '"6 h"'),
        "trial-too-long", "12:9", "the trial lasts 6 h; at most one hour is simulated", "shorten",
    ),
    "a time in volt": (
        ('"6 s"', '"6 V"'),
        "trial-line", "12:9",
        "lasts: '6 V' is no time; write seconds or milliseconds, such as '2 s'", "30 s",
    ),
    "mains voltage": (
        ("3 x AA", "230 V mains"),
        "mains-voltage", "3:10",
        "the supply '230 V mains' is dangerous: lessons run on batteries or USB only, direct voltage"
        " up to 24 V",
        "never bring a breadboard near the mains",
    ),
    "unknown supply": (
        ("3 x AA", "potato"), "unknown-supply", "3:10", "the supply 'potato' is not known", '"4 x AA"',
    ),
    "unknown key, nearest named": (
        ("board  =", "bord   ="), "unknown-key", "2:1", "the key 'bord' is not known here",
        "did you mean 'board'?",
    ),
    "unknown key of a part": (
        ('value = "150"', 'valu = "150"'),
        "unknown-key", "7:28", "the key 'valu' is not known here", "did you mean 'value'?",
    ),
    "missing key": (
        ('lasts = "6 s"\n', ""), "missing-key", "10:3", "the key 'lasts' is missing in [trial.0]",
        "how long it runs",
    ),
    "missing title": (
        ('title  = "A lamp with a button"\n', ""), "missing-key", "1:1", "the key 'title' is missing",
        "the title",
    ),
    "a number where a list should be": (
        ('pins = ["HELD", "LAMP"]', "pins = 5"),
        "wrong-type", "7:50", "'parts.R1.pins' should be a list in square brackets", "",
    ),
    "unknown board": (
        ('"170"', '"1700"'), "unknown-board", "2:10", "there is no board '1700'", "170, 400, 830",
    ),
    "too few nets": (
        ('["HELD", "LAMP"]', '["HELD"]'),
        "pin-count", "7:50", "R1 (resistor) has 2 terminals, but 1 nets are named",
        "1 (first lead), 2 (second lead)",
    ),
    "terminal that the part has not": (
        ('A = "LAMP"', 'B = "LAMP"'),
        "unknown-terminal", "8:36", "DS1 (red LED) has no terminal 'B'", "its terminals are A, K",
    ),
    "setting that the part has not": (
        ('value = "150"', 'value = "150", light = "3 lx"'),
        "unknown-setting", "7:51", "R1 (resistor) has no setting 'light'", "it has none: take this out",
    ),
    "promise that is no figure": (
        ('"on_time(DS1)"', '"on_time(DS1"'),
        "promise-unreadable", "16:11",
        "the brackets of 'on_time(DS1' do not match; write a figure like on_time(DS1)", "",
    ),
    "promise without a quantity": (
        ('is     = "3 s"', 'is     = "fast"'),
        "value-unreadable", "17:10", "is: 'fast' is not a number with a unit, such as '22 µF' or '4k7'", "",
    ),
    "tolerance in another unit": (
        ('"2 %"', '"2 V"'),
        "value-unreadable", "18:10", "within: '2 V' is neither a percentage nor in s", "20 %",
    ),
    "promise in a trial that is not there": (
        ('within = "2 %"', 'within = "2 %"\ntrial  = "evenin"'),
        "unknown-trial", "19:10", "there is no trial 'evenin'", "did you mean 'evening'?",
    ),
    "a name that is no reference": (
        ("R1  =", "r1  ="), "part-name", "7:1", "'r1' is no reference for a part",
        "write letters and a number",
    ),
    "link that is no address": (
        ('board  = "170"', 'board  = "170"\nsource = [{ title = "x", link = "javascript:alert(1)" }]'),
        "link-unsafe", "3:33", "'javascript:alert(1)' is no web address", "https://",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("change", "code", "at", "message", "cure"), FAULTS.values(), ids=FAULTS.keys())
def test_each_fault_has_its_finding(
    write: Write, change: tuple[str, str], code: str, at: str, message: str, cure: str
) -> None:
    """The fault is found at file:line:column, said in one sentence, and can be mended."""
    folder = write(change=change)
    found = [f for f in load(folder).findings if f.code == code]
    assert [(where(f, folder), f.message) for f in found] == [(f"lesson.toml:{at}", message)]
    assert cure in found[0].hint
    assert found[0].severity == Severity.ERROR


def test_a_good_lesson_has_no_findings(write: Write) -> None:
    """The lamp that the faults are planted in is itself without fault."""
    lesson = load(write())
    assert lesson.findings == ()
    assert lesson.sound


def test_everything_is_told_at_once(write: Write) -> None:
    """Five faults in five places give five findings in one reading."""
    facts = (
        LAMP.replace('"170"', '"1700"')
        .replace('"150"', '"150 M"')
        .replace("S1 at", "S9 at")
        .replace('"2 %"', '"2 V"')
        .replace("title ", "titel ")
    )
    folder = write(facts)
    assert sorted(told(load(folder), folder)) == [
        ("missing-key", "lesson.toml:1:1"),
        ("unknown-board", "lesson.toml:2:10"),
        ("unknown-key", "lesson.toml:1:1"),
        ("unknown-part-in-trial", "lesson.toml:13:10"),
        ("value-out-of-range", "lesson.toml:7:36"),
        ("value-unreadable", "lesson.toml:18:10"),
    ]


def test_every_value_keeps_its_place(write: Write) -> None:
    """The place of a value deep inside a table and a list is the one an editor shows."""
    folder = write()
    places = load(folder).places
    lines = LAMP.split("\n")
    place = places.value("parts", "R1", "pins", 1)
    assert lines[place.line - 1][place.column - 1 :].startswith('"LAMP"')
    place = places.value("trial", 0, "press", 0)
    assert lines[place.line - 1][place.column - 1 :].startswith('"S1 at')
    place = places.key("promise", 0, "within")
    assert lines[place.line - 1][place.column - 1 :].startswith("within")


def test_bare_numbers_are_values(write: Write) -> None:
    """An author may write 150 for "150"; the unit is that of the part."""
    assert load(write(change=('"150"', "150"))).circuit.by_id["R1"].value == 150.0


def test_pins_by_name_and_in_order_are_the_same(write: Write) -> None:
    """A table of terminals and a list of nets make the same part."""
    by_name = load(write()).circuit.by_id["DS1"]
    in_order = load(write(change=('{ A = "LAMP", K = "0V" }', '["LAMP", "0V"]'))).circuit.by_id["DS1"]
    assert in_order == by_name


def test_lines_of_a_trial_become_actions(write: Write) -> None:
    """Pressing at 1 s for 3 s is one contact closed at 1 s and opened at 4 s."""
    actions = load(write()).trials[0].actions
    assert [(a.time, a.part, a.setting, a.value) for a in actions] == [
        (1.0, "S1", "pressed", 1.0),
        (4.0, "S1", "pressed", 0.0),
    ]


def test_light_turn_and_throw(write: Write) -> None:
    """Light and turns ramp, a switch is thrown to a contact, 'is' holds from the start."""
    facts = LAMP.replace(
        "[[trial]]",
        'R2 = { part = "ldr-5mm", pins = ["HELD", "0V"] }\n'
        'RV1 = { part = "potentiometer", value = "10k", pins = ["PLUS", "HELD", "0V"] }\n'
        'S2 = { part = "slide-switch", pins = ["HELD", "PLUS", "-"] }\n\n[[trial]]',
    ).replace(
        "press =",
        'light = ["R2 is 300 lx", "R2 to 1 lx from 1 s to 3 s"]\n'
        'turn = ["RV1 to 80 % at 2 s"]\nthrow = ["S2 to B at 5 s"]\npress =',
    )
    lesson = load(write(facts))
    assert [f for f in lesson.findings if f.severity >= Severity.ERROR] == []
    assert [
        (a.time, a.part, a.setting, a.value, a.ramp) for a in lesson.trials[0].actions if a.part != "S1"
    ] == [
        (0.0, "R2", "light", 300.0, 0.0),
        (1.0, "R2", "light", 1.0, 2.0),
        (2.0, "RV1", "position", 0.8, 0.0),
        (5.0, "S2", "thrown", 1.0, 0.0),
    ]


def test_an_amount_may_bound_a_promise(write: Write) -> None:
    """'within 0.1 s' is an amount, 'within 2 %' a ratio."""
    amount = load(write(change=('"2 %"', '"0.1 s"'))).promises[0]
    assert amount.limits == pytest.approx((2.9, 3.1))
    assert load(write()).promises[0].limits == pytest.approx((2.94, 3.06))


def test_too_many_parts(write: Write) -> None:
    """A lesson of 81 parts is told to be too large at [parts]."""
    many = "\n".join(
        f'R{n} = {{ part = "resistor", value = "1k", pins = ["PLUS", "0V"] }}' for n in range(2, 81)
    )
    folder = write(LAMP.replace("\n[[trial]]", f"{many}\n\n[[trial]]", 1))
    found = [f for f in load(folder).findings if f.code == "too-many-parts"]
    assert [(where(f, folder), f.message) for f in found] == [
        ("lesson.toml:5:2", "the lesson has 82 parts; at most 80 fit a lesson")
    ]


def test_what_the_supply_does_is_kept(write: Write) -> None:
    """The author's sentence on the supply stands beside those on the parts, by its reference."""
    folder = write(change=('"3 x AA"', '{ kind = "3 x AA", id = "BT2", does = "Drives the lamp." }'))
    assert load(folder).does == {"BT2": "Drives the lamp."}


def test_own_parts_are_known(write: Write) -> None:
    """A file in parts/ that builds on a catalogue part can be used by its name."""
    folder = write(change=('"led-red"', '"led-pink"'))
    (folder / "parts").mkdir()
    (folder / "parts" / "led-pink.toml").write_text('like = "led-red"\ntitle = "pink LED"\n')
    lesson = load(folder)
    assert lesson.findings == ()
    assert lesson.circuit.by_id["DS1"].type.title == "pink LED"


def test_a_fault_in_an_own_part_has_its_place(write: Write) -> None:
    """An unknown field of parts/x.toml is found in that file, and the rest is still read."""
    folder = write()
    (folder / "parts").mkdir()
    (folder / "parts" / "led-pink.toml").write_text('like = "led-red"\ntitel = "pink LED"\n')
    found = [f for f in load(folder).findings if f.code == "part-unreadable"]
    assert [where(f, folder) for f in found] == ["parts/led-pink.toml:2:1"]
    assert "title" in found[0].hint


def test_own_parts_that_build_on_each_other(write: Write) -> None:
    """A ring of own parts is told at each of its files, and not once more where one is used."""
    folder = write(change=('"led-red"', '"led-a"'))
    (folder / "parts").mkdir()
    (folder / "parts" / "led-a.toml").write_text('like = "led-b"\n')
    (folder / "parts" / "led-b.toml").write_text('like = "led-a"\n')
    found = told(load(folder), folder)
    assert found == [("part-on-part", "parts/led-a.toml:1:8"), ("part-on-part", "parts/led-b.toml:1:8")]


def test_missing_words_are_told(write: Write) -> None:
    """A lesson without lesson.md is read, with a warning."""
    folder = write(words=None)
    assert told(load(folder), folder) == [("no-prose", "lesson.md")]


def test_unreadable_is_fatal(tmp_path: Path) -> None:
    """A folder that is not there, and one without lesson.toml, are refused by name."""
    assert [f.code for f in unreadable(tmp_path / "nowhere")] == ["lesson-missing"]
    (tmp_path / "empty").mkdir()
    found = unreadable(tmp_path / "empty")
    assert [(f.code, where(f, tmp_path)) for f in found] == [("lesson-missing", "empty/lesson.toml")]
