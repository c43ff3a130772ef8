"""Telling a run as cause and effect."""

from __future__ import annotations

from collections.abc import Iterable

from buildalong.circuit import Circuit
from buildalong.engine import Run
from buildalong.quantity import format_quantity
from buildalong.story._sentence import Sentence, ShapeLike

__all__ = ["tell"]


def tell(run: Run, circuit: Circuit, shapes: Iterable[ShapeLike] = ()) -> tuple[Sentence, ...]:
    """Tell what happened in a run, in order of time; ``shapes`` as recognised in the circuit."""
    out = []
    for index, event in enumerate(run.events):
        if event.kind == "light":
            verb = "lights up" if event.after == "lit" else "goes out"
            text = f"At {format_quantity(event.time, 's')} {event.part} {verb}."
            out.append(Sentence(event.time, text, (index,), (event.part,)))
    return tuple(out)
