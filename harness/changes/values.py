"""Values of a plan, compared and said: by what they mean, not by how or where they are written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from harness.base.data import dataclass, is_dataclass, replace
from harness.base.near import spoken
from harness.base.units import FRACTION, LENGTH, WireSize, format_quantity
from harness.parts.bec import WordOr
from harness.parts.join import Join
from harness.reading.amounts import Amount, Share, WireGauge
from harness.reading.kinds import Kind, ListOf, MapOf
from harness.reading.records import RecordOf, keys_of

SILENT = frozenset({"like", "code"})
"""Keys that are no facts of their own: what is repeated is compared; codes are with the labels."""
NAMING = frozenset(
    {"across", "steered_by", "meant_for", "part", "end", "moving", "stalled", "without"}
)
"""Attributes that may name a part, which may have another name now."""
NOTHING = "-"
METRES = 10_000.0
"""From here on a length is told in metres, mm."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One fact that differs: `path` in words, its values in words; `more`: +1, -1 or 0."""

    path: str
    old: str
    new: str
    more: int = 0
    wire: bool = False
    length: bool = False


def is_join(kind: Kind) -> bool:
    """Say whether a key holds plugs; those are compared in the wiring."""
    if isinstance(kind, RecordOf):
        return kind.cls is Join
    if isinstance(kind, ListOf):
        return is_join(kind.item)
    return isinstance(kind, MapOf) and is_join(kind.value)


def facts(record: Any, names: Mapping[str, str], leave: frozenset[str] = SILENT) -> Any:
    """Return what a record says, without where it says it; ids renamed by `names`."""
    if is_dataclass(record) and not isinstance(record, type | WireSize):
        told = (
            (word, _named(item.attribute, facts(getattr(record, item.attribute), names), names))
            for word, item in keys_of(type(record)).items()
            if word not in leave and not is_join(item.kind)
        )
        return (type(record).__name__, *told)
    if isinstance(record, WireSize):
        return record.area_mm2
    if isinstance(record, Mapping):
        return tuple(sorted((name, facts(value, names)) for name, value in record.items()))
    if isinstance(record, list | tuple):
        return tuple(facts(value, names) for value in record)
    return record


def _named(attribute: str, value: Any, names: Mapping[str, str]) -> Any:
    if attribute not in NAMING or not names:
        return value
    if isinstance(value, tuple):
        return tuple(names.get(each, each) for each in value)
    if isinstance(value, str):
        part, dot, port = value.partition(".")
        return names.get(part, part) + dot + port
    return value


def differences(
    old: Any, new: Any, names: Mapping[str, str], path: str = ""
) -> Iterator[Difference]:
    """Yield what differs between two records of one class, key by key."""
    for word, item in keys_of(type(new)).items():
        if word in SILENT or is_join(item.kind):
            continue
        mine, theirs = getattr(old, item.attribute), getattr(new, item.attribute)
        before = _named(item.attribute, facts(mine, names), names)
        if facts(mine, {}) == facts(theirs, {}) or before == facts(theirs, {}):
            continue
        told = f"{path} {_spoken(word)}".strip()
        for found in _differing(item.kind, mine, theirs, names, told):
            yield _as_stated(found, word, old, new) if isinstance(theirs, bool) else found


def _as_stated(found: Difference, word: str, old: Any, new: Any) -> Difference:
    """Return a yes or no that a plan does not state as not stated: its "no" is nobody's word."""
    before = found.old if word in old.spans else NOTHING
    return replace(found, old=before, new=found.new if word in new.spans else NOTHING)


def _differing(
    kind: Kind, old: Any, new: Any, names: Mapping[str, str], path: str
) -> Iterator[Difference]:
    if is_dataclass(new) and type(old) is type(new) and not isinstance(new, WireSize):
        yield from differences(old, new, names, path)
    elif isinstance(kind, MapOf) and isinstance(kind.value, RecordOf):
        for name in sorted({*old, *new}):
            if facts(old.get(name), names) != facts(new.get(name), {}):
                yield from _differing(
                    kind.value, old.get(name), new.get(name), names, f"{path} {name}"
                )
    elif isinstance(kind, ListOf) and isinstance(kind.item, RecordOf) and len(old) == len(new):
        for number, (one, other) in enumerate(zip(old, new, strict=True), 1):
            yield from differences(one, other, names, f"{path} {number}")
    else:
        yield Difference(
            path,
            said(kind, old),
            said(kind, new),
            _more(old, new),
            isinstance(kind, WireGauge),
            isinstance(kind, Amount) and kind.dimension is LENGTH and path == "length",
        )


def _more(old: Any, new: Any) -> int:
    if isinstance(old, WireSize) and isinstance(new, WireSize):
        return 1 if new > old else -1
    if isinstance(old, bool | str | tuple) or isinstance(new, bool | str | tuple):
        return 0
    if isinstance(old, int | float) and isinstance(new, int | float):
        return 1 if new > old else -1
    return 0


def _spoken(word: str) -> str:
    return {"bec": "BEC", "at": "position", "about": "remark"}.get(word, word.replace("-", " "))


def said(kind: Kind, value: Any) -> str:
    """Return a value in words; "-" where nothing is stated."""
    if value is None or value in ("", (), {}):
        return NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(kind, WordOr) and not isinstance(value, str):
        kind = kind.kind
    if isinstance(kind, Amount) and kind.dimension is LENGTH and value >= METRES:
        return f"{value / 1000:g} m"
    if isinstance(kind, Amount | Share):
        return format_quantity(value, kind.dimension if isinstance(kind, Amount) else FRACTION)
    return value.text if isinstance(value, WireSize) else _gathered(kind, value)


def _gathered(kind: Kind, value: Any) -> str:
    if is_dataclass(value):
        return record_words(value)
    if isinstance(value, Mapping):
        inner = kind.value if isinstance(kind, MapOf) else kind
        return ", ".join(f"{name}: {said(inner, each)}" for name, each in sorted(value.items()))
    if isinstance(value, tuple):
        if value == tuple(str(n + 1) for n in range(len(value))):
            return str(len(value))
        inner = kind.item if isinstance(kind, ListOf) else kind
        return spoken([said(inner, each) for each in value])
    return str(value)


def record_words(record: Any) -> str:
    """Return what a record says in words: kind crow, of aileron and flap."""
    keys = keys_of(type(record))
    told = {
        _spoken(word): said(item.kind, getattr(record, item.attribute))
        for word, item in keys.items()
        if not is_join(item.kind) and word in record.spans
    }
    return ", ".join(f"{word} {value}" for word, value in told.items()) or "nothing"
