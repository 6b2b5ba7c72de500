"""What the rules advise against is not proposed where another choice avoids it.

By hand on small plans; `test_brute.py` has it by enumeration. That an empty socket of a lead is to
be avoided, that a 3-pin plug bears 5 A for seconds and that analogue servos take 20 ms frames is
common practice.
"""

from __future__ import annotations

from support import plan_of

from harness.base.span import Source
from harness.plan.load import parse_plan
from harness.planner.advice import Advised
from harness.planner.judge import Judge
from harness.planner.programme import Model
from harness.planner.propose import Proposal, propose
from harness.planner.space import space_of

SUPPLY = (
    "regulators: {reg: {kind: switching, volts: 6 V, rated: 20 A, supply: pack}}\n"
    "packs: {pack: {chemistry: lipo, cells: 3, capacity: 2 Ah}}\n"
)
KIT = (
    "kit:\n"
    "  - {kind: y, count: 2, length: 300 mm, wire: 22 AWG}\n"
    "  - {kind: n-way, ways: 3, length: 150 mm, wire: 22 AWG}\n"
)


def proposed(sockets: int, servos: dict[str, str], more: str = "") -> Proposal:
    """Servos by name and class, each moves what its name begins with."""
    lines = [f"receivers: {{rx: {{sockets: {sockets}, supply-sockets: 2}}}}\n", SUPPLY, more]
    lines.append("servos:\n")
    for name, size in servos.items():
        lines.append(f"  {name}: {{moves: {name.split('-')[0]}, class: {size}, shaft: left}}\n")
    answer = propose(plan_of("".join(lines)))
    assert isinstance(answer, Proposal)
    assert answer.proven
    return answer


def sharing(answer: Proposal) -> set[tuple[str, ...]]:
    """Who hangs on one socket of the receiver, from the plan as it is written."""
    plan = parse_plan(Source("plan.yaml", answer.text))
    on: dict[str, list[str]] = {}
    for part in plan.parts.values():
        if part.word == "servo":
            join = part.plug
            while join.part != "rx":
                join = plan.parts[join.part].plug
            on.setdefault(join.into, []).append(part.id)
    return {tuple(sorted(names)) for names in on.values()}


def test_a_y_lead_is_taken_though_a_three_way_lead_is_shorter() -> None:
    two = dict.fromkeys(("flap-a", "flap-b", "aileron", "elevator"), "9g-analogue")
    answer = proposed(3, two, KIT)
    assert [(w.kind, w.count) for w in answer.used] == [("y", 1)]
    assert not [f for f in answer.report.findings if f.rule == "nothing-plugged-in"]
    (why,) = [c.why for c in answer.choices if "share" in c.what]
    assert why.endswith(
        "one Y-lead, 300 mm, 22 AWG rather than one 3-way lead, 150 mm, 22 AWG:"
        " else a lead or box has an outlet with nothing in it [nothing-plugged-in]"
    )


def test_a_three_way_lead_is_taken_where_it_is_full() -> None:
    three = dict.fromkeys(("flap-a", "flap-b", "flap-c", "elevator"), "9g-analogue")
    answer = proposed(2, three, KIT)
    assert [(w.kind, w.count) for w in answer.used] == [("n-way", 1)]
    assert not [c.why for c in answer.choices if ": else" in c.why]


def test_nothing_is_bought_to_be_rid_of_a_note() -> None:
    two = dict.fromkeys(("flap-a", "flap-b", "aileron", "elevator"), "9g-analogue")
    answer = proposed(
        3, two, KIT.replace("  - {kind: y, count: 2, length: 300 mm, wire: 22 AWG}\n", "")
    )
    assert [(w.kind, w.count) for w in answer.used] == [("n-way", 1)]
    assert [f.parts for f in answer.report.findings if f.rule == "nothing-plugged-in"]


def test_a_lead_is_bought_to_be_rid_of_a_warning() -> None:
    """Four flaps on two sockets: three strong ones on one plug would be more than it bears."""
    sizes = dict.fromkeys(("flap-a", "flap-b", "flap-c", "flap-d"), "standard-high-torque")
    kit = "kit:\n  - {kind: n-way, ways: 3, length: 150 mm, wire: 22 AWG}\n"
    answer = proposed(2, sizes, kit)
    assert sharing(answer) == {("flap-a", "flap-b"), ("flap-c", "flap-d")}
    assert not [f for f in answer.report.findings if f.rule == "lead-load" and "rx" not in f.parts]
    assert any("else a 3-pin plug or lead carries more" in c.why for c in answer.choices)


def test_analogue_and_digital_servos_are_kept_apart() -> None:
    sizes = {"spoiler-a": "9g-analogue", "spoiler-b": "13g-metal-gear", "spoiler-c": "9g-analogue"}
    answer = proposed(2, sizes)
    assert sharing(answer) == {("spoiler-a", "spoiler-c"), ("spoiler-b",)}
    one = proposed(1, sizes)  # where none avoids it, it stands, and the plan is still the best
    assert [f.parts[0] for f in one.report.findings if f.rule == "slow-frame-on-y"] == ["spoiler-b"]


def test_like_parts_are_weighed_at_once() -> None:
    """Of six pairs four mix the kinds: one round for them all, one to see that nothing is new."""
    sizes = ("9g-analogue", "13g-metal-gear", "9g-analogue", "13g-metal-gear")
    servos = "".join(f"  bay-{n}: {{moves: bay, class: {size}}}\n" for n, size in enumerate(sizes))
    plan = plan_of(f"receivers: {{rx: {{sockets: 3}}}}\n{SUPPLY}servos:\n{servos}")
    advised = Advised(Judge(Model(space_of(plan))))
    best = advised.best()
    assert best is not None
    assert len(advised.turned_down) == 1
    assert ("bay-1", "bay-3") in [chosen.use.names for chosen in best.answer.groups]
