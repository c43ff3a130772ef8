"""Quantities with SI units: reading, writing, rounding, preferred numbers and markings."""

from buildalong.quantity._si import Quantity, QuantityError, format_quantity, parse, parse_as

__all__ = ["Quantity", "QuantityError", "format_quantity", "parse", "parse_as"]
