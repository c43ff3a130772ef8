"""Articles of the demo lessons, made once for a test run."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from buildalong.lesson import Compiled
from buildalong.publish import article_html, draw

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


@pytest.fixture(scope="session")
def article(compiled_demo: Callable[[str], Compiled]) -> Callable[[str], str]:
    """Give the article of a demo lesson by name, as HTML."""

    @cache
    def html(name: str) -> str:
        compiled = compiled_demo(name)
        return article_html(compiled, draw(compiled))

    return html


@pytest.fixture
def opened(browser: Browser, article: Callable[[str], str], tmp_path: Path) -> Iterator[Callable[..., Page]]:
    """Open the article of a demo in the browser; what its console says is kept in ``said``."""
    pages: list[Page] = []

    def open_page(name: str, width: int = 1280, height: int = 900, script: bool = True) -> Page:
        file = tmp_path / f"{name}.html"
        file.write_text(article(name), encoding="utf-8")
        page = browser.new_page(viewport={"width": width, "height": height}, java_script_enabled=script)
        pages.append(page)
        page.said = []  # type: ignore[attr-defined]
        page.on("console", lambda message: page.said.append(message.text))  # type: ignore[attr-defined]
        page.on("pageerror", lambda error: page.said.append(str(error)))  # type: ignore[attr-defined]
        page.goto(file.as_uri())
        return page

    yield open_page
    for page in pages:
        page.close()
