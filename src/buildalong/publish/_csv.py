"""Tables as CSV (RFC 4180), in which no cell can become a formula of the spreadsheet that opens them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

__all__ = ["Cell", "csv_text", "spreadsheet"]

Cell = str | int | float | None


def csv_text(heads: Sequence[Cell], rows: Iterable[Sequence[Cell]]) -> str:
    """Write a table with its heads; an empty cell for None."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow(heads)
    for row in rows:
        table.writerow([_inert(cell) if isinstance(cell, str) else cell for cell in row])
    return out.getvalue()


def spreadsheet(heads: Sequence[Cell], rows: Iterable[Sequence[Cell]]) -> bytes:
    """The table as a file that spreadsheets take for UTF-8, by the mark at its beginning."""
    return ("\ufeff" + csv_text(heads, rows)).encode("utf-8")


def _inert(cell: str) -> str:
    """Keep a spreadsheet from taking an author's word for a formula."""
    return f"'{cell}" if cell[:1] in ("=", "+", "-", "@", "\t", "\r") else cell
