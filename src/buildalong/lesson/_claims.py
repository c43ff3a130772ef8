"""Claims: numbers with an electrical unit in the author's words, and whether some figure supports them.

How a claim is compared
    plain         "0.52 s": the figure, rounded to the digits written, must give the same number
    about         "about 0.5 s", "nearly", "roughly", "~": the figure may differ by 10 %, or by the
                  rounding of the digits written where that is more; the expected value of a kept
                  promise supports it too
    bound         "under 20 mA", "at least 4 V": a figure of that very number, or one on the right
                  side and within ten times
    range         "0.4 to 0.6 s": a figure inside
A part named beside the number ("R1 is 47 kΩ", "the 10 µF capacitor C1") must itself have that value.
Lengths, ages, counts and plain numbers are no claims.
"""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal

from buildalong.lesson._claim_words import ClaimWords, claim_words
from buildalong.lesson._lesson import Figure
from buildalong.quantity import Quantity, QuantityError, agrees, format_quantity, parse

__all__ = ["ABOUT", "Claim", "dangerous", "find_claims", "mask", "nearest_figures", "only_ideal", "supported"]

ABOUT = 0.10
"""How far "about" reaches, as a ratio."""

DEADLY = 50.0
"""Extra-low voltage ends here [V] (IEC 61140: 50 V alternating, 120 V direct; from memory; we take the
lower one)."""

_SYMBOL = r"(?:[pnuµμmkKMG]?(?:Ω|Ω|ohms?|Hz|F|Ah|Wh|lx|V|A|W|J)|[nuµμm]?s|min|h|%|°C)"
_NUMBER = r"\d{1,3}(?:[ \u00a0\u202f]\d{3})+(?:[.,]\d+)?|\d+(?:[.,]\d+)?"
_GAP = r"[ \t\u00a0\u202f*_]*\n?[ \t\u00a0\u202f*_]*"


class _Reader:
    """The patterns of one language."""

    def __init__(self, words: ClaimWords) -> None:
        self.words = words
        units = "|".join(
            re.escape(w).replace(r"\ ", r"[ \s]") for w in sorted(words.units, key=len, reverse=True)
        )
        self.claim = re.compile(
            rf"""(?<![\w.,/#$€£+])
            (?P<number>{_NUMBER}|\d+/\d+)
            (?:
                (?P<code>[kMRpnµu]\d+)(?:\s*(?P<codeunit>Ω|F))?\b
              | (?P<bare>[kMR])\b(?![ \t]*[ΩFVAW])
              | {_GAP}-?(?P<symbol>{_SYMBOL})(?![\w/·²-])
              | {_GAP}-?\s*(?P<word>{units}){words.plural}\b
              | (?P<rate>{words.events})
                \s+{words.per}\s+(?P<per>{words.per_second}|{words.per_minute})
            )""",
            re.VERBOSE,
        )
        self.before = re.compile(
            rf"(?<![\w.,/#$€£+])(?P<low>{_NUMBER})(?:{_GAP}(?P<unit>{_SYMBOL}))?"
            rf"(?P<join>\s*[–—-]\s*|\s+(?:{words.joins})\s+)$"
        )
        self.about = re.compile(rf"(?:\b{words.about}|[~≈]\s*)$", re.IGNORECASE)
        self.below = re.compile(rf"\b{words.below}$", re.IGNORECASE)
        self.above = re.compile(rf"\b{words.above}$", re.IGNORECASE)
        self.between = re.compile(rf"\b(?:{words.between})\s+$", re.IGNORECASE)
        self.owner = re.compile(
            r"\b(?P<id>[A-Z]{1,3}\d{1,3})\b[*_]*"
            rf"(?:\s+(?:{words.is_})(?:\s+(?:{words.just}))?\s+|\s*[(=:]\s*)$"
        )
        self.ideal = re.compile(rf"\b({words.ideal})", re.IGNORECASE)


@cache
def _reader(tag: str) -> _Reader:
    return _Reader(claim_words(tag))


_OWNER_AFTER = re.compile(
    r"[*_]*(?:\s+[a-zäöüßáéíóúñàâçèêëîïôùûœ]+){0,2}\s*\(?[*_]*(?P<id>[A-Z]{1,3}\d{1,3})\b"
)


@dataclass(frozen=True, slots=True)
class Claim:
    """A number with a unit as it stands in the text, from offset ``start`` to ``end`` (counted from 0).

    ``written`` is the same for :func:`buildalong.quantity.agrees`, in units of ``factor``: "30 times a
    minute" is "30 Hz" with the factor 1/60.  ``low`` is the written start of a range.
    """

    start: int
    end: int
    text: str
    quantity: Quantity
    written: str
    factor: float = 1.0
    kind: Literal["plain", "about", "below", "above", "range"] = "plain"
    low: str = ""
    owner: str = ""

    def is_exactly(self, value: float) -> bool:
        """Whether a value [coherent unit], rounded to the digits written, gives the claim."""
        return agrees(self.written, value / self.factor, self.quantity.unit)


