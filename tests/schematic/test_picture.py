"""The picture: symbols by standard, text alternative, highlight, bytes."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest
from _schematic_demo import demo, supply

from buildalong.drawing import HIGH_CONTRAST, missing_characters
from buildalong.drawing._palette import ACCENT, contrast
from buildalong.drawing.schematic import draw_layout, moment_picture, picture, schematic, symbol_picture
from buildalong.drawing.schematic._shape import drawn_variants
from buildalong.drawing.schematic._words import supply_words, symbol_of, value_text
from buildalong.parts import catalogue


@pytest.fixture
def lighthouse(layout_of):
    return layout_of("lighthouse")


def test_it_is_well_formed_and_names_every_part(lighthouse):
    """The SVG parses, and each reference stands in it as text and in its text alternative."""
    circuit, layout = lighthouse
    shown = picture(circuit, layout)
    texts = {"".join(e.itertext()).strip() for e in ET.fromstring(shown.svg).iter() if e.tag.endswith("text")}
    references = {part.id for part in circuit.parts if part.type.family != "supply"}
    assert references <= texts
    assert all(reference in shown.alt for reference in references)
    assert "IEC 60617" in shown.alt


def test_every_character_has_a_glyph(drawn):
    """No character of any drawing is missing from the vendored fonts."""
    _, circuit, layout = drawn
    assert missing_characters(picture(circuit, layout)) == ()


def test_the_same_layout_gives_the_same_bytes(lighthouse):
    """Drawing twice gives one and the same document."""
    circuit, layout = lighthouse
    assert picture(circuit, layout).svg == picture(circuit, layout).svg


def test_highlighted_parts_are_in_the_accent_colour(lighthouse):
    """Only a picture with a highlight shows the accent colour."""
    circuit, layout = lighthouse
    assert ACCENT not in picture(circuit, layout).svg
    assert ACCENT in picture(circuit, layout, highlight=("R1",)).svg


def test_high_contrast_is_dark_and_bold_on_white(lighthouse):
    """Every colour on the white page has 7:1 (WCAG 2.2, 1.4.6), and lines are broader than usual."""
    circuit, layout = lighthouse
    flows = {(p.id, t.name): 1e-3 for p in circuit.parts for t in p.type.terminals}
    ways = (
        lambda **more: picture(circuit, layout, highlight=("R1",), **more),
        lambda **more: moment_picture(circuit, layout, dict.fromkeys(circuit.nets, 3.0), flows, **more),
        lambda **more: symbol_picture(circuit.by_id["U1"], **more),
    )
    for draw in ways:
        usual, high = draw(), draw(tone=HIGH_CONTRAST)
        colours = set(re.findall(r'(?:fill|stroke)="(#[0-9A-F]{6})"', high.svg)) - {"#FFFFFF"}
        assert colours
        assert all(contrast(colour, "#FFFFFF") >= 7 for colour in colours), colours
        thin, thick = (
            max(map(float, re.findall(r'stroke-width="([\d.]+)"', shown.svg))) for shown in (usual, high)
        )
        assert thick > 1.3 * thin


def test_no_text_is_under_nine_points_on_an_a4_page(drawn):
    """A4 is 210 mm wide (ISO 216); margins of 15 mm and the frame leave 177 mm.  A point is 25.4/72 mm."""
    _, circuit, layout = drawn
    assert picture(circuit, layout).print_width() <= 177.0


def test_both_standards_are_arranged_alike():
    """IEC 60617 and IEEE 315 differ in the symbols only: wires, dots, texts and places are the same."""
    for name in ("lighthouse", "dusk-light"):
        iec, ieee = (draw_layout(demo(name), standard=s, effort=0.1) for s in ("iec", "ieee"))
        assert (iec.segments, iec.dots) == (ieee.segments, ieee.dots)
        assert [(s.part, s.terminals, s.labels) for s in iec.symbols] == [
            (s.part, s.terminals, s.labels) for s in ieee.symbols
        ]
        assert [s.strokes for s in iec.symbols] != [s.strokes for s in ieee.symbols]


def test_the_plus_sign_keeps_off_the_plate():
    """A polarised capacitor's plus sign is clear of its plate and its lead by two lines' breadths (1.7)."""
    symbol = catalogue()["electrolytic"].symbol
    for standard in ("iec", "ieee"):
        shape = drawn_variants(symbol, standard, "C1", "", [(0, False, "right", 0.0)])[0]
        plus = [s.at for s in shape.strokes if s.kind == "line"]
        plate = min(s.at[1] for s in shape.strokes if s.kind in ("rect", "bar"))
        assert len(plus) == 2
        assert plate - max(max(at[1::2]) for at in plus) > 2 * 1.7
        assert max(max(at[::2]) for at in plus) < -2 * 1.7


def test_the_standards_differ_in_the_resistor():
    """IEC 60617 draws a rectangle, IEEE 315 a zig-zag (both from memory)."""
    symbol = catalogue()["resistor"].symbol
    iec, ieee = (
        drawn_variants(symbol, s, "R1", "1 kΩ", [(0, False, "right", 0.0)])[0] for s in ("iec", "ieee")
    )
    assert [s.kind for s in iec.strokes] == ["rect"]
    assert [s.kind for s in ieee.strokes] == ["polyline"]


def test_an_unknown_standard_is_refused():
    """A standard we do not have is an error that lists those we have."""
    with pytest.raises(ValueError, match="iec"):
        schematic(demo("lighthouse"), standard="din")


@pytest.mark.parametrize(
    "identity", [k for k, t in catalogue().items() if t.symbol.get("kind", "drawn") == "drawn"]
)
@pytest.mark.parametrize("standard", ["iec", "ieee"])
def test_each_symbol_is_drawable_in_every_position(identity, standard):
    """Leads end on the grid at the terminals, and a symbol's own drawing stays within one cell of them."""
    kind = catalogue()[identity]

    class _Part:
        type = kind

    symbol = symbol_of(_Part())  # type: ignore[arg-type]
    turns = [(turn, mirror, "right", 0.0) for turn in range(4) for mirror in (False, True)]
    for shape in drawn_variants(symbol, standard, "X1", "", turns):
        assert {t.name for t in kind.terminals} == {name for name, *_ in shape.terminals}
        reach = max(max(abs(x), abs(y)) for _, x, y, _ in shape.terminals) * 20.0
        assert all(abs(edge) <= reach + 2.5 for edge in shape.body)


def test_values_are_written_for_a_reader(lighthouse):
    """4700 ohm is written 4.7 kΩ, a diode by its type (ISO 80000-1 spacing, from memory)."""
    circuit, _ = lighthouse
    assert value_text(circuit.by_id["R2"]) == "270 kΩ"
    assert value_text(circuit.by_id["D1"]) == "1N4148"
    assert value_text(circuit.by_id["U1"]) == "NE555"


@pytest.mark.parametrize(
    ("text", "words"),
    [("4 x AA", ("+6 V", "4 × AA")), ("9 V block", ("+9 V", "9 V block")), ("USB 5 V", ("+5 V", "USB"))],
)
def test_the_supply_is_named_by_voltage_and_kind(text, words):
    """Nominal voltages: 1.5 V a cell, 9 V a block (IEC 60086-1, from memory), 5 V from USB."""
    assert supply_words(supply(text)) == words
