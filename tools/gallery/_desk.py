"""What the sections draw from: the lessons chosen, compiled once, and the store of what takes long."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from buildalong.circuit import Circuit
from buildalong.drawing.schematic import SchematicLayout, check, draw_layout
from buildalong.lesson import Compiled, Lesson, compile_lesson, load
from buildalong.publish import Pictures, draw
from buildalong.store import Store, kept

__all__ = ["ROOT", "Choice", "Desk"]

ROOT = Path(__file__).parents[2]
BOARDS = ("170", "400", "830")
STYLES = ("formed", "link", "flexible")


@dataclass(frozen=True, slots=True)
class Choice:
    """What to draw: demo lessons, boards and wire styles; ``seconds`` of work for each placement."""

    demos: tuple[str, ...]
    boards: tuple[str, ...] = BOARDS
    styles: tuple[str, ...] = STYLES
    seconds: float = 10.0
    netlists: Path = ROOT / "tests" / "schematic" / "netlists"


@dataclass
class Desk:
    """The choice with everything that several sections share; ``tell`` hears what is being done."""

    choice: Choice
    store: Store | None = None
    tell: Callable[[str], None] = lambda what: None
    _compiled: dict[str, Compiled] = field(default_factory=dict)
    _pictures: dict[str, Pictures] = field(default_factory=dict)
    _lessons: dict[str, Lesson] = field(default_factory=dict)

    def lesson(self, demo: str) -> Lesson:
        """A demo lesson as it was written."""
        if demo not in self._lessons:
            self._lessons[demo] = load(ROOT / "examples" / demo)
        return self._lessons[demo]

    def compiled(self, demo: str) -> Compiled:
        """A demo lesson, compiled."""
        if demo not in self._compiled:
            self._compiled[demo] = compile_lesson(
                self.lesson(demo),
                progress=lambda share, text: self.tell(f"{demo}: {text}"),
                seconds=self.choice.seconds,
                store=self.store,
            )
        return self._compiled[demo]

    def pictures(self, demo: str) -> Pictures:
        """Every picture that the article of a demo shows."""
        if demo not in self._pictures:
            compiled = self.compiled(demo)
            self._pictures[demo] = draw(compiled, lambda what: self.tell(f"{demo}: {what}"), self.store)
        return self._pictures[demo]

    def schematic(self, circuit: Circuit, standard: str) -> SchematicLayout:
        """The schematic's layout in one set of symbols, from the store if it is there."""

        def sound(layout: SchematicLayout) -> bool:
            return not check(circuit, layout)

        question = (circuit, standard)
        return kept(
            self.store, "schematic", question, SchematicLayout,
            lambda: draw_layout(circuit, standard=standard), sound,
        )  # fmt: skip
