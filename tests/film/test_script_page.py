"""The script's page in a real browser."""

from __future__ import annotations

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from buildalong.film import Film

pytestmark = pytest.mark.debian("chromium")


@pytest.mark.parametrize("width", [1280, 390])
def test_the_script_can_be_read(browser: Browser, written: Film, tmp_path: Path, width: int) -> None:
    """It fits the width (tables scroll by themselves), axe finds nothing serious, the console is silent."""
    path = tmp_path / "script.html"
    path.write_bytes(written.files["script.html"])
    page = browser.new_page(viewport={"width": width, "height": 800})
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.goto(path.as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    found = Axe().run(page).response["violations"]
    bad = [(v["id"], v["nodes"][0]["html"][:200]) for v in found if v["impact"] in ("serious", "critical")]
    assert bad == []
    assert said == []
    page.close()
