"""Articles of the demo lessons, made once for a test run."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from buildalong.guide import Guide
from buildalong.lesson import Compiled
from buildalong.publish import Pictures, article_html, builds_of, draw, faults_html, guide_for
from buildalong.store import user_store
from once import once

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


LARGEST = "runway-lights"
"""Its laboratory takes longest and is left to the benchmark; its article is made without."""


@pytest.fixture(scope="session")
def guide(compiled_demo: Callable[[str], Compiled]) -> Callable[[str], Guide | None]:
    """Give the guide of a demo lesson by name."""
    return cache(lambda name: guide_for(compiled_demo(name), user_store()) if name != LARGEST else None)


@pytest.fixture(scope="session")
def drawn(
    compiled_demo: Callable[[str], Compiled], guide: Callable[[str], Guide | None]
) -> Callable[[str], Pictures]:
    """Give the pictures of a demo lesson by name, drawn once for all workers."""
    return lambda name: once(f"pictures-{name}", lambda: draw(compiled_demo(name), guide=guide(name)))


@pytest.fixture(scope="session")
def article(
    compiled_demo: Callable[[str], Compiled],
    guide: Callable[[str], Guide | None],
    drawn: Callable[[str], Pictures],
) -> Callable[[str], str]:
    """Give the article of a demo lesson by name, as HTML, made once for all workers."""

    def html(name: str) -> str:
        compiled = compiled_demo(name)
        return article_html(compiled, drawn(name), guide(name), builds_of(compiled, user_store()))

    return lambda name: once(f"article-{name}", lambda: html(name))


@pytest.fixture(scope="session")
def faults(
    compiled_demo: Callable[[str], Compiled], guide: Callable[[str], Guide | None]
) -> Callable[[str], str]:
    """Give the fault finder's own page of a demo lesson by name, as HTML."""

    @cache
    def html(name: str) -> str:
        known = guide(name)
        assert known is not None
        return faults_html(compiled_demo(name), known)

    return html


@pytest.fixture
def opened(
    browser: Browser, article: Callable[[str], str], faults: Callable[[str], str], tmp_path: Path
) -> Iterator[Callable[..., Page]]:
    """Open the article of a demo in the browser, or its fault finder; what the console says is ``said``."""
    pages: list[Page] = []

    def open_page(
        name: str, width: int = 1280, height: int = 900, script: bool = True, finder: bool = False,
        **more: object,
    ) -> Page:  # fmt: skip
        file = tmp_path / f"{name}{'-faults' if finder else ''}.html"
        file.write_text((faults if finder else article)(name), encoding="utf-8")
        page = browser.new_page(
            viewport={"width": width, "height": height}, java_script_enabled=script, **more
        )
        pages.append(page)
        page.said = []  # type: ignore[attr-defined]
        page.on("console", lambda message: page.said.append(message.text))  # type: ignore[attr-defined]
        page.on("pageerror", lambda error: page.said.append(str(error)))  # type: ignore[attr-defined]
        page.goto(file.as_uri())
        return page

    yield open_page
    for page in pages:
        page.close()
