"""Design: the known shapes of a circuit, their formulas, and the formula sheet."""

from buildalong.design._entry import Correction, SheetEntry
from buildalong.design._explain import percent
from buildalong.design._expr import Expr
from buildalong.design._formula import Formula, invert
from buildalong.design._limits import value_limits
from buildalong.design._recognise import KINDS, recognise, shared_reason
from buildalong.design._shape import Shape, reasons
from buildalong.design._sheet import explain, figures, sheet
from buildalong.design._vector import evaluate
from buildalong.design._write import mathml, mathml_to_put_in, plain, steps, text, to_put_in

__all__ = [
    "KINDS",
    "Correction",
    "Expr",
    "Formula",
    "Shape",
    "SheetEntry",
    "evaluate",
    "explain",
    "figures",
    "invert",
    "mathml",
    "mathml_to_put_in",
    "percent",
    "plain",
    "reasons",
    "recognise",
    "shared_reason",
    "sheet",
    "steps",
    "text",
    "to_put_in",
    "value_limits",
]
