"""Make the pictures of the README from the demo lessons.  Run by ``make docs``."""

from __future__ import annotations

from pathlib import Path

from buildalong.drawing import Picture, to_png
from buildalong.lesson import compile_lesson
from buildalong.publish import draw

ROOT = Path(__file__).parents[1]
IMAGES = ROOT / "docs" / "images"


def main() -> None:
    """Write the four pictures."""
    pictures = draw(compile_lesson(ROOT / "examples" / "lighthouse"))
    steps = sorted(pictures.steps)
    chosen: dict[str, Picture | None] = {
        "board": pictures.board,
        "schematic": pictures.schematic,
        "step": pictures.steps[steps[len(steps) * 2 // 3]],
        "waveforms": next(iter(pictures.trials.waveforms.values()), None),
    }
    for name, picture in chosen.items():
        if picture is not None:
            (IMAGES / f"{name}.png").write_bytes(to_png(picture, width=1000))


if __name__ == "__main__":
    main()
