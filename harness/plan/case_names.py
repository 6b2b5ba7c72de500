"""Every name in a case of load or a phase of flight must be one that the plan knows."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from harness.base.near import spoken
from harness.base.rings import ring_in
from harness.parts.kinds import GROUPS
from harness.plan.operation import BUILT_IN_CASES, GROUP_WORDS, Case, Surroundings
from harness.plan.plan import Plan
from harness.reading.kinds import ID_PATTERN, Reading
from harness.reading.nodes import Items, Mapping, Node, Scalar, entries_of, is_empty

COLDEST, HOTTEST = -60.0, 100.0
"""degC between which copper and packs are reckoned with."""


def _may_be_called(top: Mapping, at: Reading) -> None:
    """Note every case with a name that is kept."""
    for entry in entries_of(top.get("cases")):
        name, span = entry.key.text, entry.key.span
        if name in BUILT_IN_CASES:
            message = f'"{name}" is the name of a built-in case'
            at.wrong(message, span, f"give it a name of its own, and start with `like: {name}`")
        elif name == "worst" or name.startswith("only-") or name.endswith("-stalled"):
            at.wrong(f'"{name}" is kept for cases that are made from the plan', span,
                     "give it another name")  # fmt: skip


def check_names(plan: Plan, top: Mapping, ids: Iterable[str], at: Reading) -> None:
    """Note every name in `cases` and `flight` that stands for nothing. `ids`: of all parts."""
    _may_be_called(top, at)
    own = list(entries_of(top.get("cases")))
    cases = [*BUILT_IN_CASES, *(entry.key.text for entry in own)]
    moving = [*GROUP_WORDS, *_functions(plan, top), *_movers(top)]
    what = "function, servo or leg"
    for node in (entry.node for entry in own if isinstance(entry.node, Mapping)):
        _known("case", node.get("like"), cases, at)
        _known(what, node.get("moving"), moving, at)
        _known(what, node.get("stalled"), moving, at)
        _known("part", node.get("without"), ids, at)
    for phase in plan.flight:
        if phase.case and phase.case not in cases:
            at.unknown("case", phase.case, phase.spans["case"], cases)
    _no_ring(plan, at)
    _air(plan, at)


def _air(plan: Plan, at: Reading) -> None:
    every: list[Surroundings | Case] = [plan.surroundings, *plan.cases.values()]
    for said in every:
        air = said.temperature
        if air is not None and not COLDEST <= air <= HOTTEST:
            at.wrong(f"no aeroplane flies in air of {air:g} degC", said.spans["temperature"],
                     f"wanted is {COLDEST:g} to {HOTTEST:g} degC")  # fmt: skip


def _known(what: str, node: Node | None, pool: Iterable[str], at: Reading) -> None:
    """Check each name of a value, one or a list, where it stands."""
    names = set(pool)
    for item in node.items if isinstance(node, Items) else [node]:
        if isinstance(item, Scalar) and item.text not in names and _is_name(item):
            at.unknown(what, item.text, item.span, names)


def _is_name(item: Scalar) -> bool:
    """What is no name at all has been told already."""
    return not is_empty(item) and re.match(ID_PATTERN, item.text) is not None


def functions_of(plan: Plan) -> Iterator[str]:
    """Yield the functions of channels and parts."""
    yield from (channel.function for channel in plan.channels.values())
    for part in plan.parts.values():
        yield getattr(part, "moves", "")
        yield from part.outputs.values() if part.sets_outputs else ()


def _functions(plan: Plan, top: Mapping) -> Iterator[str]:
    """Yield every function, also of parts that could not be read."""
    yield from functions_of(plan)
    for group in GROUPS:
        for entry in entries_of(top.get(group)):
            moves = entry.node.get("moves") if isinstance(entry.node, Mapping) else None
            if isinstance(moves, Scalar):
                yield moves.text


def _movers(top: Mapping) -> Iterator[str]:
    """Yield the ids of servos and legs."""
    for group in ("servos", "retracts"):
        yield from (entry.key.text for entry in entries_of(top.get(group)))


def _no_ring(plan: Plan, at: Reading) -> None:
    """A case cannot start from itself, not even by way of others."""
    graph = {name: [case.like] for name, case in plan.cases.items() if case.like in plan.cases}
    if ring := sorted(set(ring_in(graph))):
        like = "is like itself" if len(ring) == 1 else "are like one another"
        span = plan.cases[ring[0]].spans["like"]
        at.wrong(f"{spoken(ring)} {like}", span, "one of them must start from another case")
