"""Small pictures held byte for byte, so that a change of the drawing is seen and looked at.

``_snapshots`` tells how to renew them.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from buildalong.board import Layout, Wire, board
from buildalong.circuit import Circuit
from buildalong.drawing import (
    HIGH_CONTRAST,
    Mark,
    Picture,
    board_picture,
    closeup,
    part_picture,
    tilted_picture,
    waveforms,
)
from buildalong.drawing.inside import inside_picture, looks, moment_at, state_at
from buildalong.drawing.motion import work_motion
from buildalong.lesson import Compiled

from . import _snapshots
from ._demo import blink, circuit_of, layout_of, part
from ._snapshots import difference, unchanged

SNAPSHOTS = Path(__file__).parent / "snapshots"


def first_step() -> Picture:
    circuit, layout = circuit_of("mailbox-flag"), layout_of("mailbox-flag")
    two = Layout(layout.board, {p: layout.holes[p] for p in ("U1", "R1")}, layout.wires[:1])
    return board_picture(circuit, two, new_parts=("R1",), crop=(1, 12))


def shapes() -> Picture:
    parts = (part("led-red"), part("npn-bc547"), part("potentiometer", 1e4), part("slide-switch"))
    named = tuple(
        type(p)(name, p.type, p.nets, p.value)
        for p, name in zip(parts, ("DS1", "Q1", "R1", "S1"), strict=True)
    )
    holes = {
        "DS1": ("b3", "b4"),
        "Q1": ("h2", "h3", "h4"),
        "R1": ("b8", "d9", "b10"),
        "S1": ("h8", "h9", "h10"),
    }
    wires = (Wire("a12", "j12", "yellow", "flexible"), Wire("c14", "g16", "green", path=((2, 16),)))
    return board_picture(Circuit(named), Layout(board("170"), holes, wires))


def mailbox(**options: object) -> Picture:
    return board_picture(circuit_of("mailbox-flag"), layout_of("mailbox-flag"), crop="auto", **options)  # type: ignore[arg-type]


def wrong_led() -> Picture:
    circuit, layout = circuit_of("mailbox-flag"), layout_of("mailbox-flag")
    picture = closeup(circuit, layout, "DS1", circuit.by_id["DS1"].type.slips[0])
    assert picture is not None
    return picture


def lighthouse_step() -> Picture:
    circuit, layout = circuit_of("lighthouse"), layout_of("lighthouse")
    return board_picture(circuit, layout, new_parts=("C1",), crop="new")


def lighthouse_wire() -> Picture:
    circuit, layout = circuit_of("lighthouse"), layout_of("lighthouse")
    two = Layout(layout.board, {"U1": layout.holes["U1"]}, layout.wires)
    return board_picture(circuit, two, new_wires=(0,), crop="new")


def wrong_capacitor() -> Picture:
    circuit, layout = circuit_of("lighthouse"), layout_of("lighthouse")
    picture = closeup(circuit, layout, "C1", circuit.by_id["C1"].type.slips[0])
    assert picture is not None
    return picture


PICTURES = {
    "board-step": first_step,
    "board-shapes": shapes,
    "board-left-hand": lambda: mailbox(view="half-turned"),
    "board-nets": lambda: mailbox(net_labels=True),
    "board-tilted": lambda: tilted_picture(circuit_of("mailbox-flag"), layout_of("mailbox-flag")),
    "closeup": wrong_led,
    "lighthouse-closeup": wrong_capacitor,
    "lighthouse-step": lighthouse_step,
    "lighthouse-tilted": lambda: tilted_picture(
        circuit_of("lighthouse"), layout_of("lighthouse"), tone=HIGH_CONTRAST
    ),
    "lighthouse-wire": lighthouse_wire,
    "waves-high-contrast": lambda: waveforms(blink(), tone=HIGH_CONTRAST, span=(0.0, 2.0)),
    "inside-high-contrast": lambda: inside_picture(
        state_at(blink(), "U1", moment_at(blink(), 0.7)), tone=HIGH_CONTRAST
    ),
    "inside": lambda: inside_picture(state_at(blink(), "U1", moment_at(blink(), 0.2))),
    "part-led-high-contrast": lambda: part_picture(part("led-red"), tone=HIGH_CONTRAST),
    "part-resistor": lambda: part_picture(part("resistor", 330.0)),
    "part-led": lambda: part_picture(part("led-red")),
    "part-timer": lambda: part_picture(part("timer-555")),
    "work": lambda: work_motion(blink(), (0.0, 2.0), "w").picture,
    "waves": lambda: waveforms(blink(), title="Five blinks", marks=[Mark(0.4, "1", "The light goes out.")]),
}


@pytest.mark.parametrize("name", PICTURES)
def test_picture_is_unchanged(name: str) -> None:
    """The picture equals the one that was looked at and kept."""
    unchanged(SNAPSHOTS, name, PICTURES[name]().svg)


def trial_waves(compiled: Compiled) -> Picture:
    """The curves and bars of a lesson's first trial."""
    trial, run = next(iter(compiled.runs.items()))
    return waveforms(run, title=trial)


def trial_inside(compiled: Compiled) -> Picture:
    """The first moment of its story inside U1."""
    trial, run = next(iter(compiled.runs.items()))
    return inside_picture(looks(run, "U1", compiled.stories[trial])[0].state)


SIMULATED = {
    "dusk-light-waves": ("dusk-light", trial_waves),
    "dusk-light-inside": ("dusk-light", trial_inside),
    "cupboard-light-waves": ("cupboard-light", trial_waves),
    "cupboard-light-inside": ("cupboard-light", trial_inside),
}
"""Pictures of simulated trials."""


@pytest.mark.parametrize("name", SIMULATED)
def test_picture_of_a_trial_is_unchanged(name: str, compiled_demo: Callable[[str], Compiled]) -> None:
    """The picture of what was simulated equals the one that was looked at and kept."""
    demo, draw = SIMULATED[name]
    unchanged(SNAPSHOTS, name, draw(compiled_demo(demo)).svg)


def test_a_changed_picture_is_shown() -> None:
    """A picture with one changed stroke gives a PNG with red where it changed and nowhere else."""
    kept = PICTURES["part-timer"]().svg
    file = difference("proof", kept, kept.replace("1 GND", "1 GMD"))
    image = Image.open(file).convert("RGB")
    third = image.crop((1820, 0, 2720, image.height))
    red = [
        (x, y)
        for x in range(0, 900, 2)
        for y in range(0, third.height, 2)
        if third.getpixel((x, y)) == (208, 0, 0)
    ]
    assert red
    assert all(x < 450 and y < third.height / 2 for x, y in red)


def test_a_failing_snapshot_says_where_the_difference_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the kept picture differs, the test fails with the path of a PNG of kept, new and difference."""
    monkeypatch.delenv("RENEW_SNAPSHOTS", raising=False)
    monkeypatch.setattr(_snapshots, "DIFFERENCES", tmp_path / "differences")
    (tmp_path / "snapshots").mkdir()
    kept = PICTURES["part-led"]().svg.replace("cathode", "anode")
    (tmp_path / "snapshots" / "part-led.svg").write_text(kept, encoding="utf-8")
    with pytest.raises(pytest.fail.Exception) as failed:
        unchanged(tmp_path / "snapshots", "part-led", PICTURES["part-led"]().svg)
    file = Path(str(failed.value).rpartition(" ")[2])
    assert file == tmp_path / "differences" / "part-led.png"
    with Image.open(file) as image:
        assert image.size[0] == 3 * 900 + 20
