"""Variants: the board for a left hand with words that follow, and black on white."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from buildalong.drawing import Picture
from buildalong.lesson import Compiled, load
from buildalong.publish import draw
from buildalong.publish._variant import Variant, variant_of

EXAMPLE = Path(__file__).parents[2] / "examples" / "mailbox-flag"


def written(tmp_path: Path, table: str) -> Path:
    (tmp_path / "lesson.toml").write_text((EXAMPLE / "lesson.toml").read_text("utf-8") + table, "utf-8")
    (tmp_path / "lesson.md").write_text((EXAMPLE / "lesson.md").read_text("utf-8"), "utf-8")
    return tmp_path


def height(picture: Picture, row: str) -> float:
    """How far down the page a row number stands."""
    found = re.search(rf'<text x="[^"]*" y="([-\d.]+)"[^>]*>{row}</text>', picture.svg)
    assert found
    return float(found[1])


def test_a_lesson_asks_and_a_pack_overrides(tmp_path: Path) -> None:
    """``[picture]`` chooses; what is said for one pack goes first; without either it is the usual way."""
    assert variant_of(load(EXAMPLE)) == Variant("right", "usual")
    asked = load(written(tmp_path, '\n[picture]\nhand = "left"\ncontrast = "high"\n'))
    assert not [f for f in asked.findings if f.severity >= 3]
    assert variant_of(asked) == Variant("left", "high")
    assert variant_of(asked, hand="right") == Variant("right", "high")
    assert variant_of(asked, contrast="usual") == Variant("left", "usual")


def test_an_unknown_hand_is_one_finding(tmp_path: Path) -> None:
    """A wrong word is refused with its place and the words that are known."""
    lesson = load(written(tmp_path, '\n[picture]\nhand = "lefty"\n'))
    found = [
        f for f in lesson.findings if f.place and "lefty" in (lesson.facts.split("\n")[f.place.line - 1])
    ]
    assert len(found) == 1
    assert "left" in f"{found[0].message} {found[0].hint}"


def test_pictures_and_words_follow_the_variant(compiled_demo: Callable[[str], Compiled]) -> None:
    """Turned by half a turn, high numbers stand on top; the step says the other side; grounds are white."""
    compiled = compiled_demo("mailbox-flag")
    few = replace(compiled, steps=compiled.steps[:2], runs={})
    usual, left = (draw(few, variant=Variant(*kind)) for kind in (("right", "usual"), ("left", "high")))
    assert usual.board is not None
    assert left.board is not None
    assert height(usual.board, "5") < height(usual.board, "10")
    assert height(left.board, "5") > height(left.board, "10")
    assert 'fill="#F4ECDA"' in usual.board.svg
    assert "#F4ECDA" not in left.board.svg
    step = replace(compiled.steps[0], text="Push it into hole 3 of the left plus rail.", why="left over")
    turned = Variant("left").step(step)
    assert turned.text == "Push it into hole 3 of the right plus rail."
    assert turned.why == "left over"


@pytest.mark.parametrize("hand", ["left", "right"])
def test_every_picture_is_drawn_for_both_hands(compiled_demo: Callable[[str], Compiled], hand: str) -> None:
    """Board, tilted view, steps and close-ups are there for either hand."""
    few = replace(compiled_demo("mailbox-flag"), runs={})
    names = draw(few, variant=Variant(hand)).named()  # type: ignore[arg-type]
    assert {"board", "board-tilted", "step-01", "step-01-before", "step-01-closeup-1"} <= set(names)


def test_high_contrast_reaches_every_picture(compiled_demo: Callable[[str], Compiled]) -> None:
    """Nothing keeps the warm paper or the soft ink, the schematic and its symbols included."""
    compiled = compiled_demo("mailbox-flag")
    pictures = draw(replace(compiled, steps=compiled.steps[:2]), variant=Variant(contrast="high"))
    moving = {f"work {name}": motion.picture for name, motion in pictures.trials.work.items()}
    named = {**pictures.named(), **moving}
    assert {name.split("-")[0] for name in named} >= {
        "board",
        "step",
        "waveforms",
        "inside",
        "part",
        "symbol",
        "schematic",
    }
    for name, picture in named.items():
        assert "#FFFDF7" not in picture.svg, name
        assert "#23262B" not in picture.svg, name
