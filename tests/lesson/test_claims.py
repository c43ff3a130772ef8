"""Claims: which numbers of a text are claims, and which figures support them."""

from __future__ import annotations

import pytest

from buildalong.lesson import Figure
from buildalong.lesson._claims import find_claims, mask, nearest_figures, only_ideal, supported
from buildalong.quantity import Quantity

FIGURES = {
    "on_time(DS1)": Figure(Quantity(0.4561, "s"), "", "measure"),
    "off_time(DS1)": Figure(Quantity(2.2714, "s"), "", "measure"),
    "frequency(DS1)": Figure(Quantity(0.3666, "Hz"), "", "measure"),
    "value(R1)": Figure(Quantity(56e3, "Ω"), "", "value"),
    "value(R2)": Figure(Quantity(270e3, "Ω"), "", "value"),
    "value(C1)": Figure(Quantity(10e-6, "F"), "", "value"),
    "supply()": Figure(Quantity(6.0, "V"), "", "supply"),
    "current(DS1)": Figure(Quantity(0.00812, "A"), "", "measure"),
    "duty(DS1)": Figure(Quantity(0.1672, ""), "", "measure"),
    "promise": Figure(Quantity(0.5, "s"), "", "promise"),
}


def value_of(part: str) -> Quantity | None:
    found = FIGURES.get(f"value({part})")
    return found.quantity if found else None


def claims(text: str) -> list[str]:
    return [claim.text for claim in find_claims(mask(text))]


FOUND = {
    "symbols": ("0.5 s, 150 ms, 10 µF, 4.7 kΩ, 6 V, 20 mA, 1 Hz", "0.5 s|150 ms|10 µF|4.7 kΩ|6 V|20 mA|1 Hz"),
    "joined": ("100kΩ and 9V and 470R and 10k", "100kΩ|9V|470R|10k"),
    "letter as point": ("R1 is 4k7", "4k7"),
    "words": (
        "2.3 seconds, 5 volts, 30 milliamps, 45 minutes",
        "2.3 seconds|5 volts|30 milliamps|45 minutes",
    ),
    "hyphen": ("a 2-second pulse", "2-second"),
    "percent": ("20 % of the time, 50% duty, 30 percent", "20 %|50%|30 percent"),
    "rate": ("It blinks 30 times a minute, 2 flashes per second", "30 times a minute|2 flashes per second"),
    "fraction": ("a 1/4 W resistor", "1/4 W"),
    "range": ("from 0.4 to 0.6 s, 2–3 s, between 4.5 V and 16 V", "0.4 to 0.6 s|2–3 s|4.5 V and 16 V"),
    "list": ("after 10 and 20 s", "10|20 s"),
    "bold": ("**10** µF and **0.5 s**", "10 µF|0.5 s"),
    "broken over lines": ("lights for 0.5\ns and", "0.5 s"),
    "entities": ("10&nbsp;&micro;F", "10 µF"),
    "other letters for micro and ohm": ("10 μF, 5 Ω", "10 μF|5 Ω"),
    "no-break space": ("6\u00a0V and 1\u202f000\u00a0Ω", "6 V|1 000 Ω"),
}


@pytest.mark.parametrize(("text", "expected"), FOUND.values(), ids=FOUND.keys())
def test_numbers_with_a_unit_are_claims(text: str, expected: str) -> None:
    """Every way in which people write a quantity is found (forms after ISO 80000-1 and IEC 60062)."""
    assert claims(text) == expected.split("|")


NO_CLAIM = {
    "plain numbers": "step 3 of 12, pin 4, 555 timer, 10 lamps, 2 x AA, chapter 1.2.3",
    "ages and lengths": "12 years, 15 mm, 5 cm, 30 m, 3 g",
    "code": "`5 V` and\n\n```\n7 V\n```\n\n    8 V\n",
    "links": "[a 9 V clip](https://example.org/9V) https://example.org/5V <https://example.org/5V>",
    "inserted": '{{ on_time(DS1) to 2 figures }} {{ "45 minutes" }}',
    "html": '<span title="5 V">x</span> <!-- 7 V -->',
    "pictures": "![a 9 V block](9V.png)",
    "dates and versions": "2026-11-25, version 0.5.1, at 10:30, § 5",
    "names": "A4 paper, B2B, U2 and U1, 4017, BC547, 1N4148, NE555, R47",
    "units of something else": "5 V/µs, 3 W·h, 10 kg",
}


