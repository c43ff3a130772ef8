"""What a spread means for a learner, in one sentence."""

from __future__ import annotations

import math
from collections.abc import Sequence

from buildalong.circuit import Circuit, supply_voltages
from buildalong.engine import MEASURES
from buildalong.parts import Figure
from buildalong.quantity import format_quantity
from buildalong.spread._spread import Outcome, Spread
from buildalong.words import listed, say

__all__ = ["counted_errors", "name_of", "said_share", "sentence", "shares", "surroundings"]

RANGES = {
    "frequency": "In yours, {of} may run at {low} to {high}",
    "on_time": "In yours, {of} may stay on between {low} and {high} each time",
    "off_time": "In yours, {of} may stay off between {low} and {high} each time",
    "period": "In yours, a full cycle of {of} may take between {low} and {high}",
    "pulse_width": "In yours, {of} may stay on between {low} and {high}",
    "duty": "In yours, {of} may be on for {low} to {high} of the time",
}
BLINKS = "Yours may blink between {low} and {high} times a second"
ANY = "In yours, the {title} of {of} may lie between {low} and {high}"
MOST = "{range}; most of that is {part}, the {noun}."
TWO = "{range}; most of that is {part}, the {noun}, and {other}, the {other_noun}."
ALONE = "{range}."
SAME = "In yours, the {title} of {of} is {low}, as in every other."
NEVER = "In some builds it may never happen at all."
TEMPERATURE = ("the temperature", "warmth of the room")

UNDER = "less than {share}"
OVER = "more than {share}"
EACH = "{parts} {share} each"
OF_ONE = "{parts} {share}"
ABOUT = "about {share}"

_MOST, _BOTH = 0.5, 0.7


ROOM = "in a room of {low} °C to {high} °C"
ONE_ROOM = "in a room of {low} °C"
STATES = "its supply anywhere from {low} to {high}"
NOMINAL = "its supply at {volts}"
AROUND = "each build {room}, {supply}"
OWN_ERROR = "counted too: the timing error of {part} itself, {errors} ({source})"
ERRORS = {"one_shot_error": "{error} as one-shot", "astable_error": "{error} as astable"}
USUALLY = "usually {usual}"
AND_MOST = "usually {usual} and at most {most}"


def surroundings(spread: Spread) -> str:
    """Where and on what the builds were simulated, in one line."""
    cold, warm = (format_quantity(t, "") for t in spread.surroundings.temperature)
    room = say(ONE_ROOM if cold == warm else ROOM, low=cold, high=warm)
    end, nominal, fresh = supply_voltages(spread.circuit.supply)
    supply = say(NOMINAL, volts=format_quantity(nominal, "V", 3))
    if spread.surroundings.supply is not None:
        low, high = (format_quantity(end + s * (fresh - end), "V", 3) for s in spread.surroundings.supply)
        supply = say(STATES, low=low, high=high)
    return say(AROUND, room=room, supply=supply)


def counted_errors(circuit: Circuit) -> tuple[str, ...]:
    """What the makers of the timers say of their chips' own errors, one line for each timer."""
    out: list[str] = []
    for part in circuit.parts:
        figures = part.type.figures
        errors = [
            say(as_kind, error=_error(figures[name])) for name, as_kind in ERRORS.items() if name in figures
        ]
        if errors:
            key = next(figures[name].source for name in ERRORS if name in figures)
            source = part.type.sources.get(key, key)
            out.append(say(OWN_ERROR, part=part.id, errors=", ".join(errors), source=source))
    return tuple(out)


def _error(figure: Figure) -> str:
    usual = format_quantity(figure.value, "%")
    if figure.max is None:
        return say(USUALLY, usual=usual)
    return say(AND_MOST, usual=usual, most=format_quantity(figure.high, "%"))


def name_of(measure: str) -> str:
    """The measure in words."""
    return say(MEASURES[measure].title) if measure in MEASURES else measure


