"""Renew the catalogues and tell how much of them is translated: ``make words``.

``python -m tools.words --fill de mine.po`` takes translations over from another .po file first, for any
package: what is translated there goes before what the catalogues have.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from tools.words._catalogues import entries_of, renewed, stale
from tools.words._messages import PACKAGES

from buildalong.words._languages import LANGUAGES, SOURCE
from buildalong.words._po import read_po


def main() -> None:
    """Write every catalogue that is not as it should be; print translated / all for each package."""
    tags = [tag for tag in LANGUAGES if tag != SOURCE]
    parser = argparse.ArgumentParser(prog="python -m tools.words", description=__doc__)
    parser.add_argument("--fill", nargs=2, metavar=("LANGUAGE", "FILE"), default=("", ""))
    tag, file = parser.parse_args().fill
    if tag and tag not in tags:
        parser.error(f"'{tag}' is none of {', '.join(tags)}")
    wanted = renewed(tag, read_po(Path(file).read_text(encoding="utf-8")) if tag else ())
    for path in stale(wanted):
        if path in wanted:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(wanted[path], encoding="utf-8")
        else:
            path.unlink()
    print("package".ljust(12), *(tag.rjust(11) for tag in tags))
    for package in PACKAGES:
        cells = []
        for tag in tags:
            entries = entries_of(tag, package)
            cells.append(f"{sum(entry.translated for entry in entries)} / {len(entries)}".rjust(11))
        print(package.ljust(12), *cells)


if __name__ == "__main__":
    main()
