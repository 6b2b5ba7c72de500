"""An isolated ESC without BEC may need +5 V fed to it: PX4 documentation."""

from __future__ import annotations

import pytest
from support import report_of

PLAN = """
receivers:
  rx: {sockets: 4}
packs:
  main: {chemistry: lipo, cells: 3}
%s
escs:
  esc: {bec: none, isolated: yes, fed: %s, plug: %s}
"""
RADIO = "  radio: {chemistry: nimh, cells: 4, plug: rx.batt}"
RED = "{into: rx.3, pulled: positive}"


def rules(radio: str, fed: str, plug: str) -> list[str]:
    return [f.rule for f in report_of(PLAN % (radio, fed, plug)).findings if f.severity > 2]


@pytest.mark.parametrize(
    ("radio", "fed", "plug", "expected"),
    [
        (RADIO, "yes", RED, ["esc-needs-feed"]),
        (RADIO, "yes", "rx.3", []),
        (RADIO, "no", RED, []),
        # the whole rail is dead: one report, by the rule for that
        ("", "yes", "rx.3", ["no-source"]),
    ],
)
def test_its_signal_side_is_fed(radio: str, fed: str, plug: str, expected: list[str]) -> None:
    assert rules(radio, fed, plug) == expected


def test_a_red_pin_pulled_further_up() -> None:
    more = "leads:\n  long: {kind: extension, plug: {into: rx.3, pulled: positive}}\n"
    report = report_of(PLAN % (RADIO, "yes", "long.1") + more)
    (finding,) = [f for f in report.findings if f.rule == "esc-needs-feed"]
    assert "long into rx.3 is pulled" in finding.message
