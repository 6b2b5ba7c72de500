"""The commands that change a plan's text: one proposes, one tidies."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness.base.refusal import printable
from harness.cli.exits import CLEAN, FINDINGS
from harness.cli.plans import needs_file, plan_of, write_file
from harness.cli.say import say

if TYPE_CHECKING:
    from harness.plan.plan import Plan
    from harness.planner.power import NoPower, PowerPlan
    from harness.planner.propose import NoPlan, Proposal


def assign(plan: str, to: str, write: bool, others: bool, power: bool) -> int | None:
    """Propose the whole for parts that have no plug yet, and what channels do without signal."""
    from harness.cli.say import Progress
    from harness.planner.power import PowerPlan, propose_power
    from harness.planner.propose import Proposal, propose

    needs_file(plan, write)
    loaded, how = plan_of(plan, "assign"), propose_power if power else propose
    with Progress("planning"):
        found = how(loaded, others=others)
    side = found if isinstance(found, PowerPlan) else None
    answer = found.rest if isinstance(found, PowerPlan) else found
    if not isinstance(answer, Proposal):
        _say_none(answer, to)
        return FINDINGS
    say(_shown(loaded, answer, side, to, write), end="")
    if write and answer.text != loaded.source.text:
        write_file(plan, answer.text, loaded.source)
        say(printable(f"written: {plan}"))
    return FINDINGS if answer.faults else CLEAN


def tidy(plan: str, long: bool, to: str | None, write: bool) -> None:
    """Turn a plan into its short form, or with `long` into the one that says all."""
    from harness.plan.rewrite import difference
    from harness.planner.tidy import tidied

    needs_file(plan, write)
    loaded = plan_of(plan, "tidy")
    text = tidied(loaded.source, long=long)
    say(text if (to or "diff" * write) in {"", "plan"} else difference(loaded, text), end="")
    if write and text != loaded.source.text:
        write_file(plan, text, loaded.source)
        say(printable(f"written: {plan}"))
    elif write:
        say(printable(f"nothing to tidy: {plan}"))


def _say_none(answer: NoPlan | NoPower, to: str) -> None:
    from harness.documents.proposal import clash_data, clash_text, no_power_data, no_power_text
    from harness.paper.records import as_json
    from harness.planner.propose import NoPlan

    if to == "json":
        data = clash_data(answer) if isinstance(answer, NoPlan) else no_power_data(answer)
        say(as_json(data), end="")
    else:
        told = clash_text(answer) if isinstance(answer, NoPlan) else no_power_text(answer)
        say(told, end="", to_error=to != "text")


def _shown(plan: Plan, answer: Proposal, side: PowerPlan | None, to: str, write: bool) -> str:
    """Return what is asked for; the whole is reasons, difference and, unless written, the plan."""
    from harness.documents.proposal import power_data, power_text, proposal_data, proposal_text
    from harness.paper.records import as_json
    from harness.plan.rewrite import difference

    if to == "plan":
        return answer.text
    if to == "json":
        battery = {"battery_side": power_data(side)} if side else {}
        return as_json({**proposal_data(answer), **battery, "plan": answer.text})
    shown = difference(plan, answer.text)
    if to == "diff":
        return shown
    parts = [*([power_text(side)] if side else []), proposal_text(answer)]
    if shown:
        parts += ["What changes in the file:\n\n" + shown]
        parts += [] if write else ["The complete plan:\n\n" + answer.text]
    return "\n".join(parts)
