"""The circuit: parts, their terminals, the nets that join them.  It knows no board and no time."""

from buildalong.circuit._circuit import Circuit, Part, Pin

__all__ = ["Circuit", "Part", "Pin"]
