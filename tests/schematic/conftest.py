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
def layout_of(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Callable[..., Drawn]:
    """The circuit and its layout by name and standard."""
    base = tmp_path_factory.getbasetemp()
    shared = base if worker_id == "master" else base.parent
    done: dict[str, Drawn] = {}

    def drawn(name: str, standard: str = "iec") -> Drawn:
        asked = f"{name}-{standard}"
        if asked not in done:
            circuit = demo(name) if name in DEMOS else NETLISTS[name]
            kept = shared / f"schematic-{asked}.pickle"
            with open(shared / f"schematic-{asked}.lock", "w") as lock:
                fcntl.flock(lock, fcntl.LOCK_EX)
                if not kept.exists():
                    kept.write_bytes(pickle.dumps(draw_layout(circuit, standard=standard)))
            done[asked] = circuit, pickle.loads(kept.read_bytes())
        return done[asked]

    return drawn


@pytest.fixture(params=NAMES)
def drawn(
    request: pytest.FixtureRequest, layout_of: Callable[..., Drawn]
) -> tuple[str, Circuit, SchematicLayout]:
    """Every demo and every netlist with its layout."""
    return request.param, *layout_of(request.param)
