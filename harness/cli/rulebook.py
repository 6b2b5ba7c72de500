"""The rules as text: the list by family, and one rule's page."""

from __future__ import annotations

from itertools import groupby

from harness.base.near import hint
from harness.cli.exits import CannotRun
from harness.cli.frames import TINT
from harness.cli.say import style
from harness.rules.run import all_rules


def rule_list() -> str:
    """Return every rule with its severity and summary, by family."""
    found = sorted(all_rules().values(), key=lambda r: (r.family, r.name))
    widest = max(len(rule.name) for rule in found)
    lines = []
    for family, rules in groupby(found, key=lambda r: r.family):
        lines += ["", style(family, bold=True)]
        for rule in rules:
            severity = style(f"{rule.severity.word:<8}", tint=TINT[rule.severity])
            lines.append(f"  {rule.name:<{widest}}  {severity} {rule.summary}")
    lines += ["", "`harness rules NAME` prints a rule's page."]
    return "\n".join(lines[1:])


def rule_page(name: str) -> str:
    """Return one rule's page. Raises CannotRun for a name that is no rule."""
    rules = all_rules()
    if name not in rules:
        advice = hint(name, rules) or "`harness rules` lists them"
        raise CannotRun(f'there is no rule "{name}"; {advice}')
    rule = rules[name]
    head = f"{style(rule.name, bold=True)} ({rule.severity.word}, {rule.family})"
    return f"{head}\n\n{rule.page}"
