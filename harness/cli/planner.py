"""The commands that change a plan's text: one proposes, one tidies."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness.cli.exits import CLEAN, FINDINGS
from harness.cli.plans import needs_file, write_plan
from harness.cli.say import say

if TYPE_CHECKING:
    from harness.plan.plan import Plan
    from harness.planner.propose import NoPlan, Proposal


def assign(plan: str, to: str, write: bool, others: bool) -> int | None:
    """Propose the whole for parts that have no plug yet, and what channels do without signal."""
    from harness.cli.say import Progress
    from harness.plan.load import load_plan
    from harness.planner.propose import NoPlan, propose

    needs_file(plan, write)
    loaded = load_plan(plan)
    with Progress("planning"):
        answer = propose(loaded, others=others)
    if isinstance(answer, NoPlan):
        _say_clash(answer, to)
        return FINDINGS
    say(_shown(loaded, answer, to, write), end="")
    if write and answer.edits:
        write_plan(plan, loaded, answer.text)
        say(f"written: {plan}")
    return FINDINGS if answer.faults else CLEAN


def tidy(plan: str, long: bool, to: str | None, write: bool) -> None:
    """Turn a plan into its short form, or with `long` into the one that says all."""
    from harness.plan.load import load_plan
    from harness.plan.rewrite import difference
    from harness.planner.tidy import tidied

    needs_file(plan, write)
    loaded = load_plan(plan)
    text = tidied(loaded.source, long=long)
    say(text if (to or "diff" * write) in {"", "plan"} else difference(loaded, text), end="")
    if write and text != loaded.source.text:
        write_plan(plan, loaded, text)
        say(f"written: {plan}")
    elif write:
        say(f"nothing to tidy: {plan}")


def _say_clash(answer: NoPlan, to: str) -> None:
    from harness.documents.proposal import clash_data, clash_text
    from harness.paper.records import as_json

    if to == "json":
        say(as_json(clash_data(answer)), end="")
    else:
        say(clash_text(answer), end="", to_error=to != "text")


def _shown(plan: Plan, answer: Proposal, to: str, write: bool) -> str:
    """Return what is asked for; the whole is reasons, difference and, unless written, the plan."""
    from harness.documents.proposal import proposal_data, proposal_text
    from harness.paper.records import as_json
    from harness.plan.rewrite import difference

    if to == "plan":
        return answer.text
    if to == "json":
        return as_json({**proposal_data(answer), "plan": answer.text})
    shown = difference(plan, answer.text)
    if to == "diff":
        return shown
    parts = [proposal_text(answer)]
    if answer.edits:
        parts += ["What changes in the file:\n\n" + shown]
        parts += [] if write else ["The complete plan:\n\n" + answer.text]
    return "\n".join(parts)
