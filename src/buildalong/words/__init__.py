"""Words: what the program says, in the reader's language.

A message is a whole English sentence or label with named places, ``"At {time} you press {part}."``.
:func:`say` gives it in the language of the moment, which :func:`speaking` sets; nothing said, that is
English.  Numbers go through :func:`numeral` and :func:`with_unit`.  Translations stand as gettext's .po
files in ``catalogues``, one folder for each language, one file for each package; ``make words`` renews
them.  ``docs/languages.md`` has the rules for who writes messages and who translates them.
"""

from buildalong.words._catalogue import catalogue, lacking
from buildalong.words._colour_words import colour_word
from buildalong.words._languages import LANGUAGES, NO_BREAK, SOURCE, Language, spoken
from buildalong.words._letters import shapeless, undrawn
from buildalong.words._listing import behind_colon, capital, in_parts, inside, listed
from buildalong.words._messages import Many, bare, faults, sense
from buildalong.words._numbers import numeral, tied, tied_page, with_unit
from buildalong.words._speaking import Speaker, language, plainly, said, say, say_many, speaking

__all__ = [
    "LANGUAGES",
    "NO_BREAK",
    "SOURCE",
    "Language",
    "Many",
    "Speaker",
    "bare",
    "behind_colon",
    "capital",
    "catalogue",
    "colour_word",
    "faults",
    "in_parts",
    "inside",
    "lacking",
    "language",
    "listed",
    "numeral",
    "plainly",
    "said",
    "say",
    "say_many",
    "sense",
    "shapeless",
    "speaking",
    "spoken",
    "tied",
    "tied_page",
    "undrawn",
    "with_unit",
]