def said_share(share: float) -> str:
    """A share of simulated builds in whole per cent, for a few hundred builds tell no more.

    0 % is none of them and 100 % all.
    """
    whole = round(round(100.0 * share, 6))
    if whole == 0 and share > 0.0:
        return say(UNDER, share=format_quantity(0.01, "%"))
    if whole == 100 and share < 1.0:
        return say(OVER, share=format_quantity(0.99, "%"))
    return format_quantity(whole / 100.0, "%")


def shares(outcome: Outcome, least: float) -> tuple[str, ...]:
    """What each part adds to the spread, from a share on: 'R2 55 %', 'C1 and C2 20 % each'.

    Parts whose shares are told apart by no more than the error of their difference (95 % sure) are told
    together, by their mean; a share that may be off by more than half a per cent is "about".
    """
    groups: list[list[tuple[str, float, float]]] = []
    for part, share in outcome.shares.items():
        error = outcome.share_errors.get(part, 0.0)
        if share < least:
            continue
        first = groups[-1][0] if groups else None
        alike = first is not None and (
            first[1] - share <= math.hypot(first[2], error) or round(first[1], 2) == round(share, 2)
        )
        if alike:
            groups[-1].append((part, share, error))
        else:
            groups.append([(part, share, error)])
    return tuple(map(_shared, groups))


def _shared(group: Sequence[tuple[str, float, float]]) -> str:
    """The share of one part, or of some that have one alike."""
    mean = math.fsum(share for _, share, _ in group) / len(group)
    error = math.sqrt(math.fsum(error**2 for *_, error in group)) / len(group)
    said = format_quantity(round(mean, 2), "%")
    share = said if error <= 0.005 else say(ABOUT, share=said)
    parts = listed(sorted(part for part, *_ in group))
    return say(EACH if len(group) > 1 else OF_ONE, parts=parts, share=share)


def sentence(outcome: Outcome, circuit: Circuit) -> str:
    """Say between which values 95 % of all builds lie, and which parts make the most of it."""
    target = outcome.target
    unit = target.wanted.unit or "%"
    low, high = (format_quantity(value, unit, 2) for value in (outcome.low, outcome.high))
    if outcome.failed == len(outcome.values):
        return say(NEVER)
    if low == high:
        said = say(SAME, title=name_of(target.measure), of=target.of, low=low)
        return said if not outcome.failed else f"{said} {say(NEVER)}"
    light = target.of in circuit.by_id and circuit.by_id[target.of].type.family == "led"
    if target.measure == "frequency" and light:
        numbers = (format_quantity(value, "", 2) for value in (outcome.low, outcome.high))
        span = say(BLINKS, **dict(zip(("low", "high"), numbers, strict=True)))
    else:
        template = RANGES.get(target.measure, ANY)
        span = say(template, title=name_of(target.measure), of=target.of, low=low, high=high)
    said = _because(outcome, circuit, span)
    return f"{said} {say(NEVER)}" if outcome.failed else said


def _because(outcome: Outcome, circuit: Circuit, span: str) -> str:
    ranked = [(part, share) for part, share in outcome.shares.items() if share > 0.02]
    if ranked and ranked[0][1] >= _MOST:
        name, noun = _called(ranked[0][0], circuit)
        return say(MOST, range=span, part=name, noun=noun)
    if len(ranked) > 1 and ranked[0][1] + ranked[1][1] >= _BOTH:
        (part, noun), (other, other_noun) = (_called(each, circuit) for each, _ in ranked[:2])
        return say(TWO, range=span, part=part, noun=noun, other=other, other_noun=other_noun)
    return say(ALONE, range=span)


def _called(part: str, circuit: Circuit) -> tuple[str, str]:
    if part in circuit.by_id:
        return part, say(circuit.by_id[part].type.noun)
    name, noun = TEMPERATURE
    return say(name), say(noun)
