"""Choose values: from a series or the class's drawer, so that the simulated circuit does what is wanted."""

from buildalong.choose._candidate import Candidate, Free, from_drawer, from_series, paired
from buildalong.choose._choose import MAX_GRID, choose, total_error
from buildalong.choose._drawer import COLUMNS, Drawer, Item, read_drawer
from buildalong.choose._result import Choice, Option, Refusal

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
    "choose",
    "from_drawer",
    "from_series",
    "paired",
    "read_drawer",
    "total_error",
]
