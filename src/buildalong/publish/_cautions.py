"""The usual cautions of a lesson, with the parts that they are about."""

from __future__ import annotations

from buildalong.circuit import Circuit
from buildalong.publish import _words as words
from buildalong.publish._rows import kinds_of, upper

__all__ = ["cautions_of"]


def cautions_of(circuit: Circuit) -> tuple[tuple[str, str], ...]:
    """Each caution once, as (parts it is about, caution); the general ones come first, about ""."""
    said: dict[str, list[str]] = {caution: [] for caution in words.CAUTIONS}
    for kind in kinds_of(circuit):
        about = words.CAUTION_ABOUT.format(name=upper(kind.type.noun), references=kind.references)
        for caution in kind.type.cautions:
            abouts = said.setdefault(caution, [about])
            if abouts and about not in abouts:
                abouts.append(about)
    return tuple((", ".join(abouts), caution) for caution, abouts in said.items())
