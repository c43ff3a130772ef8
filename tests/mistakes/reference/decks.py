"""Decks of wrongly built circuits for the reference simulator, and the waveforms that it gives.

Which part meets which is read from the wrong board (that reading is tested elsewhere); every model was
written by hand from data sheets, in ``models.inc`` and in the decks of the engine's tests.
"""

from __future__ import annotations

import subprocess
import tempfile
from collections.abc import Callable
from pathlib import Path

import numpy as np

from buildalong.circuit import Circuit, Part
from buildalong.engine import Trial

HERE = Path(__file__).parent
SUPPLIES = {"supply-aa": (1.5, 0.2), "supply-9v": (9.0, 1.7), "supply-usb": (5.0, 0.25)}
"""Open voltage [V] and source resistance [ohm] of a cell, as in the decks of the right circuits."""
LEDS = {"led-red": "red", "led-yellow": "yellow", "led-white": "white"}
CHIPS = {"timer-555": "timerbare", "timer-555-cmos": "timercmos", "comparator-lm393": "lm393"}
OPTIONS = (
    "reltol=1e-4 abstol=1e-10 vntol=1e-6 method=gear maxord=2 itl4=200",
    "reltol=1e-3 abstol=1e-9 vntol=1e-5 method=trap itl4=500 cshunt=1e-11",
)
"""Tolerances, the next where the simulator gives up with the first."""
SECONDS = 10
"""The simulator is given so long for a deck [s]."""
STEP = 2e-3
"""Largest step [s]; classes of symptoms are coarse."""


def known(circuit: Circuit) -> bool:
    """Whether every part has a model here, and every chip its supply."""
    for part in circuit.parts:
        power = [t.role in ("supply", "ground") for t in part.type.terminals]
        nets = [net for net, wanted in zip(part.nets, power, strict=True) if wanted]
        if part.type.family != "supply" and any(n is None or len(circuit.nets[n]) < 2 for n in nets):
            return False
    families = ("resistor", "capacitor", "electrolytic", "button", "ldr", "diode", "transistor")
    return all(p.type.family in families or p.type.id in {**SUPPLIES, **LEDS, **CHIPS} for p in circuit.parts)


def deck(circuit: Circuit, trial: Trial, lights: list[str], options: str) -> str:
    """The deck of one trial; it writes the currents of the lights into a file."""
    ground = circuit.supply.nets[1]

    def node(part: Part, number: int) -> str:
        net = part.nets[number]
        if net is None:
            return f"open_{part.id}_{number}"
        return "0" if net == ground else f"n{net}".replace("+", "p").replace("-", "m").replace(" ", "_")

    nodes = sorted({node(p, i) for p in circuit.parts for i in range(len(p.nets))} - {"0"})
    lines = [
        "a circuit that is built wrongly",
        f".include {HERE / 'models.inc'}",
        *(line for part in circuit.parts for line in _lines(part, node, trial)),
        *(f"Rshunt{i} {name} 0 1e10" for i, name in enumerate(nodes)),
        f".options temp=25 tnom=25 {options}",
        ".save " + " ".join(f"i(vm{light.lower()})" for light in lights),
        ".control",
        f"tran 1m {trial.lasts:g} 0 {STEP:g} uic",
        "wrdata out " + " ".join(f"i(vm{light.lower()})" for light in lights),
        "quit",
        ".endc",
        ".end",
    ]
    return "\n".join(lines) + "\n"


def _lines(part: Part, node: Callable[[Part, int], str], trial: Trial) -> list[str]:
    name, family = part.id, part.type.family
    ends = [node(part, i) for i in range(len(part.nets))]
    if family == "supply":
        volts, ohms = SUPPLIES[part.type.id]
        cells = part.setting("count", 1.0)
        volts = part.setting("emf", volts) * cells
        return [f"Vs{name} s{name} {ends[1]} pulse(0 {volts:g} 0 1u 1u 1e3 2e3)",
                f"Rs{name} s{name} {ends[0]} {ohms * cells:g}"]  # fmt: skip
    if family == "resistor":
        return [f"R{name} {ends[0]} {ends[1]} {part.value:g}"]
    if family == "capacitor":
        return [f"C{name} {ends[0]} {ends[1]} {part.value:g} ic=0"]
    if family == "electrolytic":
        # loss angle 0.16 at 120 Hz; leakage 1000 s of time constant
        ohms = 0.16 / (2 * np.pi * 120 * part.value)
        return [f"C{name} {ends[0]} e{name} {part.value:g} ic=0", f"Re{name} e{name} {ends[1]} {ohms:.4g}",
                f"Rl{name} {ends[0]} {ends[1]} {1000 / part.value:.4g}"]  # fmt: skip
    if family == "diode":
        return [f"D{name} {ends[0]} {ends[1]} d4148"]
    if family == "led":
        return [f"Vm{name} {ends[0]} m{name} 0", f"D{name} m{name} {ends[1]} {LEDS[part.type.id]}"]
    if family == "transistor":
        return [f"Q{name} {' '.join(ends)} bc547"]
    if family == "ldr":
        lux = _course(part.id, trial, 300.0)
        across = f"v({ends[0]})-v({ends[1]})".replace("v(0)", "0")
        ohms = f"14k*(10/max(v(l{name}),1e-3))^0.7"
        return [f"Vl{name} l{name} 0 pwl({lux})", f"B{name} {ends[0]} {ends[1]} I=({across})/({ohms})"]
    if family == "button":
        return [f"Vp{name} p{name} 0 pwl({_course(part.id, trial, 0.0)})",
                f"S{name} {ends[0]} {ends[1]} p{name} 0 contact"]  # fmt: skip
    return [f"X{name} {' '.join(ends)} {CHIPS[part.type.id]}"]


def _course(part: str, trial: Trial, first: float) -> str:
    points = [(0.0, first)]
    for action in trial.actions:
        if action.part == part:
            points.append((max(action.time, 1e-4), points[-1][1]))
            points.append((max(action.time, 1e-4) + max(action.ramp, 1e-4), action.value))
    return " ".join(f"{t:.6g} {v:g}" for t, v in points)


def currents(circuit: Circuit, trial: Trial, lights: list[str]) -> tuple[np.ndarray, np.ndarray] | None:
    """Times [s] and the current of each light [A], a column each; None where the simulator gave up.

    A light that is not on the board carries none.
    """
    there = [light for light in lights if light in circuit.by_id]
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "deck.cir"
        if not there:
            return np.array([0.0, trial.lasts]), np.zeros((2, len(lights)))
        for options in OPTIONS:
            file.write_text(deck(circuit, trial, there, options), encoding="utf-8")
            command = ["ngspice", "-b", file.name]
            try:
                subprocess.run(command, cwd=folder, capture_output=True, timeout=SECONDS, check=False)
                data = np.loadtxt(Path(folder) / "out", ndmin=2)
            except (OSError, subprocess.TimeoutExpired, ValueError):
                continue
            if data[-1, 0] >= 0.999 * trial.lasts:
                break
        else:
            return None
    out = np.zeros((len(data), len(lights)))
    for column, light in enumerate(there):
        out[:, lights.index(light)] = data[:, 2 * column + 1]
    return data[:, 0], out
