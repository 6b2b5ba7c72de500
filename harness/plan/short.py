"""The short forms of a plan written out: parts under their place, `like:`, mirror images.

What comes out is a plan in which every part stands in its group and says everything itself; each
value still knows where it was written. `ShortForms.home` leads back, for who edits the text.
"""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Mapping as AbcMapping

from harness.base.code_words import OPPOSITE, opposite
from harness.base.data import dataclass, field
from harness.base.near import spoken
from harness.base.span import Span
from harness.catalogue.functions import SIDES
from harness.parts.kinds import GROUPS
from harness.plan.airframe import PLACE
from harness.plan.plan import Like
from harness.plan.schema import PLAN
from harness.reading.kinds import Truth
from harness.reading.nodes import (
    Entry,
    Items,
    Mapping,
    Node,
    Scalar,
    entries_of,
    is_empty,
    names_in,
)
from harness.reading.problems import Reading

MIRRORED = "mirrored"
SEEN = frozenset({"measured", "metered", "tested"})
"""What was seen of one part on the bench, wherever it stands in it: true of no other part."""
JOINS = frozenset({"plug", "plugs", "second-plug", "supply", "telemetry", "out", "across"})
"""Where the plugs of a part go."""
NOT_REPEATED = SEEN | JOINS | {"code", "like", "route", MIRRORED}
"""What `like:` leaves out: where a part is plugged, its own label, and what was seen of it."""
NO_IMAGE = SEEN | {"code", "like", MIRRORED}
"""What the other side does not have of this one: its label, and what was seen of it."""
AS_IT_IS = frozenset({"about", "class", "connector"})
"""What is the same on both sides, whatever its words."""
WITH_SIDES = (*GROUPS, "places", "ducts", "covers")
"""The groups of a plan whose entries may be mirrored."""
NUMBERED = ("leads", "power-leads")
"""The groups whose sockets go in pairs: 1 and 2, 3 and 4."""
Path = tuple[str, ...]
"""The keys that lead to an entry from the top: group and id, or place, group and id."""
MOST_ALIKE = 30
"""How long a chain of `like:` may be."""


