"""Writes edits into a plan's text and leaves everything else as it stands.

The text is not written anew from data: each edit becomes an insertion or a replacement at the
place where the parser saw the part. Comments, order, quotes and line ends of the builder stay.
"""

from __future__ import annotations

import difflib
import itertools
from collections import defaultdict
from collections.abc import Iterable, Iterator

from harness.base.data import dataclass, field
from harness.base.refusal import Refusal
from harness.parts.kinds import GROUPS
from harness.plan.plan import HEAD, Plan
from harness.plan.short import MIRRORED, ShortForms
from harness.reading.nodes import Entry, Items, Mapping, Node, Scalar, compose, entries_of
from harness.reading.patches import Patch, PatchedText
from harness.reading.problems import Reading


@dataclass(frozen=True, slots=True)
class SetKey:
    """One key of one part gets a value. `value` is YAML as it is written: `rx.1`, `yes`."""

    part: str
    key: str
    value: str


@dataclass(frozen=True, slots=True)
class AddPart:
    """A new part: `fields` are key and value as written, in order; `about` a comment above it."""

    group: str
    id: str
    fields: tuple[tuple[str, str], ...]
    comment: str = ""


@dataclass(frozen=True, slots=True)
class SetChannel:
    """A channel without an entry gets one; another what it does not say of `fields`, in order."""

    channel: str
    fields: tuple[tuple[str, str], ...]


Edit = SetKey | AddPart | SetChannel


WIDE = 100
"""Columns that a line of a plan should not go beyond."""

Fields = Iterable[tuple[str, str]]


def apply(plan: Plan, edits: Iterable[Edit]) -> str:
    """Return the plan's text with the edits in it; comments and order stay.

    Raises Refusal where a part is written as an alias of another, which an edit would change too.
    """
    top = compose(plan.source)
    assert isinstance(top, Mapping)
    sockets = tuple(pair for p in plan.parts.values() if p.is_radio for pair in p.channels.items())
    text = PatchedText(plan.source.text)
    editing = _Editing(text, top, ShortForms.of(top, Reading()), sockets)
    keys: dict[str, list[tuple[str, str]]] = defaultdict(list)
    for edit in edits:
        if isinstance(edit, SetKey):
            keys[edit.part].append((edit.key, edit.value))
        elif isinstance(edit, AddPart):
            editing.add_part(edit)
        else:
            editing.set_channel(edit)
    for part in list(keys):
        for other, key, value in editing.stays(part):
            if key in dict(keys[part]) and key not in dict(keys.get(other, ())):
                keys[other].append((key, value))
    for part, fields in keys.items():
        editing.set_keys(part, fields)
    return editing.done()


def difference(plan: Plan, text: str) -> str:
    """Return the unified difference between a plan's text and a new one; empty when equal."""
    name = plan.source.file
    old, new = plan.source.text.splitlines(), text.splitlines()
    lines = difflib.unified_diff(old, new, f"{name} (as it is)", f"{name} (proposed)", lineterm="")
    return "".join(f"{line}\n" for line in lines)


