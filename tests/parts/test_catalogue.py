"""The catalogue's data against data sheets, standards and textbooks."""

from __future__ import annotations

import pytest

from buildalong.parts import RATINGS, catalogue
from buildalong.quantity import in_series, parse, parse_as

PARTS = catalogue()

PINS = {
    # TI SLFS022, all makers' 8-pin 555
    "timer-555": "GND TRIG OUT RESET CONT THRES DISCH VCC",
    # TI SLFS043, where pin 8 is VDD
    "timer-555-cmos": "GND TRIG OUT RESET CONT THRES DISCH VDD",
    # onsemi LM358/D, UTC, ST: the order shared by LM358 and LM393
    "comparator-lm393": "OUT1 IN1- IN1+ GND IN2+ IN2- OUT2 VCC",
    # TI CD4017B/CD4022B
    "counter-4017": "Q5 Q1 Q0 Q2 Q6 Q7 Q3 VSS Q8 Q4 Q9 CO INH CLK RST VDD",
}


@pytest.mark.parametrize("identity", PINS)
def test_pins_of_the_data_sheets(identity: str) -> None:
    """Pin names by number, as the makers print them (sources beside the table)."""
    part = PARTS[identity]
    assert [t.shown for t in part.terminals] == PINS[identity].split()
    assert [t.number for t in part.terminals] == [str(i + 1) for i in range(len(part.terminals))]


@pytest.mark.parametrize("identity", PINS)
def test_dual_in_line_pins_go_down_the_left_and_up_the_right(identity: str) -> None:
    """Counting runs counter-clockwise from the notch; rows are 7.62 mm apart (JEDEC MS-001, from memory)."""
    part = PARTS[identity]
    half = len(part.terminals) // 2
    places = [leg.at for leg in part.body.legs]
    assert places[:half] == [(0, i) for i in range(half)]
    assert places[half:] == [(3, half - 1 - i) for i in range(half)]
    assert part.body.straddles


def test_decade_outputs_are_not_in_pin_order() -> None:
    """CD4017B: outputs 0 to 9 are pins 3, 2, 4, 7, 10, 1, 5, 6, 9, 11 (TI data sheet)."""
    part = PARTS["counter-4017"]
    assert [int(part.terminal(f"Q{i}").number) for i in range(10)] == [3, 2, 4, 7, 10, 1, 5, 6, 9, 11]


LEGS = {
    # flat face towards you, legs down, left to right
    "npn-2n3904": "EBC",  # onsemi 2N3904/D rev 2
    "npn-bc547": "CBE",  # Fairchild 547ABC rev B
    "npn-bc337": "CBE",  # onsemi BC337/D rev 7
    "npn-pn2222a": "EBC",  # reseller's table
    "npn-p2n2222a": "CBE",  # two independent reports: reversed from PN2222A
    "pnp-2n3906": "EBC",  # from memory
    "pnp-bc557": "CBE",  # from memory
}


@pytest.mark.parametrize("identity", LEGS)
def test_leg_order_of_transistors(identity: str) -> None:
    """Order by view, as the makers draw it; straight legs are spread to three neighbouring rows."""
    part = PARTS[identity]
    assert "".join(part.leg_terminals) == LEGS[identity]
    assert [leg.at for leg in part.body.legs] == [(0, 0), (0, 1), (0, 2)]
    words = {"C": "collector", "B": "base", "E": "emitter"}
    assert ", ".join(words[leg] for leg in LEGS[identity]) in part.about


