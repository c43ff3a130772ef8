"""The page on build lists tells what the program weighs."""

from pathlib import Path

from buildalong.build.steps import ORDER_WEIGHTS

PAGE = Path(__file__).parents[2] / "docs" / "build-list.md"


def test_the_table_of_weights_is_current() -> None:
    """Every weight of the order of steps stands in docs/build-list.md as it is used."""
    text = PAGE.read_text("utf-8")
    for name, (weight, meaning) in ORDER_WEIGHTS.items():
        assert f"| {name} | {weight:g} | {meaning} |" in text
