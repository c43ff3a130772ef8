"""Run the hand-written decks with the reference simulator and record what they measure.

``python tests/engine/reference/record.py`` rewrites ``recorded.json`` beside it.  The decks were
written from the schematics and data sheets, not generated from our tables.
"""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path

HERE = Path(__file__).parent
DECKS = tuple(sorted(p.stem for p in HERE.glob("*.cir")))
FILE = HERE / "recorded.json"


def run_deck(name: str) -> dict[str, float]:
    """Run one deck; its measures by name."""
    done = subprocess.run(
        ["ngspice", "-b", f"{name}.cir"], cwd=HERE, capture_output=True, text=True, timeout=60, check=False
    )
    found = re.findall(r"^(\w+)\s+=\s+([-+.\deE]+)", done.stdout, re.MULTILINE)
    return {key: float(value) for key, value in found if key == key.lower()}


def main() -> None:
    """Record all decks."""
    data = {name: run_deck(name) for name in DECKS}
    FILE.write_text(json.dumps(data, indent=1, sort_keys=True) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
