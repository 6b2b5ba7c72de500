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
