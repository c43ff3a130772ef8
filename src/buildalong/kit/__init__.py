"""Kit: parts for a class, spares, what is to be bought, and what can be taken instead."""

from buildalong.kit._kit import MAX_LEARNERS, Bag, Kit, Line, Session, kit
from buildalong.kit._rates import BREAKAGE, breakage_of
from buildalong.kit._swaps import Swap, swaps

__all__ = ["BREAKAGE", "MAX_LEARNERS", "Bag", "Kit", "Line", "Session", "Swap", "breakage_of", "kit", "swaps"]
