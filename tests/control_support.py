"""Short ways to ask one rule about a plan."""

from __future__ import annotations

import textwrap
from functools import lru_cache

from support import report_of

from harness.base.finding import Finding, Unknown
from harness.rules.run import Report

RX = "receivers:\n  rx: {sockets: 8}\n"


@lru_cache(maxsize=1)
def report(text: str) -> Report:
    """Return what is told of a plan; `found` and `missing` of the same one are asked in turn."""
    return report_of(text)


def found(rule: str, text: str) -> list[Finding]:
    """Return what one rule reports on a plan; a receiver with 8 sockets is added when missing."""
    return [f for f in report(whole(text)).findings if f.rule == rule]


def missing(rule: str, text: str) -> list[Unknown]:
    """Return what one rule could not judge."""
    return [u for u in report(whole(text)).unknown if u.rule == rule]


def whole(text: str) -> str:
    """Return a plan's text with a receiver in it."""
    text = textwrap.dedent(text)
    return text if "receivers:" in text else RX + text


def numbers(finding: Finding) -> dict[str, str]:
    """Return a finding's figures by label."""
    return dict(finding.numbers)
