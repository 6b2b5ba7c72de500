"""A plug goes into a socket of its own class: the thing itself."""

from __future__ import annotations

import pytest
from support import report_of

PLAN = """
packs:
  main: {{chemistry: lipo, cells: 4{pack}}}
power-leads:
  long: {{kind: extension{lead}, supply: main}}
"""


def judged(pack: str, lead: str) -> tuple[list[str], list[str]]:
    report = report_of(PLAN.format(pack=pack, lead=lead))
    return [f.rule for f in report.findings if f.rule != "nothing-plugged-in"], [
        u.part for u in report.unknown
    ]


@pytest.mark.parametrize(
    ("pack", "lead"),
    [
        ("XT90", ", connector: XT60"),
        ("XT60", ", connector: XT60, connector-in: EC5"),
        ("bullet-4mm", ", connector: bullet-6mm"),
    ],
)
def test_unlike(pack: str, lead: str) -> None:
    assert "connectors-differ" in judged(f", connector: {pack}", lead)[0]


@pytest.mark.parametrize("lead", [", connector: XT90", ", connector: XT60, connector-in: XT90"])
def test_alike(lead: str) -> None:
    assert judged(", connector: XT90", lead) == ([], [])


def test_one_side_unsaid_is_unknown_both_unsaid_is_nothing() -> None:
    assert judged(", connector: XT90", "") == ([], ["long"])
    assert judged("", "") == ([], [])


HUB = """
packs:
  main: {{chemistry: lipo, cells: 4, capacity: 4 Ah, rate: 40 C, connector: XT60}}
power-leads:
  hub: {{kind: parallel, ways: 2, connector: XT60, supply: main}}
escs:
  a: {{rated: 60 A, bec: none, connector: {a}, supply: hub.1}}
  b: {{rated: 60 A, bec: none, connector: XT60, supply: hub.2}}
motors:
  m: {{full-throttle: {amps} A, plug: a}}
"""


@pytest.mark.parametrize(
    ("plug", "amps", "help_"),
    [
        # 50 A would do, but the other branch of the hub would no longer go in
        ("bullet-4mm", 20,
         "fit XT60 on both, or put an adapter from XT60 to bullet-4mm between, for 40 A at most"),
        ("XT30", 10,
         "fit XT60 on both, or put an adapter from XT60 to XT30 between, for 15 A at most"),
        # an adapter that would be overloaded is none
        ("XT30", 30, "fit XT60 on both"),
    ],
)  # fmt: skip
def test_one_branch_of_a_lead(plug: str, amps: int, help_: str) -> None:
    """What an XT60 and a 4 mm bullet bear: common practice, no source."""
    (finding,) = (f for f in report_of(HUB.format(a=plug, amps=amps)).findings
                  if f.rule == "connectors-differ")  # fmt: skip
    assert finding.help == help_
