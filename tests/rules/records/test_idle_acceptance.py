"""An acceptance must have a finding to accept: the plan itself."""

from __future__ import annotations

import pytest
from support import report_of

PLAN = """
receivers: {rx: {sockets: 4}}
escs: {esc: {bec: {volts: 5 V%s}, plug: rx.3}}
accepted: [{rule: %s, part: esc, because: known}]
"""


@pytest.mark.parametrize(
    ("metered", "rule", "said"),
    [
        ("", "bec-not-metered", []),
        (", metered: 5 V", "bec-not-metered", ["bec-not-metered finds nothing at"]),
        ("", "bec-not-meterd", ['there is no rule "bec-not-meterd"']),
    ],
)
def test_an_acceptance_of_nothing(metered: str, rule: str, said: list[str]) -> None:
    report = report_of(PLAN % (metered, rule))
    found = [f.message for f in report.findings if f.rule == "idle-acceptance"]
    assert len(found) == len(said)
    assert all(message.startswith(words) for message, words in zip(found, said, strict=True))
    assert len(report.accepted) == (0 if said else 1)
