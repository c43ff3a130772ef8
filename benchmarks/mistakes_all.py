"""All single mistakes of every demo, simulated and classified, and the plan that finds them.

Boards are those written out by hand in ``tests/breaks/layouts``.  CPU time of the process, all threads, after
one warm-up; with two cores free the wait is about half.  Readings are expected by the weights, which are our
judgement; *seen* leaves out mistakes that nothing shows, for which nobody searches.
"""

from __future__ import annotations

import time
import tomllib
from pathlib import Path

from benchmarks._report import Report
from buildalong.board import Layout, board, layout_from
from buildalong.build.steps import make_steps
from buildalong.lesson import Lesson, load
from buildalong.mistakes import Lab, laboratory
from buildalong.trace import build_order, make_plan, readings_in_build_order

TITLE = "Mistakes: simulated, classified, found"
ROOT = Path(__file__).parents[1]
SECONDS = 20.0
CORES = 2
QUIET = ("as-it-should", "overstressed")


def built(name: str) -> tuple[Lesson, Layout]:
    """A demo on the board that is written out by hand."""
    lesson = load(ROOT / "examples" / name)
    text = (ROOT / "tests" / "breaks" / "layouts" / f"{name}.toml").read_text(encoding="utf-8")
    hand = tomllib.loads(text)["layout"]
    wires = hand.pop("wires", [])
    layout, _ = layout_from(board(lesson.board), lesson.circuit, hand, wires)
    if layout is None:
        raise ValueError(f"the board of {name} cannot be read")
    return lesson, layout


def run(report: Report) -> None:
    """Make all mistakes of every demo, then plan the search."""
    names = sorted(p.stem for p in (ROOT / "tests" / "breaks" / "layouts").glob("*.toml"))
    made: dict[str, tuple[Lesson, Layout, Lab]] = {}
    rows = []
    slowest = 0.0
    for name in names:
        lesson, layout = built(name)
        if not made:
            laboratory(lesson.circuit, layout, lesson.trials)
        wall, cpu = time.perf_counter(), time.process_time()
        lab = laboratory(lesson.circuit, layout, lesson.trials)
        wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
        slowest = max(slowest, cpu / CORES)
        made[name] = lesson, layout, lab
        open_ones = [o for o in lab.outcomes if "undetermined" in (o.symptom, o.failing)]
        rows.append(
            (name, len(lab.outcomes) + lab.unchanged, lab.circuits, len({o.symptom for o in lab.outcomes}),
             len(open_ones), sum(not o.doubts for o in open_ones), f"{cpu:.1f} s", f"{wall:.1f} s")
        )  # fmt: skip
        report.progress(len(made), len(names), name)
    report.table(
        (
            "demo",
            "mistakes",
            "circuits",
            "classes",
            "undetermined",
            "without a reason",
            "CPU time",
            "wall clock",
        ),
        rows,
    )
    report.target("all mistakes of a demo, CPU time over two cores", f"{SECONDS:g} s", f"{slowest:.1f} s",
                  slowest < SECONDS)  # fmt: skip
    report.say("What the plan saves, in readings:")
    rows, worst = [], 0.0
    for name, (lesson, layout, lab) in made.items():
        order = build_order(make_steps(lesson.circuit, layout))
        plan = make_plan(lab, order)
        ratio = plan.readings / plan.in_build_order
        worst = max(worst, ratio)
        loud = [r for r in plan.roots if r.seen.symptom not in QUIET]
        share = sum(r.share for r in loud)
        shown = [o for o in lab.outcomes if o.symptom not in QUIET]
        weight = sum(o.mistake.weight for o in shown)
        plain = sum(o.mistake.weight * readings_in_build_order(o, order) for o in shown) / weight
        rows.append(
            (name, len(order), plan.in_build_order, plan.readings, f"{ratio:.0%}", plan.effort, plain,
             sum(r.share * r.node.readings for r in loud) / share)
        )  # fmt: skip
    report.table(
        ("demo", "parts and wires", "in build order", "by the plan", "ratio", "effort", "seen: build order",
         "seen: plan"),
        rows,
    )  # fmt: skip
    report.target("readings of the plan over those in build order", "50 %", f"{worst:.0%}", worst <= 0.5)
