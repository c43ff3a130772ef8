"""What the board itself says of a layout."""

from __future__ import annotations

from buildalong.board import Layout, check_layout, compare, read_back
from buildalong.circuit import Circuit
from buildalong.finding import Finding

__all__ = ["verify"]


def verify(circuit: Circuit, layout: Layout) -> list[Finding]:
    """Check a layout with the board's own read-back and geometry; the placer's code has no part in it."""
    return [*check_layout(circuit, layout), *compare(circuit, read_back(circuit.parts, layout), layout)]
