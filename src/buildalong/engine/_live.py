"""A resumable run: advance a circuit, act on it, look, go back."""

# ruff: noqa: E741 - I and F are the two arrays of _slots.py
from __future__ import annotations

from dataclasses import dataclass, replace

from buildalong.circuit import Circuit
from buildalong.engine import _slots as s
from buildalong.engine._assemble_run import assemble_run
from buildalong.engine._pack import Machine
from buildalong.engine._run import Action, Options, Run, Trial, Variation
from buildalong.engine._simulate import Breakpoint, Stage
from buildalong.engine._together import alone

__all__ = ["Live", "LiveState"]


@dataclass(frozen=True, eq=False)
class LiveState:
    """Everything about a live run at one moment; opaque, for :meth:`Live.restore`.

    ``actions`` are those since the last piece: earlier ones can no longer be asked for.
    """

    machine: Machine
    actions: tuple[Action, ...]


class Live:
    """A circuit that goes on for as long as it is asked to.

    The supply is switched on when it is made.  ``advance`` gives the piece of the run since the last
    one; its times go on from piece to piece, and the causes of its events count from its own start
    (-1 for a cause in an earlier piece).
    """

    def __init__(
        self,
        circuit: Circuit,
        variation: Variation | None = None,
        options: Options | None = None,
        power_up: tuple[tuple[str, str], ...] = (),
        step: float = 1.0,
    ) -> None:
        """``step``: the usual length of a piece [s], a fortieth of which is the longest time step."""
        options = options or Options()
        self._limit = options.max_events
        self._stage = Stage(circuit, Trial("live", step, (), power_up), variation or Variation(), options)
        self._actions: tuple[Action, ...] = ()
        self._passed = 0
        self._stage.rest()
        alone(self._stage.event(s.EV_SUPPLY, 0))

    @property
    def time(self) -> float:
        """Seconds since the supply was switched on."""
        return float(self._stage.machine.F[s.S_T])

    def act(self, action: Action) -> None:
        """Press, throw, turn or light something now; the action's own time is not looked at."""
        now = replace(action, time=self.time)
        self._actions = (*self._actions, now)
        stage = self._stage
        stage.trial = replace(stage.trial, actions=self._actions)
        stage.setting(
            Breakpoint(
                now.time, now.part, now.setting, now.value, max(now.ramp, 0.0), True, len(self._actions) - 1
            )
        )
        alone(stage.event(s.EV_ACTION, len(self._actions) - 1))

    def advance(self, dt: float) -> Run:
        """Go on for ``dt`` seconds and give that piece of the run."""
        stage = self._stage
        I = stage.machine.I
        stage.options = replace(stage.options, max_events=int(I[s.EVENTS]) + self._limit)
        I[s.STEPS] = I[s.MARKS] = 0
        I[s.STRIDE] = 1
        stage.turns = stage.repeated = 0
        alone(stage.advance(self.time + max(dt, 0.0)))
        stage.drain(True)
        run = assemble_run(stage)
        first = int(I[s.EVENTS]) - len(run.events)
        events = tuple(
            e._replace(because=e.because - first if e.because >= first else -1) for e in run.events
        )
        self._empty()
        return replace(run, events=events)

    def _empty(self) -> None:
        """Begin a new piece: what was taken before is gone, and no orbit reaches back into it."""
        stage = self._stage
        I = stage.machine.I
        stage.samples, stage.events, stage.kept = [], [], 0
        self._actions = ()
        I[s.KEPT] = I[s.MARKS] = 0
        I[s.MOST] = stage.options.max_samples

    def charges(self) -> tuple[tuple[str, float], ...]:
        """The voltage of each capacitor now [V], for ``Options.charged`` of another run."""
        stage = self._stage
        at = int(stage.machine.I[s.F_C])
        return tuple(
            (e.part, float(stage.machine.F[at + s.C_FLOATS * i + s.C_V]))
            for i, e in enumerate(stage.net.capacitors)
            if not e.small
        )

    def state(self) -> LiveState:
        """The state now, to come back to."""
        return LiveState(self._stage.machine.copy(), self._actions)

    def restore(self, state: LiveState) -> None:
        """Go back to a state taken earlier; what was sampled since the last piece is dropped."""
        stage = self._stage
        I, F = stage.machine.I, stage.machine.F
        I[:], F[:] = state.machine.I, state.machine.F
        I[s.NOUT] = I[s.NEV] = 0
        self._empty()
        self._actions = state.actions
        stage.trial = replace(stage.trial, actions=self._actions)
