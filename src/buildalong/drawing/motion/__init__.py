"""Moving pictures for a page: the circuit at work, and the board being built; still until asked to move."""

from buildalong.drawing._waves import TIME_FROM_TO
from buildalong.drawing.motion._build import build_motion
from buildalong.drawing.motion._motion import Motion
from buildalong.drawing.motion._replay import Inside, Replay, replay_of
from buildalong.drawing.motion._work import said_factor, work_motion

__all__ = [
    "TIME_FROM_TO",
    "Inside",
    "Motion",
    "Replay",
    "build_motion",
    "replay_of",
    "said_factor",
    "work_motion",
]
