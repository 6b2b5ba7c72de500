"""What a finding speaks against, as a row that forbids it and no more."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from harness.base.finding import Finding
from harness.planner.answer import Chosen
from harness.planner.judged import JudgedAnswer
from harness.planner.programme import MANY, Model
from harness.planner.stock import StockPiece
from harness.rules.run import all_rules

FEEDING = frozenset({"supply", "load"})
OVERLOADED = "wire-load"
PLUG = "lead-load"
SHORT = "lead-too-short"
OF_THE_FEED = frozenset(
    {"bec-load", "linear-bec-heat", "logic-rail-overloaded", "over-voltage", "under-voltage"}
)
"""Rules about a source and all that hangs on its rail: who shares a channel does not matter."""
DEAD = "no-source"


@dataclass(frozen=True)
class Forbidden:
    """A row: the terms come to at most `most`. `wide`: it forbids more than the finding names."""

    terms: dict[int, float]
    most: float
    wide: bool = False


def cut_of(model: Model, judged: JudgedAnswer, finding: Finding) -> Forbidden | None:
    """Return the row that forbids what a finding names; None where it names nothing chosen.

    Each fact is a set of columns of which at most one is taken; not all facts may hold at once.
    """
    feed = judged.answer.feed
    facts: list[set[int]] = []
    named = feed is not None and {part for part, _ in feed.roles} & set(finding.parts)
    if named and all_rules()[finding.rule].family in FEEDING:
        facts.append(_feeds(model, judged, finding))
    if finding.rule == DEAD or (facts and finding.rule in OF_THE_FEED):
        return _joined(facts, [], False) if facts else None
    fills: list[int] = []
    wide = False
    for chosen in judged.answer.groups:
        fact, filled, shared = _group(model, judged, chosen, finding)
        facts += [fact] if fact else []
        fills += filled
        wide = wide or shared
    return _joined(facts, fills[:1], wide or len(fills) > 1) if facts else None


def _feeds(model: Model, judged: JudgedAnswer, finding: Finding) -> set[int]:
    """Return the columns of the feeds in which the parts named have the same roles."""
    assert judged.answer.feed is not None
    named = {role for role in judged.answer.feed.roles if role[0] in finding.parts}
    return {column for column, other in model.feeds.items() if named <= other.roles}


def _joined(facts: list[set[int]], fills: list[int], wide: bool) -> Forbidden:
    """Forbid that all facts hold together (and, where there is one, that a filling is used)."""
    each = MANY if fills else 1.0
    terms = {column: each for fact in facts for column in fact} | dict.fromkeys(fills, 1.0)
    return Forbidden(terms, each * len(facts) if fills else len(facts) - 1.0, wide)


def _group(
    model: Model, judged: JudgedAnswer, chosen: Chosen, finding: Finding
) -> tuple[set[int], list[int], bool]:
    """Return the uses of a group that a finding speaks against, the filling, and if it is wide."""
    use, parts = chosen.use, set(finding.parts)
    slots = [slot for slot in judged.writing.slots.get(use.names, ()) if slot[0] in parts]
    devices = {device.part.id for device in use.devices}
    shared = len(use.everything) > 1 and len(parts & devices) > 1
    if not slots and not shared and not (use.host.outlet and parts & devices):
        return set(), [], False
    alike = {
        column
        for column, other in model.uses.items()
        if other.names == use.names and other.where == use.where
    }
    if finding.rule == PLUG:  # every piece in that place has the same plug
        return alike, [], False
    inner = [(slot, piece) for _, slot, piece in slots if slot >= 0]
    if inner:
        return {c for c in alike if _same(model, c, inner, finding.rule)}, [], False
    for _, slot, piece in slots:
        found = list(_fillings(model, chosen, -slot - 1, piece))
        if found:
            return {c for c in alike if _wants(model, c, chosen, -slot - 1)}, *_one(
                model, chosen, found
            )
    return alike, [], bool(slots)


def _same(model: Model, column: int, inner: list[tuple[int, StockPiece]], rule: str) -> bool:
    """Say whether a use has all of these pieces, or ones that are no better, in their places."""
    pieces = model.uses[column].build.pieces
    return all(
        slot < len(pieces) and _no_better(pieces[slot], piece, rule) for slot, piece in inner
    )


def _no_better(other: StockPiece, piece: StockPiece, rule: str) -> bool:
    """Say whether another piece cannot do where this one does not."""
    if other.kind != piece.kind:
        return False
    if rule == OVERLOADED and piece.area > 0:
        return 0 < other.area <= piece.area
    if rule == SHORT and piece.length > 0:
        return 0 < other.length <= piece.length
    return other == piece


def _wants(model: Model, column: int, chosen: Chosen, arm: int) -> bool:
    """Say whether a use's arm wants the same as this one's."""
    mine, its = chosen.use.build.arms[arm], model.uses[column].build.arms[arm]
    return model.want(mine) == model.want(its)


def _fillings(model: Model, chosen: Chosen, arm: int, piece: StockPiece) -> Iterator[int]:
    """Yield the column of the filling that an arm has, if it holds the piece."""
    want = model.want(chosen.use.build.arms[arm])
    for column, (wanted, pieces) in model.arms.items():
        if wanted == want and pieces == chosen.arms[arm] and piece in pieces:
            yield column


def _one(model: Model, chosen: Chosen, fillings: list[int]) -> tuple[list[int], bool]:
    """Return one filling, and whether other groups could use it too."""
    want = model.arms[fillings[0]][0]
    mine = set(chosen.use.names)
    others = any(
        not mine & set(use.names) and any(model.want(a) == want for a in use.build.arms if a.wants)
        for use in model.uses.values()
    )
    return fillings[:1], others or len(fillings) > 1
