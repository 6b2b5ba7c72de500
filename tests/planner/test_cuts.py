"""What the rules refuse is cut out narrowly: against every choice of leads, each one checked.

The enumeration below writes each choice of Y-leads into the text and has the rules judge it; it
knows nothing of the planner's model.
"""

from __future__ import annotations

import random
from functools import cache
from itertools import product

import pytest
from support import plan_of

from harness.base.finding import Severity
from harness.base.span import Source
from harness.documents.proposal import proposal_text
from harness.parts.bec import Bec
from harness.plan.load import parse_plan
from harness.planner.propose import NoPlan, Proposal, propose
from harness.rules.run import check
from harness.wiring.build import build

PAIRS = ("aileron", "flap")


def case(seed: int) -> tuple[list[tuple[int, int]], dict[str, float]]:
    """The kit's Y-leads (mm, AWG), and what the servos of each pair draw at rest (A)."""
    rng = random.Random(seed)
    kit = [
        (rng.choice((150, 200, 300)), rng.choice((20, 24, 28))) for _ in range(rng.randint(1, 4))
    ]
    return kit, {pair: rng.choice((0.2, 0.7, 1.2)) for pair in PAIRS}


def text(
    kit: list[tuple[int, int]], draws: dict[str, float], ys: dict[str, tuple[int, int]] | None
) -> str:
    """The plan as it is, or with a Y-lead for each pair; a bought one is (0, 22)."""
    lines = ["receivers: {rx: {sockets: 2}}", "kit:"]
    lines += [f"  - {{kind: y, length: {mm} mm, wire: {awg} AWG}}" for mm, awg in kit]
    lines.append("servos:")
    for pair in PAIRS:
        for side in ("left", "right"):
            shaft = side if pair == "aileron" else "left"
            amps = draws[pair]
            plug = f", plug: {pair}-y.{1 + (side == 'right')}" if ys else ""
            lines.append(
                f"  {pair}-{side}: {{moves: {pair}, shaft: {shaft}, idle: {amps} A,"
                f" moving: {amps + 0.5} A, stall: {amps + 1} A{plug}}}"
            )
    if ys:
        lines.insert(0, "channels: {1: aileron, 2: flap}")
        lines.append("leads:")
        for n, (pair, (mm, awg)) in enumerate(ys.items(), 1):
            length = f", length: {mm} mm" if mm else ""
            lines.append(f"  {pair}-y: {{kind: y, plug: rx.{n}, wire: {awg} AWG{length}}}")
    plug = ", plug: rx.batt" if ys else ""
    reg = f"kind: switching, volts: 5 V, rated: 20 A, supply: pack{plug}"
    lines.append(f"regulators: {{reg: {{{reg}}}}}")
    lines.append("packs: {pack: {chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 30 C}}")
    return "\n".join(lines) + "\n"


def least(kit: list[tuple[int, int]], draws: dict[str, float]) -> tuple[int, int] | None:
    """The fewest leads to buy, then the least mm, of the choices without a danger or an error."""
    pool = [*range(len(kit)), -1, -2]
    choices = [(one, other) for one, other in product(pool, pool) if one != other]

    def cost(choice: tuple[int, int]) -> tuple[int, int]:
        return sum(n < 0 for n in choice), sum(kit[n][0] for n in choice if n >= 0)

    for choice in sorted(choices, key=cost):
        ys = [kit[n] if n >= 0 else (0, 22) for n in choice]
        report = check(plan_of(text(kit, draws, dict(zip(PAIRS, ys, strict=True)))))
        if not [f for f in report.findings if f.severity >= Severity.ERROR]:
            return cost(choice)
    return None


@cache
def answered(seed: int) -> Proposal:
    answer = propose(plan_of(text(*case(seed), None)))
    assert isinstance(answer, Proposal)
    return answer


@pytest.mark.parametrize("seed", range(40))
def test_a_thicker_lead_is_taken_where_a_thin_one_is_refused(seed: int) -> None:
    answer = answered(seed)
    best = least(*case(seed))
    if best is None:
        assert answer.faults
        return
    assert not answer.faults
    assert answer.proven
    costs = dict(answer.costs)
    assert (costs["bought"], costs["length"] / 10) == best


def test_some_of_these_cases_are_refused_at_first() -> None:
    """Else the test above would prove nothing."""
    refused = 0
    for seed in range(40):
        refused += any("[wire-load]" in note for note in answered(seed).notes)
    assert refused >= 5


ALONE = "receivers: {rx: {sockets: 3}}\nservos: {rudder: {class: 9g-analogue, moves: rudder}}\n"


def feeding(more: str) -> tuple[str, Proposal]:
    """What feeds the rail of a written proposal, read from its wiring."""
    answer = propose(plan_of(ALONE + more))
    assert isinstance(answer, Proposal)
    wiring = build(parse_plan(Source("plan.yaml", answer.text)))
    sources = [
        mate
        for mate in wiring.mates
        if mate.plug.part.word in {"regulator", "pack"}
        or isinstance(getattr(mate.plug.part, "bec", None), Bec)
    ]
    live = [
        mate.plug.part.id
        for mate in sources
        if mate.socket and mate.socket.part.id == "rx" and "positive" not in mate.join.pulled
    ]
    return " ".join(live), answer


def test_nothing_feeds_the_rail_rather_than_something_dangerous() -> None:
    """Trade: a linear BEC is not used at 4S and above (common practice)."""
    fed, answer = feeding(
        "escs: {esc: {bec: {kind: linear, volts: 5 V, rated: 2 A}, supply: pack}}\n"
        "packs: {pack: {chemistry: lipo, cells: 4, capacity: 2 Ah}}\n"
    )
    assert fed == ""
    assert [fault.rule for fault in answer.faults] == ["no-source"]
    told = " ".join(proposal_text(answer).split())
    assert "But 1 error remains that no choice of plugs avoids: see below." in told
    assert 'pull the red pin of "esc"; the black one stays' in told


