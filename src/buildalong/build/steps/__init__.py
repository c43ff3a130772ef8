"""The steps of a build: in which order, in which words, and whether each one is safe."""

from buildalong.build.steps._by_hand import order_findings
from buildalong.build.steps._check import check_steps
from buildalong.build.steps._cost import ORDER_WEIGHTS
from buildalong.build.steps._final import final_checks
from buildalong.build.steps._make import make_steps
from buildalong.build.steps._marks import mark_of, what_of
from buildalong.build.steps._plan import order_cost
from buildalong.build.steps._say import facts
from buildalong.build.steps._step import Kind, Step

__all__ = [
    "ORDER_WEIGHTS",
    "Kind",
    "Step",
    "check_steps",
    "facts",
    "final_checks",
    "make_steps",
    "mark_of",
    "order_cost",
    "order_findings",
    "what_of",
]
