"""The reference page is the catalogue."""

from __future__ import annotations

import importlib.util
from pathlib import Path

from buildalong.parts import catalogue

ROOT = Path(__file__).parents[2]


def test_the_committed_page_is_the_generated_one() -> None:
    """docs/catalogue.md is what tools/catalogue_reference.py writes; mend it with: make docs."""
    spec = importlib.util.spec_from_file_location(
        "catalogue_reference", ROOT / "tools/catalogue_reference.py"
    )
    assert spec
    assert spec.loader
    tool = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(tool)
    assert (ROOT / "docs/catalogue.md").read_text(encoding="utf-8") == tool.page(catalogue())


def test_the_page_shows_every_part_and_every_number() -> None:
    """Each part has a section; each rating and figure stands there as the data writes it."""
    text = (ROOT / "docs/catalogue.md").read_text(encoding="utf-8")
    for part in catalogue().values():
        section = text.split(f"\n### {part.id}\n")[1].split("\n### ")[0]
        for name, figure in {**part.ratings, **part.figures}.items():
            assert f"`{name}`" in section
            assert all(number in section for number in (figure.min, figure.typ, figure.max) if number)
