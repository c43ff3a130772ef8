"""Studies: one number of a circuit swept, and how strongly each number moves what is measured."""

from buildalong.study._asked import CHUNK, Asked, Progress, measured
from buildalong.study._fresh import fresh, strained
from buildalong.study._parameters import Parameter, find_parameter, parameters
from buildalong.study._sensitivity import STEP, Influence, Sensitivity, sensitivity
from buildalong.study._sweep import MOST_VALUES, Column, Sweep, runs_of, spaced, sweep

__all__ = [
    "CHUNK",
    "MOST_VALUES",
    "STEP",
    "Asked",
    "Column",
    "Influence",
    "Parameter",
    "Progress",
    "Sensitivity",
    "Sweep",
    "find_parameter",
    "fresh",
    "measured",
    "parameters",
    "runs_of",
    "sensitivity",
    "spaced",
    "strained",
    "sweep",
]
