"""Turns a plan into its short form, or into the one in which every part says all of itself.

Each step is a list of moves on the text's tree. What they leave must mean what was meant before,
and hold every comment: moves that would change that are left out, however they came about.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from functools import cache, lru_cache, partial, reduce

from harness.base.data import dataclass, field
from harness.base.span import Source
from harness.parts.kinds import GROUPS
from harness.plan.short import MIRRORED, NO_IMAGE, WITH_SIDES, Path, ShortForms
from harness.planner.twigs import TextTree, Twig
from harness.reading.nodes import Entry, Mapping, Node, Scalar, entries_of, plain
from harness.reading.problems import PlanError, Reading

MOST_ROUNDS = 9
"""How often a text is gone through, at most: each round finds what the one before made possible."""
RANK = {group: number for number, group in enumerate(GROUPS)}
BEFORE_PARTS = frozenset(("plan", "aircraft", "about", "places", "ducts", "covers", "transmitter",
                          "channels", "functions", "mixes"))  # fmt: skip
"""What stands before the first group of parts, where there is none to stand beside."""
Move = Callable[[], None]


def tidied(source: Source, *, long: bool) -> str:
    """Return the text of a sound plan in its short form, or with `long` written out."""
    steps = (_write_out, _write_out_places) if long else (_pair, _place, _pair_places, _bare)
    text = source.text
    for _ in range(MOST_ROUNDS):
        before, text = text, reduce(_stepped, steps, text)
        if text == before:
            break
    return text


def _stepped(text: str, step: Callable[[Tidying], Iterator[Move]]) -> str:
    """Return the text with all moves of a step that leave its meaning and its comments."""

    @cache
    def done(*chosen: int) -> str:
        at = Tidying.of(text)
        moves = list(step(at))
        for number in chosen:
            moves[number]()
        new = at.written()
        with suppress(PlanError):
            (meant, comments), (means, kept) = _said(text), _said(new)
            return text if comments - kept or meant != means else new
        return text

    def good(*chosen: int) -> tuple[int, ...]:
        """Return those of the moves that can be made: by halves, where not all of them can."""
        half = len(chosen) // 2
        if not chosen or done(*chosen) != text:
            return chosen
        return good(*chosen[:half]) + good(*chosen[half:]) if half else ()

    chosen = good(*range(len(list(step(Tidying.of(text))))))
    return done(*chosen) if chosen else text


@lru_cache(maxsize=2)
def _said(text: str) -> tuple[object, Counter[str]]:
    at = Tidying.of(text)
    return at.meaning(), Counter(at.tree.comments)


@dataclass
class Tidying:
    """The tree of a text, what it means, and what has been taken away from where."""

    tree: TextTree
    short: ShortForms
    first: dict[int, Twig] = field(default_factory=dict)
    emptied: list[Twig] = field(default_factory=list)

    @classmethod
    def of(cls, text: str) -> Tidying:
        """Read a text. Raises PlanError."""
        tree = TextTree(Source("", text))
        return cls(tree, ShortForms.of(tree.top, Reading()))

    def meaning(self) -> object:
        """Return what the plan says when all is written out; a group without parts says nothing."""
        at = Reading()
        meant = plain(ShortForms.of(self.tree.top, at).laid_out()).items()
        said = {word: value for word, value in meant if value or word not in WITH_SIDES}
        return said, [problem.message for problem in at.problems]

    def written(self) -> str:
        """Return the text; what stood over a group that is gone stands over its first part."""
        for group in self.emptied:
            tail = [group.tail] if group.tail else []
            self.remark(self.first[id(group)], [*_remarks(group), *tail], front=True)
        return self.tree.write()

    def free(self, path: Path) -> bool:
        """Say whether an entry can be changed and moved."""
        twig = self.tree.root
        for word in path:
            below = twig.named(word)
            if below is None or twig.fixed:
                return twig.twigs is None and not twig.fixed
            twig = below
        return twig.loose()

    def at(self, path: Path) -> list[Twig]:
        """Return the twigs on the way to an entry; what stood in braces gets lines of its own."""
        found = [self.tree.root]
        for word in path:
            self.tree.open(found[-1])
            twig = found[-1].named(word)
            assert twig is not None
            found.append(twig)
        return found

    def take(self, path: Path) -> Twig:
        """Take an entry away with the comments directly above it; an empty group goes as well."""
        *above, holder, twig = self.at(path)
        self.first.setdefault(id(holder), (holder.twigs or [twig])[0])
        self._remove(holder, twig)
        if not holder.twigs and holder.name in WITH_SIDES and above:
            self._remove(above[-1], holder)
            self.emptied.append(holder)
        return twig

    def _remove(self, holder: Twig, twig: Twig) -> None:
        """Take a twig out; gaps and comments that are not its own stay where they are."""
        assert holder.twigs is not None
        gap, twig.over = _split(twig.over)
        gap += twig.below
        twig.below = []
        number = holder.twigs.index(twig)
        del holder.twigs[number]
        if number == len(holder.twigs):
            holder.below = [*(gap if _says(gap) else ()), *holder.below]
            return
        after = holder.twigs[number]
        gap = gap if _says(gap) or (after.over and after.over[0].strip()) else []
        after.over = [*gap, *after.over]
        while number == 0 and holder.key and after.over and not after.over[0].strip():
            del after.over[0]

    def remark(self, twig: Twig, texts: list[str], *, front: bool = False) -> None:
        """Put comments above a twig."""
        lines = [f"{' ' * twig.indent}{text}{self.tree.text.line_end}" for text in texts]
        twig.over = [*lines, *twig.over] if front else [*twig.over, *lines]

    def drop(self, twig: Twig, word: str) -> None:
        """Take a key from an entry; its comments stay above the entry."""
        if twig.twigs is None:
            twig.items = {k: v for k, v in self.tree.items(twig).items() if k != word}
        elif below := twig.named(word):
            self.remark(twig, [*_remarks(below), *below.said])
            self._remove(twig, below)

    def add(self, twig: Twig, word: str, node: Node, *, front: bool = False) -> None:
        """Give an entry a key."""
        if twig.twigs is None:
            items, new = self.tree.items(twig), {word: self.tree.item(word, node)}
            twig.items = new | items if front else items | new
            return
        new_twig = self.new(word, node)
        groups = (n for n, below in enumerate(twig.twigs) if below.name in GROUPS)
        twig.twigs.insert(0 if front else next(groups, len(twig.twigs)), new_twig)

    def new(self, name: str, node: Node) -> Twig:
        """Return a twig for a value that stands nowhere yet."""
        key = self.tree.scalar(Scalar(name, True, node.span))
        if isinstance(node, Mapping):
            items = {w: self.tree.item(w, e.node) for w, e in node.entries.items()}
            return Twig(name, key, node, items=items)
        text = ", ".join(self.tree.item(key, node))
        return Twig(name, key, node, [text + self.tree.text.line_end])

    def merge(self, path: Path, other: Path, differs: Node) -> None:
        """Let one entry stand for its mirror image too."""
        twig, gone = self.at(path)[-1], self.take(other)
        self.remark(twig, [*_remarks(gone), *gone.said])
        self.first = {key: twig if one is gone else one for key, one in self.first.items()}
        self.add(twig, MIRRORED, differs)

    def move_under(self, place: str, paths: list[Path]) -> None:
        """Let parts stand under their place."""
        spot = self.at(("places", place))[-1]
        for path in paths:
            twig = self.take(path)
            self.drop(twig, "place")
            self.tree.open(spot)
            self._append(self._group(spot, path[0]), twig)

    def bare(self, path: Path) -> None:
        """Take `mirrored` from a part whose place says it."""
        self.drop(self.at(path)[-1], MIRRORED)

    def _append(self, holder: Twig, twig: Twig) -> None:
        self.tree.open(holder)
        assert holder.twigs is not None
        holder.twigs.append(twig)

    def _group(self, spot: Twig, group: str) -> Twig:
        """Return a group of parts under a place or at the top, made where there is none."""
        found = spot.named(group)
        if found is None:
            assert spot.twigs is not None
            found = Twig(group, group, twigs=[], step=self.tree.step)
            before = [n for n, twig in enumerate(spot.twigs) if _rank(spot, twig) < RANK[group]]
            spot.twigs.insert(before[-1] + 1 if before else 0, found)
            if not spot.key and any(twig.over and not twig.over[0].strip() for twig in spot.twigs):
                found.over = [self.tree.text.line_end]
        return found

    def write_out(self, group: str, path: Path) -> None:
        """Let an entry stand in its group and say all itself, and its mirror image after it."""
        name, place = path[-1], path[1] if len(path) > 2 else ""
        meant = self.short.meant(group, name, [name])
        twig = self.take(path) if place else self.at(path)[-1]
        holder = self._group(self.tree.root, group) if place else self.at(path)[-2]
        if place:
            self._append(holder, twig)
        own = _keys(self.short.entry(path))
        for word in (MIRRORED, "like"):
            if word in own:
                self.drop(twig, word)
        said = meant.entries if isinstance(meant, Mapping) else {}
        missing = {w: e.node for w, e in said.items() if w not in own and w != MIRRORED}
        if place and "place" in missing:
            self.add(twig, "place", missing.pop("place"), front=True)
        for word, node in missing.items():
            self.add(twig, word, node)
        image = next((o for o, n in self.short.images[group].items() if n == name), "")
        other = self.short.meant(group, image, [image]) if image else None
        if other is not None:
            assert holder.twigs is not None
            holder.twigs.insert(holder.twigs.index(twig) + 1, self.new(image, other))


def _pair(at: Tidying) -> Iterator[Move]:
    """Yield what lets one of two parts, ducts or covers stand for both."""
    for group in WITH_SIDES:
        if group != "places":
            yield from _pairs(at, group)


def _pair_places(at: Tidying) -> Iterator[Move]:
    """Yield what lets one place stand for both: where all its parts do, and the other has none."""
    yield from _pairs(at, "places")


def _pairs(at: Tidying, group: str) -> Iterator[Move]:
    pool, gone = at.short.pools.get(group, {}), set[str]()
    for name in pool:
        other = at.short.other(name)
        if name in gone or other in gone or other == name or other not in pool:
            continue
        for one, image in ((name, other), (other, name)):
            differs = _differs(at.short, group, one, image)
            if differs is None or not _both(at, group, one, image):
                continue
            span = pool[one].key.span
            entries = {w: Entry(Scalar(w, True, span), node) for w, node in differs.items()}
            said = Mapping(entries, span) if entries else Scalar("yes", True, span)
            path, other_path = at.short.path(group, one), at.short.path(group, image)
            cost = sum(map(_signs, at.tree.item(f",{MIRRORED}", said)))
            if cost < _signs(at.tree.source(at.short.entry(other_path))):
                yield partial(at.merge, path, other_path, said)
                gone |= {one, image}
                break


def _differs(short: ShortForms, group: str, name: str, other: str) -> dict[str, Node] | None:
    """Return what an entry's `mirrored` would say to stand for another one as well.

    None if it cannot: one of them is like the other, or the mirror image says too much.
    """
    pool, like = short.pools[group], name
    while isinstance(node := pool[like].node, Mapping) and MIRRORED not in node.entries:
        stated = node.get("like") if group in GROUPS else None
        if not isinstance(stated, Scalar):
            break
        like = stated.text
        if like == other or like not in pool:
            return None
    base, twin = (short.meant(group, n, [n]) for n in (name, other))
    if not isinstance(base, Mapping) or not isinstance(twin, Mapping):
        return None
    too_much = base.entries.keys() - NO_IMAGE - twin.entries.keys()
    if MIRRORED in {*base.entries, *twin.entries} or too_much:
        return None
    image = short.mirrored(other, base).entries
    return {
        word: entry.node
        for word, entry in twin.entries.items()
        if word not in image or plain(image[word].node) != plain(entry.node)
    }


def _both(at: Tidying, group: str, one: str, image: str) -> bool:
    """Say whether two entries can be made one."""
    if not at.free(at.short.path(group, one)) or not at.free(at.short.path(group, image)):
        return False
    if group != "places":
        return True
    parts = (part for word in GROUPS for part in _under(at, one, word))
    alone = [p for p in parts if not at.short.is_doubled(p.key.text)]
    return not alone and not any(word in GROUPS for word in _keys(at.short.entry((group, image))))


def _under(at: Tidying, place: str, group: str) -> Iterable[Entry]:
    node = at.short.entry(("places", place)).node
    return entries_of(node.get(group) if isinstance(node, Mapping) else None)


def _place(at: Tidying) -> Iterator[Move]:
    """Yield what moves parts under their place, where less is then to be typed."""
    for place in entries_of(at.tree.top.get("places")):
        name, has = place.key.text, _keys(place)
        paths: list[Path] = [
            (group, part.key.text)
            for group in GROUPS
            for part in entries_of(at.tree.top.get(group))
            if _stands_in(part, name) and (MIRRORED not in has or MIRRORED in _keys(part))
            if at.free((group, part.key.text))
        ]
        saved = len(paths) * len(f"place:{name},")
        cost = sum(len(f"{group}:") for group in {path[0] for path in paths} - has)
        if saved > cost and at.free(("places", name)):
            yield partial(at.move_under, name, paths)


def _stands_in(part: Entry, place: str) -> bool:
    stated = part.node.get("place") if isinstance(part.node, Mapping) else None
    return isinstance(stated, Scalar) and stated.text == place


def _bare(at: Tidying) -> Iterator[Move]:
    """Yield what takes `mirrored: yes` from the parts of a place that says it for them."""
    for place in at.short.images.get("places", {}).values():
        for group in GROUPS:
            for part in _under(at, place, group):
                path = at.short.path(group, part.key.text)
                both = part.node.get(MIRRORED) if isinstance(part.node, Mapping) else None
                if (
                    isinstance(both, Scalar)
                    and at.short.is_doubled(part.key.text)
                    and at.free(path)
                ):
                    yield partial(at.bare, path)


def _write_out(at: Tidying) -> Iterator[Move]:
    """Yield what lets parts, ducts and covers say all themselves."""
    for group, pool in at.short.pools.items():
        for name in pool if group != "places" else ():
            path = at.short.path(group, name)
            told = {MIRRORED, "like"} & _keys(at.short.entry(path)) or len(path) > 2
            if told and at.free(path):
                yield partial(at.write_out, group, path)


def _write_out_places(at: Tidying) -> Iterator[Move]:
    """Yield what gives every place its own entry, once its parts stand elsewhere."""
    for place in entries_of(at.tree.top.get("places")):
        path, has = ("places", place.key.text), _keys(place)
        if MIRRORED in has and not has & set(GROUPS) and at.free(path):
            yield partial(at.write_out, "places", path)


def _keys(entry: Entry) -> set[str]:
    return set(entry.node.entries) if isinstance(entry.node, Mapping) else set()


def _rank(spot: Twig, twig: Twig) -> int:
    """Return where a key stands among the groups of parts of a plan or of a place."""
    before = spot.key or twig.name in BEFORE_PARTS
    return RANK.get(twig.name, -1 if before else len(RANK))


def _split(over: list[str]) -> tuple[list[str], list[str]]:
    """Part the lines above a key into what is not its own, and the comments directly above it."""
    number = len(over)
    while number and over[number - 1].lstrip().startswith("#"):
        number -= 1
    return over[:number], over[number:]


def _remarks(twig: Twig) -> list[str]:
    return [line.strip() for line in _split(twig.over)[1]]


def _says(lines: list[str]) -> bool:
    return any(line.strip() for line in lines)


def _signs(text: str) -> int:
    """Return how many signs of a text somebody types who need not indent."""
    return len("".join(text.split()))
