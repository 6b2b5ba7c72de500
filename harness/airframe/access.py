"""Where each plug is made, which joints must be joined before, and which covers lie over it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from harness.parts.part import Part
from harness.plan.airframe import Cover
from harness.wiring.build import Mate, Wiring
from harness.wiring.codes import natural
from harness.wiring.graph import parts_down, parts_up

BEFORE, AFTER, LAST = "before-joining", "after-joining", "last"
FOR_GOOD = "for-good"


class Access:
    """Who can reach what in one wiring.

    A part stays in its place. A plug is made in the place of its socket, or where its `in` says;
    whatever lies beyond a joint from there gets there only once the joint is joined. A wing plug
    has two halves, one on each side of its joint. A place nobody has told is "" and always open.
    """

    def __init__(self, wiring: Wiring) -> None:
        self.wiring, self.plan = wiring, wiring.plan
        self._homes: dict[str, str] = {}
        self._halves: dict[str, tuple[str, str]] = {}
        self.over: dict[str, list[Cover]] = defaultdict(list)
        for cover in self.plan.covers.values():
            for place in dict.fromkeys(cover.over):
                self.over[place].append(cover)
        self.joints = tuple(
            sorted((p.id for p in self.plan.places.values() if p.joins), key=natural)
        )
        self.mates = tuple(m for m in wiring.mates if m.socket is not None and m.fits and m.first)
        """The plugs that can be made at all."""

    def home(self, part: Part) -> str:
        """Return the place a part sits in.

        A lead that has none of its own goes with the parts it feeds, when they are all in one
        body; anything else is where the thing it plugs into is. "" when nobody has said.
        """
        if part.id not in self._homes:
            self._homes[part.id] = part.place or self._guessed(part)
        return self._homes[part.id]

    def _guessed(self, part: Part) -> str:
        if part.across:
            holder = self.plan.parts.get(part.across)
            return self.home(holder) if holder else ""
        if part.is_lead:
            fed = list(self._places(part, down=True))
            if len({self.plan.root(place) for place in fed}) == 1:
                return fed[0]
        return next(self._places(part, down=False), "")

    def _places(self, part: Part, *, down: bool) -> Iterator[str]:
        """Yield the stated places of what a part feeds, or is plugged into, the nearest first."""
        from networkx import generic_bfs_edges

        parts, graph = self.plan.parts, (parts_down if down else parts_up)(self.wiring)

        def beyond(name: str) -> Iterator[str]:
            return iter(() if parts[name].place and name != part.id else graph[name])

        for _, name in generic_bfs_edges(graph, part.id, beyond):
            if parts[name].place:
                yield parts[name].place

    def halves(self, part: Part) -> tuple[str, str]:
        """Return where a wing plug's two halves are: on the supply's side, and beyond the joint."""
        if part.id not in self._halves:
            near = part.place or next(self._places(part, down=False), "")
            far = part.place or next(self._places(part, down=True), "")
            if part.place:
                near = self._beyond(part, next(self._places(part, down=False), ""))
                if near == part.place:
                    far = self._beyond(part, next(self._places(part, down=True), ""))
            self._halves[part.id] = near, far
        return self._halves[part.id]

    def _beyond(self, part: Part, place: str) -> str:
        """Return `place` when a joint lies between it and the part, else the part's own place."""
        return place if self.crossed(part.place, place) else part.place

    def crossed(self, one: str, other: str) -> tuple[str, ...]:
        """Return the joints between two places; none when nobody has said where one of them is."""
        return self.plan.crosses(one, other) if one and other else ()

    def spans_joint(self, part: Part) -> tuple[str, ...]:
        """Return the joints at which a wing plug's halves are pushed together."""
        return self.crossed(*self.halves(part))

    def plug_from(self, mate: Mate) -> str:
        """Return the place that a plug's lead starts from."""
        part = mate.plug.part
        return self.halves(part)[0] if part.circuits else self.home(part)

    def socket_from(self, mate: Mate) -> str:
        """Return the place that the socket, or the lead it sits on, belongs to."""
        assert mate.socket is not None
        part = mate.socket.part
        return self.halves(part)[1] if part.circuits else self.home(part)

    def where(self, mate: Mate) -> str:
        """Return the place in which a plug is made."""
        return mate.join.made_in or self.socket_from(mate)

    def needs(self, mate: Mate) -> tuple[str, ...]:
        """Return the joints that must be joined before a plug can be made, by name."""
        here = self.where(mate)
        ends = (self.plug_from(mate), self.socket_from(mate))
        return tuple(sorted({j for end in ends for j in self.crossed(end, here)}, key=natural))

    def closes(self, cover: Cover) -> str:
        """Return when a cover closes; for good means before joining unless the plan says else."""
        return cover.closes or (BEFORE if cover.kind == FOR_GOOD else LAST)

    def touches(self, cover: Cover) -> tuple[str, ...]:
        """Return the joints in which the bodies under a cover take part."""
        bodies = {self.plan.root(place) for place in cover.over}
        return tuple(j for j in self.joints if j in bodies or self.other_side(j) in bodies)

    def other_side(self, joint: str) -> str:
        """Return the body that a joint joins its place to."""
        return self.plan.root(self.plan.places[joint].joins)

    def is_removable(self, joint: str) -> bool:
        """Say whether a joint is undone for transport, which it is unless the plan says else."""
        return self.plan.places[joint].joined != FOR_GOOD

    def behind(self, joint: str, place: str) -> bool:
        """Say whether a place comes off with a joint."""
        seen: set[str] = set()
        while place in self.plan.places and place not in seen:
            if place == joint:
                return True
            seen.add(place)
            here = self.plan.places[place]
            place = here.joins or here.within
        return False
