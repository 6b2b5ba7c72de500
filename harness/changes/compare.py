"""All changes from one plan to another, and which parts only have another name now.

A new name is told exactly, and rather not than wrongly: a part that is gone and a part that is new
are one when they are of one kind, state the same (remark and label code apart), their plugs go into
the same sockets, and, where others plug into both, at least one of those still does in the same
socket. There must be no second candidate on either side.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from harness.changes.change import KINDS, Change, Changes
from harness.changes.findings import figure_changes, finding_changes
from harness.changes.outside_parts import head_changes
from harness.changes.parts import part_changes, target
from harness.changes.values import SILENT, facts
from harness.parts.part import Part
from harness.rules.run import Report
from harness.wiring.build import Wiring
from harness.wiring.codes import natural

_LEAVE = SILENT | {"about"}
Incoming = set[tuple[str, str, str]]


def renames(old: Wiring, new: Wiring) -> dict[str, str]:
    """Return the new id of each part that has another name now, by its old one."""
    gone = [part for part in old.plan.parts.values() if part.id not in new.plan.parts]
    fresh = [part for part in new.plan.parts.values() if part.id not in old.plan.parts]
    if not gone or not fresh:
        return {}
    matcher = _Matcher(old, new)
    while added := matcher.certain(gone, fresh):
        matcher.names.update(added)
    return dict(sorted(matcher.names.items()))


class _Matcher:
    """Pairs parts; each pair that is certain may make further ones certain."""

    def __init__(self, old: Wiring, new: Wiring) -> None:
        self.old, self.new = old, new
        self.names: dict[str, str] = {}
        self.told = {part.id: facts(part, {}, _LEAVE) for part in new.plan.parts.values()}
        self.into_old, self.into_new = _incoming(old), _incoming(new)

    def certain(self, gone: list[Part], fresh: list[Part]) -> dict[str, str]:
        """Return the pairs in which neither side has a second candidate."""
        taken = set(self.names.values())
        ours = [part for part in gone if part.id not in self.names]
        theirs = [part for part in fresh if part.id not in taken]
        forth: dict[str, list[str]] = defaultdict(list)
        back: dict[str, list[str]] = defaultdict(list)
        for one in ours:
            told = facts(one, self.names, _LEAVE)
            for other in theirs:
                if told == self.told[other.id] and self._same_place(one, other):
                    forth[one.id].append(other.id)
                    back[other.id].append(one.id)
        return {
            one: others[0]
            for one, others in forth.items()
            if len(others) == 1 and len(back[others[0]]) == 1
        }

    def _same_place(self, one: Part, other: Part) -> bool:
        mine = {port: self._target(self.old, one, port, self.names) for port, _ in one.joins()}
        theirs = {port: self._target(self.new, other, port, {}) for port, _ in other.joins()}
        return type(one) is type(other) and mine == theirs and self._same_guests(one, other)

    def _target(self, wiring: Wiring, part: Part, port: str, names: Mapping[str, str]) -> object:
        mate = wiring.by_plug[part.id, port]
        name, socket = target(mate)
        return (names.get(name, name), socket, mate.join.pulled, mate.turned, mate.crossed)

    def _same_guests(self, one: Part, other: Part) -> bool:
        """Say whether somebody still plugs into it, or none of its guests can be told yet."""
        before, now = self.into_old[one.id], self.into_new[other.id]
        if not before or not now:
            return not before and not now
        if any((self.names.get(p, p), port, own) in now for p, port, own in before):
            return True
        unknown = all(p not in self.new.plan.parts and p not in self.names for p, _, _ in before)
        strange = all(p not in self.old.plan.parts for p, _, _ in now)
        return unknown and strange and sorted(b[2] for b in before) == sorted(n[2] for n in now)


def _incoming(wiring: Wiring) -> dict[str, Incoming]:
    """Return what plugs into each part: (part, its plug, the socket)."""
    found: dict[str, Incoming] = defaultdict(set)
    for mate in wiring.mates:
        if mate.socket is not None:
            found[mate.socket.part.id].add((*mate.plug.id, mate.socket.name))
    return found


def compare(old: Report, new: Report) -> Changes:
    """Return what changed, by sort, then by part; nothing for what is only written otherwise."""
    names = renames(old.wiring, new.wiring)
    found = [*part_changes(old.wiring, new.wiring, names), *head_changes(old.plan, new.plan, names)]
    found.sort(key=_order)
    found += finding_changes(old, new, names)
    if found:
        found += figure_changes(old.wiring, new.wiring, names)
    found.sort(key=lambda change: list(KINDS).index(change.kind))
    return Changes(old, new, tuple(found), names)


def _order(change: Change) -> tuple[object, ...]:
    """Parts by name, and what is about none after them, as it came."""
    return (not change.part, natural(change.part))