RATED = [
    # (part, rating, value, source)
    ("diode-1n4148", "reverse_voltage", 75.0, "Panjit 1N4148 rev 0.2"),
    ("diode-1n4148", "current", 0.15, "Panjit 1N4148 rev 0.2"),
    ("diode-1n4001", "reverse_voltage", 50.0, "Vishay 88503"),
    ("diode-1n4007", "reverse_voltage", 1000.0, "Vishay 88503"),
    ("diode-1n4007", "current", 1.0, "Vishay 88503"),
    ("npn-2n3904", "voltage", 40.0, "onsemi 2N3904/D"),
    ("npn-2n3904", "current", 0.2, "onsemi 2N3904/D"),
    ("npn-2n3904", "power", 0.625, "onsemi 2N3904/D"),
    ("npn-bc547", "voltage", 45.0, "Fairchild 547ABC"),
    ("npn-bc337", "current", 0.5, "NXP BC337 rev 06, the lower of the makers"),
    ("timer-555", "supply_min", 4.5, "Diodes DS35112"),
    ("timer-555", "supply_max", 16.0, "Diodes DS35112"),
    ("timer-555", "supply_absolute", 18.0, "Diodes DS35112"),
    ("timer-555", "output_current", 0.2, "Diodes DS35112"),
    ("timer-555-cmos", "supply_min", 2.0, "TI SLFS043"),
    ("timer-555-cmos", "supply_max", 15.0, "TI SLFS043"),
    ("timer-555-cmos", "source_current", 0.01, "TI SLFS043"),
    ("timer-555-cmos", "sink_current", 0.1, "TI SLFS043"),
    ("comparator-lm393", "supply_max", 36.0, "ST LM393 rev 15"),
    ("counter-4017", "supply_min", 3.0, "TI CD4017B, second-hand"),
    ("resistor", "power", 0.25, "Yageo CFR-25"),
    ("resistor", "voltage", 250.0, "Yageo CFR-25"),
    ("led-white", "current", 0.025, "Cree CLD-CT208"),
    ("push-button", "current", 0.05, "Omron B3F"),
]


@pytest.mark.parametrize(
    ("identity", "name", "value", "source"), RATED, ids=[f"{r[0]}-{r[1]}-{r[3]}" for r in RATED]
)
def test_ratings_of_the_data_sheets(identity: str, name: str, value: float, source: str) -> None:
    """The limit as the maker prints it; the source is in the test's name."""
    assert PARTS[identity].ratings[name].value == value


FIGURES = [
    ("timer-555", "trigger_5v", (1.1, 1.67, 2.2), "TI SLFS022"),
    ("timer-555", "threshold_15v", (8.8, 10.0, 11.2), "TI SLFS022"),
    ("timer-555", "largest_timing_resistance", (3.4e6, 3.4e6, 3.4e6), "TI SLFS022"),
    ("timer-555", "output_high_100ma", (2.75, 3.3, 3.3), "TI SLFS022"),
    ("timer-555-cmos", "trigger_5v", (1.36, 1.66, 1.96), "TI SLFS043"),
    ("npn-2n3904", "gain", (100.0, 200.0, 300.0), "onsemi 2N3904/D, 10 mA"),
    ("npn-bc547", "gain", (110.0, 455.0, 800.0), "Fairchild 547ABC"),
    ("supply-9v", "source_resistance", (1.7, 1.7, 1.7), "Duracell MN1604"),
    ("electrolytic", "leakage_rate", (0.01, 0.01, 0.01), "Lelon RGA: 0.01 CV"),
    ("push-button", "bounce", (0.005, 0.005, 0.005), "Omron B3F"),
]


@pytest.mark.parametrize(
    ("identity", "name", "values", "source"), FIGURES, ids=[f"{r[0]}-{r[1]}-{r[3]}" for r in FIGURES]
)
def test_figures_of_the_data_sheets(
    identity: str, name: str, values: tuple[float, float, float], source: str
) -> None:
    """Least, typical and largest value as the maker prints them (the mean where no typical one is given)."""
    figure = PARTS[identity].figures[name]
    assert (figure.low, figure.value, figure.high) == values


def test_leakage_limit_of_a_large_can() -> None:
    """470 µF, 16 V leaks at most 75 µA (0.01 CV of Lelon RGA, worked out)."""
    rate = PARTS["electrolytic"].figures["leakage_rate"].value
    assert rate * 470e-6 * 16 == pytest.approx(75e-6, rel=0.01)


def test_short_circuit_of_a_fresh_9_v_battery() -> None:
    """About 5.6 A for an instant: 9.5 V over 1.7 Ω (Duracell MN1604, worked out)."""
    figures = PARTS["supply-9v"].figures
    fresh = (figures["fresh_voltage"].low + figures["fresh_voltage"].high) / 2
    assert fresh / figures["source_resistance"].value == pytest.approx(5.6, rel=0.02)


