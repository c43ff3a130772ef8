"""Pictures of single parts: marking, legs and polarity as the data sheets and standards say."""

import re
from itertools import combinations

import pytest

from buildalong.circuit import bands_on
from buildalong.drawing import _palette as palette
from buildalong.drawing import missing_characters, part_picture
from buildalong.drawing.schematic import symbol_picture
from buildalong.parts import catalogue

from ._demo import every_part, part
from ._measure import Sheet, overlap

EVERY = every_part()


@pytest.mark.parametrize("shown", EVERY, ids=lambda p: p.type.id)
def test_every_type_has_a_readable_picture(shown: object) -> None:
    """Each type of the catalogue is drawn; its texts stay inside, apart from one another, and drawable."""
    picture = part_picture(shown)  # type: ignore[arg-type]
    assert missing_characters(picture) == ()
    assert picture.alt
    sheet = Sheet(picture.svg)
    for text in sheet.texts:
        assert text.box[0] >= 2, text
        assert text.box[1] >= 2, text
        assert text.box[2] <= 478, text
        assert text.box[3] <= 318, text
    for one, other in combinations(sheet.texts, 2):
        assert not overlap(one.box, other.box), (one.text, other.text)


@pytest.mark.parametrize(("thrown", "joined"), [(0.0, "A"), (1.0, "B")])
def test_the_lever_of_a_slide_switch_hides_no_leg(thrown: float, joined: str) -> None:
    """Legs hang below the case, the lever stands above it, towards the contact that is joined to C.

    So the catalogue has it: "The slider points to the outer contact that is joined to the middle one."
    """
    picture = part_picture(part("slide-switch", thrown=thrown))
    letters = {t.text: t.box for t in Sheet(picture.svg).texts if t.text in ("A", "B", "C")}
    assert letters["A"][2] < letters["C"][0] < letters["C"][2] < letters["B"][0]
    group = r'<g transform="translate\(([\d.]+) ([\d.]+)\) scale\(([\d.]+)\)">(.*?)</g>'
    moved = re.search(group, picture.svg, re.DOTALL)
    assert moved is not None
    x, y, scale = map(float, moved.groups()[:3])
    rects = re.findall(r'<rect x="([-\d.]+)" y="([-\d.]+)" width="([\d.]+)" height="([\d.]+)"', moved[4])
    lever, case = (
        (x + scale * a, y + scale * b, x + scale * (a + w), y + scale * (b + h))
        for a, b, w, h in (map(float, rect) for rect in rects)
    )
    assert lever[1] < case[1] < case[3] < min(box[1] for box in letters.values())
    assert "stroke-dasharray" not in picture.svg
    centre = {name: (box[0] + box[2]) / 2 for name, box in letters.items()}
    middle = (lever[0] + lever[2]) / 2
    assert min(centre[joined], centre["C"]) < middle < max(centre[joined], centre["C"])


# Tooley, Electronic Circuits, examples 2.4 to 2.6 and 2.8 (bands after IEC 60062).
@pytest.mark.parametrize(
    ("value", "tolerance", "bands"),
    [
        (1e3, 0.1, ["brown", "black", "red", "silver"]),
        (27e3, 0.05, ["red", "violet", "orange", "gold"]),
        (560.0, 0.05, ["green", "blue", "brown", "gold"]),
        (10.0, 0.01, ["brown", "black", "black", "gold", "brown"]),
    ],
)
def test_resistor_bands_are_drawn_and_named_in_order(
    value: float, tolerance: float, bands: list[str]
) -> None:
    """The bands stand on the body and their names beside them in the order of the standard."""
    shown = part("resistor", value, tolerance)
    assert list(bands_on(shown)) == bands
    picture = part_picture(shown)
    sheet = Sheet(picture.svg)
    named = sorted((t for t in sheet.texts if t.text in palette.BANDS), key=lambda t: t.box[0] + t.box[2])
    assert [t.text for t in named] == bands
    drawn = re.findall(r'<rect x="([-\d.]+)"[^>]*fill="(#\w+)" stroke="#5A4A33"', picture.svg)
    assert [fill for _, fill in sorted(drawn, key=lambda d: float(d[0]))] == [palette.BANDS[b] for b in bands]
    assert ", ".join(bands[:-1]) in picture.alt


