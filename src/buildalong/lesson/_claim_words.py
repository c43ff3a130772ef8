"""The words around a number that change what it claims, for each language an author may write in.

Common usage of each language; every entry is a piece of a regular expression, compared without regard
to capitals except for the units.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildalong.words import spoken

__all__ = ["ClaimWords", "claim_words"]


@dataclass(frozen=True, slots=True)
class ClaimWords:
    """What one language says around numbers.

    ``units``: word -> symbol, and ``plural`` what may follow such a word.  ``events`` and ``per`` make a
    rate ("30 times a minute"), whose time is one of ``per_second`` or ``per_minute``.  ``about``,
    ``below``, ``above`` and ``between`` stand before a number; ``joins`` between the two numbers of a
    range, ``pairs`` between two numbers that are a range only after ``between``.  ``is_``, ``just``: from
    a part to its value.  ``ideal``: a sentence with this speaks of a formula.
    """

    units: Mapping[str, str]
    plural: str
    events: str
    per: str
    per_second: str
    per_minute: str
    about: str
    below: str
    above: str
    between: str
    joins: str
    pairs: tuple[str, ...]
    is_: str
    just: str
    ideal: str


_ENGLISH = ClaimWords(
    units={
        "millisecond": "ms", "second": "s", "sec": "s", "minute": "min", "hour": "h",
        "millivolt": "mV", "volt": "V", "microamp": "µA", "milliamp": "mA", "amp": "A",
        "ampere": "A", "milliampere": "mA", "microampere": "µA", "ohm": "Ω", "kilohm": "kΩ", "kiloohm": "kΩ",
        "megohm": "MΩ", "picofarad": "pF", "nanofarad": "nF", "microfarad": "µF", "farad": "F",
        "hertz": "Hz", "kilohertz": "kHz", "watt": "W", "milliwatt": "mW", "joule": "J", "lux": "lx",
        "percent": "%", "per cent": "%",
    },
    plural="s?",
    events=r"\s+(?:times|flashes|blinks|pulses|cycles|steps)",
    per=r"(?:a|per|each|every|in\s+a)",
    per_second="second",
    per_minute="minute",
    about=r"(?:about|around|roughly|nearly|almost|approximately|approx\.|some|close\s+to|ca\.)\s+(?:every\s+|a\s+|an\s+)?",
    below=r"(?:under|below|less\s+than|at\s+most|up\s+to|no\s+more\s+than|not\s+more\s+than|within)\s+(?:about\s+)?",
    above=r"(?:over|above|more\s+than|at\s+least|no\s+less\s+than|not\s+less\s+than)\s+(?:about\s+)?",
    between="between|from",
    joins="to|and|or",
    pairs=("and", "or"),
    is_="is|has|of|at|with",
    just=r"a\s+value\s+of|now|only|just",
    ideal=r"ideal|formula|textbook|theor|calculat|comput|perfect|on paper|equation",
)  # fmt: skip

_GERMAN = ClaimWords(
    units={
        "Millisekunde": "ms", "Sekunde": "s", "Minute": "min", "Stunde": "h",
        "Millivolt": "mV", "Volt": "V", "Mikroampere": "µA", "Milliampere": "mA", "Ampere": "A",
        "Ohm": "Ω", "Kiloohm": "kΩ", "Kilohm": "kΩ", "Megaohm": "MΩ", "Megohm": "MΩ",
        "Pikofarad": "pF", "Nanofarad": "nF", "Mikrofarad": "µF", "Farad": "F",
        "Hertz": "Hz", "Kilohertz": "kHz", "Watt": "W", "Milliwatt": "mW", "Joule": "J", "Lux": "lx",
        "Prozent": "%",
    },
    plural="n?",
    events=r"(?:\s*-?\s*[Mm]al|\s+(?:Blitze|Impulse|Schritte|Takte))",
    per=r"(?:pro|je|in\s+der|in\s+einer|jede)",
    per_second="Sekunde",
    per_minute="Minute",
    about=r"(?:etwa|ungefähr|rund|fast|nahezu|beinahe|circa|ca\.|gut|knapp)\s+(?:alle\s+)?",
    below=r"(?:unter|weniger\s+als|höchstens|bis\s+zu|nicht\s+mehr\s+als|binnen|innerhalb\s+von)\s+(?:etwa\s+)?",
    above=r"(?:über|mehr\s+als|mindestens|wenigstens|nicht\s+weniger\s+als)\s+(?:etwa\s+)?",
    between="zwischen|von",
    joins="bis|und|oder",
    pairs=("und", "oder"),
    is_="ist|hat|von|mit|beträgt",
    just=r"einen\s+Wert\s+von|einem\s+Wert\s+von|jetzt|nur",
    ideal=r"ideal|formel|lehrbuch|theor|berechn|rechn|perfekt|auf dem papier|gleichung",
)  # fmt: skip

_SPANISH = ClaimWords(
    units={
        "milisegundo": "ms", "segundo": "s", "minuto": "min", "hora": "h",
        "milivoltio": "mV", "voltio": "V", "microamperio": "µA", "miliamperio": "mA", "amperio": "A",
        "ohmio": "Ω", "kilohmio": "kΩ", "kiloohmio": "kΩ", "megohmio": "MΩ",
        "picofaradio": "pF", "nanofaradio": "nF", "microfaradio": "µF", "faradio": "F",
        "hercio": "Hz", "kilohercio": "kHz", "vatio": "W", "milivatio": "mW", "julio": "J", "lux": "lx",
        "por ciento": "%",
    },
    plural="s?",
    events=r"\s+(?:veces|destellos|pulsos|impulsos|ciclos|pasos)",
    per=r"(?:por|cada|al|a\s+la)",
    per_second="segundo",
    per_minute="minuto",
    about=r"(?:unos|unas|aproximadamente|casi|cerca\s+de|alrededor\s+de|más\s+o\s+menos)\s+(?:cada\s+)?",
    below=r"(?:menos\s+de|como\s+máximo|hasta|por\s+debajo\s+de|no\s+más\s+de)\s+(?:unos\s+|unas\s+)?",
    above=r"(?:más\s+de|al\s+menos|por\s+encima\s+de|como\s+mínimo|no\s+menos\s+de)\s+(?:unos\s+|unas\s+)?",
    between="entre|de|desde",
    joins="a|hasta|y|o",
    pairs=("y", "o"),
    is_="es|tiene|de|con|vale",
    just=r"un\s+valor\s+de|ahora|sol[oó]",
    ideal=r"ideal|fórmula|libro de texto|teor|teór|calcul|cálcul|perfect|en el papel|ecuaci",
)  # fmt: skip

_FRENCH = ClaimWords(
    units={
        "milliseconde": "ms", "seconde": "s", "minute": "min", "heure": "h",
        "millivolt": "mV", "volt": "V", "microampère": "µA", "milliampère": "mA", "ampère": "A",
        "ohm": "Ω", "kilohm": "kΩ", "kiloohm": "kΩ", "mégohm": "MΩ",
        "picofarad": "pF", "nanofarad": "nF", "microfarad": "µF", "farad": "F",
        "hertz": "Hz", "kilohertz": "kHz", "watt": "W", "milliwatt": "mW", "joule": "J", "lux": "lx",
        "pour cent": "%",
    },
    plural="s?",
    events=r"\s+(?:fois|éclairs|impulsions|cycles|pas)",
    per=r"(?:par|chaque|à\s+la)",
    per_second="seconde",
    per_minute="minute",
    about=r"(?:environ|presque|à\s+peu\s+près|près\s+de|autour\s+de|quelque)\s+",
    below=r"(?:moins\s+de|au\s+plus|au\s+maximum|jusqu['’]à|pas\s+plus\s+de|sous)\s+(?:environ\s+)?",
    above=r"(?:plus\s+de|au\s+moins|au\s+minimum|pas\s+moins\s+de)\s+(?:environ\s+)?",
    between="entre|de",
    joins="à|et|ou",
    pairs=("et", "ou"),
    is_="est|a|de|avec|vaut",
    just=r"une\s+valeur\s+de|maintenant|seulement",
    ideal=r"idéal|formule|manuel|théor|calcul|parfait|sur le papier|équation",
)  # fmt: skip

_BY_TAG = {"en": _ENGLISH, "de": _GERMAN, "es": _SPANISH, "fr": _FRENCH}


def claim_words(tag: str) -> ClaimWords:
    """The words of a language by its BCP 47 tag; English for one that is not known."""
    return _BY_TAG[spoken(tag) or "en"]
