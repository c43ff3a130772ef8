"""Story: how a circuit works, told as cause and effect from the events of a run."""

from buildalong.story._sentence import Sentence, ShapeLike
from buildalong.story._settled import settled
from buildalong.story._tell import tell

__all__ = ["Sentence", "ShapeLike", "settled", "tell"]
