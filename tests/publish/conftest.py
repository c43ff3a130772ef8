"""Articles of the demo lessons, made once for a test run."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import pytest

from buildalong.lesson import Compiled
from buildalong.publish import article_html, draw


@pytest.fixture(scope="session")
def article(compiled_demo: Callable[[str], Compiled]) -> Callable[[str], str]:
    """Give the article of a demo lesson by name, as HTML."""

    @cache
    def html(name: str) -> str:
        compiled = compiled_demo(name)
        return article_html(compiled, draw(compiled))

    return html
