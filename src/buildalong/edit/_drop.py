"""Whether a thing may be dropped where it was: what the board's check finds that it did not find before."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from buildalong.board import Layout, check_change, compare, read_back, strip_words
from buildalong.circuit import Circuit
from buildalong.edit._sentences import refused
from buildalong.finding import Finding, Severity, Unreadable

__all__ = ["judged"]


def judged(circuit: Circuit, old: Layout, new: Layout) -> list[Finding]:
    """What to know of the new layout that was not so in the old one.

    Warnings and notes of the board's check, and how the board now differs from the circuit (warnings, for
    wires may follow).  Raises Unreadable with the reasons where the layout cannot be built.
    """
    found = [*check_change(circuit, old, new), *_joined(circuit, old, new)]
    wrong = [finding for finding in found if finding.severity >= Severity.ERROR]
    if wrong:
        raise Unreadable(*wrong)
    whole = set(new.holes) >= set(circuit.by_id)
    return found + (_differing(circuit, old, new) if whole else [])


def _joined(circuit: Circuit, old: Layout, new: Layout) -> Iterator[Finding]:
    """Legs of one part on different nets that came into one strip."""
    strips = new.board.strip_of
    for name, holes in new.holes.items():
        part = circuit.by_id.get(name)
        if part is None or old.holes.get(name) == holes or len(holes) != len(part.type.leg_names):
            continue
        seen: dict[str, tuple[str, str | None]] = {}
        for hole, leg, terminal in zip(holes, part.type.leg_names, part.type.leg_terminals, strict=True):
            if hole not in strips:
                continue
            net = part.net(terminal)
            other = seen.setdefault(strips[hole], (leg, net))
            if other[1] != net:
                where = strip_words(strips[hole])
                yield from refused(
                    "leads-in-one-strip", name, hole, part=name, one=other[0], other=leg, strip=where
                ).findings
                break


def _differing(circuit: Circuit, old: Layout, new: Layout) -> list[Finding]:
    """How the board differs from the circuit, as far as it did not before."""
    told: set[tuple[str, tuple[str, ...]]] = set()
    if set(old.holes) >= set(circuit.by_id):
        told = {(f.code, f.about) for f in compare(circuit, read_back(circuit.parts, old), old)}
    found = compare(circuit, read_back(circuit.parts, new), new)
    return [replace(f, severity=Severity.WARNING) for f in found if (f.code, f.about) not in told]
