"""How bodies are drawn: one function for each shape that the catalogue's bodies name.

Each draws in the part's local frame (see :class:`~buildalong.drawing._frame.Pose`), from above,
true to size.  A shape that has no function is drawn as a plain block.
"""

from buildalong.drawing.bodies._axial import cylinder
from buildalong.drawing.bodies._ic import dip, to92
from buildalong.drawing.bodies._radial import block, can, disc, dome, ldr
from buildalong.drawing.bodies._rigid import buzzer, plain, slide, tact, trimmer
from buildalong.drawing.bodies._shape import Body

__all__ = ["SHAPES", "Body", "draw_body"]

SHAPES = {
    "block": block,
    "buzzer": buzzer,
    "can": can,
    "cylinder": cylinder,
    "dip": dip,
    "disc": disc,
    "dome": dome,
    "ldr": ldr,
    "slide": slide,
    "tact": tact,
    "to92": to92,
    "trimmer": trimmer,
}


def draw_body(body: Body) -> None:
    """Draw a body from above."""
    SHAPES.get(body.part.type.body.shape, plain)(body)
