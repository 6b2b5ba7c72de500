"""What a part's supply passes, by hand from the example plans."""

from __future__ import annotations

from pathlib import Path

import pytest
from documents.figures.hand import wiring_of

from harness.documents.figures.way import passed
from harness.plan.load import load_plan
from harness.wiring.build import build

EXAMPLES = Path(__file__).parents[3] / "examples"


@pytest.mark.parametrize(
    ("plan", "part", "ways"),
    [
        ("breakwater-12", "aileron-left", {
            "aileron-left", "aileron-left-ext", "rx", "isolator-1", "isolator-2", "isolator-3",
            "isolator-4", "reg-a", "reg-b", "radio-a", "radio-b"}),
        ("breakwater-12", "motor", {"esc", "arming", "stack", "drive-low", "drive-high"}),
        ("saltmarsh-19", "leg-nose", {
            "leg-nose", "gear-box", "gear-supply", "supply-y", "pack-y", "main"}),
    ],
)  # fmt: skip
def test_every_part_on_any_way_from_a_source_and_no_other(
    plan: str, part: str, ways: set[str]
) -> None:
    """Read off the plan: leads side by side both count, what hangs beside the way does not."""
    wiring = build(load_plan(str(EXAMPLES / f"{plan}.yaml")))
    assert set(passed(wiring, wiring.plan.parts[part])[1]) == ways


def test_the_way_runs_from_the_part_to_the_source() -> None:
    wiring = wiring_of()
    ports = passed(wiring, wiring.plan.parts["a"])[0]
    order = [("a", "plug"), ("rx", "1"), ("rx", "batt"), ("p", "main"), ("p", "cells")]
    assert [port for port in sorted(ports, key=lambda p: ports[p]) if port in order] == order
