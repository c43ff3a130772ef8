"""What the browser's tests do with the page: point at parts and holes, take them along, look at the lamp."""

from __future__ import annotations

import re
from collections.abc import Callable

from playwright.sync_api import CDPSession, Locator, Page, expect

BRIGHT = re.compile(r"0\.[2-9]|1")
WAIT = 300_000
"""How long anything may take to appear [ms]: a fresh machine compiles the search first."""
expect.set_options(timeout=WAIT)
Opened = Callable[..., Page]
WHERE = """async hole => {
  const { shown } = await import("/pictures.js");
  const over = document.querySelector("figure[data-picture=board] .over");
  const [x, y] = shown.board.handles.holes[hole];
  const at = new DOMPoint(x, y).matrixTransform(over.getScreenCTM());
  return [at.x, at.y]; }"""
"""Where a hole is on the screen."""


def part(page: Page, name: str, picture: str = "board") -> Locator:
    return page.locator(f"figure[data-picture={picture}] .part[data-part={name}]")


def lamp(page: Page) -> Locator:
    return page.locator("[data-lamp=DS1]")


def middle(place: Locator) -> tuple[float, float]:
    """The middle of something on the screen."""
    box = place.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def at_hole(page: Page, hole: str) -> tuple[float, float]:
    """Where a hole is on the screen, once the board is brought into view."""
    page.locator("figure[data-picture=board]").scroll_into_view_if_needed()
    x, y = page.evaluate(WHERE, hole)
    return x, y


def settled(page: Page) -> None:
    """Wait until both pictures are those of the text."""
    for name in ("board", "schematic"):
        figure = page.locator(f"figure[data-picture={name}]")
        expect(figure).to_have_attribute("aria-busy", "false")


def shows(page: Page, hole: str) -> None:
    """Wait until the board is that of the text, and something is in a hole."""
    settled(page)
    page.wait_for_function(
        """async hole => (await import("/pictures.js")).shown.board.handles.taken[hole] !== undefined""",
        arg=hole,
    )


def drag(page: Page, start: str, end: str) -> None:
    """Take what is in a hole by mouse, when the board shows it there, and let go at another."""
    shows(page, start)
    pull(page, at_hole(page, start), at_hole(page, end))


def pull(page: Page, start: tuple[float, float], end: tuple[float, float]) -> None:
    """Drag by mouse from one place of the screen to another."""
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move(*end, steps=4)
    page.mouse.up()


class Finger:
    """A finger on the screen, as the browser's own input: it scrolls where the page lets it."""

    def __init__(self, page: Page) -> None:
        self._send: CDPSession = page.context.new_cdp_session(page)

    def _touch(self, kind: str, *at: tuple[float, float]) -> None:
        points = [{"x": x, "y": y} for x, y in at]
        self._send.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    def down(self, at: tuple[float, float]) -> None:
        self._touch("touchStart", at)

    def slide(self, start: tuple[float, float], end: tuple[float, float], steps: int = 8) -> None:
        for n in range(1, steps + 1):
            share = n / steps
            at = start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])
            self._touch("touchMove", at)

    def up(self) -> None:
        self._touch("touchEnd")

    def drag(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        self.down(start)
        self.slide(start, end)
        self.up()

    def tap(self, at: tuple[float, float]) -> None:
        self.down(at)
        self.up()
