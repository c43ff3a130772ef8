"""What the pictures show, in words."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from buildalong.board import Layout, hole_name
from buildalong.circuit import Circuit, Part, bands_on
from buildalong.design import percent
from buildalong.drawing._course import Course, course_of
from buildalong.drawing._ideal import Ideal
from buildalong.drawing._look import look_of, marking_of, value_of
from buildalong.drawing._series import Floats, crossings, intervals, said_duration
from buildalong.engine import Run
from buildalong.parts import Terminal
from buildalong.quantity import COLOURS, read_bands
from buildalong.story import said_level
from buildalong.words import capital, colour_word, in_parts, listed, numeral, say, with_unit

__all__ = [
    "ALLOWED", "BAND_KEY", "BEHIND", "BRIDGE_RIGHT", "BRIDGE_WRONG", "CYCLE_KEY", "FROM_TO", "HISTOGRAM",
    "HISTOGRAM_AT", "IDEAL_KEY", "MINUS_MARK", "MOVES", "NEVER", "NOT_ALLOWED", "ON",
    "PARTS_ADD", "PLUS_MINUS", "REAL_KEY", "SHARES", "UNSEEN", "band_meaning", "board_words", "card_words",
    "ideal_words", "leg_in_hole", "leg_words", "part_words", "placed_words", "said_at_rest", "said_at_work",
    "said_set", "terminal_words", "tilted_words", "waves_words",
]  # fmt: skip

LEG_IN_HOLE = "{leg} in {hole}"
BEHIND = "{part} (behind {other})"
UNSEEN = "hidden behind other parts"
HISTOGRAM = (
    "Histogram of {axis} over {count} simulated builds: 95 % lie between {low} and {high}; "
    "{kept} are within what is allowed."
)
ALLOWED = "allowed: {share}"
NOT_ALLOWED = "not allowed: {share}"
PARTS_ADD = "Share of each part in the spread: {shares}"
HISTOGRAM_AT = (
    "Histogram of {axis} over {count} simulated builds: 95 % have {low}; {kept} are within what is allowed."
)


def part_words(part: Part) -> str:
    """The part in a sentence: 'R1 (resistor, 56 kΩ)'."""
    value = value_of(part)
    noun = say(part.type.noun)
    return f"{part.id} ({noun}, {value})" if value else f"{part.id} ({noun})"


def board_words(
    circuit: Circuit, layout: Layout, new_parts: Collection[str] = (), new_wires: Collection[int] = ()
) -> str:
    """Which parts stand in which holes, and the wires; of a step only what is new."""
    bits = [
        say("Breadboard with {count} tie-points, seen from above.", count=layout.board.name.split("-")[0])
    ]
    parts = [part for part in circuit.parts if part.id in layout.holes]
    new = [p for p in parts if p.id in new_parts]
    if new_parts or new_wires:
        lines = [placed_words(part, layout) for part in new]
        lines += [_wire(layout, index) for index in sorted(new_wires)]
        bits.append(say("New in this step: {things}.", things=in_parts(lines)))
    elif parts or layout.wires:
        lines = [placed_words(part, layout) for part in parts]
        lines += [_wire(layout, index) for index in range(len(layout.wires))]
        bits.append(say("On it: {things}.", things=in_parts(lines)))
    return " ".join(bits)


def tilted_words(circuit: Circuit, layout: Layout) -> str:
    """How high what stands on the board is, highest first, and the same board in words."""
    parts = [p for p in circuit.parts if p.id in layout.holes and p.type.body.kind != "off-board"]
    tall = sorted(parts, key=lambda p: -(p.type.body.height + look_of(p.type).stand))
    highs = [
        f"{p.id} {with_unit(str(round(p.type.body.height + look_of(p.type).stand)), 'mm')}" for p in tall
    ]
    size = layout.board.name.split("-")[0]
    told = say("Breadboard with {count} tie-points, seen from above and aside.", count=size)
    return f"{told} {say('Heights above the board: {heights}.', heights=listed(highs))}" if highs else told


def leg_in_hole(leg: str, hole: str) -> str:
    """A leg's word with its hole, or the hole alone where any leg may stand there."""
    return say(LEG_IN_HOLE, leg=leg, hole=hole_name(hole)) if leg else hole_name(hole)


