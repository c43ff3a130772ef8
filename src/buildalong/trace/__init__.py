"""Fault finding: which reading tells most for its effort, from a symptom down to one cause."""

from buildalong.trace._effort import EFFORT, RISK
from buildalong.trace._forecast import SWINGS, Span, spans_at
from buildalong.trace._given import answer_from, given_from, grammar
from buildalong.trace._next import Advice, Given, next_reading
from buildalong.trace._order import build_order, readings_in_build_order
from buildalong.trace._plan import Plan, Root, make_plan
from buildalong.trace._reading import Answer, Reading
from buildalong.trace._readings import all_readings
from buildalong.trace._seen import Seen, by_symptom, seen_of, suspects_of
from buildalong.trace._split import volts_words
from buildalong.trace._tree import Node

__all__ = [
    "EFFORT", "RISK", "SWINGS", "Advice", "Answer", "Given", "Node", "Plan", "Reading", "Root", "Seen",
    "Span", "all_readings", "answer_from", "build_order", "by_symptom", "given_from", "grammar", "make_plan",
    "next_reading", "readings_in_build_order", "seen_of", "spans_at", "suspects_of", "volts_words",
]  # fmt: skip
