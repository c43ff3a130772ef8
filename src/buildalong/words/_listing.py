"""Joining words for a sentence."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.words._speaking import language, say

__all__ = ["behind_colon", "capital", "in_parts", "inside", "listed"]


def listed(words: Sequence[str]) -> str:
    """Join words for a sentence: "a", "a and b", "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return say("{others} and {last}", others=", ".join(words[:-1]), last=words[-1])


def in_parts(texts: Sequence[str]) -> str:
    """Join clauses that hold commas of their own: "a, b; c"; in French with its space before the sign."""
    return (
        "".join(texts[:1])
        if len(texts) < 2
        else say("{first}; {rest}", first=texts[0], rest=in_parts(texts[1:]))
    )


def inside(text: str) -> str:
    """A title as it stands within a sentence: small at its head, but in German, whose nouns are not."""
    return text if language() == "de" else _small(text)


def behind_colon(text: str) -> str:
    """A whole sentence behind a colon: with a capital in German, without one in Spanish and French.

    Source: Duden K 93; RAE, Ortografía; Lexique des règles typographiques (all from memory).  English is
    left as it is.
    """
    return {"de": capital, "es": _small, "fr": _small}.get(language(), str)(text)


def _small(text: str) -> str:
    """Text with a small first letter, but where it begins with an abbreviation: "LED", "R1"."""
    return text if text[1:2].isupper() or text[1:2].isdigit() else f"{text[:1].lower()}{text[1:]}"


def capital(text: str) -> str:
    """A clause with a capital first letter."""
    return f"{text[:1].upper()}{text[1:]}"
