"""One contact, one potential: the thing itself, no source."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Severity

PLAN = """
receivers:
  rx: {sockets: 4}
wing-plugs:
  root:
    contacts: 6
    circuits:
      aileron: {signal: 1, positive: 2, negative: 3}
      flap: {%s}
    plugs: {aileron: rx.1, flap: rx.2}
"""


@pytest.mark.parametrize(
    ("flap", "severities"),
    [
        ("signal: 4, positive: 5, negative: 6", []),
        ("signal: 4, positive: 2, negative: 3", []),
        ("signal: 1, positive: 2, negative: 3", [Severity.DANGER]),
        ("signal: 4, positive: 3, negative: 6", [Severity.DANGER]),
        ("signal: 4, positive: 3, negative: 2", [Severity.DANGER, Severity.DANGER]),
        ("signal: 2, positive: 5, negative: 6", [Severity.DANGER]),
        ("signal: 7, positive: 2, negative: 3", [Severity.ERROR]),
    ],
)
def test_the_pin_table(flap: str, severities: list[Severity]) -> None:
    findings = report_of(PLAN % flap).findings
    assert [f.severity for f in findings if f.rule == "wing-plug-table"] == severities


def test_a_contact_that_is_not_there_is_helped_by_the_count() -> None:
    text = """
receivers: {rx: {sockets: 4}}
wing-plugs:
  w: {contacts: 6, circuits: {a: {signal: 1, positive: 2, negative: 7}}, plugs: {a: rx.1}}
"""
    (found,) = [f for f in report_of(text).findings if f.rule == "wing-plug-table"]
    assert found.help.startswith("its contacts are 1 to 6")
