"""The circuits of the accuracy table, each with a deck of the same name in ``reference``.

A measure is an interval between two crossings of a net, or a number of one net:
("span", net, level, first, second): crossings, as (rising, number from 0, not before);
("at", net, time), ("when", net, other net, level, crossing), ("max", net, from, to), ("min", net, from, to).
"""

from __future__ import annotations

import numpy as np
from _demo import demo, part, supply

from buildalong.circuit import Circuit
from buildalong.engine import Action, Trial

__all__ = ["CIRCUITS", "measured"]

UP, DOWN = True, False
SUPPLIES = {"5v": "USB 5 V", "6v": "4 x AA", "9v": "9 V block", "12v": "8 x AA"}


def pressed(name, *spans):
    """A button held from each start to its end."""
    return tuple(
        Action(t, name, "pressed", value) for span in spans for t, value in zip(span, (1, 0), strict=True)
    )


def timer(trig, thres, dis, reset="PLUS"):
    """A bipolar timer, its pins in the order of the package."""
    return part("U1", "timer-555", ("0V", trig, "OUT", reset, "CTRL", thres, dis, "PLUS"))


def plain(volts, *more, reset="PLUS"):
    """The plain astable: 10 k, 47 k, 1 u; 1 k from the output to ground."""
    return Circuit(
        (
            supply(SUPPLIES[volts]),
            timer("CAP", "CAP", "DIS", reset),
            part("R1", "resistor", ("PLUS", "DIS"), "10k"),
            part("R2", "resistor", ("DIS", "CAP"), "47k"),
            part("C1", "capacitor-film", ("CAP", "0V"), "1u"),
            part("C2", "capacitor-film", ("CTRL", "0V"), "10n"),
            part("R3", "resistor", ("OUT", "0V"), "1k"),
            *more,
        )
    )


def steered(volts):
    """The diode-steered astable: 22 k up, 47 k down, 1 u; 1 k from the output to the supply."""
    return Circuit(
        (
            supply(SUPPLIES[volts]),
            timer("CAP", "CAP", "DIS"),
            part("R1", "resistor", ("PLUS", "DIS"), "22k"),
            part("R2", "resistor", ("DIS", "LOW"), "47k"),
            part("D1", "diode-1n4148", ("DIS", "CAP")),
            part("D2", "diode-1n4148", ("CAP", "LOW")),
            part("C1", "capacitor-film", ("CAP", "0V"), "1u"),
            part("C2", "capacitor-film", ("CTRL", "0V"), "10n"),
            part("R3", "resistor", ("PLUS", "OUT"), "1k"),
        )
    )


CYCLE = {
    "on1": ("span", "OUT", 2.0, (UP, 1, 0.0), (DOWN, 1, 0.0)),
    "off1": ("span", "OUT", 2.0, (DOWN, 1, 0.0), (UP, 2, 0.0)),
    "first": ("span", "OUT", 2.0, None, (DOWN, 0, 0.0)),
}


def cap(end):
    """The capacitor's highest and lowest voltage once the first cycle is over."""
    return {"capmax": ("max", "CAP", 0.1, end), "capmin": ("min", "CAP", 0.1, end)}


