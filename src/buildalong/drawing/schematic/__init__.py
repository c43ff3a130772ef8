"""The schematic, drawn by itself from the circuit, and read back from its own lines and dots."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from buildalong.circuit import Circuit
from buildalong.drawing._palette import PLAIN, Tone
from buildalong.drawing._picture import Picture
from buildalong.drawing.schematic._check import check
from buildalong.drawing.schematic._draw import picture_of
from buildalong.drawing.schematic._layout import SchematicLayout, Statistics, statistics
from buildalong.drawing.schematic._netlabels import name_nets
from buildalong.drawing.schematic._place import STANDARDS, draw_layout
from buildalong.drawing.schematic._readback import read_back
from buildalong.drawing.schematic._single import symbol_picture
from buildalong.drawing.schematic._values import live_values, moment_words, with_notes, write_values
from buildalong.drawing.schematic._words import MOMENT, supply_words
from buildalong.words import say

__all__ = [
    "STANDARDS", "SchematicLayout", "Statistics", "check", "draw_layout", "live_picture", "moment_picture",
    "name_nets", "picture", "read_back", "schematic", "statistics", "supply_words",
    "symbol_picture",
]  # fmt: skip


def schematic(
    circuit: Circuit,
    *,
    standard: str = "iec",
    highlight: Collection[str] = (),
    net_labels: bool = False,
    hints: Collection[tuple[str, str, str]] = (),
    effort: float = 1.0,
    seed: int = 0,
    tone: Tone = PLAIN,
) -> Picture:
    """Draw a circuit's schematic.

    ``standard`` chooses the symbols: "iec" (IEC 60617) or "ieee" (IEEE 315); ``highlight`` names
    parts to show in the accent colour; ``net_labels`` writes the nets' names beside their wires
    where there is room; ``hints`` are (kind, part, other part) as in :func:`draw_layout`; ``effort``
    multiplies the work of the search; ``tone`` is ``PLAIN`` or ``HIGH_CONTRAST``.  The same arguments
    give the same bytes.  Raises ValueError for another standard.
    """
    layout = draw_layout(circuit, standard=standard, hints=hints, effort=effort, seed=seed)
    shown = name_nets(circuit, layout) if net_labels else layout
    return picture(circuit, shown, standard, highlight, tone=tone)


def moment_picture(
    circuit: Circuit,
    layout: SchematicLayout,
    voltages: Mapping[str, float],
    currents: Mapping[tuple[str, str], float],
    *,
    standard: str = "iec",
    title: str = "",
    tone: Tone = PLAIN,
) -> Picture:
    """Draw a layout with the voltages [V] of nets and the currents [A] into terminals at one moment.

    A current stands once in each branch, with an arrow on a lead; what finds no room on the drawing stands in
    a line below it.  Both are as an :class:`buildalong.engine.OperatingPoint` gives them.
    """
    written = write_values(circuit, layout, voltages, currents)
    words = moment_words(circuit, voltages, currents)
    return picture_of(circuit, with_notes(written), standard, (), title or say(MOMENT), words, tone)


def live_picture(
    circuit: Circuit, layout: SchematicLayout, voltages: Mapping[str, float], widest: Mapping[str, float],
    *, standard: str = "iec", title: str = "", tone: Tone = PLAIN,
) -> Picture:  # fmt: skip
    """Draw a layout with voltages [V] that a page may change: each names its net (``data-net``).

    ``widest`` [V] are those that need most room; a net beside which they find none has no number.
    The text alternative tells none of them, since they change.
    """
    written = live_values(circuit, layout, voltages, widest)
    return picture_of(circuit, written, standard, (), title or say(MOMENT), tone=tone)


def picture(
    circuit: Circuit, layout: SchematicLayout, standard: str = "iec", highlight: Collection[str] = (),
    *, tone: Tone = PLAIN,
) -> Picture:  # fmt: skip
    """Draw a layout that was made before (a layout serves any number of pictures)."""
    return picture_of(circuit, layout, standard, highlight, say("Schematic"), tone=tone)
