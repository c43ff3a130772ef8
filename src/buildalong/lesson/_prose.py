"""The words of a lesson: Markdown with figures put in and every claim checked."""

from __future__ import annotations

import base64
import html
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import unquote

from buildalong.finding import Finding, Place, Severity
from buildalong.lesson._claims import (
    Claim,
    dangerous,
    find_claims,
    mask,
    nearest_figures,
    only_ideal,
    supported,
)
from buildalong.lesson._expression import ExpressionError, read_expression
from buildalong.lesson._left_out import html_left_out
from buildalong.lesson._lesson import Figure, Image, Section
from buildalong.lesson._letters import undrawn_in_prose
from buildalong.lesson._markdown import markdown, parse_markdown
from buildalong.lesson._sections import MARK, sections_of
from buildalong.quantity import Quantity, format_quantity
from buildalong.words import tied

if TYPE_CHECKING:
    from markdown_it.token import Token

__all__ = ["MAX_CLAIM_FINDINGS", "Insert", "inserts", "weave"]

MAX_CLAIM_FINDINGS = 100
"""Most findings about words that are told for one lesson."""

_INSERT = re.compile(r"\{\{(?P<inside>[^{}\n]*)\}\}")
_LITERAL = re.compile(r'\s*"([^"{}]{0,300})"\s*$')
_HTML_TAG = re.compile(r"<(?:[^<>\"']|\"[^\"]*\"|'[^']*')*>")
_PICTURE = re.compile(r"<img\b(?:[^<>\"']|\"[^\"]*\"|'[^']*')*>")
_SRC = re.compile(r'\bsrc="([^"]*)"')

_TAGS = {
    "p", "br", "hr", "em", "strong", "b", "i", "u", "s", "code", "pre", "kbd", "sub", "sup", "abbr",
    "small", "mark", "ul", "ol", "li", "dl", "dt", "dd", "blockquote", "a", "img",
    "h3", "h4", "h5", "h6", "span", "div",
    "table", "thead", "tbody", "tr", "th", "td", "caption", "figure", "figcaption", "details", "summary",
}  # fmt: skip
_ATTRIBUTES = {
    "a": {"href", "title"},
    "img": {"src", "alt", "title", "width", "height"},
    "abbr": {"title"},
    "th": {"scope", "colspan", "rowspan"},
    "td": {"colspan", "rowspan"},
    "ol": {"start"},
}


@dataclass(frozen=True, slots=True)
class Insert:
    """A figure or quoted words that the author put between double braces; offsets count from 0."""

    start: int
    end: int
    inside: str
    place: Place


def _place(file: str, source: str, offset: int) -> Place:
    before = source[:offset]
    return Place(file, before.count("\n") + 1, offset - before.rfind("\n"))


def _hidden(tokens: list[Token]) -> list[tuple[int, int]]:
    """Line ranges of code blocks; figures are not put in and claims not looked for there."""
    return [
        (token.map[0], token.map[1])
        for token in tokens
        if token.map and token.type in ("fence", "code_block")
    ]


def inserts(source: str, file: str, tokens: list[Token] | None = None) -> list[Insert]:
    """Everything between double braces outside code."""
    lines = source.split("\n")
    for first, last in _hidden(tokens if tokens is not None else parse_markdown(source)):
        for number in range(first, min(last, len(lines))):
            lines[number] = " " * len(lines[number])
    text = _CODE.sub(lambda m: re.sub(r"[^\n]", " ", m[0]), "\n".join(lines))
    return [
        Insert(m.start(), m.end(), m["inside"], _place(file, source, m.start()))
        for m in _INSERT.finditer(text)
    ]


_CODE = re.compile(r"(?<!`)(`{1,3})(?!`)(?:(?!\n\n)[^`]|(?!\1(?!`))`)*?\1(?!`)")


def weave(
    source: str,
    file: str,
    figures: Mapping[str, Figure],
    ask: Callable[[str, Place], tuple[str, str] | Finding],
    images: Mapping[str, Image],
    value_of: Callable[[str], Quantity | None],
    *,
    check: bool = True,
    language: str = "en",
) -> tuple[tuple[Section, ...], list[Finding]]:
    """Turn the prose into sections of sanitised HTML, and say which claims nothing supports.

    ``ask`` gives for the text of a figure (its number as shown, its name) or a Finding.  ``check``
    is off where an error in the circuit leaves no figures to compare with.  ``language`` is that of the
    prose.
    """
    source = source.replace("\ue000", "�").replace("\ue001", "�")
    found: list[Finding] = []
    tokens = parse_markdown(source)
    shown: list[tuple[str, str]] = []
    pieces: list[str] = []
    at = 0
    for insert in inserts(source, file, tokens):
        literal = _LITERAL.match(insert.inside)
        if literal:
            answer: tuple[str, str] | Finding = (literal[1], "")
        else:
            answer = _asked(insert, ask)
        if isinstance(answer, Finding):
            found.append(answer.at(insert.place))
            answer = ("[?]", insert.inside.strip())
        pieces += [source[at : insert.start], f"\ue000{len(shown)}\ue001"]
        shown.append(answer)
        at = insert.end
    pieces.append(source[at:])
    if check:
        found += _check_claims(source, file, tokens, figures, value_of, language)

    def html_of(group: list[Token]) -> str:
        renderer = markdown()
        return tied(_finish(_clean(renderer.renderer.render(group, renderer.options, {})), shown, images))

    sections, more = sections_of("".join(pieces), file, [text for text, _ in shown], html_of)
    found += html_left_out(tokens, source, file, _TAGS, _ATTRIBUTES)
    return sections, [*found, *more, *undrawn_in_prose(source, file)]


