from __future__ import annotations

import pytest
from control_support import found

RULE = "nothing-plugged-in"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("leads: {e: {kind: extension, plug: rx.1}}", "e.1"),
        ("leads: {y: {kind: y, plug: rx.1}}", "all its sockets"),
        ("leads: {y: {kind: y, plug: rx.1}}\nservos: {a: {plug: y.2}}", "y.1"),
        ("leads: {n: {kind: n-way, ways: 3, plug: rx.1}}\nservos: {a: {plug: n.2}}", "n.1 and n.3"),
        ("sequencers: {s: {outlets: 2, plug: rx.1}}\nservos: {a: {plug: s.1}}", "s.2"),
        ("stabilisers: {g: {plugs: {ail: rx.1}}}", "g.ail"),
        ("packs: {p: {chemistry: lipo, cells: 3}}", "nothing is fed from"),
        (
            "packs: {p: {chemistry: lipo, cells: 3}}\n"
            "power-leads: {l: {kind: extension, supply: p}}",
            'power lead "l"',
        ),
        (
            "packs: {p: {chemistry: lipo, cells: 3}}\nfuses: {f: {rated: 9 A, supply: p}}",
            'fuse "f"',
        ),
        # plugged nowhere, yet something hangs in it: the empty end is a fault of its own
        ("leads: {y: {kind: y}}\nservos: {a: {plug: y.2}}", "y.1"),
    ],
)
def test_reports_each_part_once(text: str, words: str) -> None:
    (finding,) = found(RULE, text)
    assert words in finding.message


@pytest.mark.parametrize(
    "text",
    [
        "leads: {y: {kind: y, plug: rx.1}}\nservos: {a: {plug: y.1}, b: {plug: y.2}}",
        "servos: {a: {plug: rx.1}}",
        "leads: {y: {kind: y}}",
        "packs: {p: {chemistry: lipo, cells: 3}}\nescs: {e: {bec: none, supply: p}}",
        "packs: {p: {chemistry: nimh, cells: 4, plug: rx.batt}}",
        "power-leads: {j: {kind: jumper}}",
    ],
)
def test_stays_silent(text: str) -> None:
    assert found(RULE, text) == []
