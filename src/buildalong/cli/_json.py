"""The JSON documents of the commands, all of the form described in docs/json.md."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from buildalong.engine import Run
    from buildalong.finding import Finding
    from buildalong.lesson import Compiled
    from buildalong.publish import CourseMade
    from buildalong.quantity import Quantity

__all__ = [
    "SCHEMA",
    "check_document",
    "course_document",
    "finding_object",
    "findings_document",
    "layout_document",
    "netlist_document",
    "number",
    "publish_document",
    "quantity_object",
    "simulate_document",
    "write",
]

SCHEMA = 1
"""Number of the present form; a document that old readers would misread gets the next one."""


def write(document: Mapping[str, Any]) -> str:
    """Write a document; keys keep their order, so equal input gives equal bytes."""
    return json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False)


def number(value: float) -> float | None:
    """A number as JSON can hold it, without the noise of the last bits."""
    return float(f"{value:.9g}") if math.isfinite(value) else None


def quantity_object(quantity: Quantity) -> dict[str, Any]:
    """A quantity as an object."""
    return {"value": number(quantity.value), "unit": quantity.unit}


def finding_object(finding: Finding) -> dict[str, Any]:
    """A finding as an object."""
    place = finding.place
    return {
        "severity": finding.severity.name.lower(),
        "code": finding.code,
        "message": finding.message,
        "file": place.file if place else "",
        "line": place.line if place else 0,
        "column": place.column if place else 0,
        "hint": finding.hint,
        "about": list(finding.about),
    }


def findings_document(findings: Sequence[Finding]) -> dict[str, Any]:
    """What is printed where the input could not be read, or a command has no more to say."""
    return {"schema": SCHEMA, "findings": [finding_object(finding) for finding in findings]}


def check_document(compiled: Compiled) -> dict[str, Any]:
    """Findings, figures and promises."""
    return {
        **findings_document(compiled.findings),
        "lesson": compiled.lesson.title,
        "figures": {name: quantity_object(figure.quantity) for name, figure in compiled.figures.items()},
        "promises": [
            {
                "that": str(result.promise.that),
                "trial": result.promise.trial,
                "expected": quantity_object(result.promise.expected),
                "low": number(result.promise.limits[0]),
                "high": number(result.promise.limits[1]),
                "measured": quantity_object(result.measured) if result.measured is not None else None,
                "ok": result.ok,
            }
            for result in compiled.promises
        ],
    }


def simulate_document(
    run: Run, causes: Sequence[str], measures: Mapping[str, Quantity], findings: Sequence[Finding]
) -> dict[str, Any]:
    """One run: its events with their causes in words, measures, extremes of each part, and damages."""
    from buildalong.engine import damages

    events = [
        {
            "time": number(event.time),
            "kind": event.kind,
            "part": event.part,
            "what": event.what,
            "before": event.before,
            "after": event.after,
            "because": event.because,
            "cause": cause,
        }
        for event, cause in zip(run.events, causes, strict=True)
    ]
    return {
        "schema": SCHEMA,
        "trial": run.trial.name,
        "lasts": number(run.trial.lasts),
        "events": events,
        "measures": {name: quantity_object(quantity) for name, quantity in measures.items()},
        "extremes": {
            part: {
                "voltage": number(extremes.voltage),
                "current": number(extremes.current),
                "reverse": number(extremes.reverse),
                "power": number(extremes.power),
                "mean_power": number(extremes.mean_power),
                "energy": number(extremes.energy),
            }
            for part, extremes in run.extremes.items()
        },
        "damages": [
            {
                "part": damage.part,
                "grade": damage.grade,
                "code": damage.code,
                "value": number(damage.value),
                "limit": number(damage.limit),
                "unit": damage.unit,
            }
            for damage in damages(run)
        ],
        "undetermined": list(run.undetermined),
        "findings": [finding_object(finding) for finding in findings],
    }


def layout_document(compiled: Compiled) -> dict[str, Any]:
    """The board: holes of each part in terminal order, wires, and whether it makes the circuit."""
    from buildalong.board import equal, point_name, read_back

    placement = compiled.placement
    if placement is None:
        return findings_document(compiled.findings)
    layout = placement.layout
    made = read_back(compiled.circuit.parts, layout)
    return {
        "schema": SCHEMA,
        "board": layout.board.name,
        "parts": {
            part.id: [
                hole
                for terminal in part.type.terminals
                for leg, hole in zip(part.type.leg_terminals, layout.holes[part.id], strict=True)
                if leg == terminal.name
            ]
            for part in compiled.circuit.parts
            if part.id in layout.holes
        },
        "wires": [
            {
                "holes": [wire.start, wire.end],
                "path": [point_name(layout.board, point) for point in wire.path],
                "colour": wire.colour,
                "style": wire.style,
                "net": wire.net,
            }
            for wire in layout.wires
        ],
        "wire_count": len(layout.wires),
        "lower_bound": placement.lower_bound,
        "proved": placement.proved,
        "readback_equal": equal(compiled.circuit, made),
        "findings": [finding_object(finding) for finding in compiled.findings],
    }


def netlist_document(text: str, findings: Sequence[Finding]) -> dict[str, Any]:
    """The netlist as one text."""
    return {"schema": SCHEMA, "netlist": text, "findings": [finding_object(finding) for finding in findings]}


def publish_document(
    output: str, files: Sequence[str], changed: Sequence[str], findings: Sequence[Finding]
) -> dict[str, Any]:
    """Where the lesson pack was written, its files, and which of them are other than before."""
    return {
        "schema": SCHEMA,
        "output": output,
        "files": list(files),
        "changed": list(changed),
        "findings": [finding_object(finding) for finding in findings],
    }


def course_document(course: CourseMade, output: str) -> dict[str, Any]:
    """Where a course was published, its files, and each lesson with its findings."""
    return {
        "schema": SCHEMA,
        "output": output,
        "title": course.course.title,
        "files": list(course.pack.files),
        "changed": list(course.pack.changed),
        "lessons": [
            {
                "folder": made.lesson.name,
                "date": made.lesson.date or None,
                "title": made.published.card.title if made.published is not None else None,
                "published": made.published is not None,
                "findings": [finding_object(finding) for finding in made.findings],
            }
            for made in course.lessons
        ],
        "findings": [finding_object(finding) for finding in course.findings],
    }
