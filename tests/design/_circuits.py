"""Small circuits for the tests of design and story, written as lines of text."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

from buildalong.circuit import Circuit, Part, build_part, parse_supply
from buildalong.design import SheetEntry, sheet
from buildalong.engine import Trial
from buildalong.lesson import load
from buildalong.parts import catalogue
from buildalong.quantity import parse_as

EXAMPLES = Path(__file__).parents[2] / "examples"
DEMOS = ("cupboard-light", "dusk-light", "level-crossing", "lighthouse", "mailbox-flag", "runway-lights")


def circuit(text: str, volts: float = 9.0) -> Circuit:
    """A circuit from lines ``R1 resistor 10k PLUS A``, the value left out or '-' where there is none.

    A setting stands at the end as ``name=number``; the supply BT1 joins PLUS and 0V.
    """
    parts = [Part("BT1", catalogue()["supply-usb"], ("PLUS", "0V"), settings=(("voltage", volts),))]
    for line in filter(None, (raw.strip() for raw in text.splitlines())):
        identity, kind, *rest = line.replace(" µF", "µF").replace(" nF", "nF").split()
        found = catalogue()[kind]
        settings = tuple((k, float(v)) for k, v in (w.split("=") for w in rest if "=" in w))
        rest = [word for word in rest if "=" not in word]
        value = None
        if found.value is not None and len(rest) > len(found.terminals):
            value = parse_as(rest.pop(0), found.value.unit)
        nets = tuple(None if net == "-" else net for net in rest)
        assert len(nets) == len(found.terminals), line
        parts.append(Part(identity, found, nets, value, settings=settings))
    return Circuit(tuple(parts))


@cache
def demo(name: str) -> Circuit:
    """The circuit of a demo lesson."""
    data = tomllib.loads((EXAMPLES / name / "lesson.toml").read_text(encoding="utf-8"))
    kind, settings = parse_supply(data["supply"], catalogue())
    parts = [Part("BT1", kind, ("PLUS", "0V"), settings=settings)]
    for identity, entry in data["parts"].items():
        extra = {k: v for k, v in entry.items() if k not in ("part", "pins", "value", "tolerance", "label")}
        part, findings = build_part(
            identity, catalogue()[entry["part"]], entry["pins"], entry.get("value"), settings=extra
        )
        assert part is not None, findings
        parts.append(part)
    return Circuit(tuple(parts))


@cache
def demo_trial(name: str) -> Trial:
    """The first trial of a demo lesson, as the lesson package reads it."""
    return load(EXAMPLES / name).trials[0]


def entry(made: Circuit, name: str) -> SheetEntry:
    """The sheet entry whose name begins with ``name``."""
    found = [e for e in sheet(made) if e.name.split("(")[0] == name or e.name == name]
    assert found, f"no {name} among {[e.name for e in sheet(made)]}"
    return found[0]


def astable(ra: str, rb: str, c: str, volts: float = 9.0) -> Circuit:
    """The data sheets' plain astable."""
    return circuit(
        f"""
        U1 timer-555 0V CAP OUT PLUS - CAP DIS PLUS
        R1 resistor {ra} PLUS DIS
        R2 resistor {rb} DIS CAP
        C1 capacitor-film {c} CAP 0V
        """,
        volts,
    )


def one_shot(r: str, c: str, volts: float = 9.0) -> Circuit:
    """The data sheets' one-shot."""
    return circuit(
        f"""
        U1 timer-555 0V TRIG OUT PLUS - CAP CAP PLUS
        R1 resistor {r} PLUS CAP
        C1 capacitor-film {c} CAP 0V
        """,
        volts,
    )


def led(r: str, volts: float, vf: float) -> Circuit:
    """A LED with its resistor on the supply."""
    return circuit(f"R1 resistor {r} PLUS A\nDS1 led-red A 0V forward_voltage={vf}", volts)


def rc(r: str, c: str, volts: float) -> Circuit:
    """A capacitor that charges through a resistor."""
    return circuit(f"R1 resistor {r} PLUS X\nC1 capacitor-film {c} X 0V", volts)


def switch(rb: str, rc_: str, volts: float) -> Circuit:
    """A transistor that switches a resistor."""
    return circuit(f"Q1 npn-bc547 C B 0V\nR1 resistor {rb} PLUS B\nR2 resistor {rc_} PLUS C", volts)


def pair(r1: str, c1: str, r2: str, c2: str, volts: float = 9.0, load: str = "1k") -> Circuit:
    """Two transistors as an astable with resistors as loads."""
    return circuit(
        f"""
        Q1 npn-bc547 C1N B1 0V
        Q2 npn-bc547 C2N B2 0V
        R1 resistor {load} PLUS C1N
        R2 resistor {load} PLUS C2N
        R3 resistor {r1} PLUS B1
        R4 resistor {r2} PLUS B2
        C1 capacitor-film {c1} C2N B1
        C2 capacitor-film {c2} C1N B2
        """,
        volts,
    )
