"""Layouts are made once for all workers of a test run."""

from __future__ import annotations

import fcntl
import pickle
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from _netlists import NETLISTS
from _schematic_demo import DEMOS, demo

from buildalong.circuit import Circuit
from buildalong.drawing.schematic import SchematicLayout, draw_layout

NAMES = (*DEMOS, *NETLISTS)
Drawn = tuple[Circuit, SchematicLayout]


@pytest.fixture(scope="session")
def layout_of(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Callable[[str], Drawn]:
    """The circuit and its layout by name."""
    base = tmp_path_factory.getbasetemp()
    shared = base if worker_id == "master" else base.parent
    done: dict[str, Drawn] = {}

    def drawn(name: str) -> Drawn:
        if name not in done:
            circuit = demo(name) if name in DEMOS else NETLISTS[name]
            kept = shared / f"schematic-{name}.pickle"
            with open(shared / f"schematic-{name}.lock", "w") as lock:
                fcntl.flock(lock, fcntl.LOCK_EX)
                if not kept.exists():
                    kept.write_bytes(pickle.dumps(draw_layout(circuit)))
            done[name] = circuit, pickle.loads(kept.read_bytes())
        return done[name]

    return drawn


@pytest.fixture(params=NAMES)
def drawn(
    request: pytest.FixtureRequest, layout_of: Callable[[str], Drawn]
) -> tuple[str, Circuit, SchematicLayout]:
    """Every demo and every netlist with its layout."""
    return request.param, *layout_of(request.param)
