"""Every kind of part is one file that answers for itself, and the folder is the list of kinds."""

from __future__ import annotations

from pathlib import Path

import pytest
from support import plan_of

import harness.parts
from harness.catalogue import load
from harness.drawing.glyph import Tag
from harness.drawing.sitting import Sitting
from harness.parts.contacts import Shape
from harness.parts.kinds import GROUPS
from harness.parts.part import BenchFacts, Part, of_kind
from harness.parts.servo import Servo
from harness.wiring.build import build

EVERY = plan_of((Path(__file__).parents[1] / "every_kind.yaml").read_text("utf-8"))
ONE = {kind: next(iter(EVERY.of(kind)), None) for kind in GROUPS.values()}


@pytest.fixture(params=GROUPS.values(), ids=lambda kind: kind.group)
def part(request: pytest.FixtureRequest) -> Part:
    """One part of each kind, of a plan that has them all."""
    found = ONE[request.param]
    assert found is not None, "every_kind.yaml has none of this kind"
    return found


def test_every_kind_stands_in_a_file_of_its_own() -> None:
    files = [kind.__module__ for kind in GROUPS.values()]
    assert len(set(files)) == len(files)
    folder = Path(harness.parts.__path__[0])
    defined = {
        f"harness.parts.{path.stem}"
        for path in folder.glob("*.py")
        if "    rank: ClassVar[int] = " in path.read_text("utf-8") and path.stem != "part"
    }
    assert set(files) == defined


def test_groups_stand_in_the_order_of_their_rank() -> None:
    ranks = [kind.rank for kind in GROUPS.values()]
    assert ranks == sorted(set(ranks))
    assert all(kind.word != "part" for kind in GROUPS.values())


def test_a_part_lays_down_the_port_of_each_of_its_plugs(part: Part) -> None:
    shape = Shape(part, EVERY.catalogue)
    part.inside(shape)
    plugs = {port.name for port in shape.ports if port.is_plug}
    assert {name for name, _ in part.joins()} <= plugs
    ends = {end.part for link in shape.links for end in (link.a, link.b)}
    assert ends <= {part.id}


def test_a_picture_has_a_place_for_every_plug_that_is_seen(part: Part) -> None:
    ports = build(EVERY).by_part[part.id]
    plugs = tuple(port.name for port in ports if port.is_plug)
    drawn = part.picture(Sitting(tag=Tag("x", "X", (), ""), plugs=plugs, wires=("WH", "RD", "BK")))
    assert set(plugs) <= set(drawn.places)


def test_a_part_is_tried_out_and_spelled_in_words(part: Part) -> None:
    words = part.try_out(BenchFacts(load(), "X-1", ""))
    assert bool(words) or not part.tested_with or part.makes is None
    assert part.code_letters().isupper() and part.code_letters().isalnum()
    assert all(isinstance(line, str) for line in part.caption())


def test_the_classes_a_part_names_are_there(part: Part) -> None:
    for word, table, name in part.classes():
        assert not name or name in EVERY.catalogue.rows(table), word


def test_of_kind_keeps_order_and_passes_over_nothing() -> None:
    servos = list(EVERY.of(Servo))
    assert of_kind(Servo, [None, *servos, *EVERY.of(Part)])[: len(servos)] == servos
