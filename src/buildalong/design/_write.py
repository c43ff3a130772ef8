"""Writing a formula: as a line of text, as MathML, and with the values put in step by step.

ISO 80000-1:2022 (from memory): quantity symbols italic, units and descriptive subscripts upright,
a space between number and unit.  Elements and their content: W3C, MathML Core (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from buildalong.design._expr import (
    Difference,
    Exp,
    Expr,
    Log,
    Num,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Sym,
)
from buildalong.design._formula import Formula
from buildalong.design._units import unit_of
from buildalong.quantity import format_quantity
from buildalong.words import with_unit

__all__ = ["mathml", "mathml_to_put_in", "plain", "quantity_text", "steps", "text", "to_put_in"]

_SUM, _PRODUCT, _ATOM = 1, 2, 3
_EQUALS = "="
AT_ONCE = 3
"""So many operations inside each other are worked out in one line of the working."""
_UNSCALED = ("Hz", "V", "lx")
"""Units that readers expect without the prefix milli: 0.44 Hz, 0.65 V."""


def _number(node: Num) -> str:
    if node.of in _UNSCALED and 1e-3 < abs(node.number) < 1:
        rounded = float(f"{node.number:.{node.figures - 1}e}")
        return with_unit(f"{rounded:.12g}".replace("-", "−"), node.of)
    return format_quantity(node.number, node.of, node.figures).replace("-", "−")


def quantity_text(value: float, unit: str) -> str:
    """A result as it stands in a sentence, three significant figures."""
    return _number(Num(value, unit))


def _level(node: Expr) -> int:
    if isinstance(node, Sum | Difference):
        return _SUM
    if isinstance(node, Product | Quotient | Parallel):
        return _PRODUCT
    return _ATOM


def _bracketed(node: Expr, least: int) -> str:
    inner = text(node)
    return inner if _level(node) >= least else f"({inner})"


def _operand(node: Expr, least: int) -> str:
    return f"({text(node)})" if isinstance(node, Parallel) else _bracketed(node, least)


def text(node: Expr) -> str:
    """Write a tree on one line: ``ln 2 · (R1 + R2) · C1``."""
    match node:
        case Num():
            return _number(node)
        case Sym():
            return node.name
        case Sum():
            return " + ".join(_operand(term, _SUM) for term in node.terms)
        case Difference():
            return f"{_operand(node.first, _SUM)} − {_operand(node.second, _PRODUCT)}"
        case Product():
            return " · ".join(_operand(factor, _PRODUCT) for factor in node.factors)
        case Quotient():
            return f"{_operand(node.over, _PRODUCT)} / {_bracketed(node.under, _ATOM)}"
        case Parallel():
            return " ∥ ".join(_bracketed(b, _ATOM) for b in node.branches)
        case Log():
            inner = text(node.of)
            return f"ln {inner}" if isinstance(node.of, Num | Sym) else f"ln({inner})"
        case Exp():
            return f"e^({'−' if node.sign < 0 else ''}{_bracketed(node.of, _PRODUCT)})"
        case Power():
            return f"{_bracketed(node.base, _ATOM)}^{_bracketed(node.exponent, _ATOM)}"
    raise TypeError(type(node).__name__)


def _depth(node: Expr) -> int:
    return 1 + max((_depth(child) for child in node.children), default=-1)


def _reduce(node: Expr, *, top: bool) -> Expr:
    """Work out the inner operations, a few levels at a time, as a person would on paper."""
    if isinstance(node, Num | Sym):
        return node
    if unit_of(node.dim) is not None and _depth(node) <= (1 if top else AT_ONCE):
        return Num(node.value(), node.unit)
    return node.rebuilt(tuple(_reduce(child, top=False) for child in node.children))


def _put_in(node: Expr) -> Expr:
    """Replace symbols by their values and logarithms of plain numbers by decimals."""
    if isinstance(node, Sym):
        return Num(node.number, node.of, 4)
    if isinstance(node, Log) and isinstance(node.of, Num):
        return Num(node.value())
    return node.rebuilt(tuple(_put_in(child) for child in node.children)) if node.children else node


def steps(formula: Formula) -> tuple[Expr, ...]:
    """The right-hand sides from the symbols to the number: symbols, values put in, worked out.

    The last one is computed from unrounded values; the ones between are rounded in writing only.
    """
    lines: list[Expr] = [formula.expr]
    current = _put_in(formula.expr)
    while True:
        if text(current) != text(lines[-1]):
            lines.append(current)
        if isinstance(current, Num):
            return tuple(lines)
        following = _reduce(current, top=True)
        current = following if following != current else Num(current.value(), current.unit)


def _row(*items: str) -> str:
    return items[0] if len(items) == 1 else f"<mrow>{''.join(items)}</mrow>"


def _mo(sign: str) -> str:
    return f"<mo>{sign}</mo>"


def _fence(inner: str) -> str:
    return f"<mrow><mo>(</mo>{inner}<mo>)</mo></mrow>"


def _ml_number(node: Num) -> str:
    written = _number(node)
    cut = max(written.rfind(" "), written.rfind("\u00a0")) if node.of else -1
    number, unit = (written[:cut], written[cut + 1 :]) if cut >= 0 else (written, "")
    sign = ""
    if number.startswith("−"):
        sign, number = _mo("−"), number[1:]
    written = f"<mn>{number}</mn>"
    if unit:
        written += f'<mspace width="0.2em"></mspace><mi mathvariant="normal">{escape(unit)}</mi>'
    return _row(sign + written) if not sign and not unit else f"<mrow>{sign}{written}</mrow>"


@dataclass(frozen=True, slots=True)
class _Either(Sym):
    """A symbol that is written beside its value, for a page that shows one of them."""


def _with_either(node: Expr) -> Expr:
    if isinstance(node, Sym):
        return _Either(node.letter, node.sub, node.number, node.of, node.part)
    return node.rebuilt(tuple(map(_with_either, node.children))) if node.children else node


def _ml_either(node: _Either) -> str:
    symbol = _ml_symbol(node)
    return (
        f'<mrow data-symbol="{escape(node.name)}"><mrow class="symbol">{symbol}</mrow>'
        f'<mrow class="value">{_ml_number(Num(node.number, node.of, 4))}</mrow></mrow>'
    )


def _ml_symbol(node: Sym) -> str:
    letter = f"<mi>{escape(node.letter)}</mi>"
    if not node.sub:
        return letter
    sub = (
        f"<mn>{node.sub}</mn>" if node.sub.isdigit() else f'<mi mathvariant="normal">{escape(node.sub)}</mi>'
    )
    return f"<msub>{letter}{sub}</msub>"


def _ml_bracketed(node: Expr, least: int) -> str:
    inner = _ml(node)
    return inner if isinstance(node, Quotient) or _level(node) >= least else _fence(inner)


def _ml_operand(node: Expr, least: int) -> str:
    return _fence(_ml(node)) if isinstance(node, Parallel) else _ml_bracketed(node, least)


def _joined(pieces: list[str], sign: str) -> str:
    return f"<mrow>{_mo(sign).join(pieces)}</mrow>" if len(pieces) > 1 else pieces[0]


def _ml(node: Expr) -> str:
    match node:
        case Num():
            return _ml_number(node)
        case _Either():
            return _ml_either(node)
        case Sym():
            return _ml_symbol(node)
        case Sum():
            return _joined([_ml_operand(term, _SUM) for term in node.terms], "+")
        case Difference():
            return _joined([_ml_operand(node.first, _SUM), _ml_operand(node.second, _PRODUCT)], "−")
        case Product():
            return _joined([_ml_operand(factor, _PRODUCT) for factor in node.factors], "·")
        case Quotient():
            return f"<mfrac>{_ml(node.over)}{_ml(node.under)}</mfrac>"
        case Parallel():
            return _joined([_ml_bracketed(b, _ATOM) for b in node.branches], "∥")
        case Log():
            inner = _ml(node.of)
            if not isinstance(node.of, Num | Sym):
                inner = _fence(inner)
            return f'<mrow><mi>ln</mi><mspace width="0.17em"></mspace>{inner}</mrow>'
        case Exp():
            power = _ml(node.of)
            if node.sign < 0:
                power = f"<mrow>{_mo('−')}{_ml_bracketed(node.of, _PRODUCT)}</mrow>"
            return f'<msup><mi mathvariant="normal">e</mi>{power}</msup>'
        case Power():
            base = _ml(node.base) if _level(node.base) >= _ATOM else _fence(_ml(node.base))
            return f"<msup>{base}{_ml(node.exponent)}</msup>"
    raise TypeError(type(node).__name__)


def plain(formula: Formula) -> str:
    """The whole chain on one line: symbols, values, result."""
    return f" {_EQUALS} ".join([formula.result.name, *(text(step) for step in steps(formula))])


def mathml(formula: Formula, *, worked: bool = True) -> str:
    """Write the formula as a MathML block, one row for each step when ``worked``, else one line."""
    return _block(formula, steps(formula) if worked else (formula.expr,))


def mathml_to_put_in(formula: Formula) -> str:
    """The same, worked, with each symbol of the first row beside its value.

    Each stands in a row with its name as ``data-symbol``, in it the two as rows of the classes "symbol" and
    "value"; a page shows one of them.
    """
    first, *rest = steps(formula)
    return _block(formula, (_with_either(first), *rest))


def to_put_in(formula: Formula) -> tuple[str, tuple[tuple[str, str], ...]]:
    """The formula on one line, symbols in braces: ``T = ln 2 · ({R1} + {R2})``; each with its value."""

    def braced(node: Expr) -> Expr:
        if isinstance(node, Sym):
            return Sym(f"{{{node.name}}}", "", node.number, node.of)
        return node.rebuilt(tuple(map(braced, node.children))) if node.children else node

    values = {sym.name: _number(Num(sym.number, sym.of, 4)) for sym in formula.expr.symbols()}
    return f"{formula.result.name} {_EQUALS} {text(braced(formula.expr))}", tuple(values.items())


def _block(formula: Formula, sides: Sequence[Expr]) -> str:
    left = _ml_symbol(formula.result)
    rows = "".join(
        f"<mtr><mtd>{left if index == 0 else '<mrow></mrow>'}</mtd><mtd>{_mo(_EQUALS)}</mtd>"
        f'<mtd style="text-align: left">{_ml(side)}</mtd></mtr>'
        for index, side in enumerate(sides)
    )
    table = f'<mtable displaystyle="true">{rows}</mtable>'
    return f'<math xmlns="http://www.w3.org/1998/Math/MathML" display="block">{table}</math>'