@pytest.mark.parametrize("text", NO_CLAIM.values(), ids=NO_CLAIM.keys())
def test_other_numbers_are_no_claims(text: str) -> None:
    """Counts, names, code, links, what was inserted, and quantities that no circuit has."""
    from buildalong.lesson._markdown import parse_markdown
    from buildalong.lesson._prose import _hidden

    assert [claim.text for claim in find_claims(mask(text, _hidden(parse_markdown(text))))] == []


SUPPORTED = {
    "the digits written": ("0.46 s", True),
    "fewer digits": ("0.5 s", True),
    "other prefix": ("456 ms", True),
    "one digit off": ("0.47 s", False),
    "too many digits": ("0.4560 s", False),
    "the wrong order of magnitude": ("4.6 s", False),
    "a part's value": ("56 kΩ", True),
    "a part's value as a code": ("56k", True),
    "no part has it": ("47 kΩ", False),
    "about, within a tenth": ("about 2.1 s", True),
    "about, beyond a tenth": ("about 2.0 s", False),
    "about what a promise expects": ("about 0.50 s", True),
    "exactly what a promise expects": ("0.50 s", False),
    "nearly": ("nearly 2.5 s", True),
    "tilde": ("~2.1 s", True),
    "under": ("under 10 mA", True),
    "under, but it is more": ("under 8 mA", True),
    "under, far more": ("under 5 mA", False),
    "at least": ("at least 5 V", True),
    "at least, but it is less": ("at least 7 V", False),
    "up to, absurdly far": ("up to 6 A", False),
    "range around": ("0.4 to 0.6 s", True),
    "range beside": ("0.5 to 0.6 s", True),
    "range far away": ("0.6 to 0.9 s", False),
    "duty cycle": ("17 %", True),
    "wrong duty cycle": ("19 %", False),
    "rate by the minute": ("22 times a minute", True),
    "wrong rate": ("30 times a minute", False),
    "other kind of unit": ("6 A", False),
    "named part, right": ("R1 is 56 kΩ", True),
    "named part, another's value": ("R1 is 270 kΩ", False),
    "named part after": ("the 270 kΩ resistor R2", True),
    "named part after, another's value": ("the 56 kΩ resistor R2", False),
    "named part in brackets": ("R2 (56k)", False),
}


@pytest.mark.parametrize(("text", "expected"), SUPPORTED.values(), ids=SUPPORTED.keys())
def test_a_claim_needs_a_figure(text: str, expected: bool) -> None:
    """A claim agrees with a figure to the digits written; 'about', bounds and ranges as documented."""
    found = find_claims(mask(text))
    assert len(found) == 1
    assert supported(found[0], FIGURES, value_of) == expected


def test_the_nearest_figures_are_named() -> None:
    """The author sees what the right number may be, nearest first."""
    claim = find_claims("0.9 s")[0]
    assert nearest_figures(claim, FIGURES, value_of) == ["on_time(DS1) = 456 ms", "off_time(DS1) = 2.27 s"]
    claim = find_claims("R1 is 47 kΩ")[0]
    assert nearest_figures(claim, FIGURES, value_of) == ["R1 is 56 kΩ"]
    assert nearest_figures(find_claims("3 lx")[0], FIGURES, value_of) == []


def test_claims_keep_their_place() -> None:
    """Blanking out keeps every offset, so that the caret stands under the number."""
    text = "See `5 V` and\n{{ value(R1) }}, then 0.5 s."
    claim = find_claims(mask(text))[0]
    assert text[claim.start : claim.end] == "0.5 s"


def test_what_only_the_ideal_formula_gives_is_told() -> None:
    """0.39 s stands where real parts give 0.456 s: told, unless the sentence speaks of the formula."""
    figures = {
        "ideal on_time(DS1)": Figure(Quantity(0.388, "s"), "", "formula"),
        "on_time(DS1)": Figure(Quantity(0.456, "s"), "", "measure"),
    }
    told = "It shines for 0.39 s. It is yellow."
    (claim,) = find_claims(told)
    found = only_ideal(claim, figures, told)
    assert found is not None
    assert found[0] == "on_time(DS1)"
    said = "The formula gives 0.39 s. It is yellow."
    (claim,) = find_claims(said)
    assert only_ideal(claim, figures, said) is None
