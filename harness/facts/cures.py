"""What mends a part that gets too few volts: each change is laid on the plan and solved again."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import partial
from itertools import islice
from typing import TYPE_CHECKING, Any

from harness.base.data import dataclass, replace
from harness.base.near import spoken
from harness.base.refusal import CURE_WORK
from harness.base.units import VOLTAGE, WireSize, format_quantity, parse_wire
from harness.facts.airframe import measured_runs
from harness.facts.supplied import beyond
from harness.facts.volts import Low, low_parts, sags, volts_wanted
from harness.parts.contacts import Port
from harness.parts.figure import from_catalogue
from harness.parts.join import Join
from harness.parts.part import Part
from harness.wiring.build import Wiring, with_parts
from harness.wiring.fact import fact
from harness.wiring.ratings import connector_of

if TYPE_CHECKING:
    from harness.electrics.drops import Eater

TRIES = 6
"""Lengths tried, and volts: each a solution of the whole plan."""
SPARE = 1.03
"""The lengths begin a little below what the drop's share alone would allow."""
STEP_MM, STEP_V = 10, 0.1
AT_ONCE = 12
"""Wires that are thickened together: nobody exchanges more for one part's sake."""


@dataclass(frozen=True, slots=True)
class Cure:
    """A change of the plan: in a builder's words, and the parts as they are then."""

    words: str
    parts: tuple[Part, ...]


def changed(part: Part, **keys: Any) -> Part:
    """Return a part with other values of some keys, by their attributes."""
    return replace(part, **keys)


def wire_word(part: Part, port: str, word: str) -> str:
    """Return the attribute that states the gauge or length of a wire, "" without one.

    What came fitted is not cut, nor its wires changed.
    """
    if part.as_made:
        return ""
    own = part.has_key(f"lead-{word}") and port in {"plug", "telemetry"}
    key = f"lead-{word}" if own else word
    return key.replace("-", "_") if part.has_key(key) else ""


def takes(wiring: Wiring, port: Port, size: WireSize) -> bool:
    """Say whether the plugs on a wire take it when it is of some gauge."""
    same = (other for other in wiring.by_part[port.part.id] if other.form is port.form)
    kinds = {connector_of(other) for other in same} - {""}
    known = (from_catalogue(wiring.plan.catalogue, "plugs", kind, "wire-max") for kind in kinds)
    return all(most is None or size.area_mm2 <= most.number + 1e-9 for most in known)


def thicker(wiring: Wiring, port: Port, size: WireSize) -> Part | None:
    """Return the part of a plug or socket with a thicker wire there that its plugs still take."""
    old, word = port.wire.size, wire_word(port.part, port.name, "wire")
    if not word or old is None or size.area_mm2 <= old.area_mm2 + 1e-9:
        return None
    if not takes(wiring, port, size):
        return None
    return changed(port.part, **{word: size})


