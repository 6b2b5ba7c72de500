"""A jumper plug: common practice, no source."""

from __future__ import annotations

import pytest
from support import report_of, rules_of

from .packs_plan import lead, packs

JUMPER = "  bridge: {kind: jumper, connector: bullet-6mm%s}\n"
ON = ", supply: {into: %s, poles: straight}"


@pytest.mark.parametrize(
    "text",
    [
        packs("a") + "power-leads:\n" + JUMPER % (ON % "a"),
        packs("a")
        + "power-leads:\n"
        + lead("split", "parallel", "a", ways=2)
        + JUMPER % (ON % "split.2"),
        packs("a", "b")
        + "power-leads:\n"
        + lead("stack", "series", "a", "b")
        + JUMPER % (ON % "stack.1"),
        packs("a") + "power-leads:\n" + lead("both", "parallel", "a", "bridge.1") + JUMPER % "",
    ],
)
def test_it_shorts(text: str) -> None:
    (found,) = [f for f in report_of(text).findings if f.severity > 1]
    assert (found.rule, found.parts[0]) == ("jumper-short", "bridge")


@pytest.mark.parametrize("sources", [("a", "bridge.1"), ("bridge.1", "a"), ("a", "bridge.1", "b")])
def test_in_place_of_a_pack_it_is_right(sources: tuple[str, ...]) -> None:
    text = packs("a", "b") + "power-leads:\n" + lead("stack", "series", *sources) + JUMPER % ""
    assert rules_of(text) == []
