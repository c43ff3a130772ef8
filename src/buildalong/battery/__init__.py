"""Battery: how much current a trial takes, how long each supply lasts, and how low it may fall."""

from buildalong.battery._life import Life, Use, charge_at, given_at, lives, used
from buildalong.battery._lowest import Lowest, least_supply, lowest, switch_off

__all__ = [
    "Life",
    "Lowest",
    "Use",
    "charge_at",
    "given_at",
    "least_supply",
    "lives",
    "lowest",
    "switch_off",
    "used",
]
