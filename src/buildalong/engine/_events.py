"""The events of a run: rows of numbers from the kernel, which get their names when somebody reads them."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from typing import Any, overload

import numpy as np
from numpy.typing import NDArray

from buildalong.circuit import Circuit
from buildalong.engine import _slots as s
from buildalong.engine._elements import Netlist
from buildalong.engine._run import Event, Trial

__all__ = ["Events"]

Floats = NDArray[np.float64]

CODE = 1 << 16
"""Kinds, watchers, cells, actions and states number less than this; four of them make one exact code."""


class Events(Sequence[Event]):
    """All events of a run in order of time, like a tuple of them.

    A batch of variants has events by the hundred thousand, and most are never looked at: a name is made
    when one is, and a light's edges are read from the numbers.
    """

    def __init__(
        self, net: Netlist, circuit: Circuit, trial: Trial, rows: Sequence[Floats], stopped: float | None
    ) -> None:
        """``rows`` as the kernel wrote them; ``stopped`` [s]: when the limit on events ended the run."""
        self._of = (net, circuit, trial)
        self._rows: Floats = np.concatenate(rows) if rows else np.zeros((0, s.EV_COLUMNS))
        self._stopped = stopped
        self._named: tuple[Event, ...] | None = None

    def lights(self, part: str) -> list[tuple[float, bool]]:
        """When a light starts (True) and stops to shine [s]."""
        mine = [i for i, w in enumerate(self._of[0].watchers) if w.kind == s.EV_LIGHT and w.part == part]
        rows = self._rows[(self._rows[:, 1] == s.EV_LIGHT) & np.isin(self._rows[:, 2], mine)]
        return list(zip(rows[:, 0].tolist(), (rows[:, 4] > 0.5).tolist(), strict=True))

    def _all(self) -> tuple[Event, ...]:
        if self._named is None:
            out: list[Event] = []
            if len(self._rows):
                codes = self._rows[:, 1:5] @ (float(CODE) ** np.arange(3, -1, -1))
                labels = zip(*map(_Labels(*self._of).__getitem__, codes.tolist()), strict=True)
                causes = self._rows[:, 5].astype(np.int64).tolist()
                columns = zip(self._rows[:, 0].tolist(), *labels, causes, strict=True)
                out += map(tuple.__new__, itertools.repeat(Event), columns)
            if self._stopped is not None:
                out.append(Event(self._stopped, "limit", "", "events", because=len(out) - 1))
            self._named = tuple(out)
        return self._named

    def __len__(self) -> int:
        return len(self._rows) + (self._stopped is not None)

    @overload
    def __getitem__(self, place: int) -> Event: ...
    @overload
    def __getitem__(self, place: slice) -> tuple[Event, ...]: ...
    def __getitem__(self, place: int | slice) -> Event | tuple[Event, ...]:
        return self._all()[place]

    def __iter__(self) -> Iterator[Event]:
        return iter(self._all())

    def __eq__(self, other: object) -> bool:
        return isinstance(other, (Events, tuple)) and self._all() == tuple(other)

    def __hash__(self) -> int:
        return hash(self._all())

    def __reduce__(self) -> tuple[Any, ...]:
        return tuple, (self._all(),)

    def __repr__(self) -> str:
        return repr(self._all())


class _Labels(dict[float, tuple[object, ...]]):
    """What an event is called, from kind to ``after``, by its code."""

    def __init__(self, net: Netlist, circuit: Circuit, trial: Trial) -> None:
        super().__init__()
        self.net, self.circuit, self.trial = net, circuit, trial

    def __missing__(self, code: float) -> tuple[object, ...]:
        rest, after = divmod(int(code), CODE)
        rest, before = divmod(rest, CODE)
        kind, i = divmod(rest, CODE)
        net, on = self.net, after > 0
        label: tuple[object, ...]
        if kind == s.EV_WATCH:
            label = ("watch", net.watchers[i].part, net.watchers[i].name, on, "", "")
        elif kind == s.EV_STATE:
            c = net.cells[i]
            label = ("state", c.part, c.name, True, c.states[before], c.states[after])
        elif kind == s.EV_LIGHT:
            words = ("dark", "lit") if on else ("lit", "dark")
            label = ("light", net.watchers[i].part, "light", on, *words)
        elif kind == s.EV_SUPPLY:
            supply = next((p.id for p in self.circuit.parts if p.type.family == "supply"), "")
            label = ("supply", supply, "on", True, "off", "on")
        else:
            a = self.trial.actions[i]
            label = ("action", a.part, a.setting, a.value > 0.5, "", f"{a.value:g}")
        self[code] = label
        return label
