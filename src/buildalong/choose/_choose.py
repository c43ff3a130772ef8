"""Choose values: forecast the whole grid, simulate what comes near, correct the forecast, repeat.

The grid is every combination of the candidates.  A small grid is simulated whole.  In a large one the
combinations with the least forecast error are simulated, the forecast is corrected by what came out, and
so on, until no combination left can be nearer than the best found even if its forecast is off by as much
as the forecast was off anywhere near (docs/choosing.md).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from buildalong.choose._candidate import Candidate, Free, paired
from buildalong.choose._forecast import Forecast
from buildalong.choose._result import Choice, Option, Refusal
from buildalong.choose._trial import Bench, filled
from buildalong.circuit import Circuit
from buildalong.design import sheet
from buildalong.engine import Trial, Variation
from buildalong.spread import Target

__all__ = ["MAX_GRID", "choose", "total_error"]

MAX_GRID = 3_000_000
"""Most combinations in one grid."""
WHOLE = 400
"""A grid of at most so many combinations is simulated whole."""
BATCH = 32
"""Combinations simulated between two corrections of the forecast."""
MOST = 640
"""Most combinations simulated in a large grid."""
NEAR_ENOUGH = 0.01
"""Where the best found is this near, a hundredth of what is allowed, nothing nearer is looked for."""
MOST_REFUSED = 4_000
"""Most combinations held against the parts' limits."""
SHOWN = 12
"""Options that are worked out in full."""

Floats = NDArray[np.float64]
Progress = Callable[[float, str], None]


def choose(
    circuit: Circuit,
    trials: Sequence[Trial],
    targets: Sequence[Target],
    free: Sequence[Free],
    *,
    shown: int = SHOWN,
    pairs: bool | None = None,
    ideal: bool = False,
    progress: Progress | None = None,
) -> Choice:
    """Choose the values of the free parts so that the simulated circuit comes nearest to the targets.

    ``pairs``: whether combinations of two are tried for one part at a time; None tries them where no
    single values keep all targets.  With ``ideal`` the textbook's formulas stand for the simulation, over
    the whole grid, to show what a book would say.  ``progress`` is called with a share (0..1) and what
    is being done.
    Raises ValueError for no targets, no candidates, a grid of more than ``MAX_GRID`` combinations, or (with
    ``ideal``) a target without a formula; Unreadable for one that cannot be measured in this circuit.
    """
    if not targets or not free:
        raise ValueError("choosing needs at least one target and one free part")
    for target in targets:
        if not target.wanted.value > 0.0:
            raise ValueError(f"values are chosen for targets above zero, which {target} is not")
    say = progress or (lambda share, text: None)
    search = _Search(circuit, trials, tuple(targets), tuple(free), say, ideal=ideal)
    search.look()
    options = search.options(shown)
    if pairs or (pairs is None and not any(option.kept for option in options)):
        options += search.with_pairs(options[:2])
        options += search.with_pairs(_ranked(options)[:1])
    return search.choice(_ranked(options)[:shown])


def total_error(targets: Sequence[Target], values: Sequence[float]) -> float:
    """The root of the weighted mean square of all distances; 1 or less leaves each near its limits."""
    weights = math.fsum(t.weight for t in targets)
    squares = (t.weight * t.off(v) ** 2 for t, v in zip(targets, values, strict=True))
    return math.sqrt(math.fsum(squares) / weights)


def _ranked(options: list[Option]) -> list[Option]:
    """Best first: the error in steps of a hundredth, then spread, different values, cost."""
    return sorted(
        options,
        key=lambda o: (
            round(o.error, 2),
            round(o.spread, 3),
            o.different,
            math.inf if o.cost is None else o.cost,
            o.error,
            tuple(c.value for c in o.candidates.values()),
        ),
    )