def test_a_pack_that_feeds_nothing_is_the_radios_own() -> None:
    """Trade: four NiMH cells are a receiver pack, 5.6 V when full."""
    more = (
        "escs: {esc: {bec: none, supply: main}}\n"
        "packs: {radio: {chemistry: nimh, cells: 4, capacity: 2 Ah},"
        " main: {chemistry: lipo, cells: 3, capacity: 2 Ah}}\n"
    )
    assert feeding(more)[0] == "radio"
    assert feeding(more.replace("supply: main", "rated: 20 A"))[0] == ""  # either may be its pack


def test_an_autopilot_with_a_rail_apart_gets_two_supplies() -> None:
    """Common practice: servos on the stronger regulator, the autopilot's logic on its own."""
    text = (
        "autopilots: {pilot: {sockets: 4, rail: separate}}\n"
        "servos: {rudder: {class: 9g-analogue, moves: rudder}}\n"
        "regulators:\n"
        "  small: {kind: switching, volts: 5.2 V, rated: 3 A, supply: y.1}\n"
        "  strong: {kind: switching, volts: 6 V, rated: 5 A, supply: y.2}\n"
        "power-leads: {y: {kind: parallel, ways: 2, supply: pack}}\n"
        "packs: {pack: {chemistry: lipo, cells: 3, capacity: 2 Ah}}\n"
    )
    answer = propose(plan_of(text))
    assert isinstance(answer, Proposal)
    plan = parse_plan(Source("plan.yaml", answer.text))
    assert plan.parts["small"].plug[0].into == "pilot.power"
    assert plan.parts["strong"].plug[0].into == "pilot.batt"
    assert not answer.faults


def test_a_free_end_of_an_open_lead_is_used() -> None:
    """By hand: the Y with one flap on it has room for the other; nothing has to be bought."""
    text = (
        "receivers: {rx: {sockets: 1}}\n"
        "servos: {flap-left: {moves: flap, shaft: left, plug: old.1},"
        " flap-right: {moves: flap, shaft: left}}\n"
        "leads: {old: {kind: y, length: 200 mm}}\n"
    )
    answer = propose(plan_of(text))
    assert isinstance(answer, Proposal)
    plan = parse_plan(Source("plan.yaml", answer.text))
    assert plan.parts["old"].plug.into == "rx.1"
    assert plan.parts["flap-right"].plug.into == "old.2"
    assert dict(answer.costs)["bought"] == 0


def test_what_could_not_be_judged_is_told() -> None:
    text = (
        "receivers: {rx: {sockets: 1}}\n"
        "servos: {elevator-1: {moves: elevator}, elevator-2: {moves: elevator}}\n"
    )
    answer = propose(plan_of(text))
    assert isinstance(answer, Proposal)
    motion = [note for note in answer.notes if "[shared-channel-motion]" in note]
    assert len(motion) == 1
    assert motion[0].startswith('"elevator-1" and "elevator-2": not judged without')


def test_what_a_stabiliser_steadies_does_not_go_past_it() -> None:
    """Common practice: with one aileron past the stabiliser only one side would be steadied."""
    text = (
        "receivers: {rx: {sockets: 6}}\n"
        "stabilisers: {gyro: {plugs: {aileron: rx.1}}}\n"
        "servos: {aileron-left: {moves: aileron, shaft: left},"
        " aileron-right: {moves: aileron, shaft: right}}\n"
    )
    answer = propose(plan_of(text))
    assert isinstance(answer, Proposal)
    plan = parse_plan(Source("plan.yaml", answer.text))
    leads = {plan.parts[f"aileron-{side}"].plug.part for side in ("left", "right")}
    assert [plan.parts[lead].plug.into for lead in leads] == ["gyro.aileron"]
    assert "gyro.aileron, on rx.1" in answer.choices[0].what


def test_leads_are_counted_in_the_plural_and_a_clash_says_how_many_want_a_socket() -> None:
    servos = "".join(f"  flap-{n}: {{moves: flap, programmable: yes}}\n" for n in range(5))
    clash = propose(plan_of(f"receivers: {{rx: {{sockets: 1}}}}\nservos:\n{servos}"))
    assert isinstance(clash, NoPlan)
    words = "1 free socket, and 5 plugs want one (at most 4 share one)"
    assert [limit.words for (limit,) in clash.ways] == [f'receiver "rx": {words}']
    four = propose(plan_of(f"receivers: {{rx: {{sockets: 1}}}}\nservos:\n{servos}".replace(
        "  flap-4: {moves: flap, programmable: yes}\n", "")))  # fmt: skip
    assert isinstance(four, Proposal)
    assert four.choices[0].cost == "three Y-leads, 22 AWG (to buy); six joints"


def test_ties_between_the_next_best_are_settled_by_name() -> None:
    """By hand: four sockets for three like pairs, so one pair is apart: a, next b, then c."""
    pairs = "".join(f"  {name}-{n}: {{moves: lamp-{name}}}\n" for name in "cba" for n in (1, 2))
    answer = propose(plan_of(f"receivers: {{rx: {{sockets: 4}}}}\nservos:\n{pairs}"), others=True)
    assert isinstance(answer, Proposal)
    alone = [
        [name for name in "abc" if f'"{name}-1" on a channel of its own' in r.differs]
        for r in answer.runners_up or ()
    ]
    assert alone == [["b"], ["c"]]
