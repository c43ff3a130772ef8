"""Netlists of our own for the schematic's tests: small circuits of many shapes."""

# ruff: noqa: E501

from __future__ import annotations

from _schematic_demo import part, supply

from buildalong.circuit import Circuit, Part

__all__ = ["NETLISTS"]


def _r(identity: str, one: str, other: str, value: str = "1k") -> Part:
    return part(identity, "resistor", [one, other], value)


def _led(identity: str, anode: str, cathode: str, kind: str = "led-red") -> Part:
    return part(identity, kind, [anode, cathode])


def _c(identity: str, one: str, other: str, value: str = "100 nF") -> Part:
    return part(identity, "capacitor-ceramic", [one, other], value)


def _big(identity: str, plus: str, minus: str, value: str = "10 µF") -> Part:
    return part(identity, "electrolytic", [plus, minus], value)


def _button(identity: str, one: str, other: str) -> Part:
    return part(identity, "push-button", [one, other])


def _npn(identity: str, collector: str, base: str, emitter: str) -> Part:
    return part(identity, "npn-bc547", [collector, base, emitter])


def _timer(identity: str, pins: str) -> Part:
    return part(identity, "timer-555", pins.split())


AA4 = supply("4 x AA")
NINE = supply("9 V block")

NETLISTS: dict[str, Circuit] = {
    "one light": Circuit((AA4, _r("R1", "PLUS", "A", "330"), _led("DS1", "A", "0V"))),
    "motor switch": Circuit((
        AA4, _button("S1", "PLUS", "IN"), _r("R1", "IN", "BASE"), _r("R2", "BASE", "0V", "100k"),
        part("Q1", "npn-bc337", ["LOW", "BASE", "0V"]), part("B1", "motor-3v", ["PLUS", "LOW"]),
        part("D1", "diode-1n4001", ["LOW", "PLUS"]),
    )),
    "rectifier": Circuit((
        NINE, part("D1", "diode-1n4001", ["PLUS", "SMOOTH"]), _big("C1", "SMOOTH", "0V", "470 µF"),
        _r("R1", "SMOOTH", "LAMP", "470"), _led("DS1", "LAMP", "0V", "led-green"),
    )),
    "high side": Circuit((
        NINE, part("Q1", "pnp-bc557", ["LOAD", "BASE", "PLUS"]), _r("R1", "PLUS", "BASE", "10k"),
        _r("R2", "BASE", "KEY", "4k7"), _button("S1", "KEY", "0V"), _r("R3", "LOAD", "LAMP", "470"),
        _led("DS1", "LAMP", "0V"),
    )),
    "level alarm": Circuit((
        AA4, part("U1", "comparator-lm393", ["OUT", "REF", "IN", "0V", "0V", "0V", "-", "PLUS"]),
        part("R1", "potentiometer", ["PLUS", "REF", "0V"], "10k"), _r("R2", "PLUS", "IN", "22k"),
        part("R3", "ldr-5mm", ["IN", "0V"]), _r("R4", "PLUS", "LAMP", "470"), _led("DS1", "LAMP", "OUT"),
        _c("C1", "PLUS", "0V"),
    )),
    "two lights": Circuit((
        AA4, part("S1", "slide-switch", ["A", "PLUS", "B"]), _r("R1", "A", "LA", "330"), _led("DS1", "LA", "0V"),
        _r("R2", "B", "LB", "330"), _led("DS2", "LB", "0V", "led-green"),
    )),
    "bell": Circuit((
        AA4, _timer("U1", "0V TRIG OUT PLUS CTRL CAP CAP PLUS"), _r("R1", "PLUS", "CAP", "470k"),
        _big("C1", "CAP", "0V"), _r("R2", "PLUS", "TRIG", "10k"), _button("S1", "TRIG", "0V"),
        _c("C2", "CTRL", "0V", "10 nF"), part("LS1", "buzzer-5v", ["OUT", "0V"]), _c("C3", "PLUS", "0V"),
    )),
    "blinker": Circuit((
        NINE, _timer("U1", "0V CAP OUT PLUS CTRL CAP DIS PLUS"), _r("R1", "PLUS", "DIS", "10k"),
        _r("R2", "DIS", "CAP", "68k"), _big("C1", "CAP", "0V"), _c("C2", "CTRL", "0V", "10 nF"),
        _r("R3", "OUT", "LAMP", "470"), _led("DS1", "LAMP", "0V"),
    )),
    "wig-wag": Circuit((
        NINE, _timer("U1", "0V CAP OUT PLUS - CAP DIS PLUS"), _r("R1", "PLUS", "DIS", "10k"),
        _r("R2", "DIS", "CAP", "68k"), _big("C1", "CAP", "0V"), _r("R3", "PLUS", "LA", "470"),
        _led("DS1", "LA", "OUT"), _r("R4", "OUT", "LB", "470"), _led("DS2", "LB", "0V", "led-green"),
    )),
    "window": Circuit((
        AA4, part("U1", "comparator-lm393", ["OUT", "LOW", "IN", "0V", "HIGH", "IN", "OUT", "PLUS"]),
        _r("R1", "PLUS", "HIGH", "10k"), _r("R2", "HIGH", "LOW", "10k"), _r("R3", "LOW", "0V", "10k"),
        part("R4", "potentiometer", ["PLUS", "IN", "0V"], "10k"), _r("R5", "PLUS", "LAMP", "330"),
        _led("DS1", "LAMP", "OUT"),
    )),
    "ten lights": Circuit((
        NINE, _timer("U1", "0V CAP CLK PLUS CTRL CAP DIS PLUS"), _r("R1", "PLUS", "DIS", "10k"),
        _r("R2", "DIS", "CAP", "68k"), _big("C1", "CAP", "0V", "1 µF"), _c("C2", "CTRL", "0V", "10 nF"),
        part("U2", "counter-4017", ["N5", "N1", "N0", "N2", "N6", "N7", "N3", "0V", "N8", "N4", "N9", "-", "0V", "CLK", "0V", "PLUS"]),
        *(_r(f"R{10 + i}", f"N{i}", f"M{i}") for i in range(10)),
        *(_led(f"DS{1 + i}", f"M{i}", "0V") for i in range(10)),
    )),
    "dark switch": Circuit((
        AA4, _r("R1", "PLUS", "B1", "47k"), part("R2", "ldr-5mm", ["B1", "0V"]), _npn("Q1", "C1N", "B1", "B2"),
        _npn("Q2", "C1N", "B2", "0V"), _r("R3", "PLUS", "LAMP", "330"), _led("DS1", "LAMP", "C1N", "led-white"),
    )),
    "slow fade": Circuit((
        AA4, _button("S1", "PLUS", "CAP"), _big("C1", "CAP", "0V", "1 mF"), _r("R1", "CAP", "BASE", "47k"),
        _npn("Q1", "LOW", "BASE", "0V"), _r("R2", "PLUS", "LAMP", "220"), _led("DS1", "LAMP", "LOW"),
    )),
    "switched supply": Circuit((
        NINE, part("S1", "slide-switch", ["ON", "PLUS", "-"]), _timer("U1", "0V CAP OUT ON CTRL CAP DIS ON"),
        _r("R1", "ON", "DIS", "10k"), _r("R2", "DIS", "CAP", "68k"), _big("C1", "CAP", "0V"),
        _c("C2", "CTRL", "0V", "10 nF"), _r("R3", "OUT", "LAMP", "470"), _led("DS1", "LAMP", "0V"),
        _c("C3", "ON", "0V"),
    )),
    "tone pot": Circuit((
        NINE, _timer("U1", "0V CAP OUT PLUS - CAP DIS PLUS"), _r("R1", "PLUS", "DIS", "1k"),
        part("R2", "potentiometer", ["DIS", "CAP", "CAP"], "100k"), _c("C1", "CAP", "0V"),
        _big("C2", "OUT", "SPK", "100 µF"), part("LS1", "buzzer-5v", ["SPK", "0V"]),
    )),
}  # fmt: skip
