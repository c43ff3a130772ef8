"""Measured: what a stopwatch, a meter or an oscilloscope shows, beside what was predicted."""

from buildalong.measured._compare import Comparison, Explanation, compare
from buildalong.measured._recording import Recording, read_recording, rhythm_of

__all__ = ["Comparison", "Explanation", "Recording", "compare", "read_recording", "rhythm_of"]
