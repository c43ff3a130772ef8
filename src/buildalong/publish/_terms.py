"""Links from the author's words to the explanations of the trade's words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from buildalong.publish.handout._glossary import Term
from buildalong.publish.handout._glossary_words import AMBIGUOUS, ENDINGS
from buildalong.words import say

__all__ = ["Linker", "patterns_of"]

_TOKEN = re.compile(r"""<(?:[^<>"']|"[^"]*"|'[^']*')*>|[^<]+|<""")
_TAG = re.compile(r"<(/?)([a-zA-Z][a-zA-Z0-9]*)")
_APART = re.compile("a|abbr|button|code|dfn|h[1-6]|kbd|math|pre|samp|script|style|svg")
"""Elements within which nothing is linked."""


def patterns_of(terms: Iterable[Term]) -> tuple[tuple[str, str], ...]:
    """What is linked: (pattern, id of the explanation), the longest term first."""
    left_out = _listed(say(AMBIGUOUS))
    ending = "|".join(map(re.escape, _listed(say(ENDINGS))))
    words = sorted((word for word in terms if word.term.lower() not in left_out), key=lambda w: -len(w.term))
    bits = {word.key: r"\s+".join(map(re.escape, word.term.split())) for word in words}
    return tuple((f"{bits[word.key]}(?:{ending})?", f"_term-{word.key}") for word in words)


def _listed(text: str) -> list[str]:
    return [bit.strip() for bit in text.split(",")]


class Linker:
    """Links each term where it first stands, over as many pieces of HTML as come one after another."""

    def __init__(self, terms: Sequence[tuple[str, str]]) -> None:
        self._ids = [identity for _, identity in terms]
        whole = "|".join(f"({pattern})" for pattern, _ in terms)
        self._found = re.compile(rf"(?<![\w-])(?:{whole})(?![\w-])", re.IGNORECASE) if terms else None
        self._told: set[str] = set()

    def linked(self, html: str) -> str:
        """A piece of sound HTML with its links; headings, code and links stay as they are."""
        if self._found is None:
            return html
        out: list[str] = []
        apart = 0
        for bit in _TOKEN.findall(html):
            tag = _TAG.match(bit)
            if tag is not None and _APART.fullmatch(tag[2].lower()):
                apart += 0 if bit.endswith("/>") else -1 if tag[1] else 1
            out.append(bit if bit.startswith("<") or apart else self._found.sub(self._link, bit))
        return "".join(out)

    def _link(self, found: re.Match[str]) -> str:
        identity = self._ids[(found.lastindex or 1) - 1]
        if identity in self._told:
            return found[0]
        self._told.add(identity)
        return f'<a class="term" href="#{identity}">{found[0]}</a>'
