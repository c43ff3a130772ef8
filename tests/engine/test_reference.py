"""The demos and fourteen more circuits against the reference simulator, on decks written by hand.

``reference/recorded.json`` holds what ``reference/record.py`` recorded; with the simulator at hand the
marked test runs the decks again.  Event times agree within 0.05 % and voltages within 5 mV.
"""

import json
import sys
from pathlib import Path

import numpy as np
import pytest
from _circuits import CIRCUITS, measured
from _demo import demo

from buildalong.engine import Options, measure, simulate

HERE = Path(__file__).parent / "reference"
RECORDED = json.loads((HERE / "recorded.json").read_text(encoding="utf-8"))
TIMES = 5e-4
VOLTS = 5e-3


def ours(name):
    """The same measures from our engine."""
    if name in CIRCUITS:
        circuit, trial, measures = CIRCUITS[name]
        run = simulate(circuit, trial, None, Options(rtol=1e-5))
        return {key: measured(run, what) for key, what in measures.items()}
    run = simulate(*demo(name), None, Options(rtol=1e-5))

    def at(net, t):
        return float(np.interp(t, run.times, run.voltage(net)))

    lights = [e.time for e in run.events if e.kind == "light"]
    if name == "lighthouse":
        return {
            "on1": lights[3] - lights[2], "off1": lights[4] - lights[3],
            "capmax": measure(run, "max", "CAP", 3, 9).value,
            "capmin": measure(run, "min", "CAP", 3, 9).value,
            "lamp": at("LAMP", 3.2), "outv": at("OUT", 3.2),
        }  # fmt: skip
    if name == "cupboard-light":
        return {
            "on1": lights[1] - lights[0], "capmax": measure(run, "max", "CAP").value,
            "lamp": at("LAMP", 6), "outv": at("OUT", 6),
        }  # fmt: skip
    if name == "mailbox-flag":
        return {"lamp": at("LAMP", 4), "outv": at("OUT", 4)}
    if name == "level-crossing":
        col, t = run.voltage("COL1"), run.times
        up = np.flatnonzero((col[:-1] < 1.5) & (col[1:] >= 1.5))
        down = np.flatnonzero((col[:-1] >= 1.5) & (col[1:] < 1.5))

        def cross(i):
            return t[i] + (t[i + 1] - t[i]) * (1.5 - col[i]) / (col[i + 1] - col[i])

        up = [cross(i) for i in up if t[i] > 2.0]
        fall = next(cross(i) for i in down if cross(i) > up[0])
        return {"period": up[1] - up[0], "half": fall - up[0]}
    if name == "dusk-light":
        return {"lit": lights[0], "dark": lights[1], "lamp": at("LAMP", 11), "outv": at("OUT", 11)}
    return {"cath": at("CATH", 0.3), "lamp": max(at(f"N{i}", 0.3) for i in range(10))}


def compare(name, reference):
    """Every measure of ours beside the reference."""
    spans = {"on1", "off1", "period", "half", "lit", "dark"}
    if name in CIRCUITS:
        spans = {key for key, what in CIRCUITS[name][2].items() if what[0] == "span"}
    for key, value in ours(name).items():
        expected = reference[key]
        if key == "half":
            expected %= reference["period"]
        if key in spans:
            assert value == pytest.approx(expected, rel=TIMES), key
        else:
            assert value == pytest.approx(expected, abs=VOLTS), key


@pytest.mark.parametrize("name", sorted(RECORDED))
def test_circuit_agrees_with_the_recorded_reference(name):
    """Times within 0.05 %, voltages within 5 mV of the recorded reference."""
    compare(name, RECORDED[name])


@pytest.mark.debian
@pytest.mark.parametrize("name", sorted(RECORDED))
def test_circuit_agrees_with_the_reference_live(name):
    """The decks, run now, give what was recorded, and we agree with them."""
    sys.path.insert(0, str(HERE))
    from record import run_deck

    live = run_deck(name)
    for key, value in RECORDED[name].items():
        assert live[key] == pytest.approx(value, rel=1e-4, abs=1e-5), key
    compare(name, live)
