"""A lesson's own parts: taken over, overridden, refused with a cure."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildalong.finding import Severity, Unreadable
from buildalong.parts import Catalogue, PartType, catalogue, load_part

PARTS = catalogue()

LOW_CURRENT = """
like = "led-red"
title = "LED, red, low current, 3 mm"
[ratings]
current = { max = "7 mA", at = "25 °C", source = "sheet" }
[figures]
forward_voltage = { typ = "1.9 V", max = "2.4 V", at = "2 mA", source = "sheet" }
[sources]
sheet = "an invented data sheet"
"""


def _load(text: str, identity: str = "own-part", parts: Catalogue = PARTS) -> object:
    return load_part(tomllib.loads(text), parts, identity)


def test_a_part_like_another_takes_over_what_it_does_not_say() -> None:
    """The new part wins where it speaks; leads, marking and the rest come from the other one."""
    part = load_part(tomllib.loads(LOW_CURRENT), PARTS, "led-low")
    red = PARTS["led-red"]
    assert (part.id, part.family, part.title) == ("led-low", "led", "LED, red, low current, 3 mm")
    assert part.ratings["current"].value == 0.007
    assert part.ratings["reverse_voltage"] == red.ratings["reverse_voltage"]
    assert part.terminals == red.terminals
    assert part.body == red.body
    assert part.aliases == ()  # a name means one part


def test_a_figure_is_replaced_whole() -> None:
    """A new typical value never keeps the limits that another source gave."""
    figures = {
        "voltage": {"typ": "6 V", "source": "our choice"},
        "fresh_voltage": {"typ": "7 V", "source": "our choice"},
    }
    part = load_part({"like": "supply-9v", "figures": figures}, PARTS, "supply-six")
    assert (part.figures["fresh_voltage"].min, part.figures["fresh_voltage"].max) == (None, None)
    assert part.figures["fresh_voltage"].high == 7.0


def test_a_type_has_its_own_levels_in_what_its_family_shares() -> None:
    """TI SLFS043C/F: the TLC555's reset acts at 1.1 V (0.4 V to 1.5 V); SLFS022F: the NE555's at 0.7 V."""

    def reset(kind: PartType) -> tuple[str, ...]:
        (watcher,) = (w for w in kind.model["cells"][0]["watchers"] if w["name"] == "reset")
        return tuple(watcher["level"][key] for key in ("min", "typ", "max"))

    assert reset(PARTS["timer-555"]) == ("-1 V", "-0.7 V", "-0.3 V")
    assert reset(PARTS["timer-555-cmos"]) == ("-1.5 V", "-1.1 V", "-0.4 V")
    own = {"typ": "-0.5 V", "min": "-0.5 V", "max": "-0.5 V", "source": "our choice"}
    levels = {"reset": {"level": own}}
    mine = load_part({"like": "timer-555-cmos", "model": {"levels": levels}}, PARTS, "timer-mine")
    assert reset(mine) == ("-0.5 V", "-0.5 V", "-0.5 V")
    for kind in (PARTS["timer-555-cmos"], mine):
        figure = kind.figures["reset_voltage"]
        assert (figure.min, figure.typ, figure.max) == ("0.4 V", "1.1 V", "1.5 V")
        assert "levels" not in kind.model


def test_a_part_of_a_family_needs_only_its_own_words() -> None:
    """With a family named, a title is enough: everything else is shared."""
    part = load_part({"family": "capacitor", "title": "capacitor, mica"}, PARTS, "capacitor-mica")
    assert part.letter == "C"
    assert part.value == PARTS["capacitor-ceramic"].value
    assert PARTS.extended({part.id: part})["capacitor-mica"] is part
    assert "capacitor-mica" not in PARTS


FAULTS = [
    ("title = 'x'", "part-without-family", ("own-part",), "led"),
    ("family = 'leds'", "part-unknown", ("own-part", "family"), "did you mean 'led'"),
    ("like = 'led-yelow'", "part-unknown", ("own-part", "like"), "did you mean 'led-yellow'"),
    ("family = 7", "part-unknown", ("own-part", "family"), "known are"),
    ("family = 'led'", "part-unreadable", ("own-part", "title"), "add title"),
    ("like = 'led-red'\nratngs = 1", "part-unreadable", ("own-part", "ratngs"), "did you mean 'ratings'"),
    ("like = 'led-red'\n[body]\nlenght = 3", "part-unreadable", ("own-part", "body", "lenght"), "'length'"),
    (
        "like = 'led-red'\n[ratings]\ncurrent = { mx = '1 mA', source = 'from memory' }",
        "part-unreadable",
        ("own-part", "ratings", "current", "mx"),
        "did you mean 'max'",
    ),
    (
        "like = 'led-red'\n[figures]\nspeed = { typ = '5 parsecs', source = 'from memory' }",
        "part-unreadable",
        ("own-part", "figures", "speed"),
        "",
    ),
    ("like = 'led-red'\n[body]\nlength = -3", "part-unreadable", ("own-part", "body", "length"), ""),
    ("like = 'led-red'\nletter = 7", "part-unreadable", ("own-part", "letter"), ""),
]


@pytest.mark.parametrize(("text", "code", "about", "hint"), FAULTS, ids=[f[0][:40] for f in FAULTS])
def test_faults_name_the_field_and_the_cure(text: str, code: str, about: tuple[str, ...], hint: str) -> None:
    """Each fault is a fatal finding with the path of the field in ``about`` and a hint that helps."""
    with pytest.raises(Unreadable) as caught:
        _load(text)
    fault = caught.value.findings[0]
    assert (fault.severity, fault.code, fault.about) == (Severity.FATAL, code, about)
    assert hint in fault.hint
    assert "own-part" in fault.message


MESSAGES = [
    ("[ratings]\npwer = { max = '1 W', source = 'from memory' }", "'pwer' is no rating; known are power"),
    ("[ratings]\npower = { max = '1 V', source = 'from memory' }", "is in W, not V"),
    ("[ratings]\npower = { max = '1 W', source = 'hearsay' }", "source 'hearsay', not in sources"),
    ("[figures]\nx = { source = 'from memory' }", "at least one of typ, min, max"),
    ("[figures]\nx = { min = '2 V', max = '1 V', source = 'from memory' }", "rising order"),
    ("[figures]\nx = { min = '1 V', max = '2 A', source = 'from memory' }", "mixes the units A, V"),
    ("[body]\nkind = 'rigid'", "needs legs"),
    ("[body]\nlegs = [{ terminal = 'X', at = [0, 0] }]", "'X', which is not there"),
    ("[body]\nspan = [5, 2]", "span is"),
    (
        "[[sizes]]\nabove = '1 Ω'\nlength = 1\nwidth = 1\nheight = 1\nlead = 1\nspan = [1, 1]\n"
        "ideal_span = 1\nsource = 'from memory'",
        "sizes need a value rule",
    ),
    ("internal_links = [['A', 'Z']]", "internal_links"),
    ("[pin_names]\nX = 'Y'", "'X', which is not there"),
    ("[pin_names]\nA = 7", "pin_names"),
    ("terminals = 7\n[pin_names]\nA = 'Y'", "field terminals"),
    ("[model.levels.reset]\nlevel = '1 V'", "no watcher of the model is called so"),
    ("[model.levels.reset]\nheight = '1 V'", "level and back only"),
    ("[settings.glow]\nleast = '1'\nmost = '2'\nusual = '3'\ntitle = 'glow'", "between least and most"),
    (
        "[value]\nunit = 'Ω'\nleast = '5 Ω'\nmost = '1 Ω'\ntolerance = '5 %'\nsource = 'from memory'",
        "below most",
    ),
]


@pytest.mark.parametrize(("text", "words"), MESSAGES, ids=[m[1] for m in MESSAGES])
def test_values_that_make_no_sense_say_so(text: str, words: str) -> None:
    """The message names the value and what would be legal."""
    with pytest.raises(Unreadable) as caught:
        _load("like = 'led-red'\n" + text)
    assert words in caught.value.findings[0].message


def test_all_faults_are_told_at_once() -> None:
    """Two faults give two findings, so the author mends both in one go; never more than ten."""
    with pytest.raises(Unreadable) as caught:
        _load("like = 'led-red'\nletter = 7\ntitle = 8")
    assert [f.about[-1] for f in caught.value.findings] == ["title", "letter"]
    many = "like = 'led-red'\n" + "\n".join(f"field{i} = 1" for i in range(50))
    with pytest.raises(Unreadable) as caught:
        _load(many)
    assert len(caught.value.findings) == 10


SCALARS = st.one_of(st.integers(), st.floats(), st.text(max_size=10), st.booleans())
KEYS = ["title", "letter", "body", "ratings", "terminals", "value", "like", "family", "x"]
NESTED = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=6,
)
TABLES = st.dictionaries(st.sampled_from(KEYS), NESTED, max_size=5)


@given(TABLES)
def test_any_table_is_a_part_or_findings(data: dict[str, object]) -> None:
    """Whatever stands in the file: a part, or Unreadable with findings; nothing else is raised."""
    table: dict[str, object] = {"family": "led", **data}
    try:
        part = load_part(table, PARTS, "own-part")
    except Unreadable as error:
        found = error.findings
    else:
        found = ()
        assert part.id == "own-part"
    assert all(f.message and f.hint and f.about[0] == "own-part" for f in found)
