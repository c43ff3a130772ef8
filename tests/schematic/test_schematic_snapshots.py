"""Schematics held byte for byte under both standards, so that a change is seen and looked at."""

from __future__ import annotations

from pathlib import Path

import pytest
from _schematic_demo import DEMOS
from tests.drawing._snapshots import unchanged

from buildalong.drawing.schematic import picture

SNAPSHOTS = Path(__file__).parent / "snapshots"
NAMES = (
    *DEMOS, "h-bridge", "long-wait", "one-shot-of-two-transistors", "push-pull", "siren", "six-in-parallel",
    "tone-pot", "two-lights", "wet-soil",
)  # fmt: skip
"""The demos, and netlists that between them have every kind of symbol and arrangement."""


@pytest.mark.parametrize("standard", ["iec", "ieee"])
@pytest.mark.parametrize("name", NAMES)
def test_schematic_is_unchanged(layout_of, name, standard):
    """The drawing equals the one that was looked at and kept."""
    circuit, layout = layout_of(name, standard)
    unchanged(SNAPSHOTS, f"{name}-{standard}", picture(circuit, layout, standard).svg)
