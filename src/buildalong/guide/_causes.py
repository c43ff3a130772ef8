"""From the outcomes of the laboratory to symptoms with ranked causes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from buildalong.guide._badness import QUIET
from buildalong.guide._cause import Cause, Reading, Symptom, Way
from buildalong.guide._places import Places
from buildalong.guide._words import CURES, FIRST, HEADS, LOOK, TITLES, WHICH
from buildalong.mistakes import DANGERS, KINDS, Lab, Outcome, act_of
from buildalong.words import capital, in_parts, listed, say, say_many

__all__ = ["seen_as", "symptoms_of"]

NAMED = 3
"""So many lights are named in a title, then they are counted."""
LOOKS = {
    "lead-one-off": "holes", "lead-two-off": "holes", "lead-across": "holes", "one-strip": "holes",
    "part-omitted": "there", "wire-omitted": "wire", "wire-one-off": "wire", "wire-across": "wire",
    "wrong-rail": "holes", "part-reversed": "way-round", "leg-order": "way-round",
    "chip-turned": "way-round", "rows-off": "holes", "button-turned": "turned", "wrong-decade": "value",
    "read-backwards": "value", "code-misread": "value", "swapped": "two-values", "wrong-colour": "colour",
    "rail-split": "rails", "supply-reversed": "holes", "weak-battery": "spent", "loose-contact": "loose",
    "own": "step",
}  # fmt: skip
"""Kind of mistake -> how it is looked for, a key of LOOK."""
Reader = Callable[[Sequence[Outcome]], Reading | None]


def symptoms_of(lab: Lab, places: Places, reader: Reader) -> tuple[Symptom, ...]:
    """What a learner can see of one mistake, likeliest first, each with its causes, likeliest first.

    Symptoms that show nothing ("as-it-should", "overstressed") come last.
    """
    groups: dict[tuple[object, ...], list[Outcome]] = {}
    for outcome in lab.outcomes:
        groups.setdefault(seen_as(outcome.symptom, outcome.sights), []).append(outcome)
    out = [_symptom(lab, places, reader, outcomes) for outcomes in groups.values()]
    out.sort(key=lambda s: (s.kind in QUIET, -s.weight, s.title))
    return tuple(
        Symptom(f"symptom-{number}", s.kind, s.title, s.first, s.danger, s.causes)
        for number, s in enumerate(out, start=1)
    )


def seen_as(kind: str, sights: tuple[tuple[str, str], ...]) -> tuple[object, ...]:
    """What is the same where a learner sees the same."""
    return (kind,) if kind in TITLES else (kind, sights)


def _symptom(lab: Lab, places: Places, reader: Reader, outcomes: Sequence[Outcome]) -> Symptom:
    total = sum(o.mistake.weight for o in outcomes)
    classes: dict[frozenset[str], list[Outcome]] = {}
    for outcome in outcomes:
        mistake = outcome.mistake
        coloured = outcome.symptom == "wrong-colour"  # each other colour is a circuit, all are one cause
        key = frozenset(mistake.subjects if coloured else (mistake.id, *outcome.same))
        classes.setdefault(key, []).append(outcome)
    causes = [_cause(lab, places, reader, made, total) for made in classes.values()]
    causes.sort(key=lambda cause: (-cause.weight, cause.id))
    kind = outcomes[0].symptom
    dangers = {cause.danger for cause in causes}
    danger = next((key for key in DANGERS if key in dangers), "")
    first = say(FIRST.get(kind, FIRST[""]))
    return Symptom("", kind, _title(lab, outcomes[0]), first, danger, tuple(causes))


def _title(lab: Lab, outcome: Outcome) -> str:
    """What is seen, in plain words."""
    if outcome.symptom in TITLES:
        return say(TITLES[outcome.symptom])
    acting: dict[str, list[str]] = {}
    for light, kind in outcome.sights:
        if kind != "same":
            acting.setdefault(kind, []).append(light)
    if len(lab.lights) > 1 and acting.keys() == {"dark"} and len(acting["dark"]) == len(lab.lights):
        return say(WHICH["none"])
    said = [
        say_many(
            act_of(kind, (lab.circuit.by_id[name].type.family for name in names)),
            len(names),
            who=_who(lab, names),
        )
        for kind, names in acting.items()
    ]
    title = in_parts(said) or outcome.sentence.removesuffix(".")
    same = any(kind == "same" for _, kind in outcome.sights)
    return say(WHICH["rest"], title=title) if same and acting else title


def _who(lab: Lab, names: Sequence[str]) -> str:
    if len(lab.lights) == 1:
        return say(WHICH[lab.circuit.by_id[names[0]].type.family])
    if len(names) == len(lab.lights) and all(lab.circuit.by_id[n].type.family == "led" for n in names):
        return say(WHICH["both" if len(names) == 2 else "all"], count=len(names))
    if len(names) > NAMED + 1:
        return say(WHICH["more"], some=", ".join(names[:NAMED]), count=len(names) - NAMED)
    return listed(list(names))


def _step(places: Places, subjects: Sequence[str]) -> int:
    """The step in which the first of these is put down, 0 for none."""
    return next((places.step_of[name] for name in subjects if name in places.step_of), 0)


def _cause(lab: Lab, places: Places, reader: Reader, outcomes: Sequence[Outcome], total: float) -> Cause:
    ranked = sorted(outcomes, key=lambda o: (-o.mistake.weight, o.mistake.id))
    ways = tuple(
        Way(m.id, m.kind, m.what, m.subjects, m.weight, _step(places, m.subjects))
        for m in (o.mistake for o in ranked)
    )
    weight = sum(way.weight for way in ways)
    worst = next((o for o in ranked if o.danger), ranked[0])
    kinds = list(dict.fromkeys(way.kind for way in ways))
    return Cause(
        id=ways[0].mistake,
        what=_heading(places, ways),
        ways=ways,
        weight=weight,
        share=weight / total,
        step=next((way.step for way in ways if way.step), 0),
        look=" ".join(_looks(places, ways)),
        cure=say(CURES["open"])
        if _opened(ways)
        else " ".join(dict.fromkeys(say(KINDS[k].cure) for k in kinds[:2])),
        danger=worst.danger,
        grade=worst.grade,
        reading=reader(ranked),
    )


def _opened(ways: Sequence[Way]) -> bool:
    """Whether the slips come to a part or wire left out."""
    return any(way.kind in ("part-omitted", "wire-omitted") for way in ways)


def _heading(places: Places, ways: Sequence[Way]) -> str:
    subjects = list(dict.fromkeys(name for way in ways for name in way.subjects))
    opened, ids = _opened(ways), listed([places.name(name) for name in subjects])
    if len(ways) > 1 and {way.kind for way in ways} <= {"wrong-colour", "loose-contact"}:
        key = "colour" if ways[0].kind == "wrong-colour" else "loose"
        return capital(say(HEADS[key], id=ids, ids=ids))
    if len(ways) == 1 or (len(subjects) == 1 and not opened):
        return ways[0].what.removesuffix(".")
    if len(subjects) > 1:
        return capital(say(HEADS["open-several" if opened else "several"], ids=ids))
    key = "open-wire" if subjects[0].startswith("wire ") else "open-part"
    return capital(say(HEADS[key], id=ids, wire=ids))


def _looks(places: Places, ways: Sequence[Way]) -> Iterable[str]:
    """Where to look: one sentence for each part and each manner of looking."""
    out: dict[str, None] = {}
    loose = [way.subjects[0] for way in ways if LOOKS[way.kind] == "loose" and way.subjects]
    if loose:
        ids = listed([places.name(name) for name in dict.fromkeys(loose)])
        out[say(LOOK["loose" if len(set(loose)) == 1 else "several-loose"], id=ids)] = None
    for way in ways:
        manner = LOOKS[way.kind]
        if manner == "loose":
            continue
        one, *others = way.subjects or ("",)
        if one.startswith("wire ") and manner == "holes":
            manner = "wire"
        elif manner == "holes" and _opened(ways):
            manner = "there"
        known = {"id": places.name(one), "wire": places.name(one), "right": places.right(one)}
        if manner in ("value", "two-values", "colour"):
            known["value"] = places.value(one)
        if manner == "two-values":
            known |= {"other": others[0], "second": places.value(others[0])}
        if "right" in LOOK[manner] and not known["right"]:
            manner = "step"
        out[say(LOOK[manner], **known)] = None
    return out
