"""Hands on the board in a real browser: dragging by mouse and finger, moving by arrow keys, undoing by keys.

The lesson is the lamp of ``_lamp``; which drop is right follows from its text and from how a breadboard is
joined (five holes of a row and side are one strip: common practice).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from ._lamp import FACTS, write_lamp
from ._page import WHERE, Finger, Opened, at_hole, drag, middle, part, pull, shows
from .conftest import Beside

pytestmark = pytest.mark.debian("chromium")
PHONE = {"width": 390, "has_touch": True, "is_mobile": True}
TABLET = {**PHONE, "width": 1024}


@pytest.fixture(scope="module")
def bench(started: Callable[..., Beside]) -> Beside:
    return started("mailbox-flag", write_lamp)


def hand(page: Page, what: str) -> None:
    """Choose what the hand does."""
    page.get_by_label(what).check()


def written(page: Page, line: str) -> None:
    """The text on the page has come to hold this line."""
    expect(page.locator("textarea")).to_have_value(re.compile(line))


def undone(page: Page) -> None:
    """Take everything back."""
    page.get_by_role("button", name="Take back").click()
    expect(page.locator("textarea")).to_have_value(FACTS)


def ring_to(page: Page, hole: str) -> None:
    """Walk to a hole of the left half with the arrows alone, as far as they are needed."""
    board, about = page.locator("figure[data-picture=board]"), page.locator("#about")
    board.focus()
    board.press("ArrowUp")
    column, row = hole[0], int(hole[1:])
    for _ in range(80):
        said = re.search(r"hole (\S+?)(?:[,:]|$)", about.text_content() or "")
        assert said is not None
        now = said[1]
        if now == hole:
            return
        inner = re.fullmatch(r"([a-e])(\d+)", now)
        if inner is None:
            board.press("ArrowRight" if now[0] == "L" else "ArrowLeft")
        elif int(inner[2]) != row:
            board.press("ArrowDown" if int(inner[2]) < row else "ArrowUp")
        else:
            board.press("ArrowRight" if inner[1] < column else "ArrowLeft")
    raise AssertionError(f"the ring never came to {hole}")


@pytest.mark.parametrize("held", [PHONE, TABLET], ids=["phone", "tablet"])
def test_a_finger_drags_a_part_and_an_end_of_a_wire(opened: Opened, held: dict[str, Any]) -> None:
    """The page stays where it is under the finger, and a lens shows the hole above it."""
    page = opened(**held)
    hand(page, "change the lesson")
    finger = Finger(page)
    start, end = at_hole(page, "b7"), at_hole(page, "a7")
    finger.down(start)
    finger.slide(start, end)
    expect(page.locator(".lens .aim")).to_have_count(1)
    lens = page.locator(".lens").bounding_box()
    assert lens is not None
    assert lens["y"] + lens["height"] < end[1] or lens["x"] > end[0], "the finger hides the lens"
    finger.up()
    expect(page.locator(".lens")).to_have_count(0)
    assert page.evaluate(WHERE, "a7") == pytest.approx(end, abs=1), "the board moved under the finger"
    written(page, r'R1 += \["a7", "a11"\]')
    undone(page)
    shows(page, "a12")
    finger.drag(at_hole(page, "a12"), at_hole(page, "b12"))
    written(page, r'\["L-10",.* "b12"\]')
    undone(page)


def test_a_finger_on_an_empty_hole_scrolls_the_page(opened: Opened) -> None:
    """What takes nothing leaves the page its usual scrolling."""
    page = opened(**PHONE)
    hand(page, "change the lesson")
    shows(page, "b7")
    start = at_hole(page, "d14")
    before = page.evaluate("scrollY")
    Finger(page).drag(start, (start[0], start[1] - 150))
    page.wait_for_function("before => scrollY > before + 20", arg=before)
    expect(page.locator("textarea")).to_have_value(FACTS)


def test_holes_of_a_phone_grow_to_the_size_of_a_finger(opened: Opened) -> None:
    """24 px from hole to hole, as WCAG 2.2 (2.5.8, target size, minimum) asks; nothing else gets wider."""
    page = opened(**PHONE)
    for _ in range(3):
        page.get_by_role("button", name="Larger").click()
    one, next_one = at_hole(page, "b7"), at_hole(page, "b8")
    assert next_one[1] - one[1] >= 24
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.locator(".pane").evaluate("pane => { pane.scrollLeft = pane.scrollTop = 0; }")
    hand(page, "change the lesson")
    ring_to(page, "e11")
    x, y = middle(page.locator(".over .cursor"))
    frame = page.locator(".pane").bounding_box()
    assert frame is not None
    assert frame["x"] <= x <= frame["x"] + frame["width"], "the ring walks out of sight"
    assert frame["y"] <= y <= frame["y"] + frame["height"]


def test_a_part_is_taken_by_its_body_and_a_lead_alone(opened: Opened) -> None:
    """By its body R1 moves whole whatever is chosen; by one lead it is the lead that moves."""
    page = opened()
    hand(page, "change the lesson")
    shows(page, "b7")
    (x, y), one, two = middle(part(page, "R1")), at_hole(page, "b7"), at_hole(page, "a7")
    pull(page, (x, y), (x + two[0] - one[0], y + two[1] - one[1]))
    written(page, r'R1 += \["a7", "a11"\]')
    undone(page)
    page.get_by_label("one lead of it").check()
    drag(page, "b7", "d7")
    written(page, r'R1 += \["d7", "b11"\]')
    undone(page)
    shows(page, "e5")
    drag(page, "e5", "e9")
    written(page, r'S1 += \["e9", "f9", "e11", "f11"\]')
    undone(page)


def test_arrow_keys_move_a_part_a_leg_and_an_end_of_a_wire(opened: Opened) -> None:
    """Enter takes and lets go; keys undo and do again; the lesson's comments stay."""
    page = opened()
    hand(page, "change the lesson")
    shows(page, "b7")
    board = page.locator("figure[data-picture=board]")
    moves = [
        ("the whole part", "b7", "ArrowLeft", r'R1 += \["a7", "a11"\]'),
        ("one lead of it", "b11", "ArrowDown", r'R1 += \["b7", "b12"\]'),
        ("one lead of it", "a12", "ArrowRight", r'\["L-10",.* "b12"\]'),
    ]
    for how, start, way, line in moves:
        shows(page, start)
        page.get_by_label(how).check()
        ring_to(page, start)
        board.press("Enter")
        expect(page.locator("#about")).to_contain_text("in the hand")
        board.press(way)
        board.press("Enter")
        written(page, line)
        board.press("Control+z")
        expect(page.locator("textarea")).to_have_value(FACTS)
        board.press("Control+y")
        written(page, line)
        page.locator("textarea").press("Control+z")
        expect(page.locator("textarea")).to_have_value(FACTS)


