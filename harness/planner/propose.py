"""Proposes the whole of a plan: the one best answer, its reasons, and what comes next."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from harness.base.data import replace
from harness.base.finding import Severity
from harness.base.near import counted, spoken
from harness.base.span import Source
from harness.facts.below import behind
from harness.facts.wording import quoted
from harness.plan.load import parse_plan
from harness.plan.plan import Plan
from harness.plan.rewrite import apply
from harness.planner.advice import Advised, instead
from harness.planner.channels import dealt
from harness.planner.failsafes import edits_of, setups_of
from harness.planner.groups import Ask
from harness.planner.hosts import LIMITS_SENT, Host, expected_stick
from harness.planner.items import Device, left_out
from harness.planner.judge import Judge, JudgedAnswer
from harness.planner.passed import passed_over, swaps
from harness.planner.programme import SOCKETS, Model
from harness.planner.proposal import Answer, NoPlan, Proposal, RunnerUp, Wished
from harness.planner.reasons import (
    LEFT_OUT,
    choices_of,
    dearer,
    differences,
    many,
    notes_of,
    unknown_of,
    used_of,
)
from harness.planner.search import MOST_MORE, WaysOut, fresh
from harness.planner.space import Space, space_of
from harness.rules.run import check

__all__ = ["NoPlan", "Proposal", "propose"]
RUNNERS_UP = 2
OPEN = "plug-not-placed"


def propose(plan: Plan, *, others: bool = False) -> Proposal | NoPlan:
    """Return the best whole plan, or which limits would have to go for one.

    The decision space and the order of costs are those of `harness.planner.space`. `others`: with
    the two next-best plans, which take longer to find than the best.
    """
    space = space_of(plan)
    if plan.wishes == ():
        devices = _devices(space)
        space = replace(space, asks=tuple(a for a in space.asks if a.concerns(devices)))
    if not space.items and not space.feeds:
        return _nothing(space)
    model = Model(space)
    judge = Advised(Judge(model))
    best = judge.best()
    if best is None:
        return _no_plan(space, model)
    wishes = tuple(_wished(space, model, best.answer, n) for n in range(len(space.asks)))
    runners = _runners_up(space, model, judge, best) if others else None
    best = _in_order(space, judge.judge, best)
    return _told(space, judge, best, wishes, runners)


def _nothing(space: Space) -> Proposal:
    """All is plugged in: what is left are names and failsafes of channels."""
    setups = setups_of(space.wiring, {})
    edits = edits_of(setups)
    text, ours = apply(space.plan, edits), not space.plan.wishes
    report = check(parse_plan(Source(space.plan.source.name, text)))
    grave = tuple(f for f in report.findings if f.severity >= Severity.ERROR)
    head = () if edits else ("everything is plugged in: there is nothing to decide",)
    notes = (*head, *left_out(space.plan, space.wiring, ()))
    return Proposal(
        edits, text, (), (), ours, (), (), (), None, True, "", notes, grave, report, setups
    )


def _in_order(space: Space, judge: Judge, best: JudgedAnswer) -> JudgedAnswer:
    """Deal the channels out in order, if the rules have nothing against it."""
    answer = dealt(space, best.answer)
    if answer == best.answer:
        return best
    judged = replace(judge.judged(answer, best.gap), doubt=best.doubt)
    said = [f.rule for f in best.report.findings if f.severity >= Severity.WARNING]
    more = [f.rule for f in judged.report.findings if f.severity >= Severity.WARNING]
    return best if Counter(more) - Counter(said) else judged


def _no_plan(space: Space, model: Model) -> NoPlan:
    if not space.hosts:
        return NoPlan((), ("the plan has no receiver and no autopilot that gives a channel",))
    stuck = tuple(
        f"{item.part.named()} has no socket or outlet that takes it"
        for item in space.items
        if not model.by_item[item.id]
    )
    return NoPlan(WaysOut(model).worded(), stuck)


def _wished(space: Space, model: Model, answer: Answer, n: int) -> Wished:
    ask = space.asks[n]
    if answer.granted[n]:
        why = "" if ask.concerns(_devices(space)) else "there is nothing to keep apart"
    else:
        why = _not_granted(space, model, answer, n)
    return Wished(ask.name, answer.granted[n], why, ask.line)


def _not_granted(space: Space, model: Model, answer: Answer, n: int) -> str:
    """Return why a wish is not granted, or what would have to change."""
    ask = space.asks[n]
    if more := grants(model, answer, n):
        return _more_sockets(space, ask, *more)
    joined = next((i for i in space.items if i.is_lead and ask.breaks(i.devices)), None)
    if joined:
        return f"{joined.part.named()} joins them in the plan already: take their plugs out of it"
    if model.broken(ask):
        return "parts that share a channel are plugged in already: take their plugs out of the plan"
    rival = without(model, answer, n)
    if rival is not None:
        return f'it clashes with "{space.asks[rival].name}", which counts for more'
    steadied = next((n for n in model.limits if " steadies " in n), "")
    return f"no number of sockets grants it{f', for {steadied}' if steadied else ''}"


def grants(model: Model, answer: Answer, wish: int) -> tuple[int, bool] | None:
    """Return how many more sockets grant a wish and keep all that are granted; None: none do.

    Also whether the transmitter must send more channels for it. Sockets that the receiver would
    have next may be on channels of others: those are counted, and not used.
    """
    space, wishes = model.space, [wish, *_held(answer)]
    for radio in (False, True):
        least = _least(model, wishes, {SOCKETS, LIMITS_SENT} if radio else {SOCKETS})
        if least is None:
            continue
        bound = [host for host in fresh(space, MOST_MORE) if _bound(space, host)]
        if not least or not bound:
            return least, radio
        for count in range(least, least + len(bound) + 1):
            wider = Model(replace(space, hosts=(*space.hosts, *fresh(space, count))))
            if _least(wider, wishes, {LIMITS_SENT} if radio else set()) == 0:
                return count, radio
    return None


def _least(model: Model, wishes: Iterable[int], dropped: set[str]) -> int | None:
    """Return how many more sockets of any channel grant some wishes without some limits."""
    rows = _granting(model, wishes)
    model.drop(frozenset(dropped))
    found = model.programme.solve(dict.fromkeys(model.extra, 1.0))
    model.drop(frozenset())
    for row in rows:
        model.programme.free(row)
    return found.cost if found.found else None


def _bound(space: Space, host: Host) -> bool:
    """Say whether a socket's channel is not open to every function."""
    return bool(host.function or expected_stick(space.plan, host.channel))


