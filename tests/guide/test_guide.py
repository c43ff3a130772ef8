"""The guide: nothing of the laboratory is lost, likeliest first, dangers told where they happen."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from buildalong.build.steps import make_steps
from buildalong.guide import SEVERITY, Guide, flows_of, guide_of, severity
from buildalong.mistakes import DANGERS
from buildalong.trace import SWINGS, all_readings, build_order, make_plan, spans_at
from mistakes._labs import built, lab
from mistakes.test_lab import FEW


@cache
def guide(demo: str) -> Guide:
    """The guide of a demo."""
    lesson, layout = built(demo)
    return guide_of(lab(demo), make_steps(lesson.circuit, layout))


@pytest.mark.parametrize("demo", FEW)
def test_every_outcome_is_a_way_of_one_cause(demo: str) -> None:
    """Each mistake stands in exactly one cause of one symptom, with the class that the laboratory found."""
    of = {o.mistake.id: o for o in lab(demo).outcomes}
    ways = [(s, c, way) for s in guide(demo).symptoms for c in s.causes for way in c.ways]
    assert sorted(way.mistake for _, _, way in ways) == sorted(of)
    for symptom, cause, way in ways:
        outcome = of[way.mistake]
        assert outcome.symptom == symptom.kind
        same = {other.mistake for other in cause.ways}
        assert symptom.kind == "wrong-colour" or same == {way.mistake, *outcome.same}


@pytest.mark.parametrize("demo", FEW)
def test_likeliest_first(demo: str) -> None:
    """Symptoms that can be seen and their causes come by weight; shares of a symptom add up to one."""
    symptoms = guide(demo).symptoms
    for symptom in symptoms:
        weights = [cause.weight for cause in symptom.causes]
        assert weights == sorted(weights, reverse=True)
        assert sum(cause.share for cause in symptom.causes) == pytest.approx(1.0)
    seen = [s.weight for s in symptoms if s.kind not in ("as-it-should", "overstressed")]
    assert seen == sorted(seen, reverse=True)
    assert len({s.title for s in symptoms}) == len(symptoms)


@pytest.mark.parametrize("demo", FEW)
def test_every_cause_has_a_check_and_a_cure(demo: str) -> None:
    """Each cause says where to look and how to mend it, and its step where a part or wire is meant."""
    for symptom in guide(demo).symptoms:
        assert symptom.first
        for cause in symptom.causes:
            assert cause.look.endswith(".")
            assert cause.cure.endswith(".")
            assert cause.step or set(cause.subjects) <= {"rails"}
            assert "{" not in cause.look + cause.what + cause.cure


def _cause(demo: str, mistake: str):
    return next(c for s in guide(demo).symptoms for c in s.causes if mistake in [w.mistake for w in c.ways])


def test_a_reversed_capacitor_is_dangerous_at_its_step() -> None:
    """Reversed by 1 V to 1.5 V it is damaged (TDK/EPCOS general data, as copied): told where it goes in."""
    assert _cause("lighthouse", "part-reversed-C1-1").danger == "burst"
    step = _cause("lighthouse", "part-reversed-C1-1").step
    assert ("burst", step) in {(c.danger, c.step) for c in guide("lighthouse").cautions}
    worst = guide("lighthouse").checks[0]
    assert (worst.subject, worst.severity) == ("C1", "burst")
    assert "plus (the longer lead) in hole i15" in worst.right


def test_each_check_names_the_gravest_harm() -> None:
    """A wire that may short the supply says so, however often another of its slips does less."""
    of = {o.mistake.id: o for o in lab("lighthouse").outcomes}
    for check in guide("lighthouse").checks:
        gravest = max((severity(of[name]) for name in check.mistakes), key=lambda name: SEVERITY[name][0])
        assert check.severity == gravest
    assert "battery" in {c.severity for c in guide("lighthouse").checks if c.subject.startswith("wire")}


def test_a_capacitor_that_only_ages_frightens_nobody() -> None:
    """A slip elsewhere that lets a small current flow backwards through a capacitor is no danger to eyes."""
    of = {o.mistake.id: o for o in lab("level-crossing").outcomes}
    outcome = of["part-omitted-Q1-1"]
    assert ("C2", "reverse-voltage", "ages") in {(h.part, h.code, h.grade) for h in outcome.harms}
    assert outcome.danger == ""
    assert severity(outcome) == "ages"


def test_what_no_symptom_reveals_is_checked_before_switching_on() -> None:
    """C2 of the lighthouse only steadies: left out, nothing is seen, so the list asks for it."""
    outcome = next(o for o in lab("lighthouse").outcomes if o.mistake.id == "part-omitted-C2-1")
    assert outcome.symptom == "as-it-should"
    assert "C2" in {check.subject for check in guide("lighthouse").checks}


@pytest.mark.parametrize("demo", FEW)
def test_dangers_come_from_the_laboratory(demo: str) -> None:
    """Each caution names a known danger and only slips that lead to it, at the step of one of them."""
    of = {o.mistake.id: o for o in lab(demo).outcomes}
    assert guide(demo).cautions
    for caution in guide(demo).cautions:
        assert caution.danger in DANGERS
        assert {of[name].danger for name in caution.mistakes} == {caution.danger}


@pytest.mark.parametrize("demo", FEW)
def test_badness_is_the_sum_that_is_written(demo: str) -> None:
    """Weight times points over all outcomes, in hundreds; by name and by part it adds up to the same."""
    found = guide(demo).badness
    sure = sum(o.mistake.weight * SEVERITY[severity(o)][0] for o in lab(demo).outcomes) / 100
    assert found.total == pytest.approx(sure)
    assert sum(found.by_name.values()) == pytest.approx(sure)
    assert sum(found.by_subject.values()) == pytest.approx(sure)
    assert found.of(found.by_subject) == pytest.approx(sure)


def test_the_table_in_the_docs_is_the_table() -> None:
    """What docs/fault-finder.md says of the points is what is counted."""
    text = (Path(__file__).parents[2] / "docs" / "fault-finder.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| `(\w+)`: (.+) \| (\d+) \|$", text, re.MULTILINE)
    assert {name: (float(points), means) for name, means, points in rows} == dict(SEVERITY)


@pytest.mark.parametrize("demo", FEW)
def test_a_reading_tells_right_from_wrong(demo: str) -> None:
    """The bands of a reading are apart, and each slip of its cause really shows the wrong one."""
    probes = {(r.holes, lab(demo).windows[r.window].plain): r for r in all_readings(lab(demo)) if r.holes}
    of = {o.mistake.id: o for o in lab(demo).outcomes}
    found = 0
    for symptom in guide(demo).symptoms:
        for cause in symptom.causes:
            if (reading := cause.reading) is None:
                continue
            found += 1
            right, wrong = reading.right, reading.wrong
            assert right != wrong
            if right and wrong:
                assert max(right[0] - wrong[1], wrong[0] - right[1]) >= 0.29
            probing = probes[(reading.red, reading.black), reading.when]
            for way in cause.ways:
                for low, high in spans_at(probing, of[way.mistake].volts):
                    inside = wrong is not None and wrong[0] - 0.01 <= low <= high <= wrong[1] + 0.01
                    assert inside or (wrong is None and (low, high) == SWINGS)
    assert found >= 5


@pytest.mark.parametrize("demo", FEW)
def test_a_plan_can_be_followed_by_number(demo: str) -> None:
    """Rows are numbered from 1; each but the first is reached once, from an earlier one; ends name causes."""
    lesson, layout = built(demo)
    plan = make_plan(lab(demo), build_order(make_steps(lesson.circuit, layout)))
    flows = flows_of(plan, {o.mistake.id: o for o in lab(demo).outcomes})
    assert len(flows) == len(plan.roots)
    assert sum(flow.share for flow in flows) == pytest.approx(1.0)
    for flow in flows:
        assert [row.number for row in flow.rows] == list(range(1, len(flow.rows) + 1))
        jumps = [(row.number, number) for row in flow.rows for _, number, _ in row.answers if number]
        assert sorted(number for _, number in jumps) == list(range(2, len(flow.rows) + 1))
        assert all(number > origin for origin, number in jumps)
        assert all(number or cause for row in flow.rows for _, number, cause in row.answers)
        assert flow.rows or flow.causes
