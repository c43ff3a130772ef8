"""Parts from texts, and what is printed on them."""

from __future__ import annotations

import pytest

from buildalong.circuit import OPEN, bands_on, build_part, printed_on
from buildalong.finding import Severity
from buildalong.parts import catalogue

from ._demo import part

PARTS = catalogue()


def test_a_part_is_built_from_what_an_author_writes() -> None:
    """Value, usual tolerance (Yageo CFR: 5 %), nets in the order of the terminals, open terminals."""
    made, found = build_part("R1", PARTS["resistor"], ["PLUS", "A"], "4k7")
    assert found == []
    assert made
    assert (made.value, made.tolerance, made.nets) == (4700.0, 0.05, ("PLUS", "A"))
    pot, found = build_part(
        "R2", PARTS["potentiometer"], ["A", "B", OPEN], "10k", "±10 %", {"position": "20 %"}
    )
    assert found == []
    assert pot
    assert (pot.nets[2], pot.tolerance, pot.setting("position", 0.5)) == (None, 0.1, 0.2)
    assert (pot.net("W"), pot.net("A")) == ("B", "A")


FAULTS = [
    # (type, id, nets, value, tolerance, settings) -> (code, about, words)
    (("resistor", "R1", ["A", "B"], "4k7 V", None, {}), "value-unreadable", ("R1", "value"), "not a number"),
    (("resistor", "R1", ["A", "B"], "10 µF", None, {}), "value-unreadable", ("R1", "value"), "in F, but Ω"),
    (("resistor", "R1", ["A", "B"], "5 mΩ", None, {}), "value-out-of-range", ("R1", "value"), "1 Ω to 10 MΩ"),
    (("electrolytic", "C1", ["A", "B"], "1 F", None, {}), "value-out-of-range", ("C1", "value"), "4700 µF"),
    (("resistor", "R1", ["A", "B"], None, None, {}), "value-missing", ("R1", "value"), "needs a value in Ω"),
    (("led-red", "DS1", ["A", "B"], "5 V", None, {}), "value-not-used", ("DS1", "value"), "takes no value"),
    (("resistor", "R1", ["A"], "1k", None, {}), "pin-count", ("R1", "pins"), "2 terminals, but 1 nets"),
    (("resistor", "R1", ["A", "B C"], "1k", None, {}), "net-name", ("R1", "pins", "1"), "no name for a net"),
    (("resistor", "4R", ["A", "B"], "1k", None, {}), "part-name", ("4R",), "no reference"),
    (
        ("resistor", "R1", ["A", "B"], "1k", "120 %", {}),
        "value-out-of-range",
        ("R1", "tolerance"),
        "no sense",
    ),
    (("resistor", "R1", ["A", "B"], "1k", "5 V", {}), "value-unreadable", ("R1", "tolerance"), "percentage"),
    (
        ("resistor", "R1", ["A", "B"], "1k", None, {"light": "1 lx"}),
        "unknown-setting",
        ("R1", "light"),
        "light",
    ),
    (
        ("ldr-5mm", "R1", ["A", "B"], None, None, {"ligth": "1 lx"}),
        "unknown-setting",
        ("R1", "ligth"),
        "ligth",
    ),
    (("ldr-5mm", "R1", ["A", "B"], None, None, {"light": "1 V"}), "value-unreadable", ("R1", "light"), "lx"),
    (
        ("ldr-5mm", "R1", ["A", "B"], None, None, {"light": "−1 lx"}),
        "value-out-of-range",
        ("R1", "light"),
        "sense",
    ),
    (
        ("slide-switch", "S1", ["A", "B", "C"], None, None, {"thrown": "0.5"}),
        "value-out-of-range",
        ("S1", "thrown"),
        "no sense",
    ),
]


@pytest.mark.parametrize(
    ("given", "code", "about", "words"), FAULTS, ids=[f"{f[1]}-{f[2][-1]}" for f in FAULTS]
)
def test_each_fault_is_a_finding_at_its_field(
    given: tuple, code: str, about: tuple[str, ...], words: str
) -> None:
    """An error with a stable code, the field in ``about``, the value in the message, and a cure."""
    kind, identity, nets, value, tolerance, settings = given
    _, found = build_part(identity, PARTS[kind], nets, value, tolerance, settings)
    assert [(f.severity, f.code, f.about) for f in found] == [(Severity.ERROR, code, about)]
    assert words in found[0].message
    assert found[0].hint


def test_a_value_that_no_shop_keeps_is_a_note_with_its_neighbours() -> None:
    """4.8 kΩ is no E24 number (IEC 60063); 4.7 kΩ and 5.1 kΩ are next to it."""
    made, found = build_part("R1", PARTS["resistor"], ["A", "B"], "4k8")
    assert made
    assert [(f.severity, f.code) for f in found] == [(Severity.NOTE, "value-not-preferred")]
    assert "4.7 kΩ and 5.1 kΩ" in found[0].hint


PRINTS = [
    ("R1 resistor 4k7 A B", ("yellow", "violet", "red", "gold"), ""),  # secondary chart after IEC 60062
    ("C1 capacitor-ceramic 100n A B", (), "104"),  # IEC 60062
    ("C1 capacitor-film 10n A B", (), "103"),  # Tooley ex. 2.23
    ("C1 electrolytic 22µF A B", (), "22 µF 25 V"),
    ("R1 potentiometer 10k A B C", (), "103"),
    ("D1 diode-1n4148 A B", (), "4148"),
    ("DS1 led-red A B", (), ""),
    ("Q1 npn-bc547 A B C", (), "BC547"),
]


@pytest.mark.parametrize(("text", "bands", "shown"), PRINTS, ids=[p[0] for p in PRINTS])
def test_what_is_printed_on_a_part(text: str, bands: tuple[str, ...], shown: str) -> None:
    """Bands and codes after IEC 60062, type numbers as makers print them (common practice)."""
    made = part(text)
    assert (bands_on(made), printed_on(made)) == (bands, shown)


def test_close_tolerance_means_five_bands() -> None:
    """Three figures from ±2 % on (IEC 60062, second-hand): 10 Ω ±1 % is brown black black gold brown."""
    made, _ = build_part("R1", PARTS["resistor"], ["A", "B"], "10 Ω", "1 %")
    assert made
    assert bands_on(made) == ("brown", "black", "black", "gold", "brown")


def test_a_rated_voltage_is_printed() -> None:
    """The can bears the rated voltage that the lesson sets."""
    made, found = build_part("C1", PARTS["electrolytic"], ["A", "B"], "100 µF", settings={"rated": "16 V"})
    assert found == []
    assert made
    assert printed_on(made) == "100 µF 16 V"


@pytest.mark.parametrize(
    ("value", "diameter", "height"),
    [
        ("10 µF", 5.0, 11.0),
        ("47 µF", 5.0, 11.0),
        ("100 µF", 6.3, 11.0),
        ("470 µF", 10.0, 12.5),
        ("1 mF", 10.0, 20.0),
    ],
)
def test_larger_values_have_larger_cans(value: str, diameter: float, height: float) -> None:
    """Usual can sizes of 25 V types (from memory); pitch by diameter, 5.0 mm at 10 mm (from memory)."""
    body = part(f"C1 electrolytic {value.replace(' ', '')} A B").type.body
    assert (body.length, body.width, body.height) == (diameter, diameter, height)
    assert body.ideal_span == (2 if diameter == 10.0 else 1)
    assert PARTS["electrolytic"].body.length == 5.0
