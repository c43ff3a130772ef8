"""Layouts are made once for the whole session."""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from _netlists import NETLISTS
from _schematic_demo import DEMOS, demo

from buildalong.circuit import Circuit
from buildalong.drawing.schematic import SchematicLayout, draw_layout

NAMES = (*DEMOS, *NETLISTS)


@cache
def _circuit(name: str) -> Circuit:
    return demo(name) if name in DEMOS else NETLISTS[name]


@cache
def _layout(name: str) -> SchematicLayout:
    return draw_layout(_circuit(name), effort=1.0 if name in DEMOS else 0.3)


@pytest.fixture(params=NAMES)
def drawn(request: pytest.FixtureRequest) -> tuple[str, Circuit, SchematicLayout]:
    """Every demo and every netlist with its layout."""
    return request.param, _circuit(request.param), _layout(request.param)


@pytest.fixture
def layout_of():
    """The layout of a circuit by name."""
    return lambda name: (_circuit(name), _layout(name))
