"""Events are named when they are read, and are to every reader the tuple they used to be."""

import pickle
from dataclasses import replace

from _demo import demo
from _miswire import miswired

from buildalong.engine import Event, Options, measure, simulate


def test_events_are_like_a_tuple():
    """Length, items, slices, order, equality, hash and a pickled copy are those of a tuple of the events."""
    run = simulate(*demo("lighthouse"))
    plain = tuple(run.events)
    assert all(type(e) is Event for e in plain)
    assert len(run.events) == len(plain) > 50
    assert run.events[-1] == plain[-1]
    assert run.events[3:9] == plain[3:9]
    assert run.events == plain
    assert hash(run.events) == hash(plain)
    assert pickle.loads(pickle.dumps(run.events)) == plain
    assert repr(run.events) == repr(plain)


def test_a_limit_is_the_last_event():
    """A run ended by the limit on events has one more, which says so; the verdict names the same time."""
    circuit, trial = demo("lighthouse")
    run = simulate(circuit.renamed({"OUT": "CAP"}), trial, None, Options(max_events=500))
    assert len(run.events) == len(tuple(run.events))
    assert run.events[-1].kind == "limit"
    assert run.events[-1].time == run.statistics["ended"]


def test_a_light_is_read_from_names_or_numbers_alike():
    """The period from the kernel's numbers is that from named events, on the demo and on wrong circuits."""
    circuit, trial = demo("lighthouse")
    for wrong in (circuit, *(miswired(circuit, f"lighthouse {seed}") for seed in (0, 5, 43, 60))):
        run = simulate(wrong, trial)
        named = [(e.time, e.rising) for e in run.events if e.kind == "light" and e.part == "DS1"]
        assert run.events.lights("DS1") == named
        if len(named) > 6:
            named_run = replace(run, events=tuple(run.events))
            assert measure(run, "period", "DS1") == measure(named_run, "period", "DS1")