def test_the_code_on_a_trimmer_is_explained() -> None:
    """472 is 47 and two zeros in ohms, 4.7 kΩ (IEC 60062, three-figure code)."""
    trimmer = next(kind for kind, entry in catalogue().items() if entry.family == "potentiometer")
    texts = [t.text for t in Sheet(part_picture(part(trimmer, 4700.0)).svg).texts]
    assert any("472 means 4.7" in text for text in texts)


def test_what_the_bands_mean() -> None:
    """Red violet orange gold reads 2, 7, times 1000, 5 % (IEC 60062, clause 3)."""
    texts = {t.text for t in Sheet(part_picture(part("resistor", 27e3)).svg).texts}
    assert {"2", "7", "× 1 000", "± 5 %"} <= texts


def test_a_pin_bears_the_name_of_its_own_data_sheet() -> None:
    """Card, symbol and inside of the CMOS timer call pin 8 VDD (TI SLFS043), those of the bipolar one VCC."""
    for kind, name, other in (("timer-555", "VCC", "VDD"), ("timer-555-cmos", "VDD", "VCC")):
        chip = part(kind)
        symbol = symbol_picture(chip)
        assert symbol is not None
        for svg in (part_picture(chip).svg, part_picture(chip).alt, symbol.svg):
            assert name in svg
            assert other not in svg


@pytest.mark.parametrize("kind", ["potentiometer", "buzzer-5v"])
def test_what_lies_below_a_body_is_dashed(kind: str) -> None:
    """Hidden edges are dashed (ISO 128-2, line type 02.1): a dashed ring for each leg that a body covers."""
    shown = part(kind)
    rings = re.findall(r"<circle [^>]*stroke-dasharray=[^>]*>", part_picture(shown).svg)
    assert len(rings) == len(shown.type.leg_terminals)


def test_pins_run_down_the_left_and_up_the_right() -> None:
    """DIP pins count from the notch down the left side and up the right (JEDEC practice; TI SLFS022)."""
    sheet = Sheet(part_picture(part("timer-555")).svg)
    pins = {int(t.text.split()[0]): t for t in sheet.texts if re.match(r"\d [A-Z]", t.text)}
    assert len(pins) == 8
    assert [pins[n].text for n in (1, 4, 8)] == ["1 GND", "4 RESET", "8 VCC"]
    left = [pins[n].box for n in (1, 2, 3, 4)]
    right = [pins[n].box for n in (8, 7, 6, 5)]
    assert all(a[0] < b[0] for a, b in zip(left, right, strict=True))
    for column in (left, right):
        assert [box[1] for box in column] == sorted(box[1] for box in column)


@pytest.mark.parametrize(("kind", "legs"), [("npn-bc547", "CBE"), ("npn-2n3904", "EBC")])
def test_transistor_legs_from_left_to_right(kind: str, legs: str) -> None:
    """Flat face towards you: BC547 C B E, 2N3904 E B C (onsemi data sheets; the pin orders differ)."""
    sheet = Sheet(part_picture(part(kind)).svg)
    letters = sorted((t for t in sheet.texts if t.text in ("C", "B", "E")), key=lambda t: t.box[0])
    assert "".join(t.text for t in letters) == legs


@pytest.mark.parametrize("kind", ["led-red", "electrolytic"])
def test_long_and_short_lead(kind: str) -> None:
    """The plus (anode) lead is the longer one (common practice of LED and capacitor makers)."""
    from buildalong.drawing._pen import Pen
    from buildalong.drawing._svg import Svg
    from buildalong.drawing.bodies._hand import HANDS

    shown = part(kind, 1e-5 if kind == "electrolytic" else None)
    svg = Svg(10, 10, title="t", alt="t")
    plus, minus = HANDS[shown.type.body.shape](Pen(svg), shown)
    assert plus[1] > minus[1] + 10
    assert shown.type.terminals[0].role in ("anode", "positive")


def test_ceramic_code() -> None:
    """10 nF bears 103, 100 nF 104 (IEC 60062, figures and power of ten in picofarads)."""
    for value, code in ((1e-8, "103"), (1e-7, "104")):
        texts = [t.text for t in Sheet(part_picture(part("capacitor-ceramic", value)).svg).texts]
        assert code in texts
        assert any(text.startswith(f"{code} means") for text in texts)


def test_every_shape_of_the_catalogue_has_a_drawing() -> None:
    """No part of the catalogue falls back to the plain block."""
    from buildalong.drawing.bodies import SHAPES

    shapes = {t.body.shape for t in catalogue().values() if t.body.kind != "off-board"}
    assert shapes <= set(SHAPES)