def leg_words(part: Part) -> tuple[str, ...]:
    """For each leg the sign or word that tells it from the others; '' where it does not matter.

    '+' and '−', 'anode', 'pin 1', 'wiper'; a contact's number where several legs belong to one contact.
    """
    out = []
    several = len(part.type.leg_terminals) > len(part.type.terminals)
    turned = any(terminal.role == "wiper" for terminal in part.type.terminals)
    for name in part.type.leg_terminals:
        terminal = part.type.terminal(name)
        if part.type.body.shape == "dip":
            out.append(say("pin 1") if terminal.number == "1" else "")
        elif part.type.polarised or turned:
            out.append({"positive": "+", "negative": "−"}.get(terminal.role, say(terminal.title)))
        else:
            out.append(terminal.name if several else "")
    return tuple(out)


def placed_words(part: Part, layout: Layout) -> str:
    """The part with its holes: 'C1 (electrolytic capacitor, 10 µF) plus lead in j14, minus lead in j15'."""
    holes = layout.holes[part.id]
    legs = [say(part.type.terminal(name).title) for name in part.type.leg_terminals]
    if part.type.swappable and len(holes) == 2:
        where = say(FROM_TO, first=hole_name(holes[0]), last=hole_name(holes[1]))
    elif len(holes) > 4 and part.type.body.straddles:
        where = say("across the trench, pin 1 in {first}, last pin in {last}", first=holes[0], last=holes[-1])
    else:
        stand: dict[str, list[str]] = {}
        for leg, hole in zip(legs, holes, strict=False):
            stand.setdefault(leg, []).append(hole_name(hole))
        where = ", ".join(say(LEG_IN_HOLE, leg=leg, hole=listed(named)) for leg, named in stand.items())
    return f"{part_words(part)} {where}"


def _wire(layout: Layout, index: int) -> str:
    wire = layout.wires[index]
    colour = colour_word(wire.colour)
    first, last = hole_name(wire.start), hole_name(wire.end)
    return say("{colour} wire from {first} to {last}", colour=colour, first=first, last=last)


FINEST = 1e-3
"""Share of the shown time below which a moment is told as 0 s."""


def waves_words(run: Run, names: Sequence[str], nets: Sequence[str], start: float, end: float) -> str:
    """What rises when: each curve's range and rises, each light's and button's times."""
    span = end - start
    bits = [say("Waveforms from {start} to {end}.", start=_time(start, span), end=_time(end, span))]
    inside = (run.times >= start) & (run.times <= end)
    for name in names:
        if name in nets:
            times, values = run.times[inside], run.voltage(name)[inside]
            if values.size < 2:
                continue
            low, high = float(values.min()), float(values.max())
            if high - low < 0.05:
                level = said_level(high)
                bits.append(say("{name} stays at {level}.", name=name, level=level))
                continue
            rises = _rises(times, values)
            least, most = map(said_level, (low, high))
            message = MOVES_RISING if rises else MOVES
            bits.append(say(message, name=name, least=least, most=most, times=_when(rises, span)))
        else:
            part = run.circuit.by_id[name]
            course = course_of(run, name)
            if course is not None:
                bits.append(_course_words(name, course, start, end))
                continue
            spans = [(a, b) for a, b in intervals(run, name) if b > start and a < end]
            kind = part.type.family if part.type.family in NEVER else "switch"
            if not spans:
                bits.append(say(NEVER[kind], name=name))
            else:
                a, b = spans[0]
                first = {"start": _time(max(a, start), span), "end": _time(min(b, end), span)}
                message = (SPANS if len(spans) > 1 else SPAN)[kind]
                bits.append(say(message, name=name, **first, count=len(spans)))
    return " ".join(bits)


