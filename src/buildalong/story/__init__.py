"""Story: how a circuit works, told as cause and effect from the events of a run."""

from buildalong.story._scene import said_level, said_time
from buildalong.story._sentence import Sentence, ShapeLike
from buildalong.story._settled import settled
from buildalong.story._tell import tell

__all__ = ["Sentence", "ShapeLike", "said_level", "said_time", "settled", "tell"]