def _blank(found: re.Match[str]) -> str:
    return "".join("\n" if letter == "\n" else " " for letter in found[0])


def _entity(found: re.Match[str]) -> str:
    letter = html.unescape(found[0])
    return found[0] if len(letter) != 1 else " " * (len(found[0]) - 1) + letter


def mask(source: str, hidden: Sequence[tuple[int, int]] = ()) -> str:
    """Blank out what is no plain text, keeping every offset; ``hidden`` are line ranges of code and HTML.

    Blanked: code, ``{{ ... }}``, links and their words, addresses, pictures, HTML tags and comments.
    """
    lines = source.split("\n")
    for first, last in hidden:
        for number in range(first, min(last, len(lines))):
            lines[number] = " " * len(lines[number])
    text = "\n".join(lines)
    for pattern in (_CODE_SPAN, _INSERT, _COMMENT, _LINK, _REFERENCE, _TAG, _ADDRESS):
        text = pattern.sub(_blank, text)
    return _ENTITY.sub(_entity, text)


_CODE_SPAN = re.compile(r"(?<!`)(`{1,3})(?!`)(?:(?!\n\n)[^`]|(?!\1(?!`))`)*?\1(?!`)")
_INSERT = re.compile(r"\{\{[^{}\n]{0,400}\}\}")
_COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)
_LINK = re.compile(r"!?\[[^\[\]\n]{0,400}\]\([^()\n]{0,600}\)")
_REFERENCE = re.compile(
    r"!?\[[^\[\]\n]{0,400}\]\[[^\[\]\n]{0,200}\]|^ {0,3}\[[^\[\]\n]{1,200}\]:.*$", re.MULTILINE
)
_TAG = re.compile(r"</?[A-Za-z][^<>]{0,600}>")
_ADDRESS = re.compile(r"\b(?:https?://|www\.|mailto:)\S+|<[^<>\s]+@[^<>\s]+>")
_ENTITY = re.compile(r"&(?:[A-Za-z]{2,10}|#\d{1,6}|#[xX][0-9A-Fa-f]{1,5});")


def find_claims(text: str, language: str = "en") -> list[Claim]:
    """Find the claims of a masked text (see :func:`mask`) that is written in a language (BCP 47)."""
    out: list[Claim] = []
    reader = _reader(language)
    for found in reader.claim.finditer(text):
        claims = _claims(text, found, reader)
        while claims and out and out[-1].start >= claims[0].start:
            out.pop()  # "4.5 V to 16 V" is one range
        out.extend(claims)
    return out


def _claims(text: str, found: re.Match[str], reader: _Reader) -> list[Claim]:
    """The claim of one match; two where a second number shares its unit ("10 and 20 s")."""
    unit, factor = _unit(found, reader.words), 1.0
    if found["rate"]:
        unit, factor = "Hz", 1.0 if found["per"] == reader.words.per_second else 1 / 60
    start = found.start()
    if found["code"]:
        code = found["number"] + found["code"]
        written = f"{code} {found['codeunit'] or ('Ω' if found['code'][0] in 'kMR' else 'F')}"
    else:
        written = _written(found["number"], unit)
    claim = _framed(text, start, found.end(), written, factor, reader)
    if claim is None:
        return []
    before = reader.before.search(text[max(0, start - 40) : start])
    if before is None or found["code"]:
        return [claim]
    first = start - len(before[0])
    low = _framed(
        text,
        first,
        first + len(before["low"]),
        _written(before["low"], before["unit"] or unit),
        factor,
        reader,
    )
    if low is None or low.quantity.unit != claim.quantity.unit:
        return [claim]
    apart = before["join"].strip() not in reader.words.pairs
    between = apart or reader.between.search(text[max(0, first - 20) : first])
    if between and low.quantity.value < claim.quantity.value:
        whole = _framed(text, first, found.end(), written, factor, reader)
        return [replace(whole, kind="range", low=low.written)] if whole else []
    return [claim] if before["unit"] else [low, claim]


def _written(number: str, unit: str) -> str:
    plain = re.sub(r"\s", "", number).replace(",", ".")
    return f"{plain} {unit}"


def _unit(found: re.Match[str], words: ClaimWords) -> str:
    if found["bare"]:
        return f"{found['bare'].replace('R', '')}Ω"
    if found["word"]:
        return words.units[" ".join(found["word"].split())]
    return found["symbol"] or ""


