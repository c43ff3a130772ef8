"""What a tab may say: each message has one shape, and anything else is refused with its reason."""

from __future__ import annotations

import json
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter, ValidationError

__all__ = ["MOST_FREE", "Message", "Refused", "Shown", "read_message"]

Name = Annotated[str, Field(max_length=80)]
MOST_FREE = 3
"""Parts whose values are chosen at once."""
MOST_EDITS = 40
"""Edits in one message."""
Shown = Literal["article", "handout", "slides"]
"""What can be previewed."""
Hole = Annotated[str, Field(max_length=8)]


class Message(BaseModel):
    """A message; unknown keys are refused."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class Text(Message):
    """A file's text was changed; ``base`` is the version that the tab had before."""

    do: Literal["text"]
    file: Name
    base: int
    text: str = Field(max_length=1_000_000)


class Save(Message):
    """Write what was changed into the author's files."""

    do: Literal["save"]


class Edit(Message):
    """Change the lesson as a hand would; an edit is a message of its own (docs/editing.md).

    Several in a list are done together or not at all, and taken back together.
    """

    do: Literal["edit"]
    edit: dict[str, Any] | Annotated[list[dict[str, Any]], Field(min_length=1, max_length=MOST_EDITS)]

    @property
    def edits(self) -> list[dict[str, Any]]:
        """All of them."""
        return self.edit if isinstance(self.edit, list) else [self.edit]


class History(Message):
    """Take an edit back, do it again, take in what is on disk, or what an earlier bench left unsaved."""

    do: Literal["history"]
    what: Literal["back", "forth", "catch-up", "take-up", "discard"]


class Set(Message):
    """A hand presses, turns, shades or lowers something."""

    do: Literal["set"]
    part: Name
    setting: Name
    value: float = Field(ge=-1e6, le=1e6)


class Pace(Message):
    """How fast the circuit runs; 0 is a pause."""

    do: Literal["pace"]
    speed: float = Field(ge=0, le=1000)


class Step(Message):
    """Go on by so many seconds of the circuit's time, then rest."""

    do: Literal["step"]
    seconds: float = Field(gt=0, le=60)


class Again(Message):
    """The supply off, all capacitors empty, and on again."""

    do: Literal["again"]


class Lead(Message):
    """Put a lead into another hole; no hole pulls it out."""

    do: Literal["lead"]
    owner: Name
    leg: int = Field(ge=0, le=64)
    hole: Hole = ""


class PutBack(Message):
    """Put every lead back."""

    do: Literal["back"]


class Meter(Message):
    """Put the meter's two leads on holes; none takes them off."""

    do: Literal["meter"]
    red: Hole = ""
    black: Hole = ""


class Probes(Message):
    """Holes whose voltage is drawn."""

    do: Literal["probes"]
    holes: Annotated[list[Hole], Field(max_length=4)]


class Ask(Message):
    """Ask for something that takes a while; ``parts`` are those whose values may be others."""

    do: Literal["ask"]
    what: Literal["choose", "spread", "mistakes", "finder"]
    parts: Annotated[list[Name], Field(max_length=MOST_FREE)] = []


class Preview(Message):
    """Make a published page to look at, or the whole pack to take away."""

    do: Literal["preview"]
    what: Shown | Literal["pack"]


class Stop(Message):
    """Stop what was asked for."""

    do: Literal["stop"]


class Close(Message):
    """The side sheet was closed: what it showed need not follow the lesson any more."""

    do: Literal["close"]


class Pong(Message):
    """Answers nothing; a tab measures with it how far away the server is."""

    do: Literal["ping"]
    mark: float = 0.0


Any_ = (
    Text | Save | Edit | History | Set | Pace | Step | Again | Lead | PutBack | Meter | Probes | Ask | Preview
    | Stop | Close | Pong
)  # fmt: skip
_READER: TypeAdapter[Any_] = TypeAdapter(Annotated[Any_, Field(discriminator="do")])


class Refused(ValueError):
    """A message that is not understood, or that asks for what is not there."""


def read_message(text: str) -> Any_:
    """Read a message; raises Refused."""
    try:
        return _READER.validate_python(json.loads(text))
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(bit) for bit in first["loc"][-2:])
        raise Refused(f"not understood: {where} {first['msg']}"[:200]) from None
    except (ValueError, RecursionError):
        raise Refused("this is not JSON") from None
