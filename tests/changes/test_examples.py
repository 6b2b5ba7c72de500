"""Whole plans: like themselves in any order, mirrored when swapped, whatever two plans they are."""

from __future__ import annotations

import itertools
import random
import re
from pathlib import Path

import pytest
from kept import report_at

from harness.base.span import Source
from harness.changes.change import Changes
from harness.changes.compare import compare
from harness.documents.changes import all_changes, changes_json, changes_text
from harness.plan.load import parse_plan
from harness.rules.run import check

FOLDER = Path(__file__).parents[2] / "examples"
EXAMPLES = sorted(p for p in FOLDER.glob("*.yaml") if "." not in p.stem)
BROKEN = sorted((FOLDER / "broken").glob("*.yaml"))
EVERY_KIND = Path(__file__).parents[1] / "every_kind.yaml"
TOP = re.compile(r"^(?=[a-z-]+:)", re.MULTILINE)


def shuffled(text: str, seed: int) -> str:
    """Put the top-level keys of a plan in another order, each with the lines below it."""
    head, *blocks = TOP.split(text)
    random.Random(seed).shuffle(blocks)
    return head + "\n".join(block.rstrip("\n") for block in blocks) + "\n"


@pytest.mark.parametrize("path", [*EXAMPLES, EVERY_KIND], ids=lambda p: p.stem)
@pytest.mark.parametrize("seed", [1, 2])
def test_order_is_free(path: Path, seed: int) -> None:
    text = shuffled(path.read_text("utf-8"), seed)
    other = check(parse_plan(Source(str(path), text)))
    found = compare(report_at(path), other)
    assert not found.same_text
    assert [change.text for change in found.changes] == []


@pytest.mark.parametrize("path", BROKEN, ids=lambda p: p.stem)
def test_findings_do_not_hang_on_the_order(path: Path) -> None:
    """The same faults stand in other lines; what is said of them stays the same."""
    other = check(parse_plan(Source(str(path), shuffled(path.read_text("utf-8"), 3))))
    assert [change.text for change in compare(report_at(path), other).changes] == []


def sides(found: Changes, *, swapped: bool = False) -> list[tuple[str, str, str, str]]:
    """Return what changed, as somebody would see it who looks from the other side."""
    mirror = {"new": "gone", "gone": "new"} if swapped else {}
    return sorted(
        (mirror.get(c.kind, c.kind), *((c.new, c.old) if swapped else (c.old, c.new)), c.what)
        for c in found.changes
    )


@pytest.mark.parametrize(
    ("one", "other"),
    [*itertools.combinations(EXAMPLES, 2), *itertools.pairwise(BROKEN)],
    ids=lambda p: p.stem,
)
def test_swapped_plans_mirror(one: Path, other: Path) -> None:
    """Mirrored but for the words of what is told once: names of the new plan stand in them."""
    old, new = report_at(one), report_at(other)
    forth, back = compare(old, new), compare(new, old)
    assert {b: a for a, b in forth.renames.items()} == back.renames
    if not forth.renames:
        assert sides(forth, swapped=True) == sides(back)


@pytest.mark.parametrize(("old", "new"), [*itertools.pairwise([*EXAMPLES, EVERY_KIND])])
def test_any_two_plans_can_be_told(old: Path, new: Path) -> None:
    found = all_changes(report_at(old), report_at(new))
    assert found.changes
    told = changes_text(found) + changes_json(found)
    assert str(FOLDER) not in told
    for word in ("None", "Span(", "frozenset", "WireSize"):
        assert word not in told
