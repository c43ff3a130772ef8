"""The sections of the gallery, in the order of the page."""

from __future__ import annotations

from tools.gallery import _circuits, _layouts, _lessons, _parts, _studies
from tools.gallery._exhibit import Section

__all__ = ["SECTIONS"]

SECTIONS = tuple(
    Section(*row)
    for row in (
        ("layouts", "Layouts", "Each demo on each board that it fits, in each wire style.",
         _layouts.layouts),
        ("schematics", "Schematics", "Each demo in both sets of symbols.", _circuits.schematics),
        ("netlists", "More schematics", "Netlists of the schematic's tests.", _circuits.netlists),
        ("moments", "A moment on the schematic", "Voltages and currents at one moment.", _circuits.moments),
        ("boards", "Boards", "The finished board of each demo.", _lessons.boards),
        ("tilted", "Tilted boards", "From above and aside, so that heights are understood.", _lessons.tilted),
        ("variants", "Variants", "For a left hand, and with high contrast.", _lessons.variants),
        ("steps", "Steps", "Every step of each demo.", _lessons.steps),
        ("closeups", "Close-ups", "What is easily put in wrong, right and wrong.", _lessons.closeups),
        ("insides", "Inside the ICs", "Block diagrams with live levels.", _lessons.insides),
        ("waves", "Waveforms", "With the band of other builds and the ideal formula.", _lessons.waves),
        ("motion", "Moving pictures", "The build and the work, each held at one moment.", _lessons.motion),
        ("histograms", "Spread", "What tolerances do to the promises.", _studies.histograms),
        ("sweeps", "Sweeps", "A measure over a value.", _studies.sweeps),
        ("parts", "Parts", "Every type of the catalogue.", _parts.parts),
        ("cards", "Part cards", "Printable pages for each demo.", _lessons.cards),
        ("icons", "Icons", "Every type, small.", _parts.icons),
        ("symbols", "Symbols", "The symbol of every type, IEC 60617 and IEEE 315.", _parts.symbols),
    )
)  # fmt: skip
