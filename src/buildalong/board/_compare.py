"""How a built circuit differs from the wanted one, in sentences that a teacher can act on."""

from __future__ import annotations

from buildalong.board._layout import Layout
from buildalong.board._readback import equal
from buildalong.circuit import Circuit
from buildalong.finding import Finding, Severity

__all__ = ["compare"]


def compare(wanted: Circuit, real: Circuit, layout: Layout) -> list[Finding]:
    """Explain the differences between the wanted circuit and what the layout really makes."""
    if equal(wanted, real):
        return []
    return [Finding(Severity.ERROR, "not-the-same-circuit", "The board does not make the wanted circuit.")]
