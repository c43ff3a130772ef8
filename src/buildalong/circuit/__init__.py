"""The circuit: parts, their terminals, the nets that join them.  It knows no board and no time."""

from buildalong.circuit._build import OPEN, build_part
from buildalong.circuit._check import netlist_check
from buildalong.circuit._circuit import Circuit, Part, Pin
from buildalong.circuit._limits import supply_voltages
from buildalong.circuit._netlist import Happening, netlist_text
from buildalong.circuit._print import bands_on, printed_on
from buildalong.circuit._supply import MOST_VOLTS, parse_supply

__all__ = [
    "MOST_VOLTS",
    "OPEN",
    "Circuit",
    "Happening",
    "Part",
    "Pin",
    "bands_on",
    "build_part",
    "netlist_check",
    "netlist_text",
    "parse_supply",
    "printed_on",
    "supply_voltages",
]