CIRCUITS = {
    "lighthouse": (
        *demo("lighthouse"),
        {
            "on1": ("span", "OUT", 2.5, (UP, 1, 0.0), (DOWN, 1, 0.0)),
            "off1": ("span", "OUT", 2.5, (DOWN, 1, 0.0), (UP, 2, 0.0)),
            "first": ("span", "OUT", 2.5, None, (DOWN, 0, 0.0)),
            "capmax": ("max", "CAP", 3.0, 9.0),
            "capmin": ("min", "CAP", 3.0, 9.0),
            "lamp": ("at", "LAMP", 3.2),
            "outv": ("at", "OUT", 3.2),
        },
    ),
    "cupboard-light": (
        *demo("cupboard-light"),
        {
            "on1": ("span", "OUT", 4.0, (UP, 0, 1.0), (DOWN, 0, 1.0)),
            "capmax": ("max", "CAP", 0.0, 14.0),
            "lamp": ("at", "LAMP", 6.0),
            "outv": ("at", "OUT", 6.0),
        },
    ),
    "mailbox-flag": (*demo("mailbox-flag"), {"lamp": ("at", "LAMP", 4.0), "outv": ("at", "OUT", 4.0)}),
    "level-crossing": (
        *demo("level-crossing"),
        {
            "period": ("span", "COL1", 1.5, (UP, 0, 2.0), (UP, 1, 2.0)),
            "half": ("span", "COL1", 1.5, (UP, 0, 2.0), (DOWN, 0, 2.5)),
            "coloff": ("when", "COL1", "BASE1", -1.0, (UP, 0, 2.0)),
            "colon": ("when", "COL2", "BASE1", -1.0, (UP, 0, 2.0)),
            "base": ("when", "BASE2", "BASE1", -1.0, (UP, 0, 2.0)),
            "led": ("when", "LED1", "BASE2", -1.0, (UP, 0, 2.0)),
        },
    ),
    "dusk-light": (
        *demo("dusk-light"),
        {
            "lit": ("span", "OUT", 2.0, None, (DOWN, 0, 1.0)),
            "dark": ("span", "OUT", 2.0, None, (UP, 0, 5.0)),
            "lamp": ("at", "LAMP", 11.0),
            "outv": ("at", "OUT", 11.0),
        },
    ),
    "runway-lights": (
        *demo("runway-lights"),
        {
            "first": ("span", "CLK", 4.0, None, (DOWN, 0, 0.0)),
            "period": ("span", "CLK", 4.0, (UP, 1, 0.0), (UP, 2, 0.0)),
            "lit3": ("span", "N3", 3.0, (UP, 0, 0.0), (DOWN, 0, 0.0)),
            "start3": ("span", "N3", 3.0, None, (UP, 0, 0.0)),
            "start5": ("span", "N5", 3.0, None, (UP, 0, 0.0)),
            "cath": ("at", "CATH", 0.28),
            "lamp": ("at", "N3", 0.28),
            "capmax": ("max", "CAP", 0.2, 0.7),
            "capmin": ("min", "CAP", 0.2, 0.7),
        },
    ),
}
CIRCUITS |= {
    f"astable-{v}": (
        plain(v),
        Trial("astable", 0.35),
        {**CYCLE, **cap(0.35), "outmax": ("max", "OUT", 0.1, 0.35)},
    )
    for v in SUPPLIES
}
CIRCUITS |= {
    f"steered-{v}": (
        steered(v),
        Trial("steered", 0.3),
        {**CYCLE, **cap(0.3), "outmin": ("min", "OUT", 0.1, 0.3)},
    )
    for v in ("5v", "9v", "12v")
}
CIRCUITS["control-voltage"] = (
    plain("9v", part("R4", "resistor", ("CTRL", "0V"), "10k")),
    Trial("control", 0.35),
    {**CYCLE, "capmax": ("max", "CAP", 0.1, 0.35), "ctrl": ("at", "CTRL", 0.2)},
)
CIRCUITS["reset-midway"] = (
    plain(
        "6v",
        part("R4", "resistor", ("PLUS", "RESET"), "4.7k"),
        part("S1", "push-button", ("RESET", "0V")),
        reset="RESET",
    ),
    Trial("reset", 0.35, pressed("S1", (0.12, 0.14), (0.19, 0.21))),
    {
        "cut": ("span", "OUT", 2.0, (UP, 0, 0.06), (DOWN, 0, 0.09)),
        "pause": ("span", "OUT", 2.0, (DOWN, 0, 0.09), (UP, 0, 0.13)),
        "next": ("span", "OUT", 2.0, (UP, 0, 0.13), (DOWN, 0, 0.14)),
        "after": ("span", "OUT", 2.0, (DOWN, 0, 0.14), (UP, 0, 0.2)),
        "held": ("at", "RESET", 0.13),
        "free": ("at", "RESET", 0.3),
        "capreset": ("at", "CAP", 0.21),
    },
)
CIRCUITS["held-trigger"] = (
    Circuit(
        (
            supply("USB 5 V"),
            timer("TRIG", "CAP", "CAP"),
            part("R1", "resistor", ("PLUS", "CAP"), "100k"),
            part("C1", "capacitor-film", ("CAP", "0V"), "1u"),
            part("R2", "resistor", ("PLUS", "TRIG"), "10k"),
            part("S1", "push-button", ("TRIG", "0V")),
            part("R3", "resistor", ("OUT", "0V"), "1k"),
        )
    ),
    Trial("held", 1.3, pressed("S1", (0.3, 0.7), (1.0, 1.02))),
    {
        "held": ("span", "OUT", 2.0, (UP, 0, 0.2), (DOWN, 0, 0.29)),
        "on1": ("span", "OUT", 2.0, (UP, 0, 0.9), (DOWN, 0, 0.9)),
        "capheld": ("at", "CAP", 0.6),
        "outheld": ("at", "OUT", 0.6),
    },
)
CIRCUITS["comparator-astable"] = (
    Circuit(
        (
            supply("USB 5 V"),
            part("R1", "resistor", ("PLUS", "REF"), "10k"),
            part("U1", "comparator-lm393", ("OUT", "CAP", "REF", "0V", "0V", "PLUS", "-", "PLUS")),
            part("R2", "resistor", ("REF", "0V"), "10k"),
            part("R3", "resistor", ("OUT", "REF"), "100k"),
            part("R4", "resistor", ("PLUS", "OUT"), "10k"),
            part("R5", "resistor", ("OUT", "CAP"), "470k"),
            part("C1", "capacitor-film", ("CAP", "0V"), "100n"),
        )
    ),
    Trial("comparator", 0.1),
    {
        "on1": ("span", "OUT", 1.0, (UP, 0, 0.03), (DOWN, 0, 0.045)),
        "off1": ("span", "OUT", 1.0, (DOWN, 0, 0.045), (UP, 0, 0.05)),
        "capmax": ("max", "CAP", 0.03, 0.1),
        "capmin": ("min", "CAP", 0.045, 0.1),
    },
)
CIRCUITS["rectifier-rc"] = (
    Circuit(
        (
            supply("4 x AA"),
            part("S1", "push-button", ("PLUS", "ANODE")),
            part("R3", "resistor", ("ANODE", "0V"), "1k"),
            part("D1", "diode-1n4001", ("ANODE", "KATH")),
            part("R1", "resistor", ("KATH", "CAP"), "100"),
            part("C1", "electrolytic", ("CAP", "0V"), "10u"),
            part("R2", "resistor", ("CAP", "0V"), "47k"),
        )
    ),
    Trial("rectifier", 1.2, pressed("S1", (0.1, 0.12), (0.3, 0.32))),
    {
        "fell": ("span", "CAP", 2.0, None, (DOWN, 0, 0.4)),
        "cap1": ("at", "CAP", 0.118),
        "cap2": ("at", "CAP", 0.25),
        "kath": ("at", "KATH", 0.31),
    },
)
CIRCUITS["lamp-delay"] = (
    Circuit(
        (
            supply("USB 5 V"),
            part("S1", "push-button", ("PLUS", "TOP")),
            part("R1", "resistor", ("TOP", "STORE"), "100"),
            part("C1", "electrolytic", ("STORE", "0V"), "100u"),
            part("R2", "resistor", ("STORE", "BASE"), "47k"),
            part("Q1", "npn-bc547", ("COL", "BASE", "0V")),
            part("R3", "resistor", ("PLUS", "LED"), "330"),
            part("DS1", "led-red", ("LED", "COL")),
        )
    ),
    Trial("lamp", 15.0, pressed("S1", (0.2, 0.7))),
    {
        "out1": ("span", "COL", 1.5, None, (UP, 0, 1.0)),
        "col1": ("at", "COL", 0.6),
        "base1": ("at", "BASE", 0.6),
        "led1": ("at", "LED", 0.6),
    },
)
MOTOR = (
    supply("2 x AA"),
    part("S1", "push-button", ("PLUS", "TOP")),
    part("R1", "resistor", ("TOP", "BASE"), "100"),
    part("R2", "resistor", ("BASE", "0V"), "10k"),
    part("Q1", "npn-pn2222a", ("COL", "BASE", "0V")),
    part("M1", "motor-3v", ("PLUS", "COL")),
    part("D1", "diode-1n4001", ("COL", "PLUS")),
)
SLOWING = {
    "slow": ("span", "COL", 2.0, None, (UP, 0, 1.2)),
    "col1": ("at", "COL", 0.15),
    "col2": ("at", "COL", 1.0),
    "plus1": ("at", "PLUS", 0.15),
    "col3": ("at", "COL", 1.3),
}
CIRCUITS["motor-switch"] = (Circuit(MOTOR), Trial("motor", 3.0, pressed("S1", (0.1, 1.1))), SLOWING)
CIRCUITS["lamp-and-motor"] = (
    Circuit((*MOTOR, part("R3", "resistor", ("PLUS", "LED"), "47"), part("DS1", "led-red", ("LED", "COL")))),
    Trial("both", 3.0, pressed("S1", (0.1, 1.1))),
    {**SLOWING, "led2": ("at", "LED", 1.0)},
)
CIRCUITS["transistor-latch"] = (
    Circuit(
        (
            supply("USB 5 V"),
            part("R1", "resistor", ("PLUS", "COL1"), "1k"),
            part("R2", "resistor", ("PLUS", "COL2"), "1k"),
            part("R3", "resistor", ("COL1", "BASE2"), "47k"),
            part("R4", "resistor", ("COL2", "BASE1"), "47k"),
            part("Q1", "npn-bc547", ("COL1", "BASE1", "0V")),
            part("Q2", "npn-bc547", ("COL2", "BASE2", "0V")),
            part("S1", "push-button", ("BASE1", "0V")),
            part("S2", "push-button", ("BASE2", "0V")),
        )
    ),
    Trial("latch", 1.0, (*pressed("S1", (0.1, 0.2)), *pressed("S2", (0.5, 0.6)))),
    {
        "colset": ("at", "COL1", 0.4),
        "othset": ("at", "COL2", 0.4),
        "colres": ("at", "COL1", 0.8),
        "othres": ("at", "COL2", 0.8),
        "base1": ("at", "BASE1", 0.8),
    },
)


def crossing(run, net, level, which):
    """When a net crosses a level: (rising, number, not before); 0 s for None."""
    if which is None:
        return 0.0
    rising, number, after = which
    t, v = run.times, run.voltage(net)
    below = v < level
    steps = np.flatnonzero(below[:-1] & ~below[1:] if rising else ~below[:-1] & below[1:])
    times = t[steps] + (t[steps + 1] - t[steps]) * (level - v[steps]) / (v[steps + 1] - v[steps])
    return float(times[times >= after][number])


def measured(run, what):
    """One measure of a run."""
    kind, net, *rest = what
    if kind == "span":
        level, first, second = rest
        return crossing(run, net, level, second) - crossing(run, net, level, first)
    if kind in ("at", "when"):
        time = rest[0] if kind == "at" else crossing(run, *rest)
        return float(np.interp(time, run.times, run.voltage(net)))
    inside = run.voltage(net)[(run.times >= rest[0]) & (run.times <= rest[1])]
    return float(inside.max() if kind == "max" else inside.min())
