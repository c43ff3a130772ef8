"""The demo circuits, layouts for them, and a run written down by hand."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache
from hashlib import sha256
from pathlib import Path

import numpy as np

from buildalong.board import Layout, Wire, board
from buildalong.build.dress import dressed
from buildalong.circuit import Circuit, Part
from buildalong.drawing import Picture, board_picture
from buildalong.engine import Action, Event, Run, Trial, simulate
from buildalong.lesson import load
from buildalong.parts import catalogue
from once import once

EXAMPLES = Path(__file__).parents[2] / "examples"
LAYOUTS = Path(__file__).parent / "layouts"
DEMOS = tuple(sorted(folder.name for folder in EXAMPLES.iterdir() if (folder / "lesson.toml").exists()))
BOARDS = tuple(sorted(file.stem for file in LAYOUTS.glob("*.json")))
"""Each demo on its board, and most of them on other boards and with other wires: "dusk-light-400-formed"."""


@cache
def circuit_of(name: str) -> Circuit:
    """The circuit of a demo lesson, also by the name of a layout."""
    demo = next(demo for demo in DEMOS if name == demo or name.startswith(f"{demo}-"))
    return load(EXAMPLES / demo).circuit


@cache
def demo_run(name: str) -> Run:
    """The first trial of a demo lesson."""
    return simulate(circuit_of(name), load(EXAMPLES / name).trials[0])


@cache
def layout_of(name: str) -> Layout:
    """A layout of a demo circuit, kept as a file so that the pictures do not change with the placer.

    Its flexible wires are dressed, as those of a lesson are.
    """
    data = json.loads((LAYOUTS / f"{name}.json").read_text("utf-8"))
    wires = [Wire(**{**wire, "path": tuple(map(tuple, wire["path"]))}) for wire in data["wires"]]
    holes = {part: tuple(legs) for part, legs in data["holes"].items()}
    return dressed(circuit_of(name), Layout(board(data["board"]), holes, tuple(wires)))


def drawn(name: str, make: Callable[..., Picture] = board_picture, **options: object) -> Picture:
    """A demo on a board as ``make`` draws it with these options; once for all workers of the test run."""
    asked = sha256(repr(sorted(options.items())).encode()).hexdigest()[:16]
    return once(f"{make.__name__}-{name}-{asked}", lambda: make(circuit_of(name), layout_of(name), **options))


def part(kind: str, value: float | None = None, tolerance: float | None = None, **settings: float) -> Part:
    """One part by itself."""
    part_type = catalogue()[kind]
    nets = tuple(f"N{index}" for index in range(len(part_type.terminals)))
    return Part("X1", part_type, nets, value, tolerance, tuple(settings.items()))


def every_part() -> list[Part]:
    """One part of each type of the catalogue, with a value where it needs one."""
    values = {"Ω": 4700.0, "F": 1e-7}
    return [part(kind, values[t.value.unit] if t.value else None) for kind, t in catalogue().items()]


def blink(cycles: int = 5, samples: int = 400) -> Run:
    """A timer's run written down by hand: CAP between 2 V and 4 V, OUT, a light, a button pressed once."""
    circuit = Circuit(
        (
            Part("U1", catalogue()["timer-555"], ("0V", "CAP", "OUT", "PLUS", "CTRL", "CAP", None, "PLUS")),
            Part("C2", catalogue()["capacitor-ceramic"], ("CTRL", "0V"), 1e-8),
            Part("S1", catalogue()["push-button"], ("OUT", "0V")),
            Part("DS1", catalogue()["led-red"], ("OUT", "0V")),
            Part("BT1", catalogue()["supply-aa"], ("PLUS", "0V"), settings=(("count", 4.0),)),
        )
    )
    times = np.linspace(0.0, float(cycles), samples * cycles + 1)
    phase = times % 1.0
    cap = np.where(phase < 0.4, 2 + 5 * phase, 4 - (phase - 0.4) / 0.3)
    out = np.where(phase < 0.4, 5.0, 0.0)
    nets = ("CAP", "OUT", "PLUS", "CTRL", "0V")
    full = np.full(times.size, 1.0)
    voltages = np.stack([cap, out, 6 * full, 4 * full, 0 * full], axis=1)
    events = [Event(0.0, "supply", "BT1", "on", True, "off", "on")]
    for cycle in range(cycles):
        events += [
            Event(float(cycle), "watch", "U1", "trigger", True),
            Event(float(cycle), "light", "DS1", "light", True, "dark", "lit"),
            Event(cycle + 0.4, "watch", "U1", "threshold", True),
            Event(cycle + 0.4, "light", "DS1", "light", False, "lit", "dark"),
        ]
    events += [
        Event(1.5, "action", "S1", "pressed", True, "", "1"),
        Event(1.7, "action", "S1", "pressed", False, "", "0"),
    ]
    actions = (Action(1.5, "S1", "pressed", 1.0), Action(1.7, "S1", "pressed", 0.0))
    return Run(
        circuit=circuit, trial=Trial("five blinks", float(cycles), actions), nets=nets, pins=(), times=times,
        voltages=voltages, currents=np.zeros((times.size, 0)),
        events=tuple(sorted(events, key=lambda e: e.time)), extremes={},
    )  # fmt: skip