def _course_words(name: str, course: Course, start: float, end: float) -> str:
    """Where a setting rests and turns, with its values."""
    told = []
    for begins, ends, value in course.stays(start, end):
        places = {"value": course.said(value), "first": _time(begins, end - start)}
        told.append(say(RESTS if ends > begins else TURNS, **places, last=_time(ends, end - start)))
    return say(COURSES[course.setting], name=name, course=in_parts(told))


def _rises(times: Floats, values: Floats) -> Sequence[float]:
    """When a curve rises through the middle of its range, or of that after its first rise if this tells more.

    A start from nothing makes the range of many a rhythm wider than its swing.
    """
    high = float(values.max())
    rises = crossings(times, values, (float(values.min()) + high) / 2)
    if len(rises) == 1:
        after = float(values[times > rises[0]].min(initial=high))
        again = crossings(times, values, (after + high) / 2)
        return again if len(again) > 1 else rises
    return rises


def _time(seconds: float, span: float) -> str:
    return said_duration(seconds if abs(seconds) >= span * FINEST else 0.0, span)


def _when(times: Sequence[float], span: float, most: int = 3) -> str:
    told = [_time(t, span) for t in times[:most]]
    if len(times) > most:
        return say("at {times} and {count} more times", times=", ".join(told), count=len(times) - most)
    return say("at {times}", times=listed(told))


FROM_TO = "from {first} to {last}"
COURSES = {"light": "The light on {name}: {course}.", "position": "{name} is turned: {course}."}
RESTS = "{value} from {first} to {last}"
TURNS = "{value} at {first}"
ON = "{name} is on {count} times, {total} in all."
MOVES = "{name} moves between {least} and {most}."
MOVES_RISING = "{name} moves between {least} and {most}, rising {times}."
NEVER = {
    "led": "{name} is never lit.",
    "buzzer": "{name} is never heard.",
    "motor": "{name} is never turning.",
    "button": "{name} is never pressed.",
    "switch": "{name} is never thrown.",
}
SPAN = {
    "led": "{name} is lit from {start} to {end}.",
    "buzzer": "{name} is heard from {start} to {end}.",
    "motor": "{name} is turning from {start} to {end}.",
    "button": "{name} is pressed from {start} to {end}.",
    "switch": "{name} is thrown from {start} to {end}.",
}
SPANS = {
    "led": "{name} is lit from {start} to {end}, {count} times in all.",
    "buzzer": "{name} is heard from {start} to {end}, {count} times in all.",
    "motor": "{name} is turning from {start} to {end}, {count} times in all.",
    "button": "{name} is pressed from {start} to {end}, {count} times in all.",
    "switch": "{name} is thrown from {start} to {end}, {count} times in all.",
}


BRIDGE_RIGHT = "A wire joins the two halves of the rail."
BRIDGE_WRONG = "The gap in the middle of the rail is not bridged, so its other half is dead."
DOME = "The long lead is the anode; the short one, at the flat side of the rim, is the cathode."
CAN = "The long lead is plus; the short lead, at the light stripe, is minus."
LEGS = "With the flat face towards you the legs are, from left to right, {legs}."
PINS = "Pins counted from the notch, anticlockwise seen from above: {pins}."
BAND_KEY = "Pale band: {count} boards with parts anywhere within their limits"
CYCLE_KEY = "Pale band: {count} boards with parts anywhere within their limits, from a common start"
REAL_KEY = "with real parts, simulated"
IDEAL_KEY = "by the formula, with ideal parts"
LONGER = "{title}: {ideal} by the formula, {real} with real parts: {share} longer."
SHORTER = "{title}: {ideal} by the formula, {real} with real parts: {share} shorter."
ALIKE = "{title}: {ideal} by the formula, {real} with real parts: less than 0.5 % apart."


def ideal_words(ideal: Ideal, span: float) -> str:
    """A duration by the formula beside that of real parts, and the difference in per cent.

    ``span`` [s] of the time axis decides the unit, as for every duration of the picture.
    """
    message = (LONGER if ideal.off > 0 else SHORTER) if abs(ideal.off) >= 0.005 else ALIKE
    return say(
        message, title=capital(ideal.title), ideal=said_duration(ideal.ideal, span),
        real=said_duration(ideal.real, span), share=percent(ideal.off),
    )  # fmt: skip


