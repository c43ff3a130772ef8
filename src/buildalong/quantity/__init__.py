"""Quantities with SI units: reading, writing, rounding, preferred numbers and markings."""

from buildalong.quantity._marking import (
    COLOURS,
    BandReading,
    CodeReading,
    bands_for,
    capacitor_code,
    letter_code,
    read_backwards,
    read_bands,
    read_capacitor_code,
    read_letter_code,
    resistance_code,
    tolerance_letter,
)
from buildalong.quantity._preferred import SERIES, in_series, nearest, neighbours, series, values_between
from buildalong.quantity._si import (
    Quantity,
    QuantityError,
    agrees,
    format_like,
    format_quantity,
    parse,
    parse_as,
)

__all__ = [
    "COLOURS",
    "SERIES",
    "BandReading",
    "CodeReading",
    "Quantity",
    "QuantityError",
    "agrees",
    "bands_for",
    "capacitor_code",
    "format_like",
    "format_quantity",
    "in_series",
    "letter_code",
    "nearest",
    "neighbours",
    "parse",
    "parse_as",
    "read_backwards",
    "read_bands",
    "read_capacitor_code",
    "read_letter_code",
    "resistance_code",
    "series",
    "tolerance_letter",
    "values_between",
]
