"""Pictures in German, Spanish and French: no English is left in them, and numbers have a decimal comma.

Decimal sign: ISO 80000-1:2022, 7.2 (from memory).
"""

from __future__ import annotations

import re

import pytest

from buildalong.drawing import part_picture, sweep_waves, waveforms
from buildalong.drawing.inside import inside_picture, moment_at, state_at
from buildalong.drawing.motion import work_motion
from buildalong.words import speaking

from ._demo import blink, demo_run

RUN = blink()
TEXT = re.compile(r"<(?:text|tspan|title|desc)\b[^>]*>([^<]*)")
ENGLISH = re.compile(
    r"\b(?:supply|threshold|latch|reset|Waveforms|seen|timer|lead|longer|high|low|moves|times|lit|pressed|time)\b"
)
NAMES = {"de": "Flipflop", "es": "biestable", "fr": "bascule"}


def texts(svg: str) -> list[str]:
    return TEXT.findall(svg)


@pytest.mark.parametrize("tag", NAMES)
def test_waveforms_and_the_inside_speak(tag: str) -> None:
    """The curves of an astable timer, its inside at two moments, and the cards of its parts."""
    with speaking(tag) as speaker:
        pictures = [waveforms(RUN, span=(0.0, 0.5)), waveforms(RUN)]
        pictures += [inside_picture(state_at(RUN, "U1", moment_at(RUN, at))) for at in (0.05, 0.5)]
        pictures += [part_picture(part) for part in RUN.circuit.parts]
        pictures += [sweep_waves([RUN, RUN], ["R2 = 1 kΩ", "R2 = 2 kΩ"], ["CAP", "DS1", "S1"])]
    said = [text for picture in pictures for text in texts(picture.svg)]
    assert [text for text in said if ENGLISH.search(text)] == []
    assert [text for text in said if re.search(r"\d\.\d", text)] == []
    assert any(re.search(r"\d,\d", text) for text in said)
    assert NAMES[tag] in said
    assert [word for word in speaker.missing if re.search(r"[^\W\d_]{2}", word)] == []


@pytest.mark.parametrize(
    ("tag", "beside", "told"),
    [
        ("de", "Licht darauf", "Das Licht auf R2 beträgt 300 lx."),
        ("es", "luz recibida", "La luz sobre R2 es de 300 lx."),
        ("fr", "lumière reçue", "La lumière sur R2 est de 300 lx."),
    ],
)
def test_light_on_a_sensor_speaks(tag: str, beside: str, told: str) -> None:
    """The row of the dusk light's sensor, and its sign in the moving picture."""
    run = demo_run("dusk-light")
    with speaking(tag) as speaker:
        waves = waveforms(run)
        still = work_motion(run, (0.0, 20.0), "w").at(1.0)
    assert beside in texts(waves.svg)
    assert told in still.alt.replace("\xa0", " ")
    assert [text for text in texts(waves.svg) if re.search(r"\blight\b", text)] == []
    assert [word for word in speaker.missing if re.search(r"[^\W\d_]{2}", word)] == []
