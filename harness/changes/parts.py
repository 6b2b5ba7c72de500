"""Parts that are new, gone, renamed, plugged in elsewhere, or state something else now."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import zip_longest

from harness.base.near import spoken
from harness.changes.change import Change
from harness.changes.values import NOTHING, Difference, differences
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
            same = next((p for p in theirs if target(self.new.by_plug[other.id, p]) == where), "")
            if same:
                mine.remove(port)
                theirs.remove(same)
                yield (port, same)
        yield from zip_longest(mine, theirs, fillvalue="")

    def _was(self, mate: Mate) -> Pair:
        """Return where a plug was, in the names of the new plan."""
        part, socket = target(mate)
        return (self.names.get(part, part), socket)

    def _moved(
        self, part: Part, port: str, mate: Mate | None, twin: Mate | None
    ) -> Iterator[Change]:
        before, now = where(mate), where(twin)
        if mate is not None and twin is not None and self._was(mate) == target(twin):
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
    return "-" if mate is None else mate.into


def target(mate: Mate) -> Pair:
    """Return the part and the socket that a plug goes into, whether there is such a one or not."""
    return mate.socket.id if mate.socket else (mate.join.part, mate.join.socket)


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


def part_changes(old: Wiring, new: Wiring, names: Mapping[str, str]) -> Iterator[Change]:
    """Yield what changed of the parts, in the order of their names."""
    mine, theirs = old.plan.parts, new.plan.parts
    plugs = Plugs(old, new, names)
    for before, now in names.items():
        text = f"{mine[before].named()} is called {now} now"
        yield Change("renamed", text, now, "id", before, now)
    back = {now: before for before, now in names.items()}
    for name, part in theirs.items():
        twin = mine.get(back.get(name, name))
        if twin is None or type(twin) is not type(part):
            yield Change("new", _there(new, part, "is new"), name, new=part.word)
        else:
            yield from plugs.changes(twin, part)
            for found in differences(twin, part, names):
                text = sentence(name, found, is_lead=part.is_lead)
                yield Change("changed", text, name, found.path, found.old, found.new)
    for name, part in mine.items():
        twin = theirs.get(names.get(name, name))
        if twin is None or type(twin) is not type(part):
            yield Change("gone", _there(old, part, "is gone"), name, old=part.word)


def _there(wiring: Wiring, part: Part, verb: str) -> str:
    """Say that a part is new or gone, and where its plugs are or were."""
    into = [where(mate) for mate in wiring.mates if mate.plug.part.id == part.id]
    if not into:
        return f"{part.named()} {verb}"
    was = "goes" if verb == "is new" else "went"
    return f"{part.named()} {verb}; it {was} into {spoken(into)}"


def sentence(owner: str, found: Difference, *, is_lead: bool = True) -> str:
    """Say one fact that differs of a part, a channel or another thing.

    A wire is thicker or thinner, a lead longer or shorter; of all else both values are told.
    """
    if found.more and (found.wire or (found.length and is_lead)):
        pair = ("thicker", "thinner") if found.wire else ("longer", "shorter")
        subject = f"the {found.path} of {owner}" if found.wire else owner
        return f"{subject} is {pair[found.more < 0]}: {found.new}, before {found.old}"
    before = "not stated before" if found.old == NOTHING else f"before {found.old}"
    now = "not stated now" if found.new == NOTHING else found.new
    return f"{owner}: {found.path} {now}, {before}"
