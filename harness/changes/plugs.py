"""Plugs that go elsewhere now, and pins that were pulled or put back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from harness.changes.change import Change
from harness.facts.wording import INSULATION
from harness.parts.contacts import Form
from harness.parts.join import PINS
from harness.parts.part import Part
from harness.wiring.build import Mate, Wiring

Pair = tuple[str, str]
"""A port's name in the old plan and in the new one; "" where there is none."""


class Plugs:
    """Compares the plugs of a part that is in both plans."""

    def __init__(self, old: Wiring, new: Wiring, names: Mapping[str, str]) -> None:
        self.old, self.new, self.names = old, new, names

    def changes(self, one: Part, other: Part) -> Iterator[Change]:
        """Yield what changed at the plugs of a part, plug by plug."""
        for before, now in self._pairs(one, other):
            mate = self.old.by_plug.get((one.id, before))
            twin = self.new.by_plug.get((other.id, now))
            yield from self._moved(other, now or before, mate, twin)
            if mate is not None and twin is not None:
                yield from self._pins(other, now, mate, twin)

    def _pairs(self, one: Part, other: Part) -> Iterator[Pair]:
        """Plugs by their names; of plugs that are all alike, first those in the same sockets."""
        mine = [port for port, _ in one.joins()]
        theirs = [port for port, _ in other.joins()]
        if _alike(other):
            yield from self._alike_pairs(one, other, mine, theirs)
            return
        for port in dict.fromkeys([*mine, *theirs]):
            yield (port if port in mine else "", port if port in theirs else "")

    def _alike_pairs(
        self, one: Part, other: Part, mine: list[str], theirs: list[str]
    ) -> Iterator[Pair]:
        for port in [p for p in mine if p == "supply"]:
            mine.remove(port)
            yield (port, port if port in theirs else "")
        theirs = [p for p in theirs if p != "supply" or not other.regulates]
        for port in list(mine):
            where = self._was(self.old.by_plug[one.id, port])
            same = next((p for p in theirs if self._is(self.new.by_plug[other.id, p]) == where), "")
            if same:
                mine.remove(port)
                theirs.remove(same)
                yield (port, same)
        for number in range(max(len(mine), len(theirs))):
            yield ((mine + [""] * len(theirs))[number], (theirs + [""] * len(mine))[number])

    def _was(self, mate: Mate) -> Pair:
        """Return where a plug was, in the names of the new plan."""
        part, socket = mate.socket.id if mate.socket else (mate.join.part, mate.join.socket)
        return (self.names.get(part, part), socket)

    def _is(self, mate: Mate) -> Pair:
        return mate.socket.id if mate.socket else (mate.join.part, mate.join.socket)

    def _moved(
        self, part: Part, port: str, mate: Mate | None, twin: Mate | None
    ) -> Iterator[Change]:
        before, now = where(mate), where(twin)
        if mate is not None and twin is not None and self._was(mate) == self._is(twin):
            return
        name = f"{part.id}'s {plug_word(part, port, mate or twin)}"
        if mate is None:
            text = f"{name}, loose before, now in {now}"
        elif twin is None:
            text = f"{name} came out of {before}, now loose"
        else:
            text = f"{name} moved from {before} to {now}"
        yield Change("moved", text, part.id, "plug", before, now, port)

    def _pins(self, part: Part, port: str, mate: Mate, twin: Mate) -> Iterator[Change]:
        name = f"{part.id}'s {plug_word(part, port, twin)}"
        for pin in PINS:
            was, now = pin in mate.join.pulled, pin in twin.join.pulled
            if was != now:
                wire = f"the {pin} pin ({INSULATION[pin]} wire) of {name}"
                text = f"{wire} is pulled now" if now else f"{wire} is put back"
                yield Change("pins", text, part.id, f"pulled {pin}", *_yes(was, now), port)
        if mate.turned != twin.turned:
            text = f"{name} sits {'turned' if twin.turned else 'the right way round'} now"
            yield Change("pins", text, part.id, "turned", *_yes(mate.turned, twin.turned), port)
        if mate.crossed != twin.crossed:
            text = f"the poles of {name} are {'crossed' if twin.crossed else 'straight'} now"
            yield Change("pins", text, part.id, "poles", *_yes(mate.crossed, twin.crossed), port)
        if mate.join.made_in != twin.join.made_in:
            old, new = mate.join.made_in or "-", twin.join.made_in or "-"
            text = f"{name} is made in {new} now, before in {old}"
            if "-" in (old, new):
                told = f"no longer stated (was {old})" if new == "-" else f"stated now: {new}"
                text = f"where {name} is made is {told}"
            yield Change("changed", text, part.id, "made in", old, new, port)


def _alike(part: Part) -> bool:
    """Say whether the plugs of a part do all the same, so that their order says nothing."""
    return part.regulates or (part.battery_lead and part.kind == "parallel")


def _yes(was: bool, now: bool) -> tuple[str, str]:
    return ("yes" if was else "no", "yes" if now else "no")


def where(mate: Mate | None) -> str:
    """Return where a plug goes: rx.3; "-" for nowhere."""
    if mate is None:
        return "-"
    return mate.into


def plug_word(part: Part, port: str, mate: Mate | None) -> str:
    """Return what a builder calls one plug of a part: plug, battery plug, plug 2, plug of flap."""
    if port.startswith("plug-"):
        name = port.removeprefix("plug-")
        return f"plug {name}" if name.isdecimal() else f"plug of {name}"
    if port.startswith("in-"):
        return "plug" if port == "in-1" and len(part.joins()) < 2 else f"plug {port[3:]}"
    if mate is not None and mate.plug.form is Form.MOTOR:
        return "motor wires"
    return "battery plug" if port == "supply" else "plug"