def _framed(text: str, start: int, end: int, written: str, factor: float, reader: _Reader) -> Claim | None:
    """A claim with the words around it taken into account; None where it is no quantity."""
    try:
        read = parse(written)
    except QuantityError:
        return None
    quantity = Quantity(read.value * factor, read.unit)
    shown = " ".join(text[start:end].replace("*", "").split())
    before, after = text[max(0, start - 60) : start].replace("*", "").replace("\n", " "), text[end : end + 40]
    kind: Literal["plain", "about", "below", "above"] = "plain"
    if reader.about.search(before):
        kind = "about"
    elif reader.below.search(before):
        kind = "below"
    elif reader.above.search(before):
        kind = "above"
    bare = reader.about.sub("", before)
    owner = ""
    if quantity.unit in ("Ω", "F"):
        beside = reader.owner.search(bare) or _OWNER_AFTER.match(after)
        owner = beside["id"] if beside else ""
    return Claim(start, end, shown, quantity, written, factor, kind, "", owner)


def supported(
    claim: Claim, figures: Mapping[str, Figure], value_of: Callable[[str], Quantity | None]
) -> bool:
    """Whether some figure of the claim's unit supports it; ``value_of`` gives the value of a part by name."""
    if claim.owner:
        own = value_of(claim.owner)
        if own is not None and own.unit == claim.quantity.unit:
            return _agrees(claim, own.value, "value")
    return any(
        figure.quantity.unit == claim.quantity.unit and _agrees(claim, figure.quantity.value, figure.kind)
        for figure in figures.values()
    )


def dangerous(claim: Claim, figures: Mapping[str, Figure]) -> bool:
    """Whether a claim names a voltage that can kill and that no rating of the lesson is exactly."""
    if claim.quantity.unit != "V" or abs(claim.quantity.value) < DEADLY:
        return False
    return not any(f.quantity.unit == "V" and claim.is_exactly(f.quantity.value) for f in figures.values())


def _agrees(claim: Claim, value: float, kind: str) -> bool:
    value, wanted = abs(value), abs(claim.quantity.value)
    if kind == "promise":
        return claim.kind == "about" and abs(value - wanted) <= 1e-6 * wanted
    if claim.is_exactly(value):
        return True
    if claim.kind == "range":
        low = parse(claim.low).value * claim.factor
        return low <= value <= wanted or agrees(claim.low, value / claim.factor)
    if claim.kind == "about":
        return abs(value - wanted) <= ABOUT * wanted
    if claim.kind == "below":
        return wanted / 10 <= value <= wanted
    if claim.kind == "above":
        return wanted <= value <= wanted * 10
    return False


_SENTENCE_ENDS = re.compile(r"[.!?:](?=\s)|\n\s*\n")


def only_ideal(
    claim: Claim, figures: Mapping[str, Figure], source: str, language: str = "en"
) -> tuple[str, Figure] | None:
    """The measured figure that a claim contradicts although an ideal formula supports it, with its name.

    None where something else than a formula supports the claim, where nothing was measured beside the
    formula, where both agree, or where the claim's own sentence says that it speaks of the formula.
    """
    agreeing = [
        (name, figure.kind)
        for name, figure in figures.items()
        if figure.quantity.unit == claim.quantity.unit and _agrees(claim, figure.quantity.value, figure.kind)
    ]
    if not agreeing or any(kind != "formula" for _, kind in agreeing):
        return None
    starts = [m.end() for m in _SENTENCE_ENDS.finditer(source, 0, claim.start)]
    end = _SENTENCE_ENDS.search(source, claim.end)
    if _reader(language).ideal.search(
        source[starts[-1] if starts else 0 : end.end() if end else len(source)]
    ):
        return None
    for name, _ in agreeing:
        measured = figures.get(name.removeprefix("ideal "))
        if measured is not None and measured.kind == "measure":
            return name.removeprefix("ideal "), measured
    return None


def nearest_figures(
    claim: Claim, figures: Mapping[str, Figure], value_of: Callable[[str], Quantity | None]
) -> list[str]:
    """The figures of the claim's unit nearest to it, in words, at most three."""
    if claim.owner:
        own = value_of(claim.owner)
        if own is not None and own.unit == claim.quantity.unit:
            return [f"{claim.owner} is {own}"]
    same = [
        (name, f)
        for name, f in figures.items()
        if f.quantity.unit == claim.quantity.unit and f.kind != "promise"
    ]

    def distance(item: tuple[str, Figure]) -> float:
        low, high = sorted((abs(item[1].quantity.value), abs(claim.quantity.value)))
        return high / low if low > 0 else float("inf")

    out: list[str] = []
    for name, figure in sorted(same, key=distance):
        quantity = figure.quantity
        written = f"{name} = {format_quantity(quantity.value, quantity.unit or '%')}"
        if written not in out:
            out.append(written)
        if len(out) == 3:
            break
    return out
