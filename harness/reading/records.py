"""Records: mappings with known keys, declared as dataclasses, read and described in one place."""

from __future__ import annotations

from dataclasses import MISSING, dataclass, field, fields
from typing import Any

from harness.base.span import Span
from harness.reading.kinds import BAD, Kind, Reading, Schema
from harness.reading.nodes import Entry, Mapping, Node, Scalar, is_empty

HOISTED = "$name"
"""Marks a record's schema for `schema.plan_schema`, which keeps each once, under `$defs`."""


@dataclass(frozen=True)
class RecordOf(Kind):
    """A mapping with known keys, read into a dataclass whose fields were made by `key`."""

    cls: type[Any]
    short: str = ""
    """The key that a bare value stands for, if it may stand for one."""

    @property
    def noun(self) -> str:  # type: ignore[override]
        """A mapping; where one key may stand alone, what that is."""
        mapping = "a mapping (key: value)"
        return f"{keys_of(self.cls)[self.short].kind.noun}, or {mapping}" if self.short else mapping

    def read(self, node: Node, at: Reading) -> Any:
        """Return an instance of the dataclass."""
        if self.short and not isinstance(node, Mapping):
            name = Scalar(self.short, True, node.span)
            node = Mapping({self.short: Entry(name, node)}, node.span)
        return read_record(self.cls, node, at)

    def schema(self) -> Schema:
        """An object; a bare value where one key may stand alone."""
        whole = {HOISTED: self.cls.__name__.lower(), **record_schema(self.cls)}
        if not self.short:
            return whole
        return {"anyOf": [keys_of(self.cls)[self.short].kind.schema(), whole]}


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
            if "kind" not in item.metadata:
                continue
            word = item.metadata["word"] or item.name.replace("_", "-")
            must = item.default is MISSING and item.default_factory is MISSING
            meta = item.metadata
            found[word] = Key(word, item.name, meta["kind"], meta["about"], must)
        _KEYS[cls] = found
    return _KEYS[cls]


def read_record(cls: type[Any], node: Node, at: Reading, **given: Any) -> Any:
    """Read a mapping node into `cls`; `given` fills fields that are not keys."""
    if is_empty(node):
        node = Mapping({}, node.span)
    if not isinstance(node, Mapping):
        known = keys_of(cls).values()
        first = next((k for k in known if k.required), next(iter(known)))
        help_ = f"write it as {{{first.word}: ...}}; {first.word} is {first.about}"
        return at.wrong("wanted is a mapping (key: value)", node.span, help_)
    values, spans = _values(cls, node, at)
    missing = [k for k in keys_of(cls).values() if k.required and k.word not in node.entries]
    for key_ in missing:
        spot = given.get("span", node.span)
        help_ = f"{key_.about}; wanted is {key_.kind.noun}"
        at.wrong(f'the key "{key_.word}" is missing', spot, help_)
    if missing or values is None:
        return BAD
    own = {item.name for item in fields(cls)}
    if "spans" in own:
        given["spans"] = spans
    if "span" in own:
        given.setdefault("span", node.span)
    return cls(**values, **given)


def _values(
    cls: type[Any], node: Mapping, at: Reading
) -> tuple[dict[str, Any] | None, dict[str, Span]]:
    """Read every key of a mapping; return (values by attribute or None, spans by key)."""
    known = keys_of(cls)
    values: dict[str, Any] = {}
    for word, entry in node.entries.items():
        if word in known:
            values[known[word].attribute] = known[word].kind.read(entry.node, at)
        else:
            help_ = at.hint(word, known, most=12)
            values[word] = at.wrong(f'"{word}" is not a key here', entry.key.span, help_)
    whole = all(value is not BAD for value in values.values())
    return values if whole else None, {w: entry.node.span for w, entry in node.entries.items()}


def record_schema(cls: type[Any]) -> Schema:
    """Return the JSON Schema of a record class."""
    known = keys_of(cls)
    properties = {
        word: {"description": item.about, **item.kind.schema()} for word, item in known.items()
    }
    shape: Schema = {
        "type": ["object", "null"],
        "properties": properties,
        "additionalProperties": False,
    }
    must = [word for word, item in known.items() if item.required]
    if must and "like" in known:
        shape |= {"if": {"required": ["like"]}, "then": True, "else": {"required": must}}
    elif must:
        shape |= {"required": must, "type": "object"}
    return shape
