"""The page of shapes and formulas is made from the formulas themselves."""

from __future__ import annotations

import importlib.util
from pathlib import Path

from buildalong.design import KINDS

ROOT = Path(__file__).parents[2]


def test_page_is_up_to_date() -> None:
    """docs/formulas.md is what tools/formulas_reference.py writes; mend it with: make docs."""
    spec = importlib.util.spec_from_file_location("formulas_reference", ROOT / "tools/formulas_reference.py")
    assert spec is not None
    assert spec.loader is not None
    tool = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(tool)
    assert set(tool.EXAMPLES) == set(KINDS)
    assert (ROOT / "docs/formulas.md").read_text(encoding="utf-8") == tool.page()
