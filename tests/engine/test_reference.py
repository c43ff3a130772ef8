"""Every circuit of the accuracy table against the reference simulator, on decks written by hand.

``reference/recorded.json`` holds what ``reference/record.py`` recorded; with the simulator at hand the
marked test runs the decks again.  Event times agree within 0.05 % and voltages within 5 mV, both at a tight
tolerance and at the one that is used when nothing is said.
"""

import json
import sys
from pathlib import Path

import pytest
from _accuracy import differences
from _circuits import CIRCUITS

from buildalong.engine import Options

HERE = Path(__file__).parent / "reference"
RECORDED = json.loads((HERE / "recorded.json").read_text(encoding="utf-8"))


def test_every_circuit_has_a_deck_and_sixteen_are_compared():
    """No circuit of the table is left out, and no deck lies unused."""
    assert sorted(RECORDED) == sorted(CIRCUITS) == sorted(p.stem for p in HERE.glob("*.cir"))
    assert len(CIRCUITS) >= 16


@pytest.mark.parametrize("rtol", [1e-5, Options().rtol])
@pytest.mark.parametrize("name", sorted(CIRCUITS))
def test_circuit_agrees_with_the_recorded_reference(name, rtol):
    """Times within 0.05 %, voltages within 5 mV of the recorded reference."""
    for found in differences(name, RECORDED[name], rtol):
        assert found.right, found


@pytest.mark.debian("ngspice")
@pytest.mark.parametrize("name", sorted(CIRCUITS))
def test_deck_gives_live_what_was_recorded(name):
    """The decks, run now, give what was recorded, so that we agree with them too."""
    sys.path.insert(0, str(HERE))
    from record import run_deck

    live = run_deck(name)
    for key, value in RECORDED[name].items():
        assert live[key] == pytest.approx(value, rel=1e-4, abs=1e-5), key
    for found in differences(name, live, 1e-5):
        assert found.right, found