def without(model: Model, answer: Answer, wish: int) -> int | None:
    """Return the granted wish whose loss alone would grant another one; None: there is none."""
    held = _held(answer)
    for left in reversed(held):
        rows = _granting(model, [wish, *(n for n in held if n != left)])
        found = model.programme.solve({})
        for row in rows:
            model.programme.free(row)
        if found.found:
            return left
    return None


def _held(answer: Answer) -> list[int]:
    return [n for n, yes in enumerate(answer.granted) if yes]


def _granting(model: Model, wishes: Iterable[int]) -> list[int]:
    """Add a row for each wish that must be granted."""
    return [model.programme.row({model.granted[n]: 1.0}, 1.0) for n in wishes]


def _devices(space: Space) -> list[Device]:
    return [*space.placed, *(d for i in space.items for d in i.devices)]


def _more_sockets(space: Space, ask: Ask, more: int, radio: bool) -> str:
    """Two more sockets would give each flap its own trim."""
    sent = space.plan.transmitter.channels
    beyond = f", on a radio that sends more than {sent} channels" if radio else ""
    if not more:
        return f"a radio that sends more than {sent} channels would {ask.gain()}"
    return f"{many(more, 'more socket')} would {ask.gain()}{beyond}"


def _runners_up(
    space: Space, model: Model, judge: Advised, best: JudgedAnswer
) -> tuple[RunnerUp, ...]:
    """Return the two best plans that differ in who shares, what is mended, or what feeds."""
    found: list[RunnerUp] = []
    rows = [_exclude(model, best.answer)]
    while len(found) < RUNNERS_UP:
        judged = judge.best(whole=False)
        if judged is None or judged.gap:
            break
        both = space, best.answer, judged.answer
        found.append(RunnerUp(differences(*both), dearer(*both), judged.answer.costs))
        rows.append(_exclude(model, judged.answer))
    for row in rows:
        model.programme.free(row)
    return tuple(found)


def _exclude(model: Model, answer: Answer) -> int:
    """Rule out every answer with the same groups, mends and feed."""
    keys = {chosen.use.plan_key for chosen in answer.groups}
    terms = {column: 1.0 for column, use in model.uses.items() if use.plan_key in keys}
    terms |= {column: 1.0 for column, feed in model.feeds.items() if feed == answer.feed}
    return model.programme.row(terms, -1e9, len(keys) + (answer.feed is not None) - 1.0)


def _told(
    space: Space,
    judge: Advised,
    best: JudgedAnswer,
    wishes: tuple[Wished, ...],
    runners: tuple[RunnerUp, ...] | None,
) -> Proposal:
    used, bought = used_of(best.answer)
    faults = tuple(f for f in best.report.findings if f.severity >= Severity.ERROR)
    notes = [*left_out(space.plan, space.wiring, space.items), *notes_of(space, best.answer)]
    notes += [*unknown_of(best), *swaps(space, best)]
    open_ = tuple(f.parts[0] for f in best.report.findings if f.rule == OPEN)
    idle = [
        lead
        for lead in dict.fromkeys(open_)
        if space.plan.parts[lead].carries_signal and not behind(space.wiring, lead)
    ]
    notes += [f"{quoted(idle)}: nothing hangs on it in the plan, and nothing needs it"] * bool(idle)
    if warnings := [f for f in best.report.findings if f.severity is Severity.WARNING]:
        names = spoken(sorted({f.rule for f in warnings}))
        notes.append(
            f"{counted(len(warnings), 'warning')} left for you to weigh: {names}; "
            "`harness check` tells them in full"
        )
    if sum("more socket" in wish.why for wish in wishes) > 1:
        notes.append("what would grant a wish is said for each wish alone")
    notes += [f"{LEFT_OUT}: {cut}" for cut in judge.judge.cuts]
    gap, choices = best.gap or best.doubt, choices_of(space, best, instead(judge, best))
    return Proposal(
        best.edits,
        best.text,
        choices,
        wishes,
        not space.plan.wishes,
        used,
        bought,
        best.answer.costs,
        runners,
        best.answer.proven and not gap,
        gap,
        tuple(notes),
        faults,
        best.report,
        best.writing.setups,
        passed_over(space, best),
        open_,
    )