class CureTrial:
    """Tries changes for some parts with too few volts that share what eats them."""

    def __init__(self, wiring: Wiring, lows: Iterable[Low]) -> None:
        self.wiring, self.plan, self.lows = wiring, wiring.plan, tuple(lows)
        self.before = _short_of_volts(wiring)
        self.group = {low.part.id for low in self.lows}
        self.every = [*low_parts(wiring), *(sag.low for sag in sags(wiring))]
        self.tried: dict[tuple[str, ...], tuple[set[str], bool]] = {}
        self.cut = False

    def mends(self, change: Cure, *, all_on_it: bool) -> bool:
        """Say whether all of them then have enough, and nothing else is worse off.

        `all_on_it`: so has every other part that is short of volts and fed by way of what changes.
        """
        key = (change.words, *(part.id for part in change.parts))
        if key not in self.tried and not self._afforded():
            return False
        if key not in self.tried:
            self.tried[key] = self._solved(change)
        low, wanted = self.tried[key][0], set(self.group)
        for other in self.every if all_on_it else ():
            way = {other.way.source.id, *(eater.part.id for eater in other.way.eaters)}
            wanted |= {other.part.id} if way & {part.id for part in change.parts} else set()
        return not low & wanted and self.tried[key][1]

    def _solved(self, change: Cure) -> tuple[set[str], bool]:
        """Return what is short of volts with a change, and whether it mends the group alone."""
        after = with_parts(self.wiring, change.parts)
        low = _short_of_volts(after)
        return low, not low & self.group and low <= self.before and self._no_worse(after)

    def _afforded(self) -> bool:
        """Say whether the plan's work on cures allows one more solution, and take it off."""
        from harness.electrics.cases import cases_of  # with numpy, which a list of rules needs not

        left = _work_left(self.wiring)
        cost = len(self.wiring.links) * len(cases_of(self.plan))
        self.cut |= cost > left[0]
        left[0] -= 0 if self.cut else cost
        return not self.cut

    def _no_worse(self, after: Wiring) -> bool:
        much, short = ([_too_much(w), _too_short(w)] for w in (after, self.wiring))
        return all(new <= old for new, old in zip(much, short, strict=True))

    def cures(self, *, all_on_it: bool = True) -> list[str]:
        """Return what mends it, in words: the least changes first; nothing where nothing does."""
        self.enough = partial(self.mends, all_on_it=all_on_it)
        wires = [e for e in self._eaters() if e.kind == "wire"][:AT_ONCE]
        found: list[str] = []
        for eater in wires[:2]:
            if not found:
                found += [c.words for c in (self._gauge([eater]), self._shorter(eater)) if c]
        if not found:
            many = (self._gauge(wires[:n]) for n in range(2, len(wires) + 1))
            found += [c.words for c in many if c][:1]
        others = (*self._second_lead(), *self._replaced())
        found += [change.words for change in others if self.enough(change)][:1]
        if len(found) < 2:
            found += [c.words for c in islice(filter(self.enough, self._more_volts()), 1)]
        return found

    def _eaters(self) -> list[Eater]:
        """What eats most, of the worst off first."""
        return list(self.lows[0].way.eaters)

    def _gauge(self, eaters: list[Eater]) -> Cure | None:
        """Return the thinnest gauge that mends it, of all the wires at once."""
        for row in reversed(self.plan.catalogue.rows("wires")):
            size = parse_wire(row)
            parts = [thick for e in eaters if (thick := self._thicker(e, size)) is not None]
            spared = sum(e.volts * (1 - self._area(e) / size.area_mm2) for e in eaters)
            if len(parts) == len(eaters) and spared * SPARE > self.lows[0].lacks:
                where = spoken(e.part.named() for e in eaters)
                change = Cure(f"use {row} or thicker for {where}", tuple(parts))
                if self.enough(change):
                    return change
        return None

    def _area(self, eater: Eater) -> float:
        size = self._size(eater)
        return size.area_mm2 if size is not None else math.inf

    def _size(self, eater: Eater) -> WireSize | None:
        port = self.wiring.ports.get((eater.part.id, eater.port))
        return port.wire.size if port is not None else None

    def _thicker(self, eater: Eater, size: WireSize) -> Part | None:
        port = self.wiring.ports.get((eater.part.id, eater.port))
        return thicker(self.wiring, port, size) if port is not None else None

    def _shorter(self, eater: Eater) -> Cure | None:
        """Return the longest the wire may be, in whole cm."""
        word, long = wire_word(eater.part, eater.port, "length"), None
        port = self.wiring.ports.get((eater.part.id, eater.port))
        long = port.wire.length if port is not None else None
        if not word or not long or eater.volts <= self.lows[0].lacks:
            return None
        most = long * (1 - self.lows[0].lacks / eater.volts) * SPARE
        for _ in range(TRIES):
            most = math.floor(most / STEP_MM) * STEP_MM
            part = changed(eater.part, **{word: float(most)})
            change = Cure(f"make it {most:g} mm at most", (part,))
            if most > 0 and self.enough(change):
                return change
            most *= 0.93
        return None

    def _second_lead(self) -> Iterator[Cure]:
        """A second lead of the same regulator into a free supply socket of the same box."""
        source = self.lows[0].way.source
        plugs = getattr(source, "plug", ())
        if not source.regulates or not isinstance(plugs, tuple) or not plugs:
            return
        mate = next((m for m in self.wiring.mates if m.plug.part is source and m.socket), None)
        box = mate.socket.part if mate is not None and mate.socket is not None else None
        for port in self.wiring.by_part[box.id] if box is not None else ():
            if port.is_plug or port.id in self.wiring.by_socket or port.passes:
                continue
            if box is not None and box.has_channels and port.name in box.channels:
                continue
            into = f"{port.part.id}.{port.name}"
            join = Join(into=into, span=plugs[0].span)
            words = f"feed it through a second lead from {source.named()} into {into}"
            yield Cure(words, (changed(source, plug=(*plugs, join)),))
            return

    def _replaced(self) -> Iterator[Cure]:
        """A transistor where a worn contact or a diode takes the volts."""
        for eater in self._eaters():
            table = eater.part.row[0]
            if eater.kind == "part" and table == "switches" and eater.part.kind == "slide":
                part = changed(eater.part, kind="electronic")
                yield Cure(f"put an electronic switch in place of {eater.part.named()}", (part,))
            elif eater.kind == "part" and table == "diodes" and eater.part.kind != "ideal":
                part = changed(eater.part, kind="ideal")
                yield Cure(f"put an ideal diode in place of {eater.part.named()}", (part,))

    def _more_volts(self) -> Iterator[Cure]:
        """The volts of a BEC or regulator, step by step, as long as all it feeds bears them."""
        source = self.lows[0].way.source
        bec = source.makes
        volts = bec.volts + self.lows[0].lacks if bec is not None else 0.0
        for n in range(TRIES if bec is not None else 0):
            more = round(math.ceil(volts / STEP_V - 1e-9) * STEP_V + n * STEP_V, 1)
            words = (
                f"raise {source.maker} to {format_quantity(more, VOLTAGE)} if all on it bears it"
            )
            to: dict[str, Any] = {"volts": more, "metered": None}
            keys = {"bec": replace(bec, **to)} if bec is not None and source.drives else to
            yield Cure(words, (changed(source, **keys),))


def _short_of_volts(wiring: Wiring) -> set[str]:
    return {low.part.id for low in low_parts(wiring)} | {s.low.part.id for s in sags(wiring)}


def _too_much(wiring: Wiring) -> set[str]:
    return {b.part.id for _, parts in beyond(wiring, "volts-max", "full") for b in parts}


def _too_short(wiring: Wiring) -> set[str]:
    """Return the leads that do not reach, where the plan says how far it is."""
    return {m.run.device.id for m in measured_runs(wiring) if m.verdict in {"short", "tight"}}


@fact
def _work_left(wiring: Wiring) -> list[int]:
    """What may still be spent on cures of a plan: one number, which falls."""
    return [CURE_WORK]


def cure_words(wiring: Wiring, lows: Iterable[Low]) -> str:
    """Say what mends some parts with too few volts, each change solved again; else which source.

    Where the plan is too large to try all, it says so.
    """
    trial = CureTrial(wiring, lows)
    cures = trial.cures() or trial.cures(all_on_it=False)
    words = spoken(cures, "or") if cures else volts_wanted(wiring, trial.lows[0].way.source)
    return f"{words}; in a plan of this size not every cure was tried" if trial.cut else words
