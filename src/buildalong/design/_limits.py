"""What the values of a known shape may be, so that its real parts do what the formula says."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from buildalong.circuit import Circuit, Part
from buildalong.design._facts import figure, supply_voltage
from buildalong.design._graph import Graph
from buildalong.design._recognise import recognise
from buildalong.design._shape import Shape
from buildalong.finding import Finding, Severity
from buildalong.quantity import format_quantity
from buildalong.words import plainly

__all__ = ["value_limits"]

_LOW, _HIGH = 5.0, 15.0
"""Supply voltages [V] at which data sheets give the two figures of a timer's largest resistance."""


@plainly()
def value_limits(circuit: Circuit, shapes: Iterable[Shape] | None = None) -> list[Finding]:
    """Find timing values that the makers of the parts do not promise to work.

    A timer's least and largest timing resistance; an electrolytic's leakage against the current that
    charges it.  Warnings name the parts in ``about``.  Sources stand with the figures of the catalogue.
    """
    found = recognise(circuit) if shapes is None else tuple(shapes)
    graph = Graph(circuit)
    out: list[Finding] = []
    for shape in found:
        if shape.roles.get("timer") and "capacitance" in shape.terms:
            out += _timer(graph, shape)
    return out


def _paths(shape: Shape) -> Iterator[tuple[float, tuple[str, ...], bool]]:
    """Each way in which the capacitor is filled or emptied: ohm, parts, whether it fills."""
    terms, roles = shape.terms, shape.roles
    if "upper" in terms:
        both = (*roles["charge"], *roles["discharge"])
        yield terms["upper"].value() + terms["lower"].value(), both, True
        return
    for name, fills in (("charge", True), ("discharge", False), ("through", True)):
        if name in terms:
            yield terms[name].value(), roles[name], fills


def _timer(graph: Graph, shape: Shape) -> Iterator[Finding]:
    timer, volts = graph.part(shape.part("timer")), supply_voltage(graph)
    least, most = figure(timer, "least_timing_resistance"), _largest(timer, volts)
    pulled = shape.terms.get("upper") or shape.terms.get("charge")
    if least is not None and pulled is not None and pulled.value() < least:
        parts = shape.roles["charge"]
        yield _finding(
            "timing-resistance-small", parts,
            f"{_and(parts)} is {_ohms(pulled.value())}; the makers test {timer.id} ({timer.type.noun}) with "
            f"{_ohms(least)} at least, since its discharge pin must carry the current",
            "take a larger resistor and a smaller capacitor",
        )  # fmt: skip
    for ohms, parts, fills in _paths(shape):
        if most is not None and ohms > most:
            yield _finding(
                "timing-resistance-large", parts,
                f"{_and(parts)} is {_ohms(ohms)}; with {format_quantity(volts, 'V')} {timer.id} "
                f"({timer.type.noun}) is promised to work up to {_ohms(most)}",
                "take a smaller resistor and a larger capacitor",
            )  # fmt: skip
        elif fills:
            yield from _leaking(graph, shape, ohms, parts, volts)


def _leaking(
    graph: Graph, shape: Shape, ohms: float, parts: tuple[str, ...], volts: float
) -> Iterator[Finding]:
    """Compare the largest leakage that the maker allows with the current left at two thirds of the supply."""
    for identity in shape.roles["capacitor"]:
        capacitor = graph.part(identity)
        leak = _leakage(capacitor)
        left = volts / 3.0 / ohms
        if leak is not None and leak >= left:
            yield _finding(
                "leakage-stalls", (identity, *parts),
                f"{identity} may leak {format_quantity(leak, 'A', 2)}, and {_and(parts)} leaves only "
                f"{format_quantity(left, 'A', 2)} for it at two thirds of the supply: the time may never end",
                "take a smaller resistor, a lower rated voltage, or a film capacitor",
            )  # fmt: skip


def _leakage(capacitor: Part) -> float | None:
    """The largest leakage current [A] that the maker allows: a rate of C·V, but at least a few µA."""
    rate, least = figure(capacitor, "leakage_rate"), figure(capacitor, "leakage_least")
    rated = capacitor.type.settings.get("rated")
    if rate is None or least is None or rated is None or capacitor.value is None:
        return None
    return max(rate * capacitor.value * capacitor.setting("rated", rated.value), least)


def _largest(timer: Part, volts: float) -> float | None:
    low, high = figure(timer, "largest_timing_resistance"), figure(timer, "largest_timing_resistance_15v")
    if low is None or high is None or not volts > _LOW:
        return low
    return low + (high - low) * min((volts - _LOW) / (_HIGH - _LOW), 1.0)


def _finding(code: str, parts: tuple[str, ...], message: str, hint: str) -> Finding:
    return Finding(Severity.WARNING, code, message, hint, about=(parts[0], "value"))


def _and(parts: tuple[str, ...]) -> str:
    return " + ".join(dict.fromkeys(parts))


def _ohms(value: float) -> str:
    return format_quantity(value, "Ω")
