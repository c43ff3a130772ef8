"""Publishing: from a compiled lesson to the finished lesson pack on disk."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from buildalong.drawing import to_png
from buildalong.lesson import Compiled
from buildalong.publish._article import article_html
from buildalong.publish._cards import cards_html
from buildalong.publish._fault_plan import fault_plan_pdf
from buildalong.publish._faults import faults_html, guide_for
from buildalong.publish._pack import write_pack
from buildalong.publish._pictures import draw
from buildalong.publish._rows import parts_csv
from buildalong.publish._variant import Contrast, Hand, variant_of
from buildalong.store import Store

__all__ = ["Pack", "publish"]

Tell = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Pack:
    """A lesson pack that was written: its folder and its files, names relative to the folder."""

    folder: Path
    files: tuple[str, ...]

    @property
    def article(self) -> Path:
        """The page to open."""
        return self.folder / "index.html"


def publish(
    compiled: Compiled,
    output: Path | str,
    *,
    progress: Tell | None = None,
    store: Store | None = None,
    hand: Hand | None = None,
    contrast: Contrast | None = None,
    faults: bool = True,
) -> Pack:
    """Write the lesson pack: article, part cards, pictures as PNG (1920 x 1080) and SVG, parts list.

    Everything is made before anything is written, and the folder appears whole or not at all.
    ``progress`` hears what is being made; ``store`` keeps the schematic for the next time.  ``hand``
    "left" and ``contrast`` "high" go before what the lesson's ``[picture]`` says.  ``faults`` simulates
    every plausible mistake, for the fault finder and the cautions at the steps; what is in ``store`` is
    not simulated again.  Raises Unreadable where the folder cannot be written.
    """
    tell = progress or (lambda what: None)
    guide = guide_for(compiled, store, lambda share, what: tell(what)) if faults else None
    variant = variant_of(compiled.lesson, hand, contrast)
    pictures = draw(compiled, tell, store, variant, guide)
    tell("article")
    files: dict[str, bytes] = {
        "index.html": article_html(compiled, pictures, guide).encode(),
        "cards.html": cards_html(compiled, pictures).encode(),
        "parts.csv": parts_csv(compiled.circuit).encode("utf-8-sig"),
    }
    if guide is not None:
        tell("fault finder")
        files["faults.html"] = faults_html(compiled, guide, variant).encode()
        tell("fault-finding plan")
        files["fault-plan.pdf"] = fault_plan_pdf(compiled, guide, variant)
    for name, picture in pictures.named().items():
        tell(f"{name}.png")
        files[f"pictures/{name}.svg"] = picture.svg.encode()
        files[f"pictures/{name}.png"] = to_png(picture, width=1920, height=1080)
    tell("writing")
    return Pack(Path(output), write_pack(Path(output), files))
