"""The demo lessons as a whole: no error, promises kept, the board right, and the same bytes each time."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable

import pytest

from buildalong.board import equal, read_back
from buildalong.finding import Severity
from buildalong.lesson import Compiled
from demos import DEMOS, EXAMPLES

PRINT = """
import sys
from buildalong.lesson import compile_lesson
done = compile_lesson(sys.argv[1], seconds=0.2)
print(done.layout, dict(done.figures), done.findings, [s.html for s in done.prose])
"""


@pytest.mark.parametrize("name", DEMOS)
def test_a_demo_holds(name: str, compiled_demo: Callable[[str], Compiled]) -> None:
    """No error; each promise is measured and kept; the circuit read back from the holes is the lesson's."""
    done = compiled_demo(name)
    assert [f for f in done.findings if f.severity >= Severity.ERROR] == []
    assert done.promises
    assert all(result.ok and result.measured is not None for result in done.promises)
    assert done.layout is not None
    assert equal(done.circuit, read_back(done.circuit.parts, done.layout))


def test_a_demo_gives_the_same_bytes() -> None:
    """Layout, figures, findings and words are the same in processes that hash texts differently."""
    one, two = (
        subprocess.run(
            [sys.executable, "-c", PRINT, str(EXAMPLES / "mailbox-flag")],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    )
    assert len(one) > 1000
    assert one == two
