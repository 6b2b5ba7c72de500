"""The kit as a document: everything of the kit and of the plan stands in it, once."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from documents.plans import EXAMPLES, wiring_of

from harness.airframe.kit import kit_of
from harness.airframe.kit.fit import LEADS
from harness.documents.kit import COLUMNS, kit_chapter, kit_csv, kit_json, kit_paper
from harness.paper import render
from harness.plan.load import load_plan
from harness.wiring.build import build

PLAN = """
receivers: {rx: {sockets: 6}}
leads:
  a: {kind: extension, plug: rx.1, length: 280 mm}
  b: {kind: y, plug: rx.2, length: 200 mm, wire: 22 AWG}
  c: {kind: y, plug: rx.3}
kit:
  - {kind: y, length: 200 mm, wire: 22 AWG}
  - {kind: y, count: 3, from: drawer, about: "=odd; one has a bent pin"}
  - {kind: reverser, spare: yes}
"""


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_text_says_it_in_builders_words() -> None:
    text = render(kit_paper(wiring_of(PLAN)), "text")
    assert isinstance(text, str)
    flat = " ".join(text.split())
    assert "to buy or make: 1 extension of 300 mm" in flat
    assert "left over and not expected: 2 Y-leads" in flat
    assert "left over as expected: 1 in-line reverser" in flat
    assert "the kit lists no receivers: they are taken as owned" in flat
    assert "300 mm (the plan says 280 mm)" in flat


def test_a_plan_without_a_kit_says_so() -> None:
    text = render(kit_paper(wiring_of(PLAN.partition("kit:")[0])), "text")
    flat = " ".join(str(text).split())
    assert (
        "the plan has no `kit:`, so all its leads are on the shopping list, and all else is taken "
        "as owned"
    ) in flat


def test_csv_has_every_part_and_piece() -> None:
    wiring = wiring_of(PLAN)
    found = rows(kit_csv(wiring))
    assert tuple(found[0]) == COLUMNS
    assert sorted((r["status"], r["count"], r["for"]) for r in found) == [
        ("buy", "1", "a"),
        ("left", "1", ""),
        ("left", "2", ""),
        ("used", "1", "b"),
        ("used", "1", "c"),
    ]
    assert [r["expected"] for r in found if r["status"] == "left"] == ["no", "yes"]


def test_json_holds_the_same() -> None:
    body = json.loads(kit_json(wiring_of(PLAN)))
    assert [(p["what"], p["length_mm"], p["stated_mm"]) for p in body["buy"]] == [
        ("extension", 300, [280])
    ]
    assert [use["for"] for use in body["used"]] == ["c", "b"]  # by piece
    assert [(left["count"], left["spare"]) for left in body["left"]] == [(2, False), (1, True)]
    assert body["taken_as_owned"] == ["receiver"]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_every_lead_of_an_example_is_told_once(path: Path) -> None:
    plan = load_plan(str(path))
    kit = kit_of(plan)
    leads = {part.id for part in plan.parts.values() if part.kit_kind() in LEADS}
    told = [use.part.id for use in kit.used] + [m.need.part.id for m in kit.missing]
    owned = {part.id for part in plan.parts.values() if part.kit_kind() in kit.owned}
    assert sorted(t for t in told if t in leads) == sorted(leads - owned)
    found = rows(kit_csv(build(plan)))
    assert {name for r in found for name in r["for"].split("; ")} - {""} == set(told)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_counts_add_up(path: Path) -> None:
    kit = kit_of(load_plan(str(path)))
    used, left = sum(u.count for u in kit.used), sum(x.count for x in kit.left)
    assert used + left == sum(piece.count for piece in kit.plan.kit)


def test_a_chapter_for_the_book() -> None:
    chapter = kit_chapter(wiring_of(PLAN))
    assert (chapter.anchor, chapter.title) == ("kit", "Kit and shopping list")