def _asked(
    insert: Insert, ask: Callable[[str, Place], tuple[str, str] | Finding]
) -> tuple[str, str] | Finding:
    try:
        read_expression(insert.inside)
    except ExpressionError as error:
        place = insert.place
        at = Place(place.file, place.line, place.column + 2 + error.offset)
        return Finding(
            Severity.ERROR,
            "figure-unreadable",
            str(error),
            'words that should not be checked stand in quotes: {{ "45 minutes" }}',
            at,
        )
    return ask(insert.inside, insert.place)


def _dangerous(claim: Claim, place: Place) -> Finding:
    return Finding(
        Severity.ERROR,
        "mains-voltage",
        f"'{claim.text}' is dangerous: lessons run on batteries or USB only",
        "never bring a breadboard near the mains; words that only warn of it stand in quotes: "
        f'{{{{ "{claim.text}" }}}}',
        place,
        (claim.text,),
    )


def _ideal_only(claim: Claim, name: str, measured: Figure, place: Place) -> Finding:
    real = format_quantity(measured.quantity.value, measured.quantity.unit or "%")
    return Finding(
        Severity.ERROR,
        "claim-ideal-only",
        f"'{claim.text}' is what the ideal formula gives; with real parts {name} is {real}",
        f"put the measured figure in: {{{{ {name} }}}}, or say that it is the formula's value",
        place,
        (claim.text,),
    )


def _check_claims(
    source: str,
    file: str,
    tokens: list[Token],
    figures: Mapping[str, Figure],
    value_of: Callable[[str], Quantity | None],
    language: str,
) -> list[Finding]:
    found: list[Finding] = []
    for claim in find_claims(mask(source, _hidden(tokens)), language):
        if dangerous(claim, figures):
            found.append(_dangerous(claim, _place(file, source, claim.start)))
            continue
        if supported(claim, figures, value_of):
            ideal = None if claim.owner else only_ideal(claim, figures, source, language)
            if ideal is not None:
                found.append(_ideal_only(claim, *ideal, _place(file, source, claim.start)))
            continue
        near = nearest_figures(claim, figures, value_of)
        if near:
            hint = f"nearest: {'; '.join(near)}. Correct it, say 'about', or put the figure in: {{{{ ... }}}}"
        else:
            hint = (
                f'no figure of this lesson has that unit; words not to be checked: {{{{ "{claim.text}" }}}}'
            )
        message = f"nothing in the lesson supports '{claim.text}'"
        if claim.owner and near and near[0].startswith(f"{claim.owner} is"):
            message = f"'{claim.text}' is not the value of {claim.owner}"
        found.append(
            Finding(
                Severity.ERROR,
                "claim-unsupported",
                message,
                hint,
                _place(file, source, claim.start),
                (claim.text,),
            )
        )
        if len(found) >= MAX_CLAIM_FINDINGS:
            break
    return found


def _clean(text: str) -> str:
    import nh3

    return nh3.clean(
        text,
        tags=_TAGS,
        attributes=_ATTRIBUTES,
        url_schemes={"http", "https", "mailto"},
        link_rel="noopener noreferrer",
        strip_comments=True,
    )


def _finish(text: str, shown: list[tuple[str, str]], images: Mapping[str, Image]) -> str:
    """Put in figures and pictures, after the author's HTML has been made safe."""
    text = _PICTURE.sub(lambda m: _picture(m[0], images), text)
    text = _HTML_TAG.sub(lambda m: MARK.sub(lambda n: html.escape(shown[int(n[1])][0]), m[0]), text)

    def figure(found: re.Match[str]) -> str:
        words, name = shown[int(found[1])]
        if not name:
            return html.escape(words)
        return f'<span class="figure" data-figure="{html.escape(name)}">{html.escape(words)}</span>'

    return MARK.sub(figure, text)


def _picture(tag: str, images: Mapping[str, Image]) -> str:
    found = _SRC.search(tag)
    image = images.get(unquote(html.unescape(found[1]))) if found else None
    if found is None or image is None:
        words = re.search(r'\balt="([^"]*)"', tag)
        return words[1] if words else ""
    data = base64.b64encode(image.data).decode()
    return tag[: found.start()] + f'src="data:image/{image.kind};base64,{data}"' + tag[found.end() :]
