"""The demo lessons, by name."""

from pathlib import Path

EXAMPLES = Path(__file__).parents[1] / "examples"
DEMOS = tuple(sorted(folder.name for folder in EXAMPLES.iterdir() if folder.is_dir()))