@dataclass
class ShortForms:
    """A plan as it is written: the entries of each group, and of whom each image is one."""

    top: Mapping
    at: Reading
    swaps: dict[str, str]
    pools: dict[str, dict[str, Entry]] = field(default_factory=dict)
    images: dict[str, dict[str, str]] = field(default_factory=dict)
    rings: set[str] = field(default_factory=set)
    unread: dict[str, None] = field(default_factory=dict)
    """Names that stand somewhere, or opposite to such a one, of which nothing could be read."""

    @classmethod
    def of(cls, top: Mapping, at: Reading) -> ShortForms:
        """Read what is written where."""
        short = cls(top, at, dict(_swaps(top)))
        for group in WITH_SIDES:
            node = top.get(group)
            if isinstance(node, Mapping):
                short.pools[group] = dict(node.entries)
        for place in entries_of(top.get("places")):
            if isinstance(place.node, Mapping):
                short.pools["places"][place.key.text] = short._emptied(place, place.node)
        for group, pool in short.pools.items():
            short.images[group] = dict(short._images(pool))
        for name in short._hidden():
            short.unread |= {name: None, short.other(name): None}
        return short

    def _hidden(self) -> Iterator[str]:
        """Yield the names in groups whose word is none, or which are written in another form."""
        for word, entry in self.top.entries.items():
            if word not in PLAN.keys or (word in GROUPS and not isinstance(entry.node, Mapping)):
                yield from names_in(entry.node)
        for place in entries_of(self.top.get("places")):
            for entry in entries_of(place.node):
                if entry.key.text not in PLACE.keys:
                    yield from names_in(entry.node)

    def laid_out(self) -> Mapping:
        """Return a plan whose parts say all of themselves, in their groups; rings are left out."""
        entries = dict(self.top.entries)
        for group, pool in self.pools.items():
            first = next(iter(pool.values())).key.span if pool else self.top.span
            head = entries.get(group) or Entry(Scalar(group, True, first), Mapping({}, first))
            entries[group] = Entry(head.key, Mapping(dict(self.written(group)), head.node.span))
        return Mapping(entries, self.top.span)

    def likes(self) -> Iterator[tuple[str, Like]]:
        """Yield each part made with `like:`, where that is written, and where what it repeats.

        A mirror image has its other side's.
        """
        for group in GROUPS:
            images = self.images.get(group, {})
            pool = {name: entry.node for name, entry in self.pools.get(group, {}).items()}
            for name in (*pool, *images):
                like, bases = _like(pool[images.get(name, name)]), dict[str, Span]()
                first = like
                while like is not None and like.text not in bases and self.has(group, like.text):
                    base = pool[images.get(like.text, like.text)]
                    bases[like.text] = base.span
                    like = _like(base)
                if bases and first is not None:
                    yield name, Like(first.span, bases)

    def has(self, group: str, name: str) -> bool:
        """Say whether an entry is written in a group, or is an image of one."""
        return name in self.pools.get(group, ()) or name in self.images.get(group, ())

    def is_doubled(self, part: str) -> bool:
        """Say whether a part stands for its mirror image too."""
        return any(part in images.values() for images in self.images.values())

    def home(self, part: str) -> tuple[Entry, str]:
        """Return the entry that writes a part, and the id it stands under: of an image, another."""
        group = next(g for g in GROUPS if self.has(g, part))
        name = self.images[group].get(part, part)
        return self.entry(self.path(group, name)), name

    def path(self, group: str, name: str) -> Path:
        """Return the way to an entry as it is written."""
        if isinstance(top := self.top.get(group), Mapping) and name in top.entries:
            return group, name
        for place in entries_of(self.top.get("places")):
            under = place.node.get(group) if isinstance(place.node, Mapping) else None
            if isinstance(under, Mapping) and name in under.entries:
                return "places", place.key.text, group, name
        raise KeyError(name)

    def entry(self, path: Path) -> Entry:
        """Return an entry as it is written."""
        node: Node | None = self.top
        for word in path[:-1]:
            node = node.get(word) if isinstance(node, Mapping) else None
        assert isinstance(node, Mapping)
        return node.entries[path[-1]]

    def image(self, part: str) -> dict[str, Node]:
        """Return what the mirror image of a part says, under its id as `id`; {} without one."""
        for group, images in self.images.items():
            other = next((o for o, name in images.items() if name == part), "")
            if other and isinstance(node := self.meant(group, other, [other]), Mapping):
                said = {word: entry.node for word, entry in node.entries.items()}
                return {**said, "id": Scalar(other, True, node.span)}
        return {}

    def _emptied(self, place: Entry, node: Mapping) -> Entry:
        """Move the parts under a place into their groups; return the place without them."""
        own = dict(node.entries)
        for group in [word for word in own if word in GROUPS]:
            under = own[group].node
            if isinstance(under, Mapping) or is_empty(under):
                del own[group]
            for part in entries_of(under):
                self._put(group, part.key, self._placed(part, place, own.get(MIRRORED)))
        return Entry(place.key, Mapping(own, node.span))

    def _put(self, group: str, name: Scalar, part: Entry) -> None:
        pool = self.pools.setdefault(group, {})
        if name.text in pool:
            line = pool[name.text].key.span.line
            self.at.wrong(f'the id "{name.text}" is used twice: first on line {line}', name.span)
        else:
            pool[name.text] = part

    def _placed(self, part: Entry, place: Entry, both: Entry | None) -> Entry:
        """A part under a place sits there; under one that is mirrored it is mirrored too."""
        node = Mapping({}, part.node.span) if is_empty(part.node) else part.node
        if not isinstance(node, Mapping):
            return part
        stated = node.get("place")
        if isinstance(stated, Scalar) and stated.text != place.key.text:
            message = f'"{part.key.text}" stands under "{place.key.text}" and names another place'
            known = stated.text in names_in(self.top.get("places"))
            there = ", or write it under that one" * known
            self.at.wrong(message, stated.span, f"leave out `place`{there}")
        sits = {"place": Entry(Scalar("place", True, place.key.span), place.key)}
        given = dict[str, Entry]()
        if both is not None and _is_image(both.node):
            given[MIRRORED] = Entry(both.key, Scalar("yes", True, both.key.span))
        elif both is not None and _is_unclear(both.node):
            given[MIRRORED] = both
        return Entry(part.key, Mapping(given | node.entries | sits, node.span))

    def _images(self, pool: AbcMapping[str, Entry]) -> Iterator[tuple[str, str]]:
        for name, entry in pool.items():
            both = entry.node.get(MIRRORED) if isinstance(entry.node, Mapping) else None
            other, span = self.other(name), entry.key.span
            if both is not None and _is_unclear(both):
                self.unread[other] = None
            if both is None or not _is_image(both):
                continue
            if other == name:
                call = f'call it "{name}-left": the other one is then "{name}-right"'
                self.at.wrong(f'"{name}" is mirrored, but its name has no side', span, call)
            elif other in pool:
                self.at.wrong(
                    f'"{other}" stands here, and is the mirror image of "{name}" too',
                    pool[other].key.span,
                    f'write what differs into `{MIRRORED}` of "{name}", or leave that out',
                )
            else:
                yield other, name

    def written(self, group: str) -> Iterator[tuple[str, Entry]]:
        """Yield every entry of a group, its mirror image behind it."""
        others = {name: other for other, name in self.images[group].items()}
        for name, entry in self.pools[group].items():
            if (node := self.meant(group, name, [name])) is not None:
                yield name, Entry(entry.key, _without_image(node))
            else:
                self.unread[name] = None
            if (other := others.get(name)) and (node := self.meant(group, other, [other])):
                yield other, Entry(Scalar(other, True, entry.key.span), node)

    def meant(self, group: str, name: str, chain: list[str]) -> Node | None:
        """Return all that an entry says, or None if it cannot be known."""
        if original := self.images[group].get(name):
            base = self.meant(group, original, [*chain, original])
            return self.mirrored(name, base) if isinstance(base, Mapping) else None
        node = self.pools[group][name].node
        like = _like(node) if group in GROUPS else None
        if like is None or not isinstance(node, Mapping):
            return node
        if hindered := self._hindered(group, like.text, chain):
            if like.text not in self.unread:
                self.at.wrong(hindered[0], like.span, hindered[1])
            return None
        if like.text in chain:
            self._ring(chain, like)
            return None
        base = self.meant(group, like.text, [*chain, like.text])
        if not isinstance(base, Mapping) and not (base and is_empty(base)):
            return None
        kept = {e.key.text: _unseen(e) for e in entries_of(base) if e.key.text not in NOT_REPEATED}
        own = {k: v for k, v in node.entries.items() if k != "like"}
        return Mapping(kept | own, node.span)

    def _hindered(self, group: str, name: str, chain: list[str]) -> tuple[str, str] | None:
        """Say why a part cannot be like the one called `name`, and what helps."""
        if not self.has(group, name):
            names = {**self.pools[group], **self.images[group]}
            return f'there is no "{name}" among the {group}', self.at.hint(name, names)
        if len(chain) > MOST_ALIKE:
            message = f"this repeats a part that repeats a part, more than {MOST_ALIKE} deep"
            return message, "name the first of them"
        return None

    def _ring(self, chain: list[str], like: Scalar) -> None:
        """Tell a ring once, not by each of its parts."""
        ring = sorted(set(chain[chain.index(like.text) :]))
        if (told := spoken(ring)) not in self.rings:
            self.rings.add(told)
            are = "is like itself" if len(ring) == 1 else "are like one another"
            self.at.wrong(f"{told} {are}", like.span, "one of them must say it all")

    def mirrored(self, name: str, base: Mapping) -> Mapping:
        """Return what the mirror image of an entry says; what differs stands beside it."""
        both = base.get(MIRRORED)
        differs = both.entries if isinstance(both, Mapping) else {}
        entries = {}
        for word, entry in base.entries.items():
            if word == "plugs" and word in differs:
                entries[word] = Entry(entry.key, self._plugs(name, entry.node, differs[word].node))
                differs = {key: other for key, other in differs.items() if key != word}
            elif word not in differs and word not in NO_IMAGE:
                node: Node | None = _unseen(entry).node
                if word in JOINS:
                    node = self._joined(name, entry.node, word)
                elif word not in AS_IT_IS:
                    node = self._swapped(_unseen(entry).node)
                if node is not None:
                    entries[word] = Entry(entry.key, node)
        return Mapping(entries | differs, base.span)

    def _plugs(self, name: str, base: Node, own: Node) -> Node:
        """Return the plugs of an image of which some are said: the others lie opposite."""
        if not (isinstance(own, Mapping) and isinstance(base, Mapping)):
            return own
        rest = {word: entry for word, entry in base.entries.items() if word not in own.entries}
        found = self._joined(name, Mapping(rest, base.span), "plugs")
        said = found.entries if isinstance(found, Mapping) else {}
        return Mapping(said | own.entries, own.span)

    def _joined(self, name: str, node: Node, *way: str) -> Node | None:
        """Return where an image's plug, at the keys `way`, goes; None, with a word, if unknown."""
        if isinstance(node, Mapping):
            found, several, span = {}, "into" not in node.entries, node.span
            for word, entry in node.entries.items():
                into = several or word == "into"
                trail = (*way, word) if several else way
                node = entry.node
                other = self._joined(name, node, *trail) if into else self._swapped(node)
                if other is not None:
                    found[word] = Entry(entry.key, other)
                elif not several:
                    return None
            return Mapping(found, span)
        if isinstance(node, Items):
            items = [self._joined(name, item, *way) for item in node.items]
            return Items([i for i in items if i is not None], node.span) if all(items) else None
        if is_empty(node):
            return node
        socket = self._socket(node.text)
        if socket == node.text:
            message = f'"{name}", the mirror image, would go into {node.text} as well'
        elif not self._there(socket.partition(".")[0]):
            message = f'"{name}", the mirror image, would go into {socket}, which is not there'
        else:
            return Scalar(socket, node.plain, node.span)
        says = ": {".join((MIRRORED, *way, ""))[:-3] + ": part.socket" + "}" * len(way)
        self.at.wrong(message, node.span, f"say where that one goes: `{says}`")
        return None

    def _there(self, part: str) -> bool:
        return part in self.unread or any(self.has(group, part) for group in GROUPS)

    def _socket(self, text: str) -> str:
        """Return the socket that lies opposite: the other side's, or the lead's next one."""
        part, _, socket = text.partition(".")
        if self.other(text) != text or not socket.isdecimal():
            return self.other(text)
        if not any(self.has(group, part) for group in NUMBERED):
            return text
        number = int(socket)
        return f"{part}.{number + 1 if number % 2 else number - 1}"

    def other(self, text: str) -> str:
        """Return a text with its sides swapped."""
        return opposite(text, self.swaps)

    def _swapped(self, node: Node) -> Node:
        """Return a value with the sides in it swapped."""
        if isinstance(node, Mapping):
            entries = {w: Entry(e.key, self._swapped(e.node)) for w, e in node.entries.items()}
            return Mapping(entries, node.span)
        if isinstance(node, Items):
            return Items([self._swapped(item) for item in node.items], node.span)
        return Scalar(self.other(node.text), node.plain, node.span)


