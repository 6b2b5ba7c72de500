"""A plan with three leads, and what the rules about the kit find in it."""

from __future__ import annotations

from support import report_of

from harness.base.finding import Finding

PLAN = """
receivers: {rx: {sockets: 6}}
leads:
  a: {kind: extension, plug: rx.1, length: 600 mm, wire: 22 AWG}
  b: {kind: extension, plug: rx.2, length: 600 mm, wire: 22 AWG}
  c: {kind: y, plug: rx.3, length: 300 mm, tested: yes}
"""
EXTENSIONS = "{kind: extension, count: 2, length: 600 mm, wire: 22 AWG}"
Y_LEAD = "{kind: y, length: 300 mm}"


def found(rule: str, *lines: str, more: str = "") -> list[Finding]:
    """Return what a rule finds with these lines in the kit."""
    text = PLAN + "kit: [" + ", ".join(lines) + "]\n" + more
    return [f for f in report_of(text).findings if f.rule == rule]
