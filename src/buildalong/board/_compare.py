"""How a built circuit differs from the wanted one, in sentences that a teacher can act on."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from itertools import product

from buildalong.board._layout import Layout
from buildalong.board._misfit import Built, Case, Misfit
from buildalong.board._readback import equal
from buildalong.board._repairs import Repair, repaired
from buildalong.board._sentences import HINT, SAY
from buildalong.board._words import hole_words, pin_words, strip_words
from buildalong.circuit import Circuit, Part
from buildalong.finding import Finding, Severity
from buildalong.words import capital, listed, plainly

__all__ = ["compare"]

_MOST_PLACES = 2


@plainly()
def compare(wanted: Circuit, real: Circuit, layout: Layout) -> list[Finding]:
    """Explain by the fewest slips how the board differs from the wanted circuit; empty where it is right.

    ``real`` is what read_back gives for the layout.  Every finding is an error.
    """
    if equal(wanted, real):
        return []
    return list(_Explanation(wanted, real, layout).findings())


class _Explanation:
    """The words for one comparison."""

    def __init__(self, wanted: Circuit, real: Circuit, layout: Layout) -> None:
        self.wanted, self.real, self.layout = wanted, real, layout
        self.case = Case(layout.board, wanted, frozenset(wanted.by_id) - frozenset(real.by_id))
        self.used = {hole for hole, _ in layout.used()}

    def findings(self) -> Iterator[Finding]:
        """Give all findings: dangers first, then what is missing, then slips."""
        yield from self._shorts()
        yield from self._absent()
        steps, built, nets, left = repaired(self.case, Built.of(self.case.parts, self.layout))
        yield from self._loose(nets)
        for repair, then in steps:
            yield self._repair(repair, then)
        yield from self._leads(built, nets, left)
        for index in left.wires:
            yield self._wrong_wire(index, built, nets)
        for net, groups in left.gaps.items():
            for group in groups[1:]:
                yield self._gap(net, groups[0], group, built)

    def _say(self, code: str, hint: str, about: Iterable[str], **gaps: str) -> Finding:
        text = SAY[code].format_map(gaps)
        cure = HINT[hint].format_map(gaps) if hint else ""
        return Finding(Severity.ERROR, code, capital(text), cure, about=tuple(about))

    # --- what is there, what is not ---

    def _shorts(self) -> Iterator[Finding]:
        for part in self.real.parts:
            if part.type.family == "supply" and None is not part.nets[0] == part.nets[1]:
                yield self._say("supply-shorted", "supply-shorted", (part.id,))

    def _absent(self) -> Iterator[Finding]:
        for part in self.wanted.parts:
            if part.id in self.case.missing:
                nets = list(dict.fromkeys(net for net in part.nets if net is not None))
                code = "part-missing" if len(nets) > 1 else "part-missing-one"
                yield self._say(
                    code, "part-missing", (part.id,), part=part.id, noun=part.type.noun, nets=listed(nets)
                )
        for part in self.real.parts:
            if part.id not in self.wanted.by_id:
                yield self._say("part-extra", "part-extra", (part.id,), part=part.id)

    def _loose(self, nets: Mapping[str, str]) -> Iterator[Finding]:
        for part in self.case.parts:
            holes = self.layout.holes[part.id]
            for leg, terminal in enumerate(part.type.leg_terminals):
                net = part.net(terminal)
                if net is not None and (leg >= len(holes) or holes[leg] not in self.layout.board.holes):
                    near = next((hole for hole in holes if hole in self.layout.board.holes), "a1")
                    places = self._places(net, nets, self.layout.board.strip_of[near])
                    lead = self._lead(part, leg)
                    yield self._say(
                        "lead-in-no-hole", "lead-in-no-hole", (part.id,), lead=lead, net=net, places=places
                    )

    # --- slips undone ---

    def _repair(self, repair: Repair, nets: Mapping[str, str]) -> Finding:
        if repair.part:
            return self._part_repair(repair, nets)
        if repair.kind == "wires-swapped":
            one, other = repair.wires
            a, b, c, d = (strip_words(str(strip)) for strip in repair.after)
            return self._say(
                "wires-swapped", "wires-swapped", (f"wire {one + 1}", f"wire {other + 1}"),
                wire=self._wire(one), second=self._wire(other), a=a, b=b, c=c, d=d,
            )  # fmt: skip
        (index,) = repair.wires
        here, there = str(repair.before[repair.end]), str(repair.after[repair.end])
        code = {"off": "wire-one-row-off", "across": "wire-across", "rail": "wire-in-wrong-rail"}.get(
            _kind_of_slip(here, there), "wire-in-wrong-half"
        )
        if repair.kind == "wire-end":
            code = "wire-end-wrong"
        return self._say(
            code, "wire-move", (f"wire {index + 1}", here, there),
            wire=self._wire(index), here=strip_words(here), there=strip_words(there),
            net=self._net(nets[there]),
        )  # fmt: skip

    def _part_repair(self, repair: Repair, nets: Mapping[str, str]) -> Finding:
        part = self.wanted.by_id[repair.part]
        gaps = {"part": part.id, "noun": part.type.noun}
        if repair.kind == "lead-off":
            return self._lead_repair(part, repair, nets)
        changed = next(
            i for i, pair in enumerate(zip(repair.before, repair.after, strict=True)) if pair[0] != pair[1]
        )
        here, there = str(repair.before[changed]), str(repair.after[changed])
        gaps |= {"lead": self._lead(part, changed), "here": strip_words(here), "there": strip_words(there)}
        if repair.kind == "reversed":
            gaps |= {"net": self._net(nets[there]), "other": self._net(nets.get(here, ""))}
            return self._say("part-reversed", "part-reversed", (part.id,), **gaps)
        if repair.kind == "turned" and part.type.body.shape == "tact":
            one, other = (str(repair.before[i]) for i in (0, 1))
            gaps |= {"here": strip_words(one), "there": strip_words(other)}
            return self._say("button-turned", "button-turned", (part.id, one, other), **gaps)
        if repair.kind == "turned":
            return self._say("part-turned", "part-turned", (part.id,), **gaps)
        if repair.kind == "legs-crossed":
            titles = [part.type.terminal(t).title for t in part.type.leg_terminals]
            order = sorted(range(len(titles)), key=lambda i: self.case.rank(str(repair.after[i])))
            gaps |= {
                "first": strip_words(str(repair.after[order[0]])),
                "order": listed([titles[i] for i in order]),
            }
            return self._say("legs-crossed", "legs-crossed", (part.id,), **gaps)
        rows = "one row" if abs(repair.shift) == 1 else f"{abs(repair.shift)} rows"
        way = "down" if repair.shift < 0 else "up"
        return self._say("part-shifted", "part-shifted", (part.id,), **gaps, rows=rows, way=way)

    def _lead_repair(self, part: Part, repair: Repair, nets: Mapping[str, str]) -> Finding:
        here, there = str(repair.before[repair.leg]), str(repair.after[repair.leg])
        net, hole = nets[there], self.layout.holes[part.id][repair.leg]
        if self._both(part, repair.before):
            return self._say(
                "both-leads-in-one-strip", "move", (part.id, here),
                part=part.id, here=strip_words(here), net=self._net(net),
                places=self._places(net, nets, here),
            )  # fmt: skip
        slip = _kind_of_slip(here, there)
        code = {"off": "lead-one-row-off", "across": "lead-across", "rail": "lead-in-wrong-rail"}.get(
            slip, "lead-in-wrong-half"
        )
        state = f", which belongs to {self._net(nets[here])}" if here in nets else ", where nothing else is"
        ends = [f"wire {i + 1}" for i, wire in enumerate(repair.built.wires) for end in wire if end == there]
        filled = [name for name, strips in repair.built.legs.items() for strip in strips if strip == there]
        either = len(ends) == 1 and filled == [part.id] and here not in nets
        return self._say(
            code, "move-either" if either else "move", (part.id, here, there),
            lead=self._lead(part, repair.leg), here=strip_words(here), there=strip_words(there),
            state=state, net=self._net(net), wire=ends[0] if ends else "",
            places=self._free([there], hole) or strip_words(there),
        )  # fmt: skip

    # --- what is left ---

    def _wrong_wire(self, index: int, built: Built, nets: Mapping[str, str]) -> Finding:
        start, end = (str(strip) for strip in built.wires[index])
        about = (f"wire {index + 1}", start, end)
        if nets[start].startswith("~"):
            start, end = end, start
        gaps = {"wire": self._wire(index), "here": strip_words(start), "there": strip_words(end)}
        gaps |= {"net": self._net(nets[start]), "other": self._net(nets[end])}
        if nets[end].startswith("~"):
            part, _, terminal = nets[end][1:].partition(".")
            gaps["lead"] = pin_words(self.wanted.by_id[part], terminal)
            return self._say("wire-to-open", "wire-joins-nets", about, **gaps)
        return self._say("wire-joins-nets", "wire-joins-nets", about, **gaps)

    def _leads(self, built: Built, nets: Mapping[str, str], left: Misfit) -> Iterator[Finding]:
        together: dict[tuple[str, str], list[tuple[Part, int]]] = {}
        for name, leg, net in left.leads:
            part, here = self.wanted.by_id[name], str(built.legs[name][leg])
            together.setdefault((here, net), []).append((part, leg))
        for (here, net), leads in together.items():
            about = (*dict.fromkeys(part.id for part, _ in leads), here)
            gaps = {
                "here": strip_words(here), "net": self._net(net), "other": self._net(nets.get(here, "")),
                "places": self._places(net, nets, here), "part": leads[0][0].id,
                "lead": self._lead(*leads[0]),
                "leads": listed([self._lead(*lead) for lead in leads]),
            }  # fmt: skip
            if net.startswith("~"):
                yield self._say("lead-not-alone", "move-free", about, **gaps)
            elif len(leads) > 1:
                yield self._say("nets-joined", "move-leads", about, **gaps)
            elif self._both(leads[0][0], built.legs[leads[0][0].id]):
                yield self._say("both-leads-in-one-strip", "move", about, **gaps)
            else:
                yield self._say("lead-on-wrong-net", "move", about, **gaps)

    def _gap(self, net: str, main: list[str], group: list[str], built: Built) -> Finding:
        rail = next((strip for strip in group if strip[:1] in "LR"), None)
        rails = [strip for strip in main if strip[:1] in "LR"]
        here, there = self._nearest([rail] if rail and rails else group, rails or main)
        start, end = self._free([here], there), self._free([there], here)
        gaps = {
            "here": strip_words(here), "there": strip_words(there), "net": self._net(net),
            "start": start or strip_words(here), "end": end or strip_words(there),
        }  # fmt: skip
        about = (here, there)
        if rail is not None:
            half = next((strip for strip in main if strip[:2] == rail[:2]), None)
            gaps["Rail"] = strip_words(rail)
            if half is not None:
                gaps |= {"Rail": strip_words(rail[:2]), "here": rail[3:], "there": half[3:]}
                gaps |= {"start": self._free([rail], half), "end": self._free([half], rail)}
                return self._say("rail-split", "wire-missing", (rail, half), **gaps)
            return self._say("rail-not-fed", "wire-missing", about, **gaps)
        leads = [
            (self.wanted.by_id[name], leg)
            for name, strips in built.legs.items()
            for leg, strip in enumerate(strips)
            if strip in group
        ]
        if len(leads) == 1 and len(group) == 1:
            return self._say(
                "lead-alone", "wire-missing", (leads[0][0].id, *about), **gaps, lead=self._lead(*leads[0])
            )
        return self._say("wire-missing", "wire-missing", about, **gaps)

    # --- words and places ---

    def _lead(self, part: Part, leg: int) -> str:
        terminals = part.type.leg_terminals
        if terminals.count(terminals[leg]) > 1:
            return f"{part.id}'s leg"
        return pin_words(part, terminals[leg])

    def _wire(self, index: int) -> str:
        wire = self.layout.wires[index]
        return f"wire {index + 1} ({wire.start} to {wire.end})"

    @staticmethod
    def _net(net: str) -> str:
        return "nothing" if not net or net.startswith("~") else net

    @staticmethod
    def _both(part: Part, strips: tuple[str | None, ...]) -> bool:
        return len(strips) == 2 and strips[0] == strips[1] and part.type.body.kind != "off-board"

    def _places(self, net: str, nets: Mapping[str, str], near: str) -> str:
        """Strips that carry a net and have a free hole, nearest first."""
        strips = [strip for strip, carried in nets.items() if carried == net and strip != near]
        strips = [strip for strip in strips if self._free([strip], near)]
        strips.sort(key=lambda strip: (self._gap_mm(strip, near), self.case.rank(strip)))
        return (
            " or ".join(strip_words(s) for s in strips[:_MOST_PLACES])
            or f"a free row, joined to {net} by a wire"
        )

    def _free(self, strips: list[str], near: str) -> str:
        """The free hole of the strips nearest to a hole or a strip, in words; '' where all are taken."""
        holes = self.layout.board.holes
        free = [hole for strip in strips for hole in self.layout.board.strips[strip] if hole not in self.used]
        goal = [holes[hole] for hole in self.layout.board.strips.get(near, (near,))]
        if not free:
            return ""
        return hole_words(min(free, key=lambda hole: min(math.dist(holes[hole], place) for place in goal)))

    def _nearest(self, one: list[str], other: list[str]) -> tuple[str, str]:
        """The two strips, one of each group, that lie nearest; strips with a free hole before others."""

        def key(pair: tuple[str, str]) -> tuple[float, ...]:
            full = sum(not self._free([strip], strip) for strip in pair)
            return (full, self._gap_mm(*pair), *(self.case.rank(strip) for strip in pair))

        return min(product(one, other), key=key)

    def _gap_mm(self, one: str, other: str) -> float:
        holes, strips = self.layout.board.holes, self.layout.board.strips
        return min(math.dist(holes[a], holes[b]) for a in strips[one] for b in strips[other])


def _kind_of_slip(here: str, there: str) -> str:
    """'off' a row, 'across' the trench, wrong 'rail' or wrong 'half' of a rail."""
    if here[:1] in "LR" and there[:1] in "LR":
        return "half" if here[:2] == there[:2] else "rail"
    if here[:1] in "LR" or there[:1] in "LR":
        return "rail"
    return "across" if here[-1] != there[-1] else "off"
