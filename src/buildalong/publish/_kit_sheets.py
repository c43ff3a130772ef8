"""A kit as sheets: shopping list, bags, swaps (CSV and one workbook), and labels to cut apart."""

from __future__ import annotations

import io
import math
import textwrap
from collections.abc import Mapping, Sequence

from buildalong.drawing import part_icon
from buildalong.kit import Bag, Kit, Swap
from buildalong.publish import _class_words as words
from buildalong.publish._csv import Cell, spreadsheet
from buildalong.publish._rows import unsaid
from buildalong.publish._typeset import typeset
from buildalong.quantity import format_quantity
from buildalong.spread import Target
from buildalong.words import language, said, say

__all__ = ["MAX_LABELS", "kit_files", "label_of"]

MAX_LABELS = 400
"""Most labels in one file."""
_LINE = 15.0
"""Height of a line of text in a sheet [pt]."""


def kit_files(
    kit: Kit, swaps: Sequence[tuple[Swap, Sequence[Target]]] = (), *, address: str = ""
) -> dict[str, bytes]:
    """The sheets of a kit: name -> content.  ``address`` of the article is put on the labels as a QR code.

    ``swaps`` come with the targets that their measures are of.

    Raises ValueError for an address that is no http or https address, or for too many labels.
    """
    sheets = {
        "shopping": (said(words.SHOPPING), _shopping(kit)),
        "bags": (said(words.BAGS), _bags(kit)),
        "swaps": (said(words.SWAPS), _swaps(swaps)),
    }
    tables = {name: table for name, table in sheets.items() if table[1]}
    files = {f"{name}.csv": spreadsheet(heads, rows) for name, (heads, rows) in tables.items()}
    files["kit.xlsx"] = _workbook(tables)
    files["labels.pdf"] = _labels(kit, address)
    return files


def _shopping(kit: Kit) -> list[list[Cell]]:
    rows: list[list[Cell]] = [
        [
            line.name, line.mark, line.for_one, line.needed, line.spares, line.there, line.to_buy, line.packs,
            line.pack, line.price, None if line.outlay is None else round(line.outlay, 2), line.where,
        ]
        for line in kit.lines
    ]  # fmt: skip
    return rows


def _bags(kit: Kit) -> list[list[Cell]]:
    return [[bag.lesson, count, line.name, line.mark] for bag in kit.bags for count, line in bag.items]


def _swaps(swaps: Sequence[tuple[Swap, Sequence[Target]]]) -> list[list[Cell]]:
    out: list[list[Cell]] = []
    for swap, targets in swaps:
        pairs = zip(targets, swap.measures, strict=True)
        then = ", ".join(
            say("{id}: {what}", id=target.asked.title, what=_shown(target, value)) for target, value in pairs
        )
        out.append(
            [
                swap.lesson,
                swap.missing,
                swap.instead,
                then,
                say("yes") if swap.kept else say("no"),
                swap.warning,
            ]
        )
    return out


def _shown(target: Target, value: float) -> str:
    return format_quantity(value, target.wanted.unit or "%", 2) if math.isfinite(value) else "-"


def _workbook(tables: Mapping[str, tuple[Sequence[str], Sequence[Sequence[Cell]]]]) -> bytes:
    """One sheet for each table, heads frozen, columns as wide as their text; no formula, no date."""
    import datetime

    import xlsxwriter

    out = io.BytesIO()
    with xlsxwriter.Workbook(
        out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    ) as book:
        book.set_properties({"created": datetime.datetime(2000, 1, 1)})
        plain = {"valign": "top", "text_wrap": True}
        right = {"align": "right", "indent": 1}
        headed = {"bold": True, "bottom": 1}
        body, figure = book.add_format(plain), book.add_format(plain | right)
        head, figure_head = book.add_format(plain | headed), book.add_format(plain | right | headed)
        for name, (heads, rows) in tables.items():
            sheet = book.add_worksheet(say(words.SHEETS[name]))
            sheet.freeze_panes(1, 0)
            sheet.set_landscape()
            sheet.set_paper(9)
            sheet.fit_to_pages(1, 0)
            sheet.repeat_rows(0)
            widths = [_wide(title, [row[column] for row in rows]) for column, title in enumerate(heads)]
            for column, (title, width) in enumerate(zip(heads, widths, strict=True)):
                figures = any(isinstance(row[column], (int, float)) for row in rows)
                sheet.write_string(0, column, title, figure_head if figures else head)
                sheet.set_column(column, column, width)
            sheet.set_row(0, _high(heads, widths))
            for number, row in enumerate(rows, start=1):
                sheet.set_row(number, _high(row, widths))
                for column, cell in enumerate(row):
                    if isinstance(cell, str):
                        sheet.write_string(number, column, cell, body)
                    elif cell is not None:
                        sheet.write_number(number, column, cell, figure)
    return out.getvalue()


def _wide(title: str, cells: Sequence[Cell]) -> int:
    """The width of a column in letters: its longest text, and the longest word of its head."""
    longest = max((len(str(cell)) for cell in cells if cell is not None), default=0)
    return min(max(longest + 2, *(len(word) + 4 for word in title.split()), 9), 44)


def _high(cells: Sequence[Cell], widths: Sequence[int]) -> float:
    """The height of a row [pt]; a program that opens the book need not fit it to wrapped text itself."""
    lines = (
        len(textwrap.wrap(cell, width - 2)) for cell, width in zip(cells, widths, strict=True)
        if isinstance(cell, str)
    )  # fmt: skip
    return _LINE * max((1, *lines))


def _labels(kit: Kit, address: str) -> bytes:
    wanted = len(kit.bags) * kit.learners
    if wanted > MAX_LABELS:
        raise ValueError(
            f"{wanted} labels are more than {MAX_LABELS}: print them for fewer learners at a time"
        )
    pictures: dict[str, bytes] = {}
    code = ""
    if address:
        code = "code.svg"
        pictures[code] = _code(address)
    bags = [label_of(bag, pictures, code) for bag in kit.bags]
    entries = [
        {"bag": index, "number": number}
        for index in range(len(bags))
        for number in range(1, kit.learners + 1)
    ]
    data = {
        "title": say(words.LABELS_TITLE),
        "language": language(),
        "words": {"bag": say(words.BAG), "heads": said(words.LABEL_HEADS)},
        "bags": bags,
        "labels": entries,
    }
    return typeset("labels", data, pictures)


def label_of(bag: Bag, pictures: dict[str, bytes], code: str = "") -> dict[str, object]:
    """What stands on the label of a bag; its pictures are added to ``pictures``."""
    items = []
    for count, line in bag.items:
        name = ""
        if line.part is not None:
            count_of = line.part.setting("count", 1.0)
            name = f"part-{line.part.type.id}-{line.part.value or 0:g}-{count_of:g}.svg"
            pictures[name] = part_icon(line.part, words=False).svg.encode()
        items.append(
            {"count": count, "name": line.name, "mark": unsaid(line.mark, line.name), "refs": "",
             "picture": name, "alt": say(words.PARTS_ALT, part=line.name)}
        )  # fmt: skip
    return {"lesson": bag.lesson, "items": items, "code": code, "code_alt": say(words.CODE_ALT)}


def _code(address: str) -> bytes:
    import segno

    if not address.startswith(("https://", "http://")) or len(address) > 500:
        raise ValueError("the address of the article begins with https:// and has at most 500 letters")
    out = io.BytesIO()
    segno.make(address, error="m", micro=False).save(out, kind="svg", border=2, xmldecl=False)
    return out.getvalue()
