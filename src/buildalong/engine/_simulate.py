"""Simulate a trial from start to end: actions as breakpoints, kernel calls between, a Run at the end."""

# ruff: noqa: E741 - I and F are the two arrays of _slots.py
from __future__ import annotations

import math
import os
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from buildalong.circuit import Circuit
from buildalong.engine import _slots as s
from buildalong.engine._assemble_run import assemble_run
from buildalong.engine._jit import address, place
from buildalong.engine._netlist import Variants, netlist
from buildalong.engine._pack import Machine, pack, repack
from buildalong.engine._repeat import repeat
from buildalong.engine._run import Options, Run, Trial, Variation
from buildalong.engine._together import Way, alone, together

__all__ = ["Stage", "schedule", "simulate", "simulate_many"]

CHUNK_ROWS = 2048
CHUNK_EVENTS = 1024
PIECE = 16
"""Variants that a thread takes at a time, and the kernel in one call."""
BOUNCES = ((0.0, 1), (0.08, 0), (0.15, 1), (0.31, 0), (0.42, 1), (0.66, 0), (0.71, 1), (0.97, 0), (1.0, 1))
"""A bouncing contact: at these parts of the bounce time it closes (1) and opens (0)."""


@dataclass(frozen=True, slots=True)
class Breakpoint:
    """A setting begins to move at ``time``; ``shown`` tells whether it is an event of its own."""

    time: float
    part: str
    setting: str
    value: float
    ramp: float
    shown: bool
    action: int


def schedule(trial: Trial, circuit: Circuit, bounce: float) -> list[Breakpoint]:
    """Actions in order of time, contact bounce written out; actions after the end are left out."""
    out: list[Breakpoint] = []
    for number, action in enumerate(trial.actions):
        if not 0.0 <= action.time < trial.lasts:
            continue
        plain = Breakpoint(
            action.time, action.part, action.setting, action.value, max(action.ramp, 0.0), True, number
        )
        if bounce <= 0 or action.setting not in ("pressed", "thrown"):
            out.append(plain)
            continue
        rng = random.Random(f"{action.part} {action.setting} {number}")  # noqa: S311 - no secret
        total = bounce * (0.5 + 0.5 * rng.random())
        for x, closed in BOUNCES:
            value = action.value if closed else 1.0 - action.value
            out.append(replace(plain, time=action.time + x * total, value=value, shown=x == 0.0))
    return sorted(out, key=lambda b: b.time)


