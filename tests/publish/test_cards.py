"""Part cards: one for each type and value, complete, readable on A4, and nothing but our own in them."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from playwright.sync_api import Browser

from buildalong.circuit import bands_on
from buildalong.drawing.schematic import symbol_picture
from buildalong.lesson import Compiled
from buildalong.parts import catalogue
from buildalong.publish import cards_html, draw
from buildalong.publish._columns import in_columns
from buildalong.publish._rows import rows_of
from drawing._demo import every_part

Demo = Callable[[str], Compiled]
CARD, SHEET = 85.0, (180.0, 245.0)
"""Room [mm] inside a card (half of A4 less margins and padding), and for a figure of the article."""


@pytest.fixture(scope="module")
def lighthouse(compiled_demo: Demo) -> tuple[Compiled, str]:
    compiled = replace(compiled_demo("lighthouse"), runs={}, steps=())
    return compiled, cards_html(compiled, draw(compiled)).replace("\u00a0", " ")


def test_a_card_for_each_type_and_value(lighthouse: tuple[Compiled, str]) -> None:
    """Each row of the parts list has a card: picture, symbol, marking, slips."""
    compiled, page = lighthouse
    cards = page.split('<article class="card">')[1:]
    rows = rows_of(compiled.circuit)
    assert len(cards) == len(rows)
    for row in rows:
        card = next(card for card in cards if f"<b>{row.references}</b>" in card)
        assert card.count("<svg") == 2
        for slip in row.type.slips:
            assert slip.sentence.split(":")[0] in card
        for colour in bands_on(row.parts[0]):
            assert f"<b>{colour}</b>" in card
        # What lies beside the board has leads, not legs (plain English).
        assert ("<h3>Leads</h3>" in card) == (row.type.family == "supply")


def test_a_column_is_filled_before_the_next_begins() -> None:
    """Small cards fill what a tall one leaves of a column of 277 mm (ISO 216: 297 mm less two margins)."""
    heights = [122.0, 188.0, 130.0, 130.0, 127.0, 125.0, 121.0, 277.0, 130.0, 125.0]
    order = in_columns(heights)
    assert sorted(order) == list(range(len(heights)))
    columns = 1
    low = 12.0
    for index in order:
        if low + heights[index] > 277:
            columns, low = columns + 1, 0.0
        low += heights[index] + 4
    # Six columns are three sheets; in the order of the list it would be seven, four sheets.
    assert columns == 6


def test_bands_are_read_out_with_their_figures(lighthouse: tuple[Compiled, str]) -> None:
    """56 kΩ, 5 %: green 5, blue 6, orange times 1000, gold 5 % (IEC 60062)."""
    _, page = lighthouse
    found = re.findall(r"<b>(\w+)</b> ([^<]+)</li>", page.split("56 kΩ resistor")[1])[:4]
    assert found == [("green", "5"), ("blue", "6"), ("orange", "× 1 000"), ("gold", "± 5 %")]


def test_legs_are_named_as_in_the_picture() -> None:
    """A minus is a minus sign (ISO 80000-2), and a number stays with its word at the end of a line."""
    from buildalong.publish._cards import _legs

    legs = _legs(next(p for p in every_part() if p.type.id == "comparator-lm393"))
    assert ("6", "IN2−, inverting input\u00a02") in legs
    assert not any("-," in means for _, means in legs)


def test_cards_run_nothing_and_fetch_nothing(lighthouse: tuple[Compiled, str]) -> None:
    """No script, no address outside; each id stands once."""
    _, page = lighthouse
    assert "<script" not in page
    assert not re.search(r'(?:src|href)="https?:', page)
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("shown", every_part(), ids=lambda p: p.type.id)
def test_every_type_has_a_symbol_that_fits_a_card(shown: object) -> None:
    """Each type has a symbol with its terminals; with nine-point text it fits into a card."""
    picture = symbol_picture(shown)  # type: ignore[arg-type]
    part_type = shown.type  # type: ignore[attr-defined]
    assert picture.print_width() <= CARD
    assert part_type.noun in picture.alt


@pytest.mark.parametrize("kind", ["electrolytic", "buzzer-5v"])
def test_a_symbol_bears_its_plus_sign_once(kind: str) -> None:
    """IEC 60617 (from memory): the plus sign belongs to the symbol; only the other lead is named besides."""
    shown = next(p for p in every_part() if p.type.id == kind)
    picture = symbol_picture(shown)
    assert picture is not None
    assert re.findall(r">([^<>]+)</text>", picture.svg) == ["−"]


@pytest.mark.parametrize("kind", ["supply-aa", "supply-9v", "supply-cr2032"])
@pytest.mark.parametrize("standard", ["iec", "ieee"])
def test_the_long_line_of_a_cell_is_its_plus(kind: str, standard: str) -> None:
    """IEC 60617 and IEEE 315 (primary cell, from memory): long line plus, short line minus, in turn.

    One cell has one pair of them, a battery more.
    """
    shown = next(p for p in every_part() if p.type.id == kind)
    for count in (1, 4) if "count" in shown.type.settings else (0,):
        counted = replace(shown, settings=(("count", float(count)),) if count else ())
        picture = symbol_picture(counted, standard)
        lines = re.findall(r'<line x1="([-\d.]+)" y1="([-\d.]+)" x2="([-\d.]+)" y2="([-\d.]+)"', picture.svg)
        upright = [(float(a), abs(float(d) - float(b))) for a, b, c, d in lines if a == c]
        plates = [high for _, high in sorted(upright) if high > 6]
        plus = [x for x, high in upright if high == 6]
        assert len(plates) == (2 if count == 1 else 4)
        assert set(plates[::2]) == {20.0}
        assert set(plates[1::2]) == {10.0}
        assert plus[0] < 0


@pytest.mark.parametrize("kind", ["electrolytic", "buzzer-5v"])
def test_plus_and_minus_stand_alike(kind: str) -> None:
    """The minus sign stands as high beside its lead as the drawn plus sign beside the other one."""
    from buildalong.drawing.schematic._draw import LINE

    picture = symbol_picture(next(p for p in every_part() if p.type.id == kind))
    assert picture is not None
    minus = re.search(r'<text x="([-\d.]+)" y="([-\d.]+)" font-size="([\d.]+)"', picture.svg)
    lines = re.findall(r'<line x1="([-\d.]+)" y1="([-\d.]+)" x2="([-\d.]+)" y2="([-\d.]+)"/>', picture.svg)
    left, top, right, bottom = map(float, lines[-1])
    assert minus
    # The font's own table: the minus of Atkinson Hyperlegible Bold reaches from 0.184 to 0.312 of the size.
    assert abs(float(minus[2]) - 0.248 * float(minus[3]) - (top + bottom) / 2) < LINE / 8
    assert abs(float(minus[1]) + (left + right) / 2) < LINE / 8


def test_both_halves_of_a_comparator_are_shown() -> None:
    """LM393 (TI SLCS005, pin functions): 1, 2, 3 and 7, 6, 5 are its halves, 8 and 4 its supply."""
    picture = symbol_picture(next(p for p in every_part() if p.type.id == "comparator-lm393"))
    assert picture is not None
    assert sorted(re.findall(r">(\d)</text>", picture.svg)) == list("12345678")


def test_light_falls_from_above_on_an_ldr() -> None:
    """IEC 60617 (photoresistor, from memory): the arrows stand above the resistor and point at it."""
    picture = symbol_picture(next(p for p in every_part() if p.type.id == "ldr-5mm"))
    assert picture is not None
    body = re.search(r'<rect x="[-\d.]+" y="([-\d.]+)" width="26"', picture.svg)
    heads = re.findall(r'<polygon points="([^"]+)"', picture.svg)
    assert body
    assert len(heads) == 2
    assert all(float(y) < float(body[1]) for head in heads for y in re.findall(r",([-\d.]+)", head))


def test_both_timers_have_one_symbol() -> None:
    """NE555 and TLC555 have the same pins (TI SLFS022, SLFS043): the same box, supply in its middle.

    Only the supply's name differs: VCC of the bipolar one, VDD of the other.
    """
    drawn = [symbol_picture(p) for p in every_part() if p.type.family == "timer"]
    sizes, named = set(), []
    for picture in drawn:
        assert picture is not None
        box = re.search(r'<rect x="0" y="0" width="(\d+)" height="(\d+)" fill="[^"]*" stroke', picture.svg)
        supply = re.search(r'<text x="([\d.]+)"[^>]*>(VCC|VDD)<', picture.svg)
        assert box
        assert supply
        assert float(supply[1]) == float(box[1]) / 2
        sizes.add(box.groups())
        named.append(supply[2])
    assert sorted(named) == ["VCC", "VDD"]
    assert len(sizes) == 1


def test_names_in_a_symbol_are_as_large_as_the_words() -> None:
    """On a screen the nine points that a name has in print grow to the 12 pt (16 px) of the words."""
    from buildalong.publish import text_of

    style = text_of("cards.css")
    screen, _, paper = style.partition("@media print")
    factor = re.search(r"\.symbol svg {[^}]*calc\(([\d.]+) \* var\(--wide\)\)", screen)
    assert factor
    assert 9 * float(factor[1]) >= 12
    assert ".symbol svg { width: var(--wide); }" in paper


@pytest.mark.parametrize("name", ["lighthouse", "mailbox-flag"])
def test_printed_text_has_nine_points(compiled_demo: Demo, name: str) -> None:
    """At its width in print the smallest text of every picture has 9 pt of 25.4/72 mm, and it fits."""
    pictures = draw(replace(compiled_demo(name), runs={}))
    for key, picture in pictures.named().items():
        width = picture.print_width()
        sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', picture.svg)]
        assert sizes or not width, key
        room = CARD if key.startswith(("part-", "symbol-")) else SHEET[0]
        assert width <= room, key
        assert width * picture.height / picture.width <= SHEET[1], key
        if key.startswith(("step", "board")) and "tilted" not in key and "closeup" not in key:
            # These pictures scale no text: the size written is the size shown.
            assert min(sizes) * width / picture.width / (25.4 / 72) == pytest.approx(9, abs=0.01), key


def test_pictures_are_sharp_enough_for_300_dpi() -> None:
    """A4 at 300 dpi is 2480 by 3508 pixels (ISO 216: 210 by 297 mm): drawn at that size exactly."""
    from buildalong.drawing import part_picture, to_png

    shown = next(p for p in every_part() if p.type.id == "timer-555")
    for width, height in ((1920, 1080), (round(210 / 25.4 * 300), round(297 / 25.4 * 300))):
        data = to_png(part_picture(shown), width, height)
        assert (int.from_bytes(data[16:20], "big"), int.from_bytes(data[20:24], "big")) == (width, height)
    assert (width, height) == (2480, 3508)
    assert catalogue()["timer-555"].terminals
    assert math.isclose(25.4 / 72 * 9, 3.175)


LAST = """() => [...document.querySelectorAll('.reading, .slips li')].map(e => {
  const words = [], walk = document.createTreeWalker(e, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const text = walk.currentNode, range = document.createRange();
    for (const found of text.data.matchAll(/[^ ]+/g)) {
      range.setStart(text, found.index); range.setEnd(text, found.index + found[0].length);
      words.push(Math.round([...range.getClientRects()].pop().bottom));
    }
  }
  const last = words.filter(bottom => Math.abs(bottom - Math.max(...words)) < 4).length;
  return [new Set(words).size, last, e.textContent]; })"""


LEGS = """() => [...document.querySelectorAll('.legs li')].map(e =>
  Math.round(e.getBoundingClientRect().height / parseFloat(getComputedStyle(e).lineHeight)))"""


@pytest.mark.debian("chromium")
def test_eight_cards_take_two_sheets(compiled_demo: Demo, browser: Browser) -> None:
    """Four to a sheet of A4, an IC among them; each of its eight legs has a line (pin list of TI SLCS005)."""
    compiled = replace(compiled_demo("dusk-light"), runs={})
    shown = cards_html(compiled, draw(compiled))
    page = browser.new_page(viewport={"width": 718, "height": 1000})  # 190 mm
    page.emulate_media(media="print")
    page.set_content(shown)
    legs = page.evaluate(LEGS)
    sheets = re.findall(rb"/Type\s*/Page\b", page.pdf(prefer_css_page_size=True))
    page.close()
    assert shown.count('<article class="card">') == 8
    assert len(sheets) == 2
    assert legs == [1] * 8


@pytest.mark.debian("chromium")
def test_no_word_stands_alone_on_the_last_line(lighthouse: tuple[Compiled, str], browser: Browser) -> None:
    """On A4, of all sentences that take more lines than one (a rule of typesetting: no runts)."""
    page = browser.new_page(viewport={"width": 718, "height": 1000})  # 190 mm
    page.emulate_media(media="print")
    page.set_content(lighthouse[1])
    found = page.evaluate(LAST)
    page.close()
    long = [(last, words) for lines, last, words in found if lines > 1]
    assert len(long) > 5
    assert [words for last, words in long if last < 2] == []
