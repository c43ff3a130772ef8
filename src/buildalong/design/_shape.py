"""Shape: a piece of a circuit that the trade has a name for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from buildalong.design._expr import Expr

__all__ = ["Shape", "reasons"]


@dataclass(frozen=True)
class Shape:
    """A recognised piece of a circuit.

    ``kind`` is a stable kebab-case name; ``roles`` gives the parts of each role, ``nets`` the net of
    each role; ``title`` and ``does`` are words for a reader; ``reasons`` says of each part why it is
    there, as one sentence that names the part.  ``terms`` are the quantities that its formulas are
    made of, by the name used there ("charge": R1 + R2).
    """

    kind: str
    roles: Mapping[str, tuple[str, ...]]
    nets: Mapping[str, str]
    title: str = ""
    does: str = ""
    reasons: Mapping[str, str] = field(default_factory=dict)
    terms: Mapping[str, Expr] = field(default_factory=dict, compare=False, repr=False)

    def part(self, role: str) -> str:
        """The first part of a role, "" where the role is empty."""
        found = self.roles.get(role, ())
        return found[0] if found else ""

    @property
    def parts(self) -> tuple[str, ...]:
        """Every part, in the order of the roles, each once."""
        return tuple(dict.fromkeys(part for ids in self.roles.values() for part in ids))


def reasons(shapes: Iterable[Shape]) -> dict[str, str]:
    """Why each part is there: the sentences of all shapes, joined where a part serves several."""
    out: dict[str, list[str]] = {}
    for shape in shapes:
        for part, sentence in shape.reasons.items():
            said = out.setdefault(part, [])
            if sentence not in said:
                said.append(sentence)
    return {part: " ".join(said) for part, said in out.items()}
