"""Moving pictures for a page: the circuit at work, and the board being built; still until asked to move."""

from buildalong.drawing._waves import TIME_FROM_TO
from buildalong.drawing.motion._bench import Bench, Inside, bench_of
from buildalong.drawing.motion._build import build_motion
from buildalong.drawing.motion._motion import Motion
from buildalong.drawing.motion._work import said_factor, work_motion

__all__ = ["TIME_FROM_TO", "Bench", "Inside", "Motion", "bench_of", "build_motion", "said_factor", "work_motion"]
