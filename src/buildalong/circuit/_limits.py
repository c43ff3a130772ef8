"""The supply's voltage and polarity against what each IC allows."""

from __future__ import annotations

from collections.abc import Mapping

from buildalong.circuit._circuit import Circuit, Part
from buildalong.circuit._fault import fault
from buildalong.circuit._supply import MOST_VOLTS
from buildalong.finding import Finding, Severity
from buildalong.parts import Figure
from buildalong.quantity import format_quantity

__all__ = ["power_pins", "supply_limits", "supply_voltages"]


def supply_voltages(supply: Part) -> tuple[float, float, float]:
    """Give end, nominal and fresh voltage [V] of a supply with all its cells, without load."""
    count = supply.setting("count", 1.0)
    figures = supply.type.figures
    nominal = figures["voltage"].value
    end = figures["end_voltage"].low if "end_voltage" in figures else nominal
    fresh = figures["fresh_voltage"].high if "fresh_voltage" in figures else nominal
    return end * count, nominal * count, fresh * count


def power_pins(circuit: Circuit) -> list[Finding]:
    """Find ICs without power or with it the wrong way round."""
    found = []
    for part in circuit.parts:
        nets = {
            terminal.role: net
            for terminal, net in zip(part.type.terminals, part.nets, strict=True)
            if terminal.role in ("supply", "ground")
        }
        high, low = nets.get("supply"), nets.get("ground")
        if high is None or low is None:
            continue
        if high == low:
            message = f"supply and ground pin of {part.id} are on the same net {high}, so it has no power"
            hint = f"the supply pin belongs on {circuit.plus}, the ground pin on {circuit.ground}"
            found.append(fault("ic-unpowered", message, hint, part.id, "pins"))
        elif high == circuit.ground or low == circuit.plus:
            message = f"{part.id}'s supply pin is on {high} and its ground pin on {low}: the wrong way round"
            hint = f"the supply pin belongs on {circuit.plus}, the ground pin on {circuit.ground}"
            found.append(fault("ic-reversed", message, hint, part.id, "pins"))
    return found


def _model_voltage(supply: Part) -> float:
    """The voltage that a simulation would use: a lesson's own part may say another one there."""
    data = supply.type.model.get("emf")
    volts = Figure.model_validate(data).high if isinstance(data, Mapping) else 0.0
    return supply.setting("emf", volts) * supply.setting("count", 1.0)


def supply_limits(circuit: Circuit) -> list[Finding]:
    """Compare the supply, fresh and empty, with what lessons and the ICs allow."""
    supply = circuit.supply
    if "voltage" not in supply.type.figures:
        return []
    end, nominal, fresh = supply_voltages(supply)
    name = f"{supply.type.noun} of {_volts(nominal)}"
    highest = max(nominal, fresh, _model_voltage(supply))
    if highest > MOST_VOLTS:
        message = f"the supply gives {_volts(highest)}; lessons stay below {MOST_VOLTS:g} V of direct voltage"
        return [fault("mains-voltage", message, "use batteries or USB", "supply")]
    found = []
    for part in circuit.parts:
        limits = {key: figure.value for key, figure in part.type.ratings.items() if key.startswith("supply_")}
        if not limits:
            continue
        who = f"{part.id} ({part.type.noun})"
        absolute, most, least = (limits.get(f"supply_{key}") for key in ("absolute", "max", "min"))
        if absolute is not None and fresh > absolute:
            message = f"fresh, the supply gives {_volts(fresh)}; {who} is destroyed above {_volts(absolute)}"
            found.append(fault("supply-too-high", message, "choose a lower supply", part.id, "supply"))
        elif most is not None and nominal > most:
            message = f"{who} works up to {_volts(most)}, and the {name} is above"
            found.append(fault("supply-too-high", message, "choose a lower supply", part.id, "supply"))
        elif most is not None and fresh > most:
            message = f"{who} is recommended up to {_volts(most)}, and fresh the supply gives {_volts(fresh)}"
            hint = "let the cells age a little, or choose a lower supply"
            found.append(
                Finding(Severity.WARNING, "supply-high-fresh", message, hint, about=(part.id, "supply"))
            )
        if least is not None and nominal < least:
            message = f"{who} needs {_volts(least)} at least, and the {name} is below"
            found.append(fault("supply-too-low", message, "choose a higher supply", part.id, "supply"))
        elif least is not None and end < least:
            message = (
                f"{who} works down to {_volts(least)}; an empty supply gives {_volts(end)}, "
                "so the circuit stops a little before the supply is empty"
            )
            cells = supply.setting("count", 1.0)
            hint = (
                f"tell the learner: change the cells when each is down to {_volts(least / cells)}"
                if cells > 1
                else ""
            )
            found.append(Finding(Severity.NOTE, "supply-ends-low", message, hint, about=(part.id, "supply")))
    return found


def _volts(value: float) -> str:
    return format_quantity(value, "V")
