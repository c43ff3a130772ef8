"""What the pictures show, in words."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from buildalong.board import Layout
from buildalong.circuit import Circuit, Part, bands_on
from buildalong.design import percent
from buildalong.drawing._ideal import Ideal
from buildalong.drawing._look import look_of, marking_of, value_of
from buildalong.drawing._series import crossings, intervals
from buildalong.drawing._watch import SHOWING
from buildalong.engine import Run
from buildalong.parts import Terminal
from buildalong.quantity import COLOURS, format_quantity, read_bands

__all__ = [
    "BAND_KEY", "CYCLE_KEY", "IDEAL_KEY", "REAL_KEY", "band_meaning", "board_words", "card_words",
    "ideal_words", "leg_words", "listed", "part_words", "placed_words", "terminal_words", "tilted_words",
    "waves_words",
]  # fmt: skip


def listed(items: Collection[str]) -> str:
    """Join words: 'a', 'a and b', 'a, b and c'."""
    words = list(items)
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def part_words(part: Part) -> str:
    """The part in a sentence: 'R1 (resistor, 56 kΩ)'."""
    value = value_of(part)
    return f"{part.id} ({part.type.noun}{', ' + value if value else ''})"


def board_words(
    circuit: Circuit, layout: Layout, new_parts: Collection[str] = (), new_wires: Collection[int] = ()
) -> str:
    """Which parts stand in which holes, and the wires; what is new comes first."""
    bits = [f"Breadboard with {layout.board.name.split('-')[0]} tie-points, seen from above."]
    parts = [part for part in circuit.parts if part.id in layout.holes]
    new = [p for p in parts if p.id in new_parts]
    if new_parts or new_wires:
        lines = [placed_words(part, layout) for part in new]
        lines += [_wire(layout, index) for index in sorted(new_wires)]
        bits.append(f"New in this step: {'; '.join(lines)}.")
    rest = [placed_words(part, layout) for part in parts if part.id not in new_parts]
    rest += [_wire(layout, index) for index in range(len(layout.wires)) if index not in new_wires]
    if rest:
        bits.append(f"{'Already there' if new_parts or new_wires else 'On it'}: {'; '.join(rest)}.")
    return " ".join(bits)


def tilted_words(circuit: Circuit, layout: Layout) -> str:
    """How high what stands on the board is, highest first, and the same board in words."""
    parts = [p for p in circuit.parts if p.id in layout.holes and p.type.body.kind != "off-board"]
    tall = sorted(parts, key=lambda p: -(p.type.body.height + look_of(p.type).stand))
    highs = [f"{p.id} {round(p.type.body.height + look_of(p.type).stand)} mm" for p in tall]
    size = layout.board.name.split("-")[0]
    said = f"Breadboard with {size} tie-points, seen from above and aside."
    return f"{said} Heights above the board: {listed(highs)}." if highs else said


def leg_words(part: Part) -> tuple[str, ...]:
    """For each leg the sign or word that tells it from the others; '' where it does not matter.

    '+' and '−', 'anode', 'pin 1'; a contact's number where several legs belong to one contact.
    """
    out = []
    several = len(part.type.leg_terminals) > len(part.type.terminals)
    for name in part.type.leg_terminals:
        terminal = part.type.terminal(name)
        if part.type.body.shape == "dip":
            out.append("pin 1" if terminal.number == "1" else "")
        elif part.type.polarised:
            out.append({"positive": "+", "negative": "−"}.get(terminal.role, terminal.title))
        else:
            out.append(terminal.name if several else "")
    return tuple(out)


def placed_words(part: Part, layout: Layout) -> str:
    """The part with its holes: 'C1 (electrolytic capacitor, 10 µF) plus lead in j14, minus lead in j15'."""
    holes = layout.holes[part.id]
    legs = part.type.leg_names
    if part.type.swappable and len(holes) == 2:
        where = f"from {holes[0]} to {holes[1]}"
    elif len(holes) > 4 and part.type.body.straddles:
        where = f"across the trench, pin 1 in {holes[0]}, last pin in {holes[-1]}"
    else:
        where = ", ".join(f"{leg} in {hole}" for leg, hole in zip(legs, holes, strict=False))
    return f"{part_words(part)} {where}"


def _wire(layout: Layout, index: int) -> str:
    wire = layout.wires[index]
    return f"{wire.colour} wire from {wire.start} to {wire.end}"


def waves_words(run: Run, names: Sequence[str], nets: Sequence[str], start: float, end: float) -> str:
    """What rises when: each curve's range and rises, each light's and button's times."""
    bits = [f"Waveforms from {_time(start)} to {_time(end)}."]
    inside = (run.times >= start) & (run.times <= end)
    for name in names:
        if name in nets:
            times, values = run.times[inside], run.voltage(name)[inside]
            if values.size < 2:
                continue
            low, high = float(values.min()), float(values.max())
            if high - low < 0.05:
                bits.append(f"{name} stays at {format_quantity(round(high, 3), 'V', 2)}.")
                continue
            rises = crossings(times, values, (low + high) / 2)
            least, most = (format_quantity(round(v, 3), "V", 2) for v in (low, high))
            said = f"{name} moves between {least} and {most}"
            bits.append(f"{said}, rising {_when(rises)}." if rises else f"{said}.")
        else:
            part = run.circuit.by_id[name]
            spans = [(a, b) for a, b in intervals(run, name) if b > start and a < end]
            verb = {**SHOWING, "button": "pressed"}.get(part.type.family, "thrown")
            if not spans:
                bits.append(f"{name} is never {verb}.")
            else:
                a, b = spans[0]
                more = f", {len(spans)} times in all" if len(spans) > 1 else ""
                bits.append(f"{name} is {verb} from {_time(max(a, start))} to {_time(min(b, end))}{more}.")
    return " ".join(bits)


