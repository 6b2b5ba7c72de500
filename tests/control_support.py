"""Short ways to ask one rule about a plan."""

from __future__ import annotations

import textwrap

from support import report_of

from harness.base.finding import Finding, Unknown

RX = "receivers:\n  rx: {sockets: 8}\n"


def found(rule: str, text: str) -> list[Finding]:
    """Return what one rule reports on a plan; a receiver with 8 sockets is added when missing."""
    return [f for f in report_of(whole(text)).findings if f.rule == rule]


def missing(rule: str, text: str) -> list[Unknown]:
    """Return what one rule could not judge."""
    return [u for u in report_of(whole(text)).unknown if u.rule == rule]


def whole(text: str) -> str:
    """Return a plan's text with a receiver in it."""
    text = textwrap.dedent(text)
    return text if "receivers:" in text else RX + text


def numbers(finding: Finding) -> dict[str, str]:
    """Return a finding's figures by label."""
    return dict(finding.numbers)
