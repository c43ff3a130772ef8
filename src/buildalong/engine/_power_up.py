"""Power-up honestly: in which states an IC may wake, and in which of them it stays."""

# ruff: noqa: E741 - I and F are the two arrays of _slots.py
from __future__ import annotations

from dataclasses import replace
from itertools import product

from buildalong.circuit import Circuit
from buildalong.engine import _slots as s
from buildalong.engine._netlist import netlist
from buildalong.engine._pack import Machine, pack
from buildalong.engine._run import Options, Trial, Variation

__all__ = ["power_up_variants", "wakings"]

MAX_COMBINATIONS = 24
"""More combinations than this are not tried all: then one cell at a time is varied."""
SETTLING = 1e-6
"""How long after switch-on the states are compared [s]: past the dead time."""
SLOW_SUPPLY = 1e-3
"""... or this long where an IC has not yet got its supply."""


def wakings(
    machine: Machine, circuit: Circuit, trial: Trial, options: Options
) -> list[tuple[tuple[str, str], ...]]:
    """Ways to wake that end in different states just after switch-on, the trial's own way first.

    ``machine`` is at rest and stays so.
    Each is a tuple of ("part.cell", state).
    """
    from buildalong.engine._simulate import Stage
    from buildalong.engine._together import alone

    net = machine.net
    cells = [c for c in net.cells if len(c.wakes) > 1]
    if not cells:
        return [trial.power_up]
    chosen = dict(trial.power_up)
    first = [chosen.get(f"{c.part}.{c.name}", chosen.get(c.part, c.wakes[0])) for c in cells]
    total = 1
    for c in cells:
        total *= len(c.wakes)
    if total <= MAX_COMBINATIONS:
        ways = [list(way) for way in product(*(c.wakes for c in cells))]
    else:
        ways = [[*first[:i], state, *first[i + 1 :]] for i, c in enumerate(cells) for state in c.wakes][
            :MAX_COMBINATIONS
        ]
    seen: dict[tuple[int, ...], tuple[tuple[str, str], ...]] = {}
    short = replace(
        trial, lasts=min(SETTLING, trial.lasts), actions=tuple(a for a in trial.actions if a.time <= 0)
    )
    quiet = replace(options, waveforms=False, orbits=False)
    stage = Stage(circuit, replace(short, power_up=()), Variation(), quiet, machine.copy())
    ready = stage.machine.copy()
    for way in [first, *(w for w in ways if w != first)]:
        power_up = tuple((f"{c.part}.{c.name}", state) for c, state in zip(cells, way, strict=True))
        I, F = stage.machine.I, stage.machine.F
        I[:], F[:] = ready.I, ready.F
        F[s.S_HMAX] = short.lasts
        stage.wake(dict(power_up))
        alone(stage.run())
        stage.events.clear()
        if any(int(I[I[s.I_X] + s.X_INTS * i]) == len(c.states) - 1 for i, c in enumerate(net.cells)):
            # a supply that rises slowly through a large capacitor
            F[s.S_HMAX] = SLOW_SUPPLY / 40.0
            alone(stage.advance(SLOW_SUPPLY))
        states = tuple(int(I[I[s.I_X] + s.X_INTS * i]) for i in range(len(net.cells)))
        seen.setdefault(states, power_up)
    return list(seen.values())


def power_up_variants(circuit: Circuit, trial: Trial, options: Options | None = None) -> list[Trial]:
    """The trial once for each set of power-up states that no data sheet rules out, its own first.

    Only ways to wake that really end in different states just after switch-on are listed: where
    reset, trigger or threshold force the state there is one; where there are more, each names all states.
    """
    options = options or Options()
    machine = pack(netlist(circuit, Variation(), options.contact_resistance, options.strays))
    ways = wakings(machine, circuit, trial, options)
    return [replace(trial, power_up=way) for way in ways] if len(ways) > 1 else [trial]
