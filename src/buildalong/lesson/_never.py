"""A light that never comes on: in the words of its kind, and whether its leads look swapped."""

from __future__ import annotations

from typing import TYPE_CHECKING

from buildalong.board import pin_words
from buildalong.circuit import Circuit, Part

if TYPE_CHECKING:
    from buildalong.engine import Run

__all__ = ["in_its_words", "swapped_leads"]

_STATES = {
    "buzzer": {
        "stays dark": "stays silent", "stays lit": "sounds all the time", "never dark": "never silent",
        "never lit": "never heard", "is dark": "is silent", "is lit": "sounds",
    },
    "motor": {
        "stays dark": "does not turn", "stays lit": "turns all the time", "never dark": "never at rest",
        "never lit": "never turning", "is dark": "is at rest", "is lit": "turns",
    },
}  # fmt: skip
_PLAIN_VOLTS = 0.5
"""Less voltage than this between its leads tells nothing about their direction."""
_SHARE = 0.2
"""Up to this share of the reverse voltage may lie across a reversed part the right way round."""


def in_its_words(circuit: Circuit, part: str, message: str) -> str:
    """Say of a buzzer or a motor what the engine says of lights: 'stays silent' for 'stays dark'."""
    found = circuit.by_id.get(part)
    for said, words in _STATES.get(found.type.family if found else "", {}).items():
        message = message.replace(f" {said}", f" {words}")
    return message


def swapped_leads(run: Run, part: str) -> str:
    """Ask whether a polarised part's leads are swapped, where its voltage in the run is reversed; else ''."""
    found = run.circuit.by_id.get(part)
    if found is None or not found.type.polarised or not len(run.times):
        return ""
    plus, minus = (_terminal(found, *roles) for roles in (("positive", "anode"), ("negative", "cathode")))
    high, low = found.net(plus) if plus else None, found.net(minus) if minus else None
    if high is None or low is None or high not in run.nets or low not in run.nets:
        return ""
    across = run.voltage(high) - run.voltage(low)
    reverse, forward = float(-across.min()), float(across.max())
    if reverse < _PLAIN_VOLTS or forward > _SHARE * reverse:
        return ""
    return f"{pin_words(found, minus)} is on {low}, which is the higher voltage: are its leads swapped?"


def _terminal(part: Part, *roles: str) -> str:
    return next((t.name for t in part.type.terminals if t.role in roles), "")
