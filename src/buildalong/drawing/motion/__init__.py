"""Moving pictures for a page: the circuit at work, and the board being built; still until asked to move."""

from buildalong.drawing.motion._build import build_motion
from buildalong.drawing.motion._motion import Motion
from buildalong.drawing.motion._work import said_factor, work_motion

__all__ = ["Motion", "build_motion", "said_factor", "work_motion"]
