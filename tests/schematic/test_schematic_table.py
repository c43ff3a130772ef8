"""The tables in docs/schematic.md are what the drawings have."""

from __future__ import annotations

import importlib.util
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_the_tables_of_the_page_are_current(layout_of):
    """Length, bends, crossings and dots on the page are those of the drawings of today."""
    spec = importlib.util.spec_from_file_location(
        "schematic_reference", ROOT / "tools" / "schematic_reference.py"
    )
    assert spec is not None
    assert spec.loader is not None
    tool = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(tool)
    page = (ROOT / "docs" / "schematic.md").read_text(encoding="utf-8")
    shown = page.split(tool.BEGIN)[1].split(tool.END)[0]
    assert shown == tool.tables(lambda name, _: layout_of(name)[1])
