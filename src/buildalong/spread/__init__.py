"""Spread: what tolerances, temperature and a tired battery do to what a lesson promises."""

from buildalong.spread._differing import factors
from buildalong.spread._factors import Factor, Surroundings
from buildalong.spread._measured import measured
from buildalong.spread._pushes import pushes
from buildalong.spread._sample import even, variation, variations
from buildalong.spread._spread import MAX_SAMPLES, SAMPLES, SEED, Corner, Outcome, Spread, spread
from buildalong.spread._statistics import LEVELS, quantile_interval, variance_shares, wilson
from buildalong.spread._target import Target
from buildalong.spread._words import counted_errors, name_of, said_share, sentence, shares, surroundings

__all__ = [
    "LEVELS",
    "MAX_SAMPLES",
    "SAMPLES",
    "SEED",
    "Corner",
    "Factor",
    "Outcome",
    "Spread",
    "Surroundings",
    "Target",
    "counted_errors",
    "even",
    "factors",
    "measured",
    "name_of",
    "pushes",
    "quantile_interval",
    "said_share",
    "sentence",
    "shares",
    "spread",
    "surroundings",
    "variance_shares",
    "variation",
    "variations",
    "wilson",
]
