"""A reason that an author wrote without saying of what: 'holds the trigger high'."""

from __future__ import annotations

import re

from buildalong.words import language

__all__ = ["with_subject"]

_MAY = frozenset({"can", "may", "must", "will"})
_NO_VERBS = frozenset(
    {
        "across",
        "afterwards",
        "always",
        "as",
        "besides",
        "his",
        "its",
        "less",
        "nevertheless",
        "ours",
        "perhaps",
        "plus",
        "regardless",
        "sometimes",
        "theirs",
        "this",
        "thus",
        "times",
        "towards",
        "unless",
        "us",
        "yes",
    }
)
"""Words with an s at the end with which an English sentence may begin, and which are no verbs."""
_OTHERS = frozenset(
    {"i", "you", "we", "they", "he", "she", "it", "one", "this", "that", "these", "those", "there"}
)
"""After one of these, 'can' or 'must' asks a question and needs no subject before it."""

_VERBS_AFTER_NOUNS = frozenset({"are", "were", "have", "do", "can", "may", "must", "will", "need"})
"""Behind one of these the word before is a plural: 'Resistors are ...'."""


def with_subject(name: str, reason: str) -> str:
    """Put the part's name before a reason that begins with its verb: 'Is it' becomes 'LS1 is it'.

    A verb is told by the s of its third person, or is one of can, may, must and will: English only.
    """
    if language() != "en":
        return reason
    found = re.match(r"([A-Za-z][a-z]+) +([A-Za-z]+)", reason)
    if found is None:
        return reason
    first, second = found[1].lower(), found[2].lower()
    third_person = first.endswith("s") and first not in _NO_VERBS and second not in _VERBS_AFTER_NOUNS
    able = first in _MAY and second not in _OTHERS
    return f"{name} {reason[0].lower()}{reason[1:]}" if third_person or able else reason