@dataclass
class _Editing:
    """The text, its tree, and the patches so far. `added`: lines for groups still to be made."""

    text: PatchedText
    top: Mapping
    short: ShortForms
    sockets: tuple[tuple[str, str], ...] = ()
    patches: list[Patch] = field(default_factory=list)
    added: dict[str, list[str]] = field(default_factory=dict)
    after: dict[int, list[str]] = field(default_factory=lambda: defaultdict(list))

    def done(self) -> str:
        """Put every patch in, from the end to the beginning."""
        self.patches += list(self._one_a_line())
        for offset, lines in self.after.items():
            self.patches.append(self.text.new_lines(offset, lines))
        for group, lines in self.added.items():
            place = self.text.end if group != "channels" else self._before_groups()
            self.patches.append(self.text.new_lines(place, ["", f"{group}:", *lines]))
        return self.text.patched(self.patches)

    def add_part(self, edit: AddPart) -> None:
        """Add a part after the last of its group."""
        self._add(edit.group, edit.id, _flow(edit.fields), edit.comment, "")

    def set_channel(self, edit: SetChannel) -> None:
        """Add a channel after the one with the next lower number, or to what one says."""
        if there := self._channel(edit.channel):
            self._said_more(there, edit)
            return
        fields = dict(edit.fields)
        short = fields["function"] if list(fields) == ["function"] else _flow(edit.fields)
        self._add("channels", edit.channel, short, "", edit.channel)

    def _channel(self, number: str) -> Entry | None:
        """Return a channel's entry, under its number or the name of its socket."""
        names = {number, *(name for name, n in self.sockets if n == number)}
        return next((e for e in entries_of(self.top.get("channels")) if e.key.text in names), None)

    def _said_more(self, entry: Entry, edit: SetChannel) -> None:
        more, node = edit.fields[1:], entry.node
        start, end = self.text.after_colon(entry), self.text.end_of(entry)
        if isinstance(node, Mapping) and self.text.is_alias(entry):
            line = entry.key.span.line
            raise Refusal(f"channel {edit.channel} on line {line} is an alias: write it out")
        if isinstance(node, Mapping):
            new = [f for f in more if f[0] not in node.entries]
            self.patches += self._replaced(node, [f for f in more if f not in new])
            self._new_keys(node, new)
        else:
            fields = [("function", self.text.text[start:end].strip()), *more]
            self.patches.append(Patch(start, end, f" {_flow(fields)}"))

    def _one_a_line(self) -> Iterator[Patch]:
        """Part the channels of a line that grows too wide; what is written in braces has no remark.

        Only between two that stand on one line: breaks of the builder stay.
        """
        node = self.top.get("channels")
        if not isinstance(node, Mapping) or not node.entries or not self.text.is_flow(node):
            return
        entries = list(node.entries.values())
        for one, other in itertools.pairwise(entries):
            end, start = self.text.end_of(one), self.text.offset(other.key.span)
            grown = self._grown(start)
            wide = grown and self.text.width_at(start) + grown > WIDE
            if wide and self.text.line_number(end) == self.text.line_number(start):
                indent = " " * (entries[0].key.span.column - 1)
                yield Patch(end, start, f",{self.text.line_end}{indent}")

    def _grown(self, place: int) -> int:
        """Return by how much the patches so far widen the line with `place`."""
        line = self.text.line_number(place)
        mine = (p for p in self.patches if self.text.line_number(p.start) == line)
        return sum(len(p.new.split(self.text.line_end)[0]) + p.start - p.end for p in mine)

    def _add(self, group: str, name: str, value: str, comment: str, number: str) -> None:
        node = self.top.get(group)
        if not isinstance(node, Mapping) or not node.entries:
            self._add_to_empty(group, node, name, value, comment)
            return
        before = _before(node, number)
        if self.text.is_flow(node):
            self._add_to_flow(node, before, f"{name}: {value}")
            return
        indent = next(iter(node.entries.values())).key.span.column - 1
        lines = [*_comment(comment, indent), *_broken(f"{' ' * indent}{name}: ", value)]
        self.after[self._line_after(before, node)] += lines

    def _add_to_empty(
        self, group: str, node: Node | None, name: str, value: str, comment: str
    ) -> None:
        lines = [*_comment(comment, 2), *_broken(f"  {name}: ", value)]
        if group not in self.top.entries:
            self.added.setdefault(group, []).extend(lines)
            return
        entry = self.top.entries[group]
        place = self.text.after_colon(entry)
        if node is not None and self.text.end_of(entry) > place:  # {} or ~ stands there
            self.patches.append(Patch(place, self.text.end_of(entry), ""))
        self.after[self.text.next_line(self.text.end_of(entry))] += lines

    def _add_to_flow(self, node: Mapping, before: Entry | None, item: str) -> None:
        if before is None:
            place = self.text.offset(next(iter(node.entries.values())).key.span)
            self.patches.append(Patch(place, place, f"{item}, "))
        else:
            place = self.text.end_of(before)
            self.patches.append(self._inserted(node, place, item))

    def _inserted(self, node: Mapping, place: int, item: str) -> Patch:
        """Insert into a flow mapping; on a line of its own where the line would grow too wide."""
        first = next(iter(node.entries.values()), None)
        if first is None:
            return Patch(place, place, item)
        if self.text.width_at(place) + self._grown(place) + len(item) + 2 <= WIDE:
            return Patch(place, place, f", {item}")
        indent = " " * (first.key.span.column - 1)
        return Patch(place, place, f",{self.text.line_end}{indent}{item}")

    def _line_after(self, before: Entry | None, node: Mapping) -> int:
        if before is None:
            first = next(iter(node.entries.values()))
            return self.text.line_start(self.text.offset(first.key.span))
        return self.text.next_line(self.text.end_of(before))

    def _before_groups(self) -> int:
        """Return where a key of the head goes: behind the last one before the first part."""
        place = self.text.end
        for word, entry in self.top.entries.items():
            if word in GROUPS:
                return place
            if word in HEAD:
                place = self.text.next_line(self.text.end_of(entry))
        return self.text.end

    def set_keys(self, part: str, fields: list[tuple[str, str]]) -> None:
        """Give keys of one part their values; a mirror image has its own beside what it is of."""
        entry, name = self.short.home(part)
        if name != part:
            entry, fields = _other_side(entry, fields)
        node = entry.node
        if self.text.is_alias(entry):
            line = entry.key.span.line
            raise Refusal(f'"{part}" on line {line} is an alias: write it out, or use `like:`')
        if isinstance(node, Scalar):
            self.patches.append(self._valued(entry, _flow(fields)))
            return
        assert isinstance(node, Mapping)
        fields = [(key, self._wrapped(node, key, value)) for key, value in fields]
        new = [(key, value) for key, value in fields if key not in node.entries]
        self.patches += self._replaced(node, [f for f in fields if f not in new])
        self._new_keys(node, new)

    def _wrapped(self, node: Mapping, key: str, value: str) -> str:
        """Break a list of mappings between them where the line would grow too wide."""
        first = next(iter(node.entries.values()), None)
        column = (first.key.span.column if first else 1) + len(key) + 2
        fits = column + len(value) <= WIDE or not value.startswith("[{")
        return value if fits else value.replace("}, ", f"}},{self.text.line_end}{' ' * column}")

    def stays(self, part: str) -> Iterator[tuple[str, str, str]]:
        """Yield what the image of a part has of it, and keeps when it changes: id, key, value."""
        said = self.short.image(part)
        for key, other in (("shaft", ""), ("reversed", "no")) if said else ():
            node, name = said.get(key), said["id"]
            assert isinstance(name, Scalar)
            value = node.text if isinstance(node, Scalar) else other
            if value:
                yield name.text, key, value

    def _replaced(self, node: Mapping, fields: Fields) -> Iterator[Patch]:
        for key, value in fields:
            entry = node.entries[key]
            start, end = self.text.offset(entry.node.span), self.text.end_of(entry)
            stands = end > start and not self.text.is_alias(entry)
            if isinstance(entry.node, Items) and stands:
                stands = False
                if "#" in self.text.text[self.text.after_colon(entry) : end]:
                    what = f"the list {key} on line {entry.key.span.line}"
                    raise Refusal(
                        f"{what} has remarks (#) amid its values: put them above it first"
                    )
            yield Patch(start, end, value) if stands else self._valued(entry, value)

    def _valued(self, entry: Entry, value: str) -> Patch:
        """Write a value behind a key that has none, or only an alias or ~."""
        start = self.text.after_colon(entry)
        colon = "" if self.text.text[start - 1] == ":" else ":"
        return Patch(start, max(start, self.text.end_of(entry)), f"{colon} {value}")

    def _new_keys(self, node: Mapping, fields: list[tuple[str, str]]) -> None:
        if not fields:
            return
        if self.text.is_flow(node):
            last = list(node.entries.values())[-1:]
            place = self.text.end_of(last[0]) if last else self.text.inside(node)
            item = ", ".join(f"{key}: {value}" for key, value in fields)
            self.patches.append(self._inserted(node, place, item))
            return
        first = next(iter(node.entries.values()))
        indent = " " * (first.key.span.column - 1)
        place = self.text.line_start(self.text.offset(first.key.span))
        self.after[place] += [f"{indent}{key}: {value}" for key, value in fields]


