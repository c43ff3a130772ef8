"""What a person reads of a study in the terminal."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from buildalong.cli._show import say, table

if TYPE_CHECKING:
    from buildalong.circuit import Circuit
    from buildalong.engine import OperatingPoint
    from buildalong.study import Asked, Sensitivity, Sweep

__all__ = ["show_moment", "show_sensitivity", "show_sweep"]


def _shown(value: float, asked: Asked) -> str:
    from buildalong.quantity import format_quantity

    if math.isnan(value):
        return "-"
    return format_quantity(value, asked.unit or ("" if asked.name == "count" else "%"), 4)


def _files(files: Sequence[str]) -> None:
    for name in files:
        say(f"drawn in {name}")


def show_sweep(found: Sweep, files: Sequence[str]) -> None:
    """Print a row for each value, and why there is no number where there is none."""
    from buildalong.quantity import format_quantity

    say(f"trial '{found.trial.name}', {found.parameter} moved")
    say()
    rows = [(str(found.parameter), *(str(column.asked) for column in found.columns))]
    for i, value in enumerate(found.values):
        shown = format_quantity(value, found.parameter.unit, 4)
        rows.append((shown, *(_shown(column.values[i], column.asked) for column in found.columns)))
    table(rows)
    told = dict.fromkeys(why for column in found.columns for why in column.why if why)
    for why in list(told)[:3]:
        say(f"  - {why}")
    _files(files)


def show_sensitivity(found: Sensitivity) -> None:
    """Print for each measure how strongly each number moves it, strongest first."""
    from buildalong.quantity import format_quantity

    say(f"trial '{found.trial.name}': change of the measure for one per cent more of each number")
    for asked, value in found.usual:
        say()
        rows = [("number", "value", f"{asked} = {_shown(value, asked)}")]
        for influence in found.influences:
            if influence.asked != asked:
                continue
            moved = influence.why or f"{influence.relative:+.3f} %".replace("-", "−")
            if not influence.why and not influence.smooth:
                moved += " (it jumps there)"
            number = influence.parameter
            rows.append((str(number), format_quantity(number.value, number.unit, 3), moved))
        table(rows)


def show_moment(circuit: Circuit, point: OperatingPoint, time: float, files: Sequence[str]) -> None:
    """Print every net with its voltage and every part with its currents."""
    from buildalong.quantity import format_quantity

    say(f"{format_quantity(time, 's', 4)} after switching on")
    say()
    table(
        [("net", "voltage"), *((n, format_quantity(round(v, 6), "V", 4)) for n, v in point.voltages.items())]
    )
    say()
    rows = [("part", "current into", "")]
    for part in circuit.parts:
        terminals = part.type.terminals[:1] if len(part.nets) == 2 else part.type.terminals
        for terminal in terminals:
            flow = point.currents[part.id, terminal.name]
            rows.append((part.id, terminal.name, format_quantity(0.0 if abs(flow) < 1e-9 else flow, "A", 4)))
    table(rows)
    if point.states:
        say()
        table([("chip", "state"), *point.states.items()])
    _files(files)
