"""The lesson reference is made from the program, and is current."""

from __future__ import annotations

import importlib.util
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_the_lesson_reference_is_current() -> None:
    """docs/lesson-reference.md is what tools/lesson_reference.py writes now."""
    spec = importlib.util.spec_from_file_location("lesson_reference", ROOT / "tools" / "lesson_reference.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert (ROOT / "docs" / "lesson-reference.md").read_text(encoding="utf-8") == module.page()
