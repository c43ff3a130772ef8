"""How labels lie on board pictures, counted by the tests' own functions (``tests/drawing``).

Boards are the kept layouts of the demos, finished, each with the names of its parts and once more with its
nets tinted and named; steps are those of the demos on their own boards, of the longest each third.
"""

from __future__ import annotations

from tests.drawing._demo import BOARDS, DEMOS
from tests.drawing.test_covered import hidden, lost_marks, lost_rail_numbers, over_wires
from tests.drawing.test_hole_names import of_hole, over_old_wires
from tests.drawing.test_net_names import led_over, names, off_rows, struck
from tests.drawing.test_numbered import boards, boxed, far_from_number, over_bands, steps, unread

from benchmarks._report import Report

TITLE = "Labels: what they cover on board pictures"


def run(report: Report) -> None:
    """Count on every board, then in every step."""
    columns = (
        "board", "letters and numbers left out", "numbers of rails left out", "names on a lead or a bend",
        "names on a wire", "names of nets", "of them in a row of their own", "with a leader",
        "leaders over another net's strip", "leaders over a number", "leaders over a band",
        "rows in use without a whole number", "numbers on a wire",
    )  # fmt: skip
    rows = report.table(columns, (_board(report, at, name) for at, name in enumerate(BOARDS, 1)))
    report.table(("all boards", *columns[1:]), [(str(len(rows)), *_sums(rows))])
    columns = (
        "steps of", "names of holes", "of them in another row", "led over another hole in use",
        "labels", "of them over an old wire", "over its bend", "leaders over a band (every step)",
        "rows in use without a whole number", "numbers on a wire", "new holes without a number at their side",
    )  # fmt: skip
    rows = report.table(columns, (_steps(report, at, name) for at, name in enumerate(DEMOS, 1)))
    report.table(("all demos", *columns[1:]), [(str(len(rows)), *_sums(rows))])


def _board(report: Report, at: int, name: str) -> tuple[str | int, ...]:
    report.progress(at, len(BOARDS), name)
    nets = names(name)
    return (
        name, len(lost_marks(name)), len(lost_rail_numbers(name)), len(hidden(name)), len(over_wires(name)),
        len(nets), len(nets) - len(off_rows(name)), sum(leader is not None for _, leader, _ in nets),
        len(led_over(name)), len(struck(name)),
        *(sum(len(count(shown)) for shown in boards(name)) for count in (over_bands, unread, boxed)),
    )  # fmt: skip


def _steps(report: Report, at: int, name: str) -> tuple[str | int, ...]:
    report.progress(at, len(DEMOS), name)
    holes = list(of_hole(name))
    labels, over, bent = over_old_wires(name)
    return (
        name, len(holes), sum(off for _, off, _ in holes), sum(led for _, _, led in holes),
        labels, len(over), len(bent),
        *(sum(len(count(shown)) for shown in steps(name))
          for count in (over_bands, unread, boxed, far_from_number)),
    )  # fmt: skip


def _sums(rows: list[tuple[str | int, ...]]) -> list[int]:
    return [sum(int(row[at]) for row in rows) for at in range(1, len(rows[0]))]
