"""Choose values: from a series or the class's drawer, so that the simulated circuit does what is wanted."""

from buildalong.choose._candidate import Candidate, Free, from_drawer, from_series
from buildalong.choose._choose import MAX_GRID, choose
from buildalong.choose._drawer import COLUMNS, Drawer, Item, read_drawer
from buildalong.choose._result import Choice, Option, Refusal
from buildalong.choose._target import Target, total_error

__all__ = [
    "COLUMNS",
    "MAX_GRID",
    "Candidate",
    "Choice",
    "Drawer",
    "Free",
    "Item",
    "Option",
    "Refusal",
    "Target",
    "choose",
    "from_drawer",
    "from_series",
    "read_drawer",
    "total_error",
]
