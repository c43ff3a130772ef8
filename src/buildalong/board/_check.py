"""Whether a layout can be built: holes, leads, bodies and wires with their true sizes."""

from __future__ import annotations

from buildalong.board._layout import Layout
from buildalong.circuit import Circuit
from buildalong.finding import Finding

__all__ = ["check_layout"]


def check_layout(circuit: Circuit, layout: Layout) -> list[Finding]:
    """Say what keeps the layout from being built; it does not compare circuits."""
    return []