SHARES = {1 / 3: "1/3 of supply", 1 / 2: "1/2 of supply", 2 / 3: "2/3 of supply"}
WATCHED = ("threshold", "trigger", "clock", "reset", "enabled", "power", "above")
"""What ICs watch, by the names of their models; it stands beside the level in pictures."""
PLUS_MINUS = {"plus lead": "plus", "minus lead": "minus"}
MINUS_MARK = {"dome": "flat side: {name}", "can": "light stripe: {name}"}
AT_WORK = {"led": "lit", "buzzer": "heard", "motor": "turning", "button": "pressed", "switch": "thrown"}

AT_REST = {
    "led": "dark", "buzzer": "silent", "motor": "at rest", "button": "not pressed", "switch": "not thrown"
}  # fmt: skip


SET = {"light": "light on it", "position": "turned to"}


def said_set(course: Course) -> str:
    """What the values of a setting are, beside its row: "light on it"."""
    return say(SET[course.setting])


def said_at_work(part: Part) -> str:
    """What a part is while it works, beside its bar: "lit"."""
    return say(AT_WORK.get(part.type.family, AT_WORK["switch"]))


def said_at_rest(part: Part) -> str:
    """What a part is while it does nothing: "dark"."""
    return say(AT_REST.get(part.type.family, AT_REST["switch"]))


def terminal_words(terminal: Terminal) -> str:
    """The name of a terminal with its pin number: '1 GND'; '+' and '-' as they are printed."""
    name = terminal.shown.removesuffix("-") + "−" if terminal.shown.endswith("-") else terminal.shown
    if terminal.number and terminal.number != terminal.name:
        return f"{terminal.number} {name}"
    if terminal.role in ("anode", "cathode"):
        return say(terminal.title)
    return name


def band_meaning(part: Part, index: int) -> str:
    """What one colour band of a resistor says: '5', '× 1000', '± 5 %'."""
    bands = bands_on(part)
    figures = 3 if len(bands) >= 5 else 2
    if len(bands) == 1:
        return "0 Ω"
    place = COLOURS.index(bands[index])
    if index < figures:
        return str(place)
    if index == figures:
        power = place if place < 10 else {"gold": -1, "silver": -2, "pink": -3}[bands[index]]
        if power < 6:
            return (
                f"× {10**power:,.0f}".replace(",", " ") if power >= 0 else f"× {numeral(f'{10.0**power:g}')}"
            )
        return say("× {count} million", count=10 ** (power - 6))
    if index == figures + 1:
        return f"± {with_unit(f'{read_bands(bands).tolerance * 100:g}', '%')}"
    return say("drift")


def card_words(part: Part) -> str:
    """The part by itself in words: marking, legs, polarity."""
    noun = capital(say(part.type.title))
    value = value_of(part)
    bits = [f"{noun}, {value}." if value else f"{noun}."]
    bands = bands_on(part)
    if bands:
        colours = listed([colour_word(band) for band in bands])
        bits.append(say("Colour bands from the reading end: {colours}.", colours=colours))
    elif marking_of(part) and part.type.body.shape != "buzzer":
        bits.append(say("It bears the print {print}.", print=marking_of(part)))
    shape = part.type.body.shape
    if shape == "dome":
        bits.append(say(DOME))
    elif shape == "can":
        bits.append(say(CAN))
    elif shape == "to92":
        legs = listed(part.type.leg_terminals)
        bits.append(say(LEGS, legs=legs))
    elif shape == "dip":
        pins = listed([terminal_words(part.type.terminal(name)) for name in part.type.leg_terminals])
        bits.append(say(PINS, pins=pins))
    elif part.type.polarised and shape == "cylinder":
        bits.append(say("The stripe marks the cathode."))
    return " ".join(bits)
