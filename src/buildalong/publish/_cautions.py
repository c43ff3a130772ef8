"""The usual cautions of a lesson, with the parts that they are about."""

from __future__ import annotations

from buildalong.circuit import Circuit
from buildalong.publish import _words as words
from buildalong.publish._rows import kinds_of
from buildalong.words import behind_colon, capital, said, say

__all__ = ["cautions_of"]


def cautions_of(circuit: Circuit) -> tuple[tuple[str, str], ...]:
    """Each caution once, as (parts it is about, caution); the general ones come first, about ""."""
    told: dict[str, list[str]] = {caution: [] for caution in said(words.CAUTIONS)}
    for kind in kinds_of(circuit):
        about = say(words.CAUTION_ABOUT, name=capital(say(kind.type.noun)), references=kind.references)
        for caution in kind.type.cautions:
            abouts = told.setdefault(say(caution), [about])
            if abouts and about not in abouts:
                abouts.append(about)
    return tuple(
        (", ".join(abouts), behind_colon(caution) if abouts else caution) for caution, abouts in told.items()
    )
