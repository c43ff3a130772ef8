r"""Make the vendored fonts, the advances that the pictures measure text with, and the list of letters.

Run it by hand, in a development environment (it needs fontTools), when a font changes::

    npm pack @fontsource/atkinson-hyperlegible && tar xzf fontsource-atkinson-hyperlegible-*.tgz
    python tools/make_fonts.py package /usr/share/fonts/truetype/dejavu \
        /usr/share/doc/fonts-dejavu-core/copyright

The second argument is the folder of Debian's fonts-dejavu-core, the third its copyright file.
Atkinson Hyperlegible is only converted from WOFF2 to TrueType; DejaVu Sans is cut down to those of
the characters below that the first family lacks.  It must hold no others: the PNG renderer sets a
whole text in the fallback font as soon as that font has every character of it.
"""

from __future__ import annotations

import json
import shutil
import sys
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont

SOURCE = Path(__file__).parents[1] / "src" / "buildalong"
FONTS, LETTERS = SOURCE / "drawing" / "fonts", SOURCE / "words" / "letters.json"

STYLES = {"regular": "400-normal", "bold": "700-normal", "italic": "400-italic"}
FALLBACK = {"regular": "DejaVuSans.ttf", "bold": "DejaVuSans-Bold.ttf"}

RANGES = (
    (0x20, 0x7E), (0xA0, 0x17F),          # Latin
    (0x2B0, 0x2B1), (0x386, 0x3CE),       # Greek
    (0x400, 0x45F), (0x490, 0x491),       # Cyrillic
    (0x2010, 0x2026), (0x2030, 0x2033),   # dashes, quotes, primes
    (0x2070, 0x209C),                     # superscripts and subscripts
    (0x20AC, 0x20AC), (0x2103, 0x2103), (0x2126, 0x2126), (0x2153, 0x215E),
    (0x2190, 0x2199), (0x21D2, 0x21D4),   # arrows
    (0x2212, 0x2212), (0x2215, 0x221E), (0x2225, 0x2225), (0x2248, 0x2248), (0x2260, 0x2265),
    (0x2460, 0x2473),                     # numbers in circles
    (0x25A0, 0x25A1), (0x25B2, 0x25BD), (0x25CB, 0x25CF), (0x2713, 0x2717), (0xFFFD, 0xFFFD),
)  # fmt: skip


def main(package: Path, dejavu: Path, copyright_file: Path) -> None:
    """Write the .ttf files, their licences, advances.json and letters.json."""
    FONTS.mkdir(parents=True, exist_ok=True)
    advances: dict[str, dict[str, int]] = {}
    for style, source in STYLES.items():
        font = TTFont(package / "files" / f"atkinson-hyperlegible-latin-{source}.woff2")
        font.flavor = None
        font.recalcTimestamp = False
        font.save(FONTS / f"AtkinsonHyperlegible-{style.title()}.ttf")
        advances[style] = _advances(font)
    for style, name in FALLBACK.items():
        font = TTFont(dejavu / name, recalcTimestamp=False)
        options = subset.Options(
            layout_features=[], hinting=False, notdef_outline=True, name_IDs=[0, 1, 2, 3, 4, 5, 6, 13, 14]
        )
        cutter = subset.Subsetter(options)
        wanted = {code for first, last in RANGES for code in range(first, last + 1)}
        cutter.populate(unicodes=sorted(wanted - {ord(character) for character in advances[style]}))
        cutter.subset(font)
        font.save(FONTS / f"DejaVuSans-{style.title()}.ttf")
        advances[f"fallback {style}"] = _advances(font)
    table = {style: dict(sorted(chars.items())) for style, chars in advances.items()}
    (FONTS / "advances.json").write_text(
        json.dumps(table, ensure_ascii=False, separators=(",", ":")) + "\n", encoding="utf-8"
    )
    letters = sorted({ord(letter) for style in ("regular", "fallback regular") for letter in advances[style]})
    firsts = [code for code in letters if code - 1 not in letters]
    lasts = [code for code in letters if code + 1 not in letters]
    ranges = [list(ends) for ends in zip(firsts, lasts, strict=True)]
    LETTERS.write_text(json.dumps(ranges, separators=(",", ":")) + "\n", encoding="utf-8")
    shutil.copy(package / "LICENSE", FONTS / "LICENSE-AtkinsonHyperlegible.txt")
    shutil.copy(copyright_file, FONTS / "LICENSE-DejaVuSans.txt")


def _advances(font: TTFont) -> dict[str, int]:
    """Advance width of each character in thousandths of the font size."""
    per_em = font["head"].unitsPerEm
    widths = font["hmtx"]
    return {chr(code): round(widths[name][0] * 1000 / per_em) for code, name in font.getBestCmap().items()}


if __name__ == "__main__":
    main(*(Path(argument) for argument in sys.argv[1:4]))