class _Search:
    """One search over one grid."""

    def __init__(
        self,
        circuit: Circuit,
        trials: Sequence[Trial],
        targets: tuple[Target, ...],
        free: tuple[Free, ...],
        say: Progress,
        *,
        ideal: bool,
    ) -> None:
        self.circuit, self.targets, self.free, self.say = circuit, targets, free, say
        self.counts = tuple(len(f.candidates) for f in free)
        self.size = math.prod(self.counts)
        if not self.size:
            empty = next(f for f in free if not f.candidates)
            raise ValueError(f"there is nothing to choose from for {empty.part.id}")
        if self.size > MAX_GRID:
            raise ValueError(f"{self.size} combinations are more than {MAX_GRID}: narrow the ranges")
        self.bench = Bench(circuit, trials, targets)
        axes = [np.log([c.value for c in f.candidates]) for f in free]
        self.logs = np.stack([axis.ravel() for axis in np.meshgrid(*axes, indexing="ij")])
        self.weights = np.array([t.weight for t in targets])
        self.measured: dict[int, tuple[float, ...]] = {}
        self.refused: dict[int, tuple[str, str]] = {}
        self.allowed = np.ones(self.size, dtype=bool)
        self.exact = False
        self.forecasts = tuple(Forecast(t, tuple(f.part.id for f in free), self.logs) for t in targets)
        entries = sheet(filled(circuit, self.at(self.size // 2)))
        for forecast in self.forecasts:
            forecast.take(entries, ideal=ideal)
        self.ideal = ideal
        if ideal and not all(forecast.known for forecast in self.forecasts):
            unknown = next(str(f.target) for f in self.forecasts if not f.known)
            raise ValueError(f"no textbook formula of this circuit gives {unknown}")
        self._scarce()

    # -- the grid -----------------------------------------------------------------------------------

    def at(self, index: int) -> dict[str, Candidate]:
        """The candidates at a point of the grid."""
        places = np.unravel_index(index, self.counts)
        return {f.part.id: f.candidates[int(i)] for f, i in zip(self.free, places, strict=True)}

    def _scarce(self) -> None:
        """Rule out combinations that need more pieces of a drawer's row than there are."""
        for one, other in itertools.combinations(range(len(self.free)), 2):
            if self.free[one].part.type.id != self.free[other].part.type.id:
                continue
            for i, candidate in enumerate(self.free[one].candidates):
                if candidate.count is not None and candidate.count < 2:
                    grid = self.allowed.reshape(self.counts)
                    for j, same in enumerate(self.free[other].candidates):
                        if same is candidate:
                            place: list[slice | int] = [slice(None)] * len(self.free)
                            place[one], place[other] = i, j
                            grid[tuple(place)] = False

    def variation(self, chosen: dict[str, Candidate]) -> Variation:
        """The variation that puts candidates into the circuit."""
        return Variation(tuple(((name, "value"), c.value) for name, c in chosen.items()))

    # -- the search ---------------------------------------------------------------------------------

    def look(self) -> None:
        """Simulate until nothing left can come nearer."""
        if self.ideal:
            errors = self.errors()
            order = np.argsort(errors, kind="stable")
            near = [int(i) for i in order if self.allowed[i]][:BATCH]
            self.measured = {i: tuple(float(f.fit[i]) for f in self.forecasts) for i in near}
            self.exact = True
            return
        if self.size <= WHOLE:
            self.simulate([i for i in range(self.size) if self.permitted(i)])
            self.exact = True
            return
        if not all(forecast.known for forecast in self.forecasts):
            self.simulate([i for i in self.scattered() if self.permitted(i)])
        while len(self.measured) < MOST:
            self.say(len(self.measured) / MOST, f"{len(self.measured)} of {self.size} combinations simulated")
            nearest = self.promising()
            if not nearest:
                self.exact = True
                return
            self.simulate(nearest)
        self.exact = not self.promising()

    def scattered(self) -> list[int]:
        """Points over the whole grid to begin with, where no formula tells where to look."""
        marks = [sorted({0, n // 4, n // 2, 3 * n // 4, n - 1}) for n in self.counts]
        points = list(itertools.product(*marks))
        step = max(1, len(points) // 125)
        return [int(np.ravel_multi_index(point, self.counts)) for point in points[::step]]

    def permitted(self, index: int) -> bool:
        """Whether the makers of the parts have nothing against a combination; their reason is kept."""
        if not self.allowed[index]:
            return False
        if len(self.refused) < MOST_REFUSED and index not in self.measured:
            found = self.bench.objections(filled(self.circuit, self.at(index)))
            if found:
                self.refused[index] = (found[0].code, found[0].message)
                self.allowed[index] = False
                return False
        return True

    def errors(self, *, at_best: bool = False) -> Floats:
        """The forecast error of every combination; ``at_best`` with every forecast off in our favour."""
        total = np.zeros(self.size)
        # Far from what was simulated a fit may pass every bound; such a point is no candidate.
        with np.errstate(over="ignore", invalid="ignore"):
            for weight, target, forecast in zip(self.weights, self.targets, self.forecasts, strict=True):
                off = np.abs(forecast.fit - target.wanted.value)
                if at_best:
                    off = np.maximum(off - 1.5 * forecast.miss * np.abs(forecast.fit), 0.0)
                total += weight * (off / target.allowed) ** 2
        return np.where(np.isfinite(total), np.sqrt(total / self.weights.sum()), np.inf)

    def promising(self) -> list[int]:
        """The next combinations worth simulating, nearest first; none where the best cannot be beaten."""
        best = min((self.error(values) for values in self.measured.values()), default=math.inf)
        if best <= NEAR_ENOUGH:
            return []
        errors = self.errors()
        floor = self.errors(at_best=True) if math.isfinite(best) else np.zeros(self.size)
        open_ = self.allowed & np.isfinite(errors) & (floor < best)
        open_[list(self.measured)] = False
        places = np.flatnonzero(open_)
        order = places[np.argsort(errors[places], kind="stable")]
        out: list[int] = []
        for index in order:
            if self.permitted(int(index)):
                out.append(int(index))
                if len(out) == BATCH:
                    break
        return out

    def simulate(self, indices: list[int]) -> None:
        """Simulate some combinations and correct the forecasts by what came out."""
        if not indices:
            return
        found = self.bench.measure([self.variation(self.at(i)) for i in indices])
        self.measured.update(zip(indices, found, strict=True))
        known = np.array(list(self.measured), dtype=np.intp)
        values = np.array(list(self.measured.values()), dtype=np.float64)
        for column, forecast in enumerate(self.forecasts):
            forecast.learn(known, values[:, column])

    def error(self, values: Sequence[float]) -> float:
        """The error of measured values; infinite where one never happened."""
        total = total_error(self.targets, values)
        return total if math.isfinite(total) else math.inf

    # -- what comes out -----------------------------------------------------------------------------

    def options(self, shown: int) -> list[Option]:
        """The nearest combinations that load no part beyond its ratings."""
        out: list[Option] = []
        order = sorted(self.measured, key=lambda i: (self.error(self.measured[i]), i))
        for index in order:
            values = self.measured[index]
            if len(out) == shown or not math.isfinite(self.error(values)):
                break
            option = self.option(self.at(index), values)
            over = [] if self.ideal else self.bench.overloads(option.circuit)
            if over:
                self.refused[index] = (over[0].code, over[0].message)
            else:
                out.append(option)
        return out

    def option(self, chosen: dict[str, Candidate], values: tuple[float, ...]) -> Option:
        """Work out everything that the table shows of one combination."""
        circuit = filled(self.circuit, chosen)
        fixed = {(p.type.id, p.value) for p in circuit.parts if p.value is not None and p.id not in chosen}
        mine = {(circuit.by_id[name].type.id, c.value) for name, c in chosen.items()}
        prices = [candidate.price for candidate in chosen.values()]
        priced = [price for price in prices if price is not None]
        return Option(
            candidates=chosen,
            measures=values,
            error=self.error(values),
            kept=all(target.off(value) <= 1.0 for target, value in zip(self.targets, values, strict=True)),
            spread=self.spread(chosen),
            different=len(fixed | mine),
            known=frozenset(n for n, c in chosen.items() if (circuit.by_id[n].type.id, c.value) in fixed),
            cost=math.fsum(priced) if len(priced) == len(prices) else None,
            circuit=circuit,
        )

    def spread(self, chosen: dict[str, Candidate]) -> float:
        """The largest share by which the tolerances of the free parts move any target, by the forecast."""
        names = list(chosen)
        here = np.log([chosen[name].value for name in names])
        worst = 0.0
        for forecast in self.forecasts:
            moved = sum(
                abs(slope) * chosen[name].tolerance
                for name, slope in zip(names, forecast.slopes_at(here), strict=True)
            )
            worst = max(worst, float(moved))
        return worst

    def with_pairs(self, options: list[Option]) -> list[Option]:
        """Options in which one part is made of two, around the nearest of single values."""
        out: list[Option] = []
        for option in () if self.ideal else options:
            ways = list(self.pairs_of(option))
            found = self.bench.measure([self.variation(chosen) for chosen in ways]) if ways else []
            for chosen, values in zip(ways, found, strict=True):
                if self.error(values) < option.error:
                    made = self.option(chosen, values)
                    if not self.bench.objections(made.circuit) and not self.bench.overloads(made.circuit):
                        out.append(made)
        return out

    def pairs_of(self, option: Option) -> Iterator[dict[str, Candidate]]:
        """The option with each part in turn replaced by two that together come nearer by the forecast."""
        for number, free in enumerate(self.free):
            if option.candidates[free.part.id].pair:
                continue
            here = np.log([c.value for c in option.candidates.values()])
            steps = np.linspace(-0.7, 0.7, 1401)
            total = np.zeros(len(steps))
            for column, (weight, target, forecast) in enumerate(
                zip(self.weights, self.targets, self.forecasts, strict=True)
            ):
                moved = option.measures[column] * np.exp(forecast.slopes_at(here)[number] * steps)
                total += weight * ((moved - target.wanted.value) / target.allowed) ** 2
            wanted = float(np.exp(here[number] + steps[int(np.argmin(total))]))
            for candidate in paired(free, wanted):
                yield {**option.candidates, free.part.id: candidate}

    def choice(self, options: list[Option]) -> Choice:
        """Everything told of the search."""
        errors = self.errors()
        near = sorted(self.refused, key=lambda i: (errors[i], i))
        refused: dict[tuple[str, str], Refusal] = {}
        for index in near:
            code, why = self.refused[index]
            values = {name: c.value for name, c in self.at(index).items()}
            refused.setdefault((code, why), Refusal(values, code, why))
        guessed = self.size > WHOLE and not self.ideal
        miss = max(forecast.miss for forecast in self.forecasts) if guessed else 0.0
        return Choice(
            free=self.free,
            targets=self.targets,
            options=tuple(options),
            refused=tuple(list(refused.values())[:20]),
            grid=self.size,
            simulated=0 if self.ideal else len(self.measured),
            miss=miss,
            exact=self.exact,
        )