@pytest.mark.parametrize("identity", list(PARTS))
def test_every_part_is_complete(identity: str) -> None:
    """Ratings, slips, words for the card, a marking with its reading, a source for each number."""
    part = PARTS[identity]
    assert part.ratings
    assert part.slips
    assert part.about.endswith(".")
    assert part.marking.reading.endswith(".")
    assert all(slip.sentence.endswith(".") for slip in part.slips)
    assert all(caution.endswith(".") for caution in part.cautions)
    assert len(part.sources_named()) >= len(part.ratings) + len(part.figures) + len(part.slips) + 1
    assert part.letter in {"R", "C", "D", "DS", "Q", "U", "BT", "S", "LS", "B"}  # IEEE 315 clause 22.4
    if part.value:
        assert in_series(parse_as(part.value.least, part.value.unit), part.value.series)


def test_sorts_of_led_differ_by_chemistry_not_by_colour() -> None:
    """Green is GaP near 2.1 V or InGaN near 3.2 V (makers' sheets, from memory)."""
    old, bright = (PARTS[name].figures["forward_voltage"] for name in ("led-green", "led-green-bright"))
    assert old.value < 2.5 < 3.0 < bright.value
    assert all(PARTS[n].ratings["reverse_voltage"].value == 5.0 for n in PARTS if n.startswith("led-"))


SAME = [
    ("led", "forward_voltage", "forward_voltage"),
    ("supply", "voltage", "emf"),
    ("supply", "source_resistance", "resistance"),
    ("ldr", "resistance_10lx", "resistance"),
    ("ldr", "gamma", "gamma"),
]


@pytest.mark.parametrize(("family", "figure", "parameter"), SAME)
def test_catalogue_and_model_say_the_same(family: str, figure: str, parameter: str) -> None:
    """A number that stands in the catalogue and in the electrical model is one number (no outside source)."""
    members = [part for part in PARTS.values() if part.family == family]
    assert members
    for part in members:
        low, high = part.figures[figure].low, part.figures[figure].high
        model = parse(part.model[parameter]["typ"]).value
        assert low <= model <= high or model == part.figures[figure].value


def test_settings_agree_with_the_model() -> None:
    """The usual light and wiper position are those the model takes where a lesson says nothing."""
    for identity, setting in (("ldr-5mm", "light"), ("potentiometer", "position")):
        part = PARTS[identity]
        assert part.settings[setting].value == parse(part.model[setting]["typ"]).value


def test_supplies_run_down_faster_at_heavier_load() -> None:
    """Charge falls as the load rises (AA: collected readings of the Duracell chart, kurokatta.org)."""
    points = PARTS["supply-aa"].capacity
    assert [(parse_as(p.load, "A"), parse_as(p.charge, "Ah")) for p in points] == [
        (0.025, 3.0), (0.1, 2.7), (0.5, 1.65), (1.0, 1.25),
    ]  # fmt: skip
    for part in PARTS.values():
        loads = [parse_as(p.load, "A") for p in part.capacity]
        charges = [parse_as(p.charge, "Ah") for p in part.capacity]
        assert loads == sorted(loads)
        assert charges == sorted(charges, reverse=True)


def test_names_find_parts_and_are_unique() -> None:
    """Ids and aliases, without regard to case and spaces, name one part each."""
    assert PARTS.named("ne555") is PARTS["timer-555"]
    assert PARTS.named(" 1n4148 ") is PARTS["diode-1n4148"]
    assert PARTS.named("9V BLOCK") is PARTS["supply-9v"]
    assert PARTS.named("nothing") is None
    seen: dict[str, str] = {}
    for identity, part in PARTS.items():
        for name in {"".join(n.split()).casefold() for n in (identity, *part.aliases)}:
            assert seen.setdefault(name, identity) == identity


def test_ratings_are_documented() -> None:
    """Every rating in use is in the documented list, with its unit (the schema refuses others)."""
    used = {name for part in PARTS.values() for name in part.ratings}
    assert used <= set(RATINGS)


def test_nearest_names_help_with_slips_of_the_pen() -> None:
    """A mistyped id is answered with ids that resemble it."""
    assert "led-yellow" in PARTS.nearest("led-yelow")
    assert PARTS.nearest("zzzzzz") == ()