def test_typing_is_taken_back_by_keys_while_the_text_has_the_caret(opened: Opened) -> None:
    """Ctrl-Z in the text and beside it go through one history: typed and moved things in their order."""
    page = opened()
    hand(page, "change the lesson")
    drag(page, "b7", "a7")
    written(page, r'R1 += \["a7", "a11"\]')
    area = page.locator("textarea")
    area.fill(area.input_value().replace("A lamp with", "The lamp with"))
    expect(page.locator("#title")).to_have_text("The lamp with a button")
    area.press("Control+z")
    written(page, 'A lamp with a button"')
    written(page, r'R1 += \["a7", "a11"\]')
    area.press("Control+z")
    expect(area).to_have_value(FACTS)
    area.press("Control+Shift+z")
    written(page, r'R1 += \["a7", "a11"\]')
    undone(page)


@pytest.mark.parametrize(
    ("start", "end", "why"),
    [
        ("b7", "b8", r"R1"),  # its second leg would come to b12, into the strip of the wire and the lamp
        ("c11", "b11", r"b11"),  # a hole holds one lead
        ("a12", "e5", r"e5"),  # there is the button's leg
    ],
)
def test_what_cannot_stand_there_is_explained(opened: Opened, start: str, end: str, why: str) -> None:
    """The text stays as it was, or a warning tells what the drop brings."""
    page = opened()
    hand(page, "change the lesson")
    drag(page, start, end)
    said = page.locator("#about.no, #findings .warning, #findings .error")
    expect(said.filter(has_text=re.compile(why)).first).to_be_visible()
    if page.locator("#back").is_enabled():
        page.keyboard.press("Control+z")
    expect(page.locator("textarea")).to_have_value(FACTS)


def test_tidy_fewest_wires_and_holding_fast(opened: Opened) -> None:
    """Tidy gives up all holes, fewest wires the wires alone; what is held fast stays in the text."""
    page = opened()
    hand(page, "change the lesson")
    shows(page, "b7")
    area = page.locator("textarea")
    page.get_by_role("button", name="Tidy").click()
    expect(area).not_to_have_value(re.compile(r"R1 += \[|wires"))
    undone(page)
    page.get_by_role("button", name="Fewest wires").click()
    expect(area).not_to_have_value(re.compile(r"wires +="))
    written(page, r'R1 += \["b7", "b11"\]')
    undone(page)
    thing = page.locator("#lesson-form [name=thing]")
    for one in ("S1", "R1"):
        thing.select_option(one)
        page.get_by_role("button", name=f"Hold {one} fast").click()
    expect(page.locator(".over .kept")).to_have_count(2)
    page.get_by_role("button", name="Place all but S1, R1 anew").click()
    expect(area).not_to_have_value(re.compile(r"DS1 += \["))
    written(page, r'R1 += \["b7", "b11"\]')
    written(page, r'S1 += \["e5", "f5", "e7", "f7"\]')
    undone(page)


def test_a_part_is_turned(opened: Opened) -> None:
    """A resistor changes its ends."""
    page = opened()
    hand(page, "change the lesson")
    page.locator("#lesson-form [name=thing]").select_option("R1")
    expect(page.locator(".over .part.hot[data-part=R1]")).to_have_count(2)
    page.get_by_role("button", name="Turn R1").click()
    written(page, r'R1 += \["b11", "b7"\]')
    undone(page)
