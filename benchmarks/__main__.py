"""Take measurements: ``python -m benchmarks [SECTION ...]``; without a section, all.

Prints the tables and writes those of the sections that were run to the end into benchmarks/RESULTS.md;
the others keep their earlier figures with their date. Example: ``python -m benchmarks engine.accuracy
engine.start``. A first part stands for all its sections: ``python -m benchmarks engine``.

Each section is written as soon as it is finished, with how long it took; Ctrl-C keeps what is written, and a
section that breaks down is told and passed over. Before each one stands how long the run has taken so far.
"""

from __future__ import annotations

import argparse
import importlib
import sys
import time
import traceback
from pathlib import Path

from benchmarks._machine import stamp
from benchmarks._report import Report, clock
from benchmarks._results import RESULTS, store

HERE = Path(__file__).parent


def sections() -> list[str]:
    """Names of all sections."""
    return sorted(file.stem for file in HERE.glob("[a-z]*.py"))


def chosen(words: list[str]) -> list[str]:
    """Names of the sections that the words stand for; raises SystemExit where one stands for none."""
    known = sections()
    out: list[str] = []
    for word in words:
        name = word.replace(".", "_").replace("-", "_")
        found = [s for s in known if s == name or s.startswith(name + "_")]
        if not found:
            raise SystemExit(f"no section {word!r}; there are: {', '.join(known)}")
        out += [s for s in found if s not in out]
    return out or known


def main(arguments: list[str] | None = None) -> int:
    """Run the chosen sections; 130 where stopped, 1 where one breaks down or, with ``--strict``, misses."""
    parser = argparse.ArgumentParser(
        prog="python -m benchmarks", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("section", nargs="*", help="section or area, such as engine.accuracy or engine")
    parser.add_argument("--list", action="store_true", help="list the sections and end")
    parser.add_argument("--no-write", action="store_true", help="only print; leave RESULTS.md alone")
    parser.add_argument("--strict", action="store_true", help="end with 1 where a target is missed")
    given = parser.parse_args(arguments)
    names = chosen(given.section)
    if given.list:
        print("\n".join(names))
        return 0
    missed: list[str] = []
    broken: list[str] = []
    began = time.monotonic()
    for number, name in enumerate(names, 1):
        print(f"[{clock(time.monotonic() - began)}] {number} of {len(names)}: {name}", file=sys.stderr)
        try:
            report = measured(name, write=not given.no_write)
        except KeyboardInterrupt:
            print(f"\nstopped in {name}; RESULTS.md keeps its earlier figures for it", file=sys.stderr)
            return 130
        except Exception:
            traceback.print_exc()
            broken.append(name)
            continue
        missed += [f"{name}: {text}" for text in report.missed]
    print(f"[{clock(time.monotonic() - began)}] finished", file=sys.stderr)
    if missed:
        print("\nMissed:\n" + "\n".join(f"- {line}" for line in missed))
    if broken:
        print(f"\nbroken down, with their earlier figures kept: {', '.join(broken)}", file=sys.stderr)
    return int(bool(broken) or (given.strict and bool(missed)))


def measured(name: str, *, write: bool) -> Report:
    """Run one section and, if told so, write it into the results with the time it took."""
    module = importlib.import_module(f"benchmarks.{name}")
    report = Report(module.TITLE, module.__doc__ or "")
    began, start = time.monotonic(), stamp(f"python -m benchmarks {name}")
    module.run(report)
    if write:
        store(RESULTS, name, report.markdown(f"{start}\n\nTook {clock(time.monotonic() - began)}."))
    return report


if __name__ == "__main__":
    raise SystemExit(main())