def _time(seconds: float) -> str:
    return format_quantity(seconds, "s", 3)


def _when(times: Sequence[float], most: int = 3) -> str:
    said = [_time(t) for t in times[:most]]
    if len(times) > most:
        return f"at {', '.join(said)} and {len(times) - most} more times"
    return f"at {listed(said)}"


BAND_KEY = "Pale band: {count} boards with parts anywhere within their limits (seed {seed})"
CYCLE_KEY = "Pale band: one cycle of {count} boards with parts anywhere within their limits (seed {seed})"
REAL_KEY = "with real parts, simulated"
IDEAL_KEY = "by the formula, with ideal parts"
BESIDE = "{title}: {ideal} by the formula, {real} with real parts: {difference}."


def ideal_words(ideal: Ideal) -> str:
    """A duration by the formula beside that of real parts, and the difference in per cent."""
    more = "longer" if ideal.off > 0 else "shorter"
    difference = f"{percent(ideal.off)} {more}" if abs(ideal.off) >= 0.005 else "less than 0.5 % apart"
    title = ideal.title[:1].upper() + ideal.title[1:]
    return BESIDE.format(title=title, ideal=_time(ideal.ideal), real=_time(ideal.real), difference=difference)


def terminal_words(terminal: Terminal) -> str:
    """The name of a terminal with its pin number: '1 GND'; '+' and '-' as they are printed."""
    name = terminal.name[:-1] + "−" if terminal.name.endswith("-") else terminal.name
    if terminal.number and terminal.number != terminal.name:
        return f"{terminal.number} {name}"
    if terminal.role in ("anode", "cathode"):
        return terminal.title
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
            return f"× {10**power:,.0f}".replace(",", " ") if power >= 0 else f"× {10.0**power:g}"
        return f"× {10 ** (power - 6)} million"
    if index == figures + 1:
        return f"± {read_bands(bands).tolerance * 100:g} %"
    return "drift"


def card_words(part: Part) -> str:
    """The part by itself in words: marking, legs, polarity."""
    noun = part.type.title[0].upper() + part.type.title[1:]
    value = value_of(part)
    bits = [f"{noun}{', ' + value if value else ''}."]
    bands = bands_on(part)
    if bands:
        bits.append(f"Colour bands from the reading end: {listed(bands)}.")
    elif marking_of(part) and part.type.body.shape != "buzzer":
        bits.append(f"It bears the print {marking_of(part)}.")
    shape = part.type.body.shape
    if shape == "dome":
        bits.append("The long lead is the anode; the short one, at the flat side of the rim, is the cathode.")
    elif shape == "can":
        bits.append("The long lead is plus; the short lead, at the light stripe, is minus.")
    elif shape == "to92":
        legs = listed(part.type.leg_terminals)
        bits.append(f"With the flat face towards you the legs are, from left to right, {legs}.")
    elif shape == "dip":
        pins = listed([terminal_words(part.type.terminal(name)) for name in part.type.leg_terminals])
        bits.append(f"Pins counted from the notch, anticlockwise seen from above: {pins}.")
    elif part.type.polarised and shape == "cylinder":
        bits.append("The ring marks the cathode.")
    return " ".join(bits)
