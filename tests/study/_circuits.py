"""Small circuits with a closed form."""

from __future__ import annotations

from buildalong.circuit import Circuit, Part
from buildalong.engine import Action, Trial
from buildalong.parts import catalogue


def part(name: str, kind: str, nets: str, value: float | None = None, **settings: float) -> Part:
    """A part on nets that stand in one text; '-' is open."""
    joined = tuple(None if net == "-" else net for net in nets.split())
    return Part(name, catalogue()[kind], joined, value, settings=tuple(settings.items()))


def charging() -> tuple[Circuit, Trial]:
    """A capacitor behind a resistor and a button: half the supply after ln 2 · R · C."""
    circuit = Circuit(
        (
            part("BT1", "supply-9v", "PLUS 0V"),
            part("S1", "push-button", "PLUS TOP"),
            part("R1", "resistor", "TOP CAP", 10e3),
            part("C1", "capacitor-film", "CAP 0V", 1e-6),
        )
    )
    return circuit, Trial("press", 0.1, (Action(0.01, "S1", "pressed", 1.0),))


def astable() -> tuple[Circuit, Trial]:
    """The plain astable with a CMOS timer: f = 1 / (ln 2 · (R1 + 2 R2) · C1)."""
    circuit = Circuit(
        (
            part("BT1", "supply-9v", "PLUS 0V"),
            part("U1", "timer-555-cmos", "0V CAP OUT PLUS - CAP DIS PLUS"),
            part("R1", "resistor", "PLUS DIS", 20e3),
            part("R2", "resistor", "DIS CAP", 40e3),
            part("C1", "capacitor-film", "CAP 0V", 1e-6),
        )
    )
    return circuit, Trial("run", 0.6)


def light() -> tuple[Circuit, Trial]:
    """A red light behind a resistor."""
    circuit = Circuit(
        (
            part("BT1", "supply-9v", "PLUS 0V"),
            part("R1", "resistor", "PLUS LAMP", 470.0),
            part("DS1", "led-red", "LAMP 0V"),
        )
    )
    return circuit, Trial("on", 0.1)
