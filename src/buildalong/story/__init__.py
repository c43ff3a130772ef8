"""Story: how a circuit works, told as cause and effect from the events of a run."""

from buildalong.story._beats import INSTANT
from buildalong.story._scene import said_level, said_light, said_share, said_time
from buildalong.story._sentence import Sentence, ShapeLike
from buildalong.story._settled import settled
from buildalong.story._tell import tell

__all__ = [
    "INSTANT", "Sentence", "ShapeLike", "said_level", "said_light", "said_share", "said_time",
    "settled", "tell",
]  # fmt: skip
