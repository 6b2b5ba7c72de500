"""Records: mappings with known keys, declared as dataclasses, described and read in one place."""

from __future__ import annotations

import re
from collections.abc import Mapping as Mapping_
from functools import cached_property
from typing import Any

from harness.base.data import MISSING, dataclass, field, fields
from harness.base.near import nearest, spoken
from harness.reading.kinds import HOISTED, MAPPING, Kind, Schema, either, or_nothing
from harness.reading.nodes import Entry, Mapping, Node, Scalar, is_empty
from harness.reading.problems import Reading


@dataclass(frozen=True)
class Key:
    """One key of a record: its word in the file, its kind, its meaning."""

    word: str
    attribute: str
    kind: Kind
    about: str
    required: bool


def key(kind: Kind, about: str, *, word: str = "", default: Any = None, must: bool = False) -> Any:
    """Declare a dataclass field that is read from a plan."""
    meta = {"kind": kind, "about": about, "word": word}
    if must:
        return field(metadata=meta)
    if isinstance(default, dict):
        return field(default_factory=lambda: dict(default), metadata=meta)
    return field(default=default, metadata=meta)


_KEYS: dict[type[Any], dict[str, Key]] = {}


def keys_of(cls: type[Any]) -> dict[str, Key]:
    """Return the keys of a record class by their word in the file."""
    if cls not in _KEYS:
        found = {}
        for item in fields(cls):
            if meta := item.metadata:
                word = meta["word"] or item.name.replace("_", "-")
                must = item.default is MISSING and item.default_factory is MISSING
                found[word] = Key(word, item.name, meta["kind"], meta["about"], must)
        _KEYS[cls] = found
    return _KEYS[cls]


class Keyed(Kind):
    """A mapping with known keys. `optional`: keys that need not be given may stand empty."""

    called = MAPPING
    optional = False
    named = False
    """Whether it knows the id it stands under: what is missing is told there."""

    @cached_property
    def keys(self) -> dict[str, Key]:
        """What may stand in it, by word."""
        raise NotImplementedError

    def inner(self, step: str | int) -> Kind:
        """Return the kind of a key's value."""
        return self.keys[str(step)].kind

    def schema(self) -> Schema:
        """An object; where keys must be given, a part that is `like` another may leave them out."""
        must = [word for word, item in self.keys.items() if item.required]
        shape: Schema = {
            "type": "object" if must else ["object", "null"],
            "properties": {word: self._described(item) for word, item in self.keys.items()},
            "additionalProperties": False,
        }
        if must and "like" in self.keys:
            return shape | either({"required": ["like"]}, True, {"required": must})
        return shape | ({"required": must} if must else {})

    def _described(self, item: Key) -> Schema:
        shape = item.kind.schema()
        empty = self.optional and not item.required
        return {"description": item.about, **(or_nothing(shape) if empty else shape)}

    def refuse(self, node: Node, at: Reading, schema: Schema, key: Scalar | None = None) -> None:
        """Note wrong and missing keys, or how a mapping is written."""
        if not isinstance(node, Mapping) and not is_empty(node):
            self._no_keys(node, at, key)
            return
        from harness.reading.misnomers import NO_BUS, is_bus

        given = node.entries if isinstance(node, Mapping) else {}
        known = schema.get("properties", self.keys)
        for word, entry in given.items():
            if word not in known and is_bus(word):
                at.wrong(NO_BUS[0], entry.key.span, NO_BUS[1])
            elif word not in known:
                self.unknown(entry, given, at)
        must = schema.get("required") or [k.word for k in self.keys.values() if k.required]
        slips = {self._slip(entry) for word, entry in given.items() if word not in self.keys}
        for word in must if "like" not in slips else ():
            if word not in given and word not in slips:
                self.missing(word, key if key and self.named else node, at)

    def _slip(self, entry: Entry) -> str:
        """Return the key that a wrong one was to be: it is not missing as well."""
        from harness.reading.misnomers import meant

        word = entry.key.text
        first = re.split(r"[\s:]", word)[0]
        return (
            first
            if first in self.keys
            else meant(word, self.keys) or nearest(word, self.keys) or ""
        )

    def _no_keys(self, node: Node, at: Reading, key: Scalar | None) -> None:
        """Say how keys are written where something else stands."""
        first = max(self.keys.values(), key=lambda k: (k.required, k.word == "class"))
        text = node.text if isinstance(node, Scalar) else ""
        bare = text and (first.word == "class" or text in getattr(first.kind, "meanings", ()))
        said = text if bare else f"...}}; {first.word} is {first.about}"
        help_ = f"write it as {{{first.word}: {said}" + "}" * bool(bare)
        what = self.one if key and self.named else ""
        at.wrong(
            f'"{key.text}" is {what}: its keys are wanted here'
            if what and key
            else f"wanted is {MAPPING}",
            node.span,
            help_,
        )

    @property
    def one(self) -> str:
        """What a message calls that which has these keys: a servo."""
        return ""

    def unknown(self, entry: Entry, given: Mapping_[str, Entry], at: Reading) -> None:
        """Note a wrong key: what it was to be, or where it would be right."""
        word, span = entry.key.text, entry.key.span
        split = re.fullmatch(r"(\S+)\s+(\S.*)", word)
        if entry.lone and split and split[1] in self.keys:
            right = f'write "{split[1]}: {split[2]}"'
            at.wrong(f'"{word}" has no colon and no value', span, right)
            return
        before = list(given)[list(given).index(word) - 1]
        value = given[before].node
        if entry.lone and before != word and isinstance(value, Scalar) and not is_empty(value):
            at.wrong(
                f'"{word}" has no colon and no value',
                span,
                f'a text with a comma in it stands in quotes: {before}: "{value.text}, {word}"',
            )
            return
        at.wrong(
            f'"{word}" is not a key {f"of {self.one}" if self.one else "here"}',
            span,
            self._right(entry, at),
        )

    def _right(self, entry: Entry, at: Reading) -> str:
        from harness.reading.misnomers import ASIDE, is_aside, meant

        word = entry.key.text
        if is_aside(word):
            return ASIDE
        if right := meant(word, self.keys):
            number = isinstance(entry.node, Scalar) and entry.node.text.isdecimal()
            if right == "plug" and number and isinstance(entry.node, Scalar):
                return f"say where its plug goes: write plug: {at.radio}.{entry.node.text}"
            return f"write {right}"
        if near := at.hint(word, self.keys, most=12):
            return near
        return self._listed(word, at) if self.one and not at.many else ""

    def _listed(self, word: str, at: Reading) -> str:
        """Say of what else a key is one, and how those of this are listed."""
        group = getattr(getattr(self, "cls", None), "group", "")
        if homes := at.homes(word):
            return (
                f"{word} is a key of {spoken(homes[:3])}: `harness keys {group}` lists those"
                f" of {self.one}"
            )
        return f"`harness keys {group}` lists its keys; what is none of them goes into about"

    def missing(self, word: str, spot: Node, at: Reading) -> None:
        """Note a key that must be given."""
        help_ = f"{self.keys[word].about}; wanted is {self.keys[word].kind.noun}"
        at.wrong(f'the key "{word}" is missing', spot.span, help_)


