"""The textbook formulas of each kind of shape, and what the titles and notes say.

Sources are named with the page where a worked example of the formula stands; the books' wording is
not used.
"""

from __future__ import annotations

from buildalong.design import _light_formulas, _pair_formulas, _small_formulas, _timer_formulas
from buildalong.design._entry import Maker

__all__ = ["FORMULAS"]

FORMULAS: dict[str, Maker] = {
    "astable": _timer_formulas.astable,
    "astable-steered": _timer_formulas.steered,
    "astable-output": _timer_formulas.by_output,
    "one-shot": _timer_formulas.one_shot,
    "transistor-astable": _pair_formulas.transistors,
    "counter-chain": _timer_formulas.counter,
    "transistor-switch": _light_formulas.switch,
    "led": _light_formulas.led,
    "led-shared": _light_formulas.led,
    "comparator-hysteresis": _small_formulas.hysteresis,
    "divider": _small_formulas.divider,
    "light-divider": _small_formulas.divider,
    "rc": _small_formulas.rc,
    "pull-up": _small_formulas.pull,
    "pull-down": _small_formulas.pull,
    "resistors": _small_formulas.resistors,
}
"""Kind of shape -> the function that gives its sheet entries."""