class Stage:
    """A machine on its way through a trial: what the batch run and the live run share."""

    def __init__(
        self, circuit: Circuit, trial: Trial, variation: Variation, options: Options,
        machine: Machine | None = None,
    ) -> None:  # fmt: skip
        """``machine`` is at rest; without it one is made from circuit and variation."""
        self.circuit, self.trial, self.variation, self.options = circuit, trial, variation, options
        if machine is None:
            machine = pack(netlist(circuit, variation, options.contact_resistance, options.strays))
        self.machine, self.net = machine, machine.net
        in_doubt = options.wakings and any(len(c.wakes) > 1 for c in self.net.cells)
        self.at_rest = machine.copy() if in_doubt else None
        self.samples: list[NDArray[np.float64]] = []
        self.events: list[NDArray[np.float64]] = []
        self.outcome = s.DONE
        self.kept = 0
        I, F = self.machine.I, self.machine.F
        longest = trial.lasts / 40.0
        F[s.S_GMIN] = 1e-12
        F[s.S_RTOL] = F[s.S_ATOL] = options.rtol
        F[s.S_DEAD] = options.dead_time
        F[s.S_HMIN] = 1e-12
        F[s.S_PLOT] = 1e-3 * self.net.nominal
        F[s.S_NEAR] = min(max(2e-2 * math.sqrt(options.rtol), 2e-5), 2e-4)
        F[s.S_CLOSE] = min(max(0.1 * options.rtol, 2e-6), 1e-5)
        F[s.S_GROW] = s.FRESH
        F[s.S_HMAX] = longest
        F[s.S_FOLD] = min(2e-6 * longest, 1e-6)
        F[s.S_H] = min(1e-6, longest)
        I[s.RECORD] = int(options.waveforms)
        I[s.ROOM] = 200 + 2 * len(self.net.watchers)
        I[s.WORK] = address()
        I[s.SEEK] = int(options.orbits)
        I[s.MOST] = options.max_samples
        self.wake(dict(trial.power_up))
        self._charge(dict(options.charged))
        self.out = np.empty((CHUNK_ROWS if options.waveforms else 40, int(I[s.WIDTH])))
        self.ev = np.empty((CHUNK_EVENTS + int(I[s.ROOM]), s.EV_COLUMNS))
        self.marks = np.empty(s.MARKS_KEPT * (s.MARK + 2 * int(I[s.NC]) + 1))
        self.turns = self.repeated = 0
        I[s.OUTROWS], I[s.EVROWS] = len(self.out), len(self.ev)
        self.places = tuple(place(a) for a in (I, F, self.out.reshape(-1), self.ev.reshape(-1), self.marks))
        """Where the kernel finds its five arrays, which stay the same."""

    def wake(self, chosen: dict[str, str]) -> None:
        """Let cells, named by "part.cell" or part, wake in these states."""
        I = self.machine.I
        for number, cell in enumerate(self.net.cells):
            state = chosen.get(f"{cell.part}.{cell.name}", chosen.get(cell.part, ""))
            if state in cell.states:
                rule = I[s.I_RULE] + s.RULE_INTS * (I[I[s.I_X] + s.X_INTS * number + 1] + cell.wake_rule)
                at = I[s.I_NEXT] + I[rule + 5]
                I[at : at + len(cell.states)] = cell.states.index(state)

    def _charge(self, volts: dict[str, float]) -> None:
        for i, e in enumerate(self.net.capacitors):
            if e.part in volts and not e.small:
                self.machine.F[self.machine.I[s.F_C] + s.C_FLOATS * i + s.C_V] = volts[e.part]

    def event(self, kind: int, what: int) -> Way[None]:
        """Let something happen from outside, and the circuit answer to it at once."""
        yield from self._kernel(float(self.machine.F[s.S_T]), kind, what)

    def _kernel(self, end: float, kind: int, what: int) -> Way[None]:
        """Ask for the kernel until it is at ``end`` or a limit stops it; first of all an event happens."""
        while True:
            yield self, end, kind, what
            kind = -1
            self.drain(self.outcome in (s.OUT_FULL, s.EV_FULL, s.ORBIT))
            if self.outcome == s.ORBIT:
                repeat(self)
            elif self.outcome not in (s.OUT_FULL, s.EV_FULL):
                break

    def drain(self, force: bool) -> None:
        """Take samples and events out of the kernel's arrays where they fill."""
        I = self.machine.I
        if force or I[s.NOUT] > len(self.out) - 32:
            if I[s.NOUT]:
                self.samples.append(self.out[: I[s.NOUT]].copy())
                self.kept += int(I[s.NOUT])
            I[s.NOUT] = 0
            if self.kept > I[s.MOST]:
                self.thin()
            I[s.KEPT] = self.kept
        if force or I[s.NEV] > len(self.ev) - int(I[s.ROOM]):
            if I[s.NEV]:
                self.events.append(self.ev[: I[s.NEV]].copy())
            I[s.NEV] = 0

    def thin(self) -> None:
        """Drop every second sample that is no end of a jump, and sample half as often from now on."""
        data = np.concatenate(self.samples)
        times = data[:, 0]
        edge = np.zeros(len(times), dtype=bool)
        same = times[1:] == times[:-1]
        edge[1:] |= same
        edge[:-1] |= same
        keep = edge | (np.arange(len(times)) % 2 == 0)
        keep[0] = keep[-1] = True
        if keep.mean() > 0.75:
            # mostly jumps: then every second pair goes
            keep &= (np.cumsum(~same if len(same) == len(times) else np.append(True, ~same)) % 2) == 0
            keep[0] = keep[-1] = True
        self.samples = [data[keep]]
        self.kept = int(keep.sum())
        I = self.machine.I
        I[s.STRIDE] *= 2
        I[s.MARKS] = 0
        I[s.MOST] = max(self.options.max_samples, self.kept + 100)

    def setting(self, b: Breakpoint) -> bool:
        """Let a setting move; give whether any element of the circuit follows it."""
        I, F = self.machine.I, self.machine.F
        t = float(F[s.S_T])
        found = False
        for i, ramp in enumerate(self.net.ramps):
            if ramp.part == b.part and ramp.setting == b.setting:
                p = int(I[s.F_RAMP]) + s.RAMP_FLOATS * i
                u0, u1, t0, t1 = F[p + 2 : p + 6]
                now = u1 if t >= t1 else u0 + (u1 - u0) * (t - t0) / (t1 - t0) if t > t0 else u0
                F[p + 2 : p + 6] = (now if b.ramp > 0 else b.value, b.value, t, t + b.ramp)
                found = True
        for i, (_, _, g, _) in enumerate(self.net.sources):
            if b.setting == "volts" and self.net.conductances[g].part == b.part:
                F[I[s.F_E] + i] = b.value
                found = True
        return found

    def advance(self, end: float, kind: int = -1, what: int = 0) -> Way[bool]:
        """Run to ``end``, from an event on if there is one now; False where a limit stopped it on the way."""
        I, F = self.machine.I, self.machine.F
        ends = sorted(
            {float(F[int(I[s.F_RAMP]) + s.RAMP_FLOATS * i + 5]) for i in range(len(self.net.ramps))}
        )
        # the end of a ramp is a corner: stop there too
        for stop in (*(e for e in ends if F[s.S_T] < e < end), end):
            moving = any(e >= stop for e in ends)
            I[s.RAMPING] = int(moving)
            hmax = F[s.S_HMAX]
            if moving:
                F[s.S_HMAX] = min(hmax, max((stop - F[s.S_T]) / 60.0, 1e-9))
            yield from self._kernel(stop, kind, what)
            kind = -1
            F[s.S_HMAX] = hmax
            if self.outcome != s.DONE:
                return False
        return True

    def rest(self) -> None:
        """Take the sample before the supply is switched on."""
        if self.machine.I[s.RECORD]:
            self.out[0] = 0.0
            self.machine.I[s.NOUT] = 1

    def run(self) -> Way[None]:
        """Switch the supply on and play the trial: one call of the kernel from each input to the next."""
        F = self.machine.F
        self.rest()
        now = (s.EV_SUPPLY, 0)
        for b in schedule(self.trial, self.circuit, self.options.bounce):
            if b.time <= F[s.S_T]:
                yield from self.event(*now)
            elif not (yield from self.advance(b.time, *now)):
                return
            self.setting(b)
            now = (s.EV_ACTION, b.action) if b.shown else (-2, 0)
        yield from self.advance(self.trial.lasts, *now)


