"""The commands that look something up: the starter plan, the keys of a plan, the rules."""

from __future__ import annotations

from harness.cli.say import say


def new() -> None:
    """Print a commented plan to start from."""
    from harness.plan.starter import starter_text

    say(starter_text(), end="")


def keys(name: str | None) -> None:
    """List what may stand in a plan, or say what may stand in one group."""
    from harness.cli.keybook import key_list, key_page

    say(key_page(name) if name else key_list())


def rules(name: str | None) -> None:
    """List the rules, or print one rule's page."""
    from harness.cli.rulebook import rule_list, rule_page

    say(rule_page(name) if name else rule_list())
