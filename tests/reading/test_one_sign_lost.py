"""One sign lost anywhere in a sound plan: one message, on the line where it was lost or opened."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from harness.base.span import Source
from harness.plan.load import parse_plan
from harness.reading.problems import PlanError, Problem

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("breakwater-12", "dunlin-4", "marram-26", "sandbar-5", "spindrift-7")
SIGNS = {
    "}": r"\}",
    "]": r"\]",
    "{": r"\{",
    ":": r":(?= )",
    ",": r",(?= )",
    "space": r"(?<=:) (?=\S)",
}
DRAWS = 40
FEW = 1
"""Of so many draws one may come out otherwise: a text can still be read another way."""


def code_of(text: str) -> str:
    """The text with its remarks blanked out, so that no sign of them is taken."""
    return re.sub(r"(?<!\S)#.*", lambda m: " " * len(m[0]), text)


def entry(text: str, spot: int) -> range:
    """The lines of all brackets round a bracket: which of them lost its fellow nobody can tell."""
    start = depth = 0
    for at, sign in enumerate(text):
        start = at if depth == 0 and sign in "{[" else start
        depth += (sign in "{[") - (sign in "}]")
        if depth == 0 and at >= spot:
            return range(text.count("\n", 0, start) + 1, text.count("\n", 0, at) + 2)
    raise AssertionError


def problems_of(text: str) -> list[Problem]:
    try:
        parse_plan(Source("plan.yaml", text))
    except PlanError as error:
        return error.problems
    return []


@pytest.mark.parametrize("sign", SIGNS)
def test_a_lost_sign_is_told_once_where_it_was(sign: str) -> None:
    draw = random.Random(11)
    texts = [(EXAMPLES / f"{name}.yaml").read_text("utf-8") for name in NAMES]
    spots = [(t, m) for t in texts for m in re.finditer(SIGNS[sign], code_of(t))
             if "\naircraft:" in t[: m.start()]]  # fmt: skip
    other = []
    for text, lost in draw.sample(spots, min(DRAWS, len(spots))):
        line = text.count("\n", 0, lost.start()) + 1
        lines = entry(code_of(text), lost.start()) if sign in "{}]" else [line]
        told = problems_of(text[: lost.start()] + text[lost.end() :])
        if told and (len(told) > 1 or told[0].span.line not in lines):
            other.append((line, told))
    assert len(other) <= FEW, other