def simulate(
    circuit: Circuit, trial: Trial, variation: Variation | None = None, options: Options | None = None
) -> Run:
    """Simulate one trial of one variant of a circuit.

    Never raises for what a learner can build: shorts, floating nets, reversed or missing parts end
    in a Run with verdicts.  Raises Unreadable only where a part's model data is wrong.
    """
    return alone(_played(Stage(circuit, trial, variation or Variation(), options or Options())))


def _played(stage: Stage) -> Way[Run]:
    yield from stage.run()
    stage.drain(True)
    return assemble_run(stage)


def simulate_many(
    circuit: Circuit,
    trial: Trial,
    variations: Sequence[Variation],
    options: Options | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> list[Run]:
    """Simulate many variants, in the given order, on all cores that this process may use.

    The circuit is laid out once; each variant brings only its numbers.  Kernels run without the
    interpreter lock, some variants in one call, so threads serve.  Same results as one call of
    :func:`simulate` for each.  With ``options.waveforms`` off each result carries events and statistics only.
    """
    from concurrent.futures import ThreadPoolExecutor

    chosen = options or Options()
    total = len(variations)
    if not total:
        return []
    variants = Variants(circuit, variations[0], chosen.contact_resistance, chosen.strays)
    first = pack(variants.first)

    def one(variation: Variation) -> Way[Run]:
        machine = repack(variants.netlist(variation), first)
        return _played(Stage(circuit, trial, variation, chosen, machine))

    def piece(start: int) -> list[Run]:
        return together([one(v) for v in variations[start : start + PIECE]])

    out: list[Run] = []
    workers = min(_cores(), -(-total // PIECE))
    with ThreadPoolExecutor(workers) as pool:
        runs = pool.map(piece, range(0, total, PIECE)) if workers > 1 else map(piece, range(0, total, PIECE))
        for some in runs:
            out += some
            if progress is not None:
                progress(len(out), total)
    return out


def _cores() -> int:
    """Cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1  # pragma: no cover - platforms without affinity