@dataclass(frozen=True)
class RecordOf(Keyed):
    """A mapping with known keys, read into a dataclass whose fields were made by `key`."""

    cls: type[Any]
    short: str = ""
    """The key that a bare value stands for, if it may stand for one."""
    optional: bool = False

    @cached_property
    def keys(self) -> dict[str, Key]:
        """The keys of the dataclass."""
        return keys_of(self.cls)

    @cached_property
    def own(self) -> frozenset[str]:
        """The fields of the dataclass that are no keys."""
        return frozenset(item.name for item in fields(self.cls) if not item.metadata)

    @property
    def named(self) -> bool:  # type: ignore[override]
        """Whether the dataclass has an id."""
        return "id" in self.own

    @property
    def one(self) -> str:
        """A part's own word."""
        word = getattr(self.cls, "word", "")
        return f"{'an' if word[:1].lower() in 'aeiou' else 'a'} {word}" if word else ""

    @property
    def noun(self) -> str:
        """A mapping; where one key may stand alone, what that is."""
        return f"{self.keys[self.short].kind.noun}, or {MAPPING}" if self.short else MAPPING

    def convert(self, node: Node, key: Scalar | None = None) -> Any:
        """Return an instance of the dataclass."""
        entries = node.entries if isinstance(node, Mapping) else {}
        if self._is_bare(node):
            entries = {self.short: Entry(Scalar(self.short, True, node.span), node)}
        elif self.optional:
            entries = {
                word: e
                for word, e in entries.items()
                if not is_empty(e.node) or self.keys[word].required
            }
        known, wanted = self.keys, self.own
        values = {
            known[word].attribute: known[word].kind.convert(e.node) for word, e in entries.items()
        }
        if "id" in wanted and key:
            values["id"] = key.text
        if "span" in wanted:
            values["span"] = (key or node).span
        if "spans" in wanted:
            values["spans"] = {word: entry.node.span for word, entry in entries.items()}
        return self.cls(**values)

    def schema(self) -> Schema:
        """An object; a bare value where one key may stand alone."""
        name = getattr(self.cls, "group", self.cls.__name__.lower())
        whole = {HOISTED: name, **super().schema()}
        if not self.short:
            return whole
        return either(
            {"type": ["object", "null"] if self.optional else "object"},
            whole,
            self.keys[self.short].kind.schema(),
        )

    def at(self, node: Node) -> Kind:
        """Return the kind of the short form where that stands."""
        return self.keys[self.short].kind.at(node) if self._is_bare(node) else self

    def _is_bare(self, node: Node) -> bool:
        mapping = isinstance(node, Mapping) or (self.optional and is_empty(node))
        return bool(self.short) and not mapping