def _other_side(entry: Entry, fields: list[tuple[str, str]]) -> tuple[Entry, list[tuple[str, str]]]:
    """Return where the keys of a mirror image go: into what differs, or as all that differs."""
    both = entry.node.entries.get(MIRRORED) if isinstance(entry.node, Mapping) else None
    if both is not None and isinstance(both.node, Mapping):
        return both, fields
    return entry, [(MIRRORED, _flow(fields))]


def _before(node: Mapping, number: str) -> Entry | None:
    """Return the entry that a new one comes after: the last, or the next lower channel."""
    entries = list(node.entries.values())
    if not number.isdecimal():
        return entries[-1]
    lower = [e for e in entries if e.key.text.isdecimal() and int(e.key.text) < int(number)]
    return max(lower, key=lambda e: int(e.key.text)) if lower else None


def _flow(fields: Fields) -> str:
    return "{" + ", ".join(f"{key}: {value}" for key, value in fields) + "}"


def _comment(text: str, indent: int) -> list[str]:
    return [f"{' ' * indent}# {text}"] if text else []


def _broken(head: str, value: str) -> list[str]:
    """Break a flow mapping at its commas where the line would grow too wide."""
    if len(head) + len(value) <= WIDE or ", " not in value:
        return [head + value]
    lines, line = [], head
    indent = " " * (len(head) + 1)
    pieces = value.split(", ")
    for number, piece in enumerate(pieces):
        text = piece + (", " if number < len(pieces) - 1 else "")
        if len(line + text.rstrip()) > WIDE and line.strip() != head.strip():
            lines.append(line.rstrip())
            line = indent
        line += text
    return [*lines, line]
