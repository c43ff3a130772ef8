"""What a hand can set, a meter and a probe on holes, the pace, leads put elsewhere: in a real browser.

Voltages are those of dividers (Ohm's law); the sensor's resistance is that of the usual 5 mm cell, 10 kΩ to
20 kΩ at 10 lx, falling by a factor of 10^0.7 = 5.0 for ten times the light (from memory, as makers print it).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from statistics import median

import pytest
from playwright.sync_api import Locator, Page, expect

from ._night import FACTS, write_night
from ._page import Finger, Opened, at_hole, lamp, pull
from .conftest import Beside

pytestmark = pytest.mark.debian("chromium")
SUPPLY = 4.5
"""Three cells of 1.5 V."""


@pytest.fixture(scope="module")
def bench(started: Callable[..., Beside]) -> Beside:
    return started("mailbox-flag", write_night)


def knob(page: Page, name: str) -> Locator:
    return page.locator(f"[data-knob='{name}']")


def shown(page: Page) -> float:
    """What the meter shows [V]."""
    said = re.fullmatch(r"(-?\d+\.\d+) V", page.locator("#meter").text_content() or "")
    assert said is not None, page.locator("#meter").text_content()
    return float(said[1])


def comes_to(page: Page, low: float, high: float) -> None:
    """The meter comes to show something between the two [V]."""
    page.wait_for_function(
        """([low, high]) => { const v = parseFloat(document.querySelector("#meter").textContent);
             return low <= v && v <= high; }""",
        arg=[low, high],
    )


def measure(page: Page, red: str, black: str) -> None:
    """Hold the meter there, in words."""
    page.get_by_label("hold the meter").check()
    page.get_by_label("Red lead").fill(red)
    page.get_by_label("black lead").fill(black)
    page.get_by_role("button", name="Hold it there").click()


def brightness(page: Page) -> float:
    return float(lamp(page).get_attribute("opacity") or 0)


def test_the_potentiometer_divides_the_supply(opened: Opened) -> None:
    """By its slider with the keyboard: from end to end the wiper goes from one rail to the other, evenly."""
    page = opened()
    measure(page, "f6", "R-2")
    slider = knob(page, "R3|position")
    slider.press("Home")
    page.wait_for_function(
        """supply => { const v = parseFloat(document.querySelector("#meter").textContent);
             return [0, supply].some(end => Math.abs(v - end) < .05); }""",
        arg=SUPPLY,
    )
    other = SUPPLY - shown(page)
    slider.press("End")
    comes_to(page, other - 0.05, other + 0.05)
    slider.evaluate("e => { e.value = 500; e.dispatchEvent(new Event('input')); }")
    comes_to(page, SUPPLY / 2 - 0.05, SUPPLY / 2 + 0.05)
    expect(page.locator("label", has=slider).locator("output")).to_have_text("50.0 %")


def test_shading_the_sensor_lowers_the_voltage_below_it(opened: Opened) -> None:
    """14 kΩ typical at 10 lx over 10 kΩ: 4.5 V · 10 / 24; at 100 lx a fifth of the resistance."""
    page = opened()
    measure(page, "g17", "R-2")
    slider = knob(page, "R4|light")
    for lux, resistance in ((10, 14e3), (100, 14e3 / 10**0.7), (1000, 14e3 / 10**1.4)):
        share = {10: 1000 / 3, 100: 2000 / 3, 1000: 1000}[lux]  # of three decades, 1 lx to 1000 lx
        slider.evaluate("(e, v) => { e.value = v; e.dispatchEvent(new Event('input')); }", round(share))
        volts = SUPPLY * 10e3 / (10e3 + resistance)
        comes_to(page, volts - 0.06, volts + 0.06)


def test_the_changeover_switch_sends_the_lamp_the_other_way(opened: Opened) -> None:
    """220 Ω lets about 20 times the current of 4.7 kΩ pass: the lamp gets dimmer; Space does it."""
    page = opened()
    expect(lamp(page)).not_to_have_attribute("opacity", "0")
    bright = brightness(page)
    switch = knob(page, "S1|thrown")
    switch.focus()
    page.keyboard.press("Space")
    page.wait_for_function(
        """bright => { const now = Number(document.querySelector("[data-lamp=DS1]").getAttribute("opacity"));
             return now > 0 && Math.abs(Math.log(now / bright)) > .5; }""",
        arg=bright,
    )
    page.keyboard.press("Space")
    page.wait_for_function(
        """bright => Number(document.querySelector("[data-lamp=DS1]").getAttribute("opacity")) === bright""",
        arg=bright,
    )


def test_the_supply_is_lowered_until_the_lamp_goes_out(opened: Opened) -> None:
    """A red LED needs about 1.6 V (data sheets of 5 mm LEDs): at 1 V it is dark; other tabs follow."""
    page, other = opened(), opened(390)
    slider = knob(page, "BT1|volts")
    full = slider.input_value()
    measure(page, "R+2", "R-2")
    comes_to(page, SUPPLY - 0.01, SUPPLY + 0.01)
    slider.evaluate("e => { e.value = e.max * 1 / 4.8; e.dispatchEvent(new Event('input')); }")
    comes_to(page, 0.9, 1.1)
    expect(lamp(page)).to_have_attribute("opacity", "0")
    expect(knob(other, "BT1|volts")).to_have_value(slider.input_value())
    slider.evaluate("(e, v) => { e.value = v; e.dispatchEvent(new Event('input')); }", full)
    expect(lamp(page)).not_to_have_attribute("opacity", "0")


def test_the_meter_by_mouse_finger_and_arrows(opened: Opened) -> None:
    """Red on plus and black on minus read the supply; changed over, the same below nought."""
    page = opened(has_touch=True)
    page.get_by_label("hold the meter").check()
    page.get_by_role("button", name="Take it off").click()
    page.mouse.click(*at_hole(page, "R+2"))
    expect(page.locator(".tip.red")).to_have_count(1)
    expect(page.locator("#meter")).to_have_text("The meter needs both leads on holes.")
    page.mouse.click(*at_hole(page, "R-2"))
    comes_to(page, SUPPLY - 0.01, SUPPLY + 0.01)
    pull(page, at_hole(page, "R+2"), at_hole(page, "R-8"))
    comes_to(page, -0.01, 0.01)
    finger = Finger(page)
    finger.tap(at_hole(page, "R-2"))
    finger.tap(at_hole(page, "R+2"))
    comes_to(page, -SUPPLY - 0.01, -SUPPLY + 0.01)
    board = page.locator("figure[data-picture=board]")
    board.press("ArrowDown")
    expect(page.locator("#about")).to_contain_text("hole R+3")
    board.press("Enter")
    comes_to(page, -0.01, 0.01)
    page.get_by_role("button", name="Take it off").click()
    expect(page.locator("#meter")).to_be_hidden()
    expect(page.locator(".tip")).to_have_count(0)


def test_a_hole_is_drawn_as_a_curve(opened: Opened) -> None:
    """The probe on the red lead's hole; a hole that is not there is told."""
    page = opened()
    measure(page, "R+2", "R-2")
    page.get_by_role("button", name="Draw the red hole's curve").click()
    expect(page.locator("#legend")).to_contain_text("hole R+2")
    page.get_by_label("hole R+2").click()
    expect(page.locator("#legend")).not_to_contain_text("hole R+2")
    page.get_by_label("Red lead").fill("z99")
    page.get_by_role("button", name="Hold it there").click()
    expect(page.locator("#about.no")).to_contain_text("no such hole: z99")
    page.get_by_role("button", name="Take it off").click()