def _like(node: Node) -> Scalar | None:
    like = node.get("like") if isinstance(node, Mapping) else None
    return like if isinstance(like, Scalar) else None


def _swaps(top: Mapping) -> Iterator[tuple[str, str]]:
    """Yield each word for a side and the one for the other, the plan's own words among them."""
    own: dict[str, list[str]] = {side: [] for side in SIDES}
    for entry in entries_of(top.get("functions")):
        side = entry.node.get("side") if isinstance(entry.node, Mapping) else None
        if isinstance(side, Scalar) and side.text in own:
            own[side.text].append(entry.key.text.lower())
    for one, other in (*OPPOSITE, *zip(own["left"], own["right"], strict=False)):
        yield from ((one, other), (other, one))


def _is_image(node: Node) -> bool:
    return isinstance(node, Mapping) or _truth(node) is True


def _is_unclear(node: Node) -> bool:
    """Say whether `mirrored` says neither yes nor no: what may be meant is not missed."""
    return isinstance(node, Scalar) and not is_empty(node) and _truth(node) is None


def _truth(node: Node) -> bool | None:
    return Truth().read(node.text) if isinstance(node, Scalar) else None


def _without_image(node: Node) -> Node:
    """Leave out `mirrored` where it was understood; a wrong value stays, to be refused."""
    both = node.get(MIRRORED) if isinstance(node, Mapping) else None
    known = both is not None and (_is_image(both) or _truth(both) is False)
    if not isinstance(node, Mapping) or not known:
        return node
    return Mapping({k: v for k, v in node.entries.items() if k != MIRRORED}, node.span)


def _unseen(entry: Entry) -> Entry:
    """Leave out what was seen of the other part inside a value: the meter was not on this BEC."""
    if not isinstance(entry.node, Mapping) or not SEEN & set(entry.node.entries):
        return entry
    inner = {k: v for k, v in entry.node.entries.items() if k not in SEEN}
    return Entry(entry.key, Mapping(inner, entry.node.span))
