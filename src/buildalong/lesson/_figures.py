"""Figures: every number that a lesson's words may use, by the name an author writes between braces."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING

from buildalong.circuit import Circuit, supply_voltages
from buildalong.finding import Finding, Place, Severity
from buildalong.lesson._expression import Expression, ExpressionError, read_expression
from buildalong.lesson._lesson import Figure, Lesson, PromiseResult
from buildalong.lesson._never import in_its_words, swapped_leads
from buildalong.lesson._validate import nearest
from buildalong.quantity import Quantity, QuantityError, format_quantity, parse, parse_as

if TYPE_CHECKING:
    from buildalong.design import SheetEntry
    from buildalong.engine import Run

__all__ = ["STATIC", "Figures"]

STATIC = {
    "value": "value(R1): the value of a part",
    "tolerance": "tolerance(R1): its tolerance",
    "rating": "rating(U1, supply_max): what the part stands, by the names of the catalogue",
    "figure": "figure(U1, supply_current_low): any other figure of the catalogue",
    "supply": "supply(): the nominal voltage of the supply",
    "lasts": "lasts(): how long the trial runs",
}
"""Figures that need no simulation, each with an example and its meaning."""


_WINDOW = "on_time(DS1), or with two times on_time(DS1, 2 s, 8 s)"


class Figures:
    """The figures of one lesson; ``known`` grows with those that the words ask for."""

    def __init__(
        self, lesson: Lesson, circuit: Circuit, runs: Mapping[str, Run], sheet: Sequence[SheetEntry]
    ) -> None:
        self.lesson, self.circuit, self.runs, self.sheet = lesson, circuit, runs, sheet
        self.known: dict[str, Figure] = {}
        self._parts()
        self._facts()
        self._formulas()
        self._measures()

    @property
    def _unknown(self) -> str:
        """A figure that is not there; where nothing could be simulated, mending the circuit may bring it."""
        return "unknown-figure" if self.runs else "not-simulated"

    # -- what stands without asking ---------------------------------------------------------------

    def add(self, name: str, quantity: Quantity, words: str, kind: str, trial: str = "") -> None:
        """Take a figure in, unless one of that name is there."""
        self.known.setdefault(name, Figure(quantity, words, kind, trial))  # type: ignore[arg-type]

    def _parts(self) -> None:
        for part in self.circuit.parts:
            rule = part.type.value
            if rule is not None and part.value is not None:
                self.add(f"value({part.id})", Quantity(part.value, rule.unit), f"value of {part.id}", "value")
                if part.tolerance is not None:
                    ratio = Quantity(part.tolerance)
                    self.add(f"tolerance({part.id})", ratio, f"tolerance of {part.id}", "value")
            for name, setting in part.settings:
                unit = part.type.settings[name].unit if name in part.type.settings else ""
                if name != "count":
                    self.add(f"{name}({part.id})", Quantity(setting, unit), f"{name} of {part.id}", "value")
            for name, figure in part.type.ratings.items():
                for end, text in (("", None), (" least", figure.min), (" most", figure.max)):
                    quantity = figure.quantity if text is None else parse(text)
                    words = f"{name.replace('_', ' ')} of {part.id}"
                    self.add(f"rating({part.id}, {name}){end}", quantity, words, "rating")

    def _facts(self) -> None:
        supply = next((p for p in self.circuit.parts if p.type.family == "supply"), None)
        if supply is not None and "voltage" in supply.type.figures:
            end, nominal, fresh = supply_voltages(supply)
            self.add("0 V", Quantity(0.0, "V"), "the supply's minus, from which voltages count", "supply")
            self.add("supply()", Quantity(nominal, "V"), "nominal voltage of the supply", "supply")
            cell = supply.type.figures["voltage"].quantity
            self.add("supply cell", cell, "voltage of one cell", "supply")
            self.add("supply fresh", Quantity(fresh, "V"), "voltage of the fresh supply", "supply")
            self.add("supply spent", Quantity(end, "V"), "voltage of the spent supply", "supply")
        for trial in self.lesson.trials:
            name = f'lasts() in "{trial.name}"'
            self.add(name, Quantity(trial.lasts, "s"), f"length of the trial '{trial.name}'", "trial")
            pressed: dict[str, float] = {}
            for number, action in enumerate(trial.actions, start=1):
                at = f"action {number} of '{trial.name}'"
                self.add(at, Quantity(action.time, "s"), f"{action.part} in the trial", "trial")
                if action.ramp:
                    self.add(f"{at}, end", Quantity(action.time + action.ramp, "s"), at, "trial")
                    self.add(f"{at}, duration", Quantity(action.ramp, "s"), at, "trial")
                if action.setting == "pressed":
                    if action.value:
                        pressed[action.part] = action.time
                    elif action.part in pressed:
                        length = round(action.time - pressed.pop(action.part), 9)
                        self.add(f"{at}, press", Quantity(length, "s"), f"press of {action.part}", "trial")
                else:
                    unit = {"light": "lx"}.get(action.setting, "")
                    self.add(f"{at}, {action.setting}", Quantity(action.value, unit), at, "trial")
        if self.lesson.time:
            with suppress(QuantityError):
                self.add("time", parse(self.lesson.time), "how long building takes", "lesson")
        for number, promise in enumerate(self.lesson.promises, start=1):
            unit = promise.expected.unit if promise.absolute else ""
            self.add(f"promise {number}, within", Quantity(promise.tolerance, unit), "tolerance", "lesson")

    def _formulas(self) -> None:
        for entry in self.sheet:
            self.add(f"ideal {entry.name}", entry.result, entry.title, "formula")

    def _measures(self) -> None:
        """What people ask first: the formulas' measures, the lamps, how far each net's voltage goes."""
        wanted = [
            Expression(entry.measure[0], tuple(entry.measure[1:])) for entry in self.sheet if entry.measure
        ]
        if not self.runs:
            return
        for part in self.circuit.parts:
            if part.type.family == "led":
                names = ("on_time", "off_time", "period", "frequency", "duty", "current", "max_current")
                wanted += [Expression(name, (part.id,)) for name in names]
        wanted += [
            Expression(name, (net,))
            for net in self.circuit.nets
            if net not in (self.circuit.ground,)
            for name in ("max_voltage", "min_voltage")
        ]
        for trial in self.runs:
            for expression in wanted:
                quantity = self.measured(expression, trial)
                if isinstance(quantity, Quantity):
                    self._take(expression, quantity, trial)

    def _take(self, expression: Expression, quantity: Quantity, trial: str) -> str:
        first = next(iter(self.runs), "")
        plain = str(Expression(expression.name, expression.arguments, ideal=expression.ideal))
        name = plain if trial == first else f'{plain} in "{trial}"'
        self.add(name, quantity, f"measured in the trial '{trial}'", "measure", trial)
        return name

    def add_promises(self, results: Sequence[PromiseResult]) -> None:
        """Let kept promises support words such as "about 0.5 s"."""
        for result in results:
            if result.measured is not None:
                trial = result.promise.trial or next(iter(self.runs), "")
                self._take(result.promise.that, result.measured, trial)
            if result.ok:
                name = f"promise of {result.promise.that}"
                self.add(name, result.promise.expected, "expected by a kept promise", "promise")

    # -- what is asked ----------------------------------------------------------------------------

    def value_of(self, part: str) -> Quantity | None:
        """The value of a part by its name, None where it has none."""
        found = self.known.get(f"value({part})")
        return found.quantity if found else None

    def ask(self, text: str, place: Place) -> tuple[str, str] | Finding:
        """Answer what an author wrote between double braces: (the number as shown, its name) or a Finding."""
        try:
            expression = read_expression(text)
        except ExpressionError as error:
            return Finding(Severity.ERROR, "figure-unreadable", str(error), "", place)
        answer = self.figure(expression)
        if isinstance(answer, Finding):
            return answer.at(place)
        name, quantity = answer
        figures = expression.figures or (2 if self.known[name].kind == "measure" else 3)
        shown = _shown(quantity, expression.unit, figures)
        if shown is None:
            message = f"{expression} is in {quantity.unit or '%'}, not in '{expression.unit}'"
            return Finding(Severity.ERROR, "figure-unreadable", message, "leave the unit out", place)
        return shown, name

    def figure(self, expression: Expression) -> tuple[str, Quantity] | Finding:
        """The figure that an expression names, with its name in ``known``; a Finding where there is none."""
        if expression.ideal:
            return self._ideal(expression)
        if expression.name in STATIC:
            return self._static(expression)
        expression = self._in_language(expression)
        trial = expression.trial or next(iter(self.runs), "")
        if expression.trial and expression.trial not in self.runs:
            names = [t.name for t in self.lesson.trials]
            near = nearest(expression.trial, names)
            hint = f"did you mean '{near}'?" if near else f"the trials are: {', '.join(names) or 'none'}"
            return _missing("unknown-trial", f"there is no trial '{expression.trial}'", hint)
        quantity = self.measured(expression, trial)
        if isinstance(quantity, Finding):
            return quantity
        return self._take(expression, quantity, trial), quantity

    def _ideal(self, expression: Expression) -> tuple[str, Quantity] | Finding:
        name = str(Expression(expression.name, expression.arguments, ideal=True))
        found = self.known.get(name)
        if found is not None:
            return name, found.quantity
        names = [known for known in self.known if known.startswith("ideal ")]
        near = nearest(name, names)
        hint = f"did you mean '{near}'?" if near else f"it has {', '.join(names) or 'none'}"
        return _missing(self._unknown, f"no formula of this circuit gives '{name}'", hint)

    def _static(self, expression: Expression) -> tuple[str, Quantity] | Finding:
        name, arguments = expression.name, expression.arguments
        if name == "supply" and not arguments and "supply()" in self.known:
            return "supply()", self.known["supply()"].quantity
        if name == "supply" and not arguments and not self.runs:
            return _missing("not-simulated", "the supply is not known", "")
        if name == "lasts" and not arguments:
            trial = self._in_language(expression).trial or next((t.name for t in self.lesson.trials), "")
            key = f'lasts() in "{trial}"'
            if key in self.known:
                return key, self.known[key].quantity
            return _missing("unknown-trial", f"there is no trial '{trial}'", "")
        part = self.circuit.by_id.get(arguments[0]) if arguments else None
        if part is None:
            return (
                self._no_part(arguments[0])
                if arguments
                else _missing("figure-unreadable", f"'{expression}' names no part", f"write {STATIC[name]}")
            )
        if name in ("value", "tolerance") and len(arguments) == 1:
            key = f"{name}({part.id})"
            if key in self.known:
                return key, self.known[key].quantity
            return _missing(self._unknown, f"{part.id} ({part.type.noun}) has no {name}", "")
        table = part.type.ratings if name == "rating" else part.type.figures
        if name in ("rating", "figure") and len(arguments) == 2:
            if arguments[1] in table:
                key = f"{name}({part.id}, {arguments[1]})"
                quantity = table[arguments[1]].quantity
                self.add(key, quantity, f"{arguments[1].replace('_', ' ')} of {part.id}", "rating")
                return key, quantity
            near = nearest(arguments[1], list(table))
            hint = f"did you mean '{near}'?" if near else f"it has {', '.join(table) or 'none'}"
            return _missing("unknown-figure", f"{part.id} has no {name} '{arguments[1]}'", hint)
        return _missing("figure-unreadable", f"'{expression}' is not complete", f"write {STATIC[name]}")

    @staticmethod
    def is_static(expression: Expression) -> bool:
        """Whether a figure needs no simulation."""
        return expression.name in STATIC

    def _in_language(self, expression: Expression) -> Expression:
        """An expression that may name a trial as the author wrote it, in the language of the lesson."""
        name = self.lesson.trial_names.get(expression.trial, expression.trial)
        return replace(expression, trial=name)

    def measured(self, expression: Expression, trial: str) -> Quantity | Finding:
        """Measure in the run of a trial; a Finding where that cannot be measured."""
        run = self.runs.get(trial)
        if run is None:
            return _missing("not-simulated", f"nothing was simulated, so there is no {expression}", "")
        return self.measured_in(expression, run)

    def measured_in(self, expression: Expression, run: Run) -> Quantity | Finding:
        """Measure in a run; a Finding where that cannot be measured."""
        from buildalong.engine import MeasureError, NeverHappened, UnknownMeasure, measure

        window: list[float] = []
        for text in expression.arguments[1:]:
            try:
                window.append(parse_as(text, "s"))
            except QuantityError as error:
                return _missing("figure-unreadable", f"{expression}: {error}", f"write {_WINDOW}")
        target = expression.arguments[0] if expression.arguments else ""
        try:
            return measure(run, expression.name, target, *window)
        except UnknownMeasure as error:
            if error.nearest:
                hint = f"did you mean {' or '.join(error.nearest)}?"
            else:
                hint = "the lesson reference lists all figures"
            return _missing("unknown-figure", str(error), hint)
        except NeverHappened as error:
            part = target.partition(".")[0]
            said = in_its_words(self.circuit, part, str(error))
            hint = swapped_leads(run, part) or "measure something else, or change the trial"
            return _missing("never-happened", f"{expression}: {said}", hint)
        except MeasureError as error:
            return _missing("figure-unreadable", f"{expression}: {error}", f"write {_WINDOW}")

    def _no_part(self, name: str) -> Finding:
        names = [part.id for part in self.circuit.parts]
        near = nearest(name, names)
        hint = f"did you mean '{near}'?" if near else f"the parts are {', '.join(names)}"
        return _missing("unknown-part-in-figure", f"the circuit has no part '{name}'", hint)


def _shown(quantity: Quantity, unit: str, figures: int) -> str | None:
    """A figure as the reader sees it, with a no-break space; None where the unit does not fit."""
    if not unit:
        return format_quantity(quantity.value, quantity.unit or "%", figures, space="\u00a0")
    try:
        one = parse(f"1 {unit}")
    except QuantityError:
        return None
    if one.unit != quantity.unit:
        return None
    return f"{format_quantity(quantity.value / one.value, '', figures)}\u00a0{unit}"


def _missing(code: str, message: str, hint: str) -> Finding:
    return Finding(Severity.ERROR, code, message, hint)
