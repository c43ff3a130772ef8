"""Renew the table of weights in docs/placement.md from the placer's own."""

from __future__ import annotations

from pathlib import Path

from buildalong.build.place import WEIGHTS

PAGE = Path(__file__).parents[1] / "docs" / "placement.md"
BEGIN, END = "<!-- weights: made by tools/placement_reference.py -->", "<!-- end of weights -->"


def table() -> str:
    """The weights as lines of a table, in the order of the code."""
    lines = ["| term | weight | counts |", "|---|---|---|"]
    lines += [f"| {name} | {weight:g} | {text} |" for name, (weight, text) in WEIGHTS.items()]
    return "\n".join(lines)


def page() -> str:
    """The page with the weights of today."""
    text = PAGE.read_text(encoding="utf-8")
    head, rest = text.split(BEGIN)
    return f"{head}{BEGIN}\n\n{table()}\n\n{END}{rest.split(END)[1]}"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
