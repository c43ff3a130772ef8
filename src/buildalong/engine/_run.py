"""What goes into a simulation (Trial, Variation) and what comes out of it (Run)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from buildalong.circuit import Circuit

__all__ = ["Action", "Event", "Extremes", "Options", "Run", "Trial", "Variation", "Verdict"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Action:
    """Something a person or the surroundings do at a time of the trial.

    ``setting`` is "pressed" (1/0) for a button, "thrown" for a slide switch, "position" (0..1) for a
    potentiometer, "light" [lux] for a light-dependent resistor, "volts" for a supply without load.  The
    setting moves to ``value`` at ``time`` [s], linearly over ``ramp`` [s]; a supply's jumps.
    """

    time: float
    part: str
    setting: str
    value: float
    ramp: float = 0.0


@dataclass(frozen=True, slots=True)
class Trial:
    """A scripted run: the supply is switched on at 0 s, then the actions follow.

    ``power_up`` fixes the state in which state-holding ICs wake where no data sheet promises one:
    part id -> state name; a part not named takes the first state its model lists.
    """

    name: str
    lasts: float
    actions: tuple[Action, ...] = ()
    power_up: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Variation:
    """One variant of a circuit: numbers replaced by (part id, name) -> value in coherent SI units.

    The name is "value" for the part's own value, a model parameter's name, or a setting's name.
    """

    changes: tuple[tuple[tuple[str, str], float], ...] = ()
    temperature: float = 25.0
    """Ambient temperature [°C]."""


@dataclass(frozen=True, slots=True)
class Options:
    """How a circuit is simulated; the defaults serve lessons."""

    rtol: float = 1e-4
    """Error allowed in each step, relative to a capacitor's voltage (and the same number in volt)."""
    waveforms: bool = True
    """Whether voltages and currents are sampled; without, a run carries events only and is faster."""
    wakings: bool = True
    """Whether it is found out which parts wake in a state that nothing forces (``Run.undetermined``)."""
    orbits: bool = True
    """Whether a circuit back in an earlier state repeats what followed then, without computing it again."""
    max_samples: int = 20_000
    """More samples than this are thinned, jumps last."""
    max_events: int = 5_000
    """After so many events the run ends with the verdict ``too-frequent-events``."""
    max_steps: int = 200_000
    """After so many steps the run ends with the verdict ``too-many-steps``."""
    dead_time: float = 200e-9
    """An IC that has changed its state rests for this time [s]."""
    bounce: float = 0.0
    """How long the contacts of buttons bounce [s]; 0 for clean edges."""
    contact_resistance: float = 0.0
    """Resistance of one breadboard contact [ohm], added at both leads of parts with a value."""
    charged: tuple[tuple[str, float], ...] = ()
    """Capacitors that are charged at the start: (part, volt)."""
    strays: tuple[tuple[str, str, float], ...] = ()
    """Capacitances between nets that no part has, such as those of a board's strips: (net, net, farad)."""


class Event(NamedTuple):
    """One discrete happening (a tuple, because runs have thousands of them).

    ``kind``: "supply" (switched on), "action" (a button and the like), "watch" (a watched level is
    crossed: ``what`` is the watcher's name, ``rising`` whether the condition became true), "state"
    (a state-holding part moves from ``before`` to ``after``), "light" (an LED starts or stops to
    shine: ``after`` is "lit" or "dark"), "limit" (events were too frequent to follow one by one).
    ``because`` is the index in ``Run.events`` of the event that caused this one, -1 for none.
    """

    time: float
    kind: Literal["supply", "action", "watch", "state", "light", "limit"]
    part: str
    what: str = ""
    rising: bool = True
    before: str = ""
    after: str = ""
    because: int = -1


@dataclass(frozen=True, slots=True)
class Extremes:
    """Stress of one part over a run, in volt, ampere, watt and joule.

    ``current`` is the largest magnitude in any terminal, ``voltage`` the largest magnitude between
    any two terminals, ``reverse`` the largest voltage against the part's polarity (0 if it has
    none), ``power`` the largest momentary power, ``mean_power`` over the whole run.
    """

    current: float
    voltage: float
    reverse: float
    power: float
    mean_power: float
    energy: float


@dataclass(frozen=True, slots=True)
class Verdict:
    """A physical verdict about a run, such as a shorted supply; ``code`` is stable, ``numbers`` in SI."""

    code: str
    parts: tuple[str, ...] = ()
    nets: tuple[str, ...] = ()
    numbers: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, eq=False)
class Run:
    """What a circuit did in one trial.

    ``times`` [s], shape (n,), rises; two equal times mark a jump.  ``voltages`` [V], shape
    (n, nets), columns as ``nets``, against the supply's negative net.  ``currents`` [A], shape
    (n, pins), columns as ``pins``, positive into the part.  ``light`` per LED: shape (n,), its
    forward current [A].
    """

    circuit: Circuit
    trial: Trial
    nets: tuple[str, ...]
    pins: tuple[tuple[str, str], ...]
    times: Floats
    voltages: Floats
    currents: Floats
    events: Sequence[Event]
    extremes: Mapping[str, Extremes]
    verdicts: tuple[Verdict, ...] = ()
    undetermined: tuple[str, ...] = ()
    """Parts whose power-up state no data sheet promises."""
    statistics: Mapping[str, Any] = field(default_factory=dict)

    def voltage(self, net: str) -> Floats:
        """Voltage of a net over ``times``; raises KeyError."""
        try:
            return self.voltages[:, self.nets.index(net)]
        except ValueError:
            raise KeyError(net) from None

    def current(self, part: str, terminal: str) -> Floats:
        """Current into a terminal over ``times``; raises KeyError."""
        try:
            return self.currents[:, self.pins.index((part, terminal))]
        except ValueError:
            raise KeyError(f"{part}.{terminal}") from None
