"""Parts that are new, gone, renamed, or state something else now."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from harness.base.near import spoken
from harness.changes.change import Change
from harness.changes.plugs import Plugs, where
from harness.changes.values import NOTHING, Difference, differences
from harness.parts.part import Part
from harness.wiring.build import Wiring


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
