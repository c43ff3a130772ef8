"""Run every benchmark: ``make bench``.  Figures are ratios and counts within this one run."""

from __future__ import annotations

import runpy
import sys
from pathlib import Path

HERE = Path(__file__).parent


def main() -> None:
    """Run the benchmark files in the order of their names; arguments choose some of them."""
    wanted = sys.argv[1:]
    sys.argv = sys.argv[:1]
    for file in sorted(HERE.glob("[a-z]*.py")):
        if not wanted or file.stem in wanted:
            print(f"\n## {file.stem.replace('_', ' ')}\n", flush=True)
            runpy.run_path(str(file), run_name="__main__")


if __name__ == "__main__":
    main()