@pytest.mark.parametrize(
    ("name", "times"), [("Ten times slower", 0.1), ("As in life", 1), ("Ten times faster", 10)]
)
def test_the_pace(opened: Opened, name: str, times: float) -> None:
    """The circuit's clock against the page's own, mostly: after a stop it may lose some or catch up."""
    page = opened()
    page.get_by_role("button", name=name).click()
    expect(page.get_by_role("button", name=name)).to_have_attribute("aria-pressed", "true")
    ratios = page.evaluate(
        """async () => { const clock = document.querySelector("#clock"), found = [];
             const read = () => parseFloat(clock.textContent);
             for (let n = 0; n < 7; n++) {
               const a = read(), t = performance.now();
               await new Promise(go => setTimeout(go, 400));
               found.push((read() - a) / ((performance.now() - t) / 1000));
             }
             return found; }"""
    )
    assert 0.4 * times <= median(ratios) <= 1.2 * times
    page.get_by_role("button", name="As in life").click()


def test_pause_and_a_little_on(opened: Opened) -> None:
    """The clock stands, then goes on by a hundredth of a second; supply off and on begins at nought."""
    page = opened()
    clock = page.locator("#clock")
    page.get_by_role("button", name="Pause").click()
    before = page.evaluate(
        """async () => { const clock = document.querySelector("#clock");
             for (let seen = "";;) {
               if (clock.textContent === seen) return seen;
               seen = clock.textContent;
               await new Promise(go => setTimeout(go, 300));
             } }"""
    )
    page.get_by_role("button", name="A little on").click()
    expect(clock).to_have_text(f"{float(before.removesuffix(' s')) + 0.01:.2f} s")
    page.get_by_role("button", name="Supply off and on").click()
    expect(clock).to_have_text("0.00 s")
    page.get_by_role("button", name="As in life").click()


def test_a_lead_put_elsewhere_by_hand_tells_difference_symptom_and_danger(opened: Opened) -> None:
    """Dragged by mouse and by finger, pulled out beside the board, by keys; the text does not change."""
    page = opened(has_touch=True)
    page.get_by_label("move a lead").check()
    wrong = page.locator("#wrong")
    x, y = at_hole(page, "h9")
    board = page.locator("figure[data-picture=board]")
    box = board.bounding_box()
    assert box is not None
    pull(page, (x, y), (box["x"] + box["width"] - 4, box["y"] + box["height"] - 4))
    expect(wrong).to_contain_text("R1: out of hole h9")
    expect(wrong.locator(".symptom")).to_contain_text("DS1")
    expect(wrong.locator(".difference")).to_contain_text("R1")
    expect(lamp(page)).to_have_attribute("opacity", "0")
    Finger(page).drag(at_hole(page, "h15"), at_hole(page, "h16"))
    expect(wrong).to_contain_text("R1: from hole h15 to hole h16")
    page.get_by_role("button", name="Put it back").click()
    expect(wrong).to_be_hidden()
    expect(lamp(page)).not_to_have_attribute("opacity", "0")
    Finger(page).drag(at_hole(page, "i7"), at_hole(page, "R+7"))
    expect(wrong.locator(".danger")).to_contain_text("shorted supply")
    page.get_by_role("button", name="Put it back").click()
    expect(wrong).to_be_hidden()
    page.mouse.move(*at_hole(page, "h9"))
    board.focus()
    board.press("Delete")
    expect(wrong).to_contain_text("R1: out of hole h9")
    page.get_by_role("button", name="Put it back").click()
    expect(wrong).to_be_hidden()
    expect(page.locator("textarea")).to_have_value(FACTS)
    expect(page.locator("#save")).to_be_disabled()
