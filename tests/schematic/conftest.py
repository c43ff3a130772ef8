"""Layouts are made once for all workers of a test run."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from _netlists import NETLISTS
from _schematic_demo import DEMOS, demo

from buildalong.circuit import Circuit
from buildalong.drawing.schematic import SchematicLayout, draw_layout
from once import once

NAMES = (*DEMOS, *NETLISTS)
Drawn = tuple[Circuit, SchematicLayout]


@pytest.fixture(scope="session")
def layout_of() -> Callable[..., Drawn]:
    """The circuit and its layout by name and standard."""

    def drawn(name: str, standard: str = "iec") -> Drawn:
        circuit = demo(name) if name in DEMOS else NETLISTS[name]
        return circuit, once(f"schematic-{name}-{standard}", lambda: draw_layout(circuit, standard=standard))

    return drawn


@pytest.fixture(params=NAMES)
def drawn(
    request: pytest.FixtureRequest, layout_of: Callable[..., Drawn]
) -> tuple[str, Circuit, SchematicLayout]:
    """Every demo and every netlist with its layout."""
    return request.param, *layout_of(request.param)
