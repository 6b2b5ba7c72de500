"""A mended example is made from the failing one and an edit laid over it."""

from __future__ import annotations

import pytest

from harness.rules.mended import HEADINGS, mended, section
from harness.rules.run import all_rules

RULES = all_rules()
PLAN = """\
receivers:
  rx: {sockets: 4}
servos:
  aileron: {plug: y.1}
  flap:
    plug: y.2
    kit: [a,
      b]
leads:
  y: {kind: y, plug: rx.1}
kit:
  - {kind: y}
  - {kind: extension}"""
EARLY = "packs:\n  p: {}\nleads:\n  y: 1"


def laid(edit: str) -> str:
    return "\n".join(mended(PLAN.split("\n"), edit.split("\n")))


def deep(line: str) -> int:
    return len(line) - len(line.lstrip())


@pytest.mark.parametrize(
    ("edit", "old", "new"),
    [
        ("leads:\n  y: {kind: x}", "y: {kind: y, plug: rx.1}", "y: {kind: x}"),
        ("servos:\n  flap: {}", "  flap:\n    plug: y.2\n    kit: [a,\n      b]", "  flap: {}"),
        ("servos:\n  flap:\n    plug: x", "plug: y.2", "plug: x"),
        ("servos:\n  flap:\n    kit: c", "kit: [a,\n      b]", "kit: c"),
        ("leads: taken out", "leads:\n  y: {kind: y, plug: rx.1}\n", ""),
        ("leads: taken out\nleads:\n  z: {}", "  y: {kind: y, plug: rx.1}", "  z: {}"),
        ("kit:\n  - {kind: z}", "  - {kind: y}\n  - {kind: extension}", "  - {kind: z}"),
        ("packs:\n  p: {}", "- {kind: extension}", "- {kind: extension}\npacks:\n  p: {}"),
        ("servos:\npacks:\n  p: {}", "leads:\n", "packs:\n  p: {}\nleads:\n"),
        (EARLY, "leads:\n  y: {kind: y, plug: rx.1}", EARLY),
        ("leads:", "", ""),
    ],
    ids=[
        "a line replaced",
        "with all that stands below it",
        "deep down",
        "with the line it goes on in",
        "a key taken out",
        "and put in anew",
        "a list is whole",
        "a new key is last",
        "or after the one above it",
        "or before the one below it",
        "a bare key changes nothing",
    ],
)
def test_an_edit_changes_what_it_says_and_nothing_else(edit: str, old: str, new: str) -> None:
    assert old in PLAN
    assert laid(edit) == PLAN.replace(old, new)


@pytest.mark.parametrize("name", RULES)
def test_an_edit_repeats_nothing_and_leaves_nothing_open(name: str) -> None:
    fails, mends = HEADINGS[2], HEADINGS[3]
    failing, edit = section(RULES[name].written, fails), section(RULES[name].written, mends)
    said = [line for line in edit if ": " in line and not line.lstrip().startswith("-")]
    assert not set(said) & set(failing)
    after = zip(edit, [*edit[1:], ""], strict=True)
    bare = [line for line, below in after if line[-1] == ":" and deep(below) <= deep(line)]
    assert set(bare) <= set(failing)
    whole = section(RULES[name].page, mends)
    assert whole == mended(failing, edit)
    assert not [line for line in whole if line.endswith("taken out")]
    assert len(edit) <= len(whole) + 1
