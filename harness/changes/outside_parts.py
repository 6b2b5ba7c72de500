"""What changed outside the parts: channels, radio, airframe, kit, cases, flight, classes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from harness.airframe.kit import told_many
from harness.catalogue import Catalogue
from harness.changes.change import Change
from harness.changes.parts import sentence
from harness.changes.values import Difference, differences, facts, record_words, said
from harness.plan.kit import KitPiece
from harness.plan.plan import HEAD, Plan
from harness.wiring.codes import natural

NAMED = {"places": "place", "ducts": "duct", "covers": "cover", "cases": "case",
         "label-stocks": "label stock"}  # fmt: skip
LISTED = {"mixes": "mix", "kit": "kit line", "as-found": "fact found", "accepted": "acceptance",
          "wishes": "wish", "flight": "phase"}  # fmt: skip
ORDERED = {"wishes": "wishes", "flight": "phases of the flight"}
"""Lists whose order counts, and what they are called."""
SINGLE = {"transmitter": "transmitter", "surroundings": "surroundings"}
VALUES = ("aircraft", "about", "reserve", "buy-at-most")
_ATTRIBUTES = {"label-stocks": "stocks"}


def head_changes(old: Plan, new: Plan, names: Mapping[str, str]) -> Iterator[Change]:
    """Yield what changed outside the parts."""
    yield from _channels(old, new)
    for key in VALUES:
        kind, _ = HEAD[key]
        before, now = said(kind, _of(old, key)), said(kind, _of(new, key))
        if before != now:
            yield _changed("the plan", Difference(key.replace("-", " "), before, now))
    for key, word in SINGLE.items():
        for found in differences(_of(old, key), _of(new, key), names):
            yield _changed(f"the {word}", found)
    for key, word in NAMED.items():
        yield from _named(word, _of(old, key), _of(new, key), names)
    for key, word in LISTED.items():
        yield from _listed(word, ORDERED.get(key, ""), _of(old, key), _of(new, key), names)
    yield from _classes(old.catalogue, new.catalogue)


def _of(plan: Plan, key: str) -> Any:
    return getattr(plan, _ATTRIBUTES.get(key, key).replace("-", "_"))


def _changed(owner: str, found: Difference, kind: str = "changed", what: str = "") -> Change:
    text, key = sentence(owner, found), f"{what or owner}: {found.path}"
    return Change(kind, text, "", key, found.old, found.new)


def _channels(old: Plan, new: Plan) -> Iterator[Change]:
    for number in sorted({*old.channels, *new.channels}, key=natural):
        before, now = old.channels.get(number), new.channels.get(number)
        what = f"channel {number}"
        if before is None and now is not None:
            yield Change("channels", f"{what} is new: {now.function}", "", what, "-", now.function)
        elif before is not None and now is None:
            text = f"{what} is gone: it was {before.function}"
            yield Change("channels", text, "", what, before.function, "-")
        elif before is not None and now is not None:
            if before.function != now.function:
                text = f"{what} does {now.function} now, before {before.function}"
                yield Change("channels", text, "", what, before.function, now.function)
            for found in differences(before, now, {}):
                if found.path != "function":
                    yield _changed(f"{what} ({now.function})", found, "channels", what)


def _named(
    word: str, old: Mapping[str, Any], new: Mapping[str, Any], names: Mapping[str, str]
) -> Iterator[Change]:
    for name in sorted({*old, *new}, key=natural):
        what = f'{word} "{name}"'
        if name not in old:
            yield Change("new", f"{what} is new", "", what)
        elif name not in new:
            yield Change("gone", f"{what} is gone", "", what)
        else:
            for found in differences(old[name], new[name], names):
                yield _changed(what, found)


def _listed(
    one: str, ordered: str, old: Sequence[Any], new: Sequence[Any], names: Mapping[str, str]
) -> Iterator[Change]:
    """Records without a name: each is there as often as it is said; the order counts for some."""
    mine = [(facts(record, names), record) for record in old]
    theirs = [(facts(record, {}), record) for record in new]
    gone = Counter(key for key, _ in mine) - Counter(key for key, _ in theirs)
    fresh = Counter(key for key, _ in theirs) - Counter(key for key, _ in mine)
    if ordered and not gone and not fresh and [k for k, _ in mine] != [k for k, _ in theirs]:
        yield Change("changed", f"the {ordered} stand in another order", "", ordered)
    for kind, counts, pool in (("new", fresh, theirs), ("gone", gone, mine)):
        for key, record in pool:
            if counts[key]:
                counts[key] -= 1
                told = _told(record)
                yield Change(kind, f"{one} is {kind}: {told}", "", one, *_sides(kind, told))


def _sides(kind: str, told: str) -> tuple[str, str]:
    return ("-", told) if kind == "new" else (told, "-")


def _told(record: Any) -> str:
    if isinstance(record, KitPiece):
        more = f", for {record.meant_for}" if record.meant_for else ""
        spare = ", spare" if record.spare else ""
        return f"{told_many(record, record.count)} from the {record.found}{more}{spare}"
    return record_words(record)


def _classes(old: Catalogue, new: Catalogue) -> Iterator[Change]:
    """Yield the figures of classes that the plans state otherwise than one another."""
    if old is new:
        return
    for table in new.tables():
        for row in sorted({*old.rows(table), *new.rows(table)}):
            keys = {k for c in (old, new) if row in c.rows(table) for k in c.keys(table, row)}
            for key in sorted(keys):
                before, now = old.value(table, row, key), new.value(table, row, key)
                was = (before.number, before.unit) if before else None
                has = (now.number, now.unit) if now else None
                texts = (before.text if before else "-", now.text if now else "-")
                if was != has or (before and now and now.number is None and texts[0] != texts[1]):
                    yield _changed(f"class {row} of {table}", Difference(key, *texts))
