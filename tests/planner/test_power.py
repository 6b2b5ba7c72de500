"""The battery side that is proposed: hand-worked cases, and every side of small plans by hand.

Series adds volts, parallel shares the current by n (Kuphaldt, Lessons in Electric Circuits I;
OpenStax University Physics 2, 10.2); 4.2 V a full LiPo cell (PX4 user guide). What wires and plugs
bear, and a label's C rate of which 60 % are trusted: common practice, no published source.
"""

from __future__ import annotations

import re
from itertools import product

import pytest
from support import plan_of

from harness.base.finding import Severity
from harness.documents.proposal import no_power_text, power_text
from harness.facts.currents import currents
from harness.plan.plan import Plan
from harness.planner.power import NoPower, PowerPlan, propose_power
from harness.planner.proposal import Proposal
from harness.rules.run import Report, check

RADIO = """
receivers: {rx: {sockets: 8, supply-sockets: 1}}
servos: {elevator: {class: 9g-analogue, moves: elevator},
         rudder: {class: 9g-analogue, moves: rudder}}
"""
ESC = """{rated: 60 A, cells-max: MOST, bec: {kind: switching, volts: 5 V, rated: 3 A, burst: 5 A},
        connector: XT60, wire: 12 AWG, length: 100 mm}"""
PACK = """{chemistry: lipo, cells: 3, capacity: 3 Ah, rate: 25 C, connector: XT60, wire: 12 AWG,
     length: 80 mm}"""


def pack(**other: str) -> str:
    """A pack like that with other values."""
    text = PACK
    for word, value in other.items():
        text, count = re.subn(rf"{word}: [^,}}]+", f"{word}: {value}", text)
        assert count == 1
    return text


REGULATOR = """{kind: switching, volts: 5 V, rated: 5 A, burst: 8 A, cells-max: 3, connector: XT30,
              wire: 18 AWG, length: 100 mm}"""


def one_esc(packs: str, motor: str = "full-throttle: 25 A", most: int = 4, **other: str) -> str:
    text = f"""{RADIO}escs:
  esc: {ESC.replace("MOST", str(most))}
motors: {{motor: {{{motor}, plug: esc}}}}
packs: {packs}
"""
    for old, new in other.items():
        text = text.replace(old.replace("_", "-"), new)
    return text


def proposed(text: str) -> tuple[PowerPlan, Report]:
    """The proposal; it has no error, by a check of its own text."""
    plan = plan_of(text)
    answer = propose_power(plan)
    assert isinstance(answer, PowerPlan), no_power_text(answer)
    assert isinstance(answer.rest, Proposal)
    report = check(plan_of(answer.rest.text))
    assert [f for f in report.findings if f.severity >= Severity.ERROR] == []
    for fed in (name for _, names in answer.side.feeds for name in names):
        assert gets(report, fed)[0] > 6.0, f"{fed} gets its volts"
    joins = said(answer).count("to be metered before the first connection")
    assert joins == len(answer.joined), "each join is marked"
    return answer, report


def said(answer: PowerPlan) -> str:
    return " ".join(power_text(answer).split())


def refused(text: str) -> NoPower:
    answer = propose_power(plan_of(text))
    assert isinstance(answer, NoPower)
    return answer


def gets(report: Report, part: str) -> tuple[float, float]:
    """Least and most volts at the battery side of a part, solved in all cases."""
    volts = currents(report.wiring).outcome.volts_in(part, "battery")
    return float(min(volts)), float(max(volts))


def feeds(answer: PowerPlan) -> set[tuple[tuple[str, ...], str, tuple[str, ...]]]:
    return {(source.parts, source.how, fed) for source, fed in answer.side.feeds}


def test_one_pack_one_esc_is_one_join_and_nothing_to_buy() -> None:
    answer, report = proposed(one_esc(f"{{a: {PACK}}}"))
    assert feeds(answer) == {(("a",), "", ("esc",))}
    assert (answer.joined, answer.new) == (("esc",), ())
    assert gets(report, "esc")[1] == pytest.approx(3 * 4.2, abs=0.05)


TWIN = f"""{RADIO}
escs: {{esc-left: {ESC.replace("MOST", "4")}, esc-right: {{like: esc-left}}}}
motors: {{motor-left: {{full-throttle: 20 A, plug: esc-left}},
         motor-right: {{like: motor-left, plug: esc-right}}}}
packs:
  a: {pack(capacity="5 Ah", connector="XT90", wire="10 AWG")}
"""


MINE = """
power-leads:
  mine: {kind: parallel, ways: 2, connector: XT60, connector-in: XT90, wire: 10 AWG, length: 60 mm}
"""


def test_a_twin_on_one_pack_gets_a_y_lead_that_bears_both() -> None:
    """The lead has the pack's plug, the ESCs' sockets and the thickest wire of what it joins."""
    answer, report = proposed(TWIN)
    assert answer.joined == ("pack-y", "esc-left", "esc-right")
    lead = report.plan.parts["pack-y"]
    assert (lead.kind, lead.ways, lead.connector, lead.connector_in) == (
        "parallel",
        2,
        "XT60",
        "XT90",
    )  # type: ignore[attr-defined]
    assert lead.wire.text == "10 AWG"  # type: ignore[attr-defined]
    through = currents(report.wiring).port("pack-y", "in-1").steady
    assert through == pytest.approx(currents(report.wiring).by_source["a"].steady, rel=1e-3)
    assert 40 < through < 65, "both motors; 10 AWG bears 65 A by the cautious figure"


def test_a_lead_of_the_plan_goes_before_a_new_one() -> None:
    answer, _ = proposed(TWIN + MINE.replace("ways: 2", "ways: 3"))
    assert (answer.joined[0], answer.new) == ("mine", ())


def test_a_lead_of_the_kit_is_not_bought() -> None:
    kit = "\nkit: [{kind: parallel, ways: 2, length: 120 mm, wire: 10 AWG, connector: XT60}]"
    answer, report = proposed(TWIN + kit)
    assert (answer.new, answer.bought) == (("pack-y",), ())
    assert report.plan.parts["pack-y"].length == 120  # type: ignore[attr-defined]


READ_AT_6S = "full-throttle: 25 A, full-throttle-volts: 22.2 V"
EQUAL = PACK.replace("25 C", "25 C, charge: 100 %")


@pytest.mark.parametrize("other", ["{like: a}", EQUAL])
def test_two_packs_stated_alike_go_end_to_end_for_a_motor_of_twice_their_volts(other: str) -> None:
    first = PACK if "like" in other else EQUAL
    answer, report = proposed(one_esc(f"{{a: {first}, b: {other}}}", READ_AT_6S, 6))
    assert feeds(answer) == {(("a", "b"), "series", ("esc",))}
    assert gets(report, "esc")[1] == pytest.approx(2 * 3 * 4.2, abs=0.1), "volts add"
    flows = currents(report.wiring).by_source
    assert flows["a"].steady == pytest.approx(flows["b"].steady), "one current passes both"
    assert 'red of each to black of the next, "a" the lowest' in said(answer)
    assert "each pack alone" in said(answer)


@pytest.mark.parametrize(
    ("other", "state"), [(PACK, "charge"), (PACK.replace(", rate: 25 C", ""), "rate and charge")]
)
def test_packs_not_stated_alike_are_not_joined_and_it_says_what_to_state(
    other: str, state: str
) -> None:
    """They may look alike: nobody said that they are as old or as full."""
    answer = refused(one_esc(f"{{a: {PACK}, b: {other}}}", READ_AT_6S, 6))
    assert all("was read at 22.2 V, and this gives 9 V to 12.6 V" in c for c in answer.causes)
    (note,) = answer.notes
    assert f"state the {state} of both, or `like: a`" in note


def test_packs_too_weak_alone_go_side_by_side_where_they_are_alike() -> None:
    """1.6 Ah at 20 C is 32 A on the label, 60 % of it 19.2 A: one cannot give 35 A, two can."""
    weak = PACK.replace("3 Ah", "1.6 Ah").replace("25 C", "20 C")
    answer, report = proposed(one_esc(f"{{a: {weak}, b: {{like: a}}}}", "full-throttle: 35 A"))
    assert feeds(answer) == {(("a", "b"), "parallel", ("esc",))}
    assert gets(report, "esc")[1] == pytest.approx(3 * 4.2, abs=0.05), "volts do not add"
    flows = currents(report.wiring).by_source
    assert flows["a"].steady == pytest.approx(flows["b"].steady, rel=1e-6)
    assert flows["a"].steady == pytest.approx(
        currents(report.wiring).port("esc", "supply").steady / 2, rel=1e-3
    )


@pytest.mark.parametrize(
    "change",
    [
        "capacity: 2.2 Ah, rate: 10 C",
        "chemistry: life",
        "charge: 50 %",
        "volts: 11.2 V",
        "cells: 2",
    ],
)
def test_unlike_packs_are_never_joined(change: str) -> None:
    weak = PACK.replace("3 Ah", "1.6 Ah, charge: 100 %").replace("25 C", "20 C")
    weak = weak.replace("charge: 100 %", "volts: 12.5 V") if "volts" in change else weak
    answer = propose_power(
        plan_of(one_esc(f"{{a: {weak}, b: {{like: a, {change}}}}}", "full-throttle: 35 A"))
    )
    assert isinstance(answer, NoPower), "neither is enough alone"
    assert not any("side by side" in cause or "end to end" in cause for cause in answer.causes)


def test_a_pack_too_weak_is_refused_by_the_rule() -> None:
    """1.2 Ah at 20 C is 24 A by its label: 35 A are beyond it."""
    weak = PACK.replace("3 Ah", "1.2 Ah").replace("25 C", "20 C")
    (cause,) = refused(one_esc(f"{{a: {weak}}}", "full-throttle: 35 A")).causes
    assert "[pack-load]" in cause
    assert "its label says 24 A" in cause


def test_six_cells_never_go_to_an_esc_for_four() -> None:
    (cause,) = refused(one_esc(f"{{a: {PACK.replace('cells: 3', 'cells: 6')}}}")).causes
    assert "[over-voltage]" in cause
    assert "25.2 V" in cause, "6 x 4.2 V"


def test_an_esc_of_unknown_cells_is_asked_about() -> None:
    (cause,) = refused(one_esc(f"{{a: {PACK}}}").replace("cells-max: 4, ", "")).causes
    assert "`cells-max:`" in cause


def test_packs_of_other_volts_for_a_motor_of_unknown_volts_are_asked_about() -> None:
    """The same motor takes 25 A at one of them: at the other it is not known, and may burn it."""
    packs = f"{{a: {PACK}, b: {PACK.replace('cells: 3', 'cells: 4')}}}"
    (cause,) = refused(one_esc(packs)).causes
    assert cause.endswith("(`full-throttle-volts:`): 11.1 V or 14.8 V")
    answer, _ = proposed(one_esc(packs, "full-throttle: 25 A, full-throttle-volts: 14 V"))
    assert feeds(answer) == {(("b",), "", ("esc",))}


SEPARATE = f"""{RADIO}
escs: {{esc: {{rated: 40 A, cells-max: 4, bec: none, connector: XT60, wire: 12 AWG,
             length: 100 mm}}}}
motors: {{motor: {{full-throttle: 25 A, full-throttle-volts: 11.1 V, plug: esc}}}}
regulators: {{reg: {REGULATOR}}}
packs:
  drive: {PACK}
  radio: {pack(cells="2", capacity="1 Ah", connector="XT30", wire="18 AWG")}
"""


def test_a_receiver_pack_feeds_the_regulator_and_no_lead_is_bought() -> None:
    answer, report = proposed(SEPARATE)
    assert feeds(answer) == {(("drive",), "", ("esc",)), (("radio",), "", ("reg",))}
    assert answer.new == ()
    assert gets(report, "reg")[1] == pytest.approx(2 * 4.2, abs=0.05)


def test_without_leads_every_side_by_hand_has_no_better_one() -> None:
    """Each part directly into each pack, by text: what the rules let pass, with fewest warnings."""

    def written(esc: str, reg: str) -> Report:
        text = SEPARATE.replace("bec: none,", f"bec: none, plug: rx.3, supply: {esc},")
        text = text.replace(
            "{kind: switching,", f"{{kind: switching, plug: rx.batt, supply: {reg},"
        )
        return check(plan_of(text))

    tried = {way: written(*way) for way in product(("drive", "radio"), repeat=2)}
    sound = {
        way: sum(f.severity is Severity.WARNING for f in report.findings)
        for way, report in tried.items()
        if all(f.severity < Severity.ERROR for f in report.findings)
    }
    answer, _ = proposed(SEPARATE)
    mine = {name: source.parts[0] for source, fed in answer.side.feeds for name in fed}
    assert sound
    assert (mine["esc"], mine["reg"]) == min(sound, key=lambda way: (sound[way], way))


OPTO = f"""{RADIO}
escs: {{esc: {{rated: 60 A, cells-max: 6, bec: none, isolated: yes, fed: yes, connector: XT90,
             wire: 10 AWG, length: 100 mm}}}}
motors: {{motor: {{full-throttle: 40 A, plug: esc}}}}
regulators: {{reg: {REGULATOR.replace("cells-max: 3", "cells-max: 6")}}}
packs:
  a: {pack(cells="6", capacity="4 Ah", rate="30 C", connector="XT90", wire="10 AWG")}
"""


def test_an_esc_without_bec_and_a_regulator_share_a_pack_each_by_its_own_plug() -> None:
    """The radio lives on the regulator alone: an isolated ESC gives it nothing."""
    answer, report = proposed(OPTO)
    assert answer.joined == ("pack-y", "esc", "reg-adapter", "reg")
    adapter = report.plan.parts["reg-adapter"]
    assert (adapter.connector_in, adapter.connector) == ("XT90", "XT30")  # type: ignore[attr-defined]
    volts = currents(report.wiring).outcome.volts_in("rx", "rail")
    assert min(volts) > 4.8, "the rail's minimum: common practice"


def test_other_plugs_get_an_adapter() -> None:
    answer, report = proposed(one_esc(f"{{a: {PACK.replace('XT60', 'T-plug')}}}"))
    assert answer.bought == ("esc-adapter",)
    adapter = report.plan.parts["esc-adapter"]
    assert (adapter.connector_in, adapter.connector) == ("T-plug", "XT60")  # type: ignore[attr-defined]


def test_an_adapter_that_crosses_its_poles_is_left_alone() -> None:
    adapter = (
        "\npower-leads: {x: {kind: adapter, connector: XT60, connector-in: T-plug, crossed: yes}}"
    )
    answer, _ = proposed(one_esc(f"{{a: {PACK.replace('XT60', 'T-plug')}}}") + adapter)
    assert "x" not in answer.joined


def test_bare_bullets_are_written_with_their_poles() -> None:
    text = one_esc(f"{{a: {PACK}}}").replace("XT60", "bullet-4mm")
    _, report = proposed(text)
    assert report.plan.parts["esc"].supply.poles == "straight"  # type: ignore[attr-defined]
    assert "bare-bullets" not in [f.rule for f in report.findings]


FUSES = (
    OPTO.replace("isolated: yes, fed: yes, ", "").replace("cells: 6", "cells: 3")
    + """
fuses:
  small: {rated: 10 A, connector: XT30, wire: 18 AWG, length: 50 mm}
  big: {rated: 60 A, connector: XT90, wire: 10 AWG, length: 50 mm}
"""
)


def test_each_fuse_lies_where_it_blows_before_its_wire_and_not_in_flight() -> None:
    """Silicone wire, cautious: 10 AWG bears 65 A, 18 AWG 16 A (charts of the trade)."""
    answer, report = proposed(FUSES)
    ways = dict(answer.side.within)
    assert ways == {"small": "reg", "big": "esc"}
    bears = {"10 AWG": 65.0, "18 AWG": 16.0}
    for name in ("small", "big"):
        fuse = report.plan.parts[name]
        flow = currents(report.wiring).port(name, "in-1")
        assert flow.steady < fuse.rated < bears[fuse.wire.text]  # type: ignore[attr-defined]


def test_a_fuse_that_blows_in_flight_stays_out() -> None:
    text = FUSES.replace("rated: 60 A, connector: XT90, wire", "rated: 30 A, connector: XT90, wire")
    answer, _ = proposed(text)
    assert "big" not in answer.joined


STRONG = one_esc(
    f"{{a: {PACK.replace('cells: 3', 'cells: 6').replace('3 Ah', '5 Ah')}}}",
    "full-throttle: 46 A",
    6,
)


def test_above_a_kilowatt_an_arming_plug_lies_in_the_positive() -> None:
    """46 A x 22.2 V = 1021 W; the plug of the plan is taken before a new one."""
    strong = STRONG.replace("XT60", "XT90").replace("12 AWG", "10 AWG").replace("60 A", "80 A")
    _, report = proposed(strong)
    assert report.plan.parts["arming"].kind == "arming"
    assert "arming-plug" not in [f.rule for f in report.findings]
    mine, _ = proposed(
        strong
        + "\npower-leads: {plug: {kind: arming, connector: XT90, wire: 10 AWG, length: 50 mm}}"
    )
    assert (mine.joined, mine.new) == (("plug", "esc"), ())


def test_long_battery_wires_get_capacitors_of_the_usual_rating() -> None:
    """480 mm are 180 beyond 300: two of 220 uF; 25 V up to 4S (common practice)."""
    text = one_esc(f"{{a: {PACK}}}").replace("length: 100 mm}", "length: 400 mm}")
    _, report = proposed(text)
    (caps,) = (p for p in report.plan.parts.values() if p.word == "capacitor")
    assert (caps.value * caps.count, caps.volts) == (pytest.approx(440e-6), 25)  # type: ignore[attr-defined]


def test_what_is_joined_already_stays_and_free_ends_are_used() -> None:
    text = TWIN.replace(
        "esc-right: {like: esc-left}", "esc-right: {like: esc-left, supply: mine.2}"
    )
    text += MINE.replace("ways: 2", "ways: 2, supply: a")
    answer, report = proposed(text)
    assert answer.joined == ("esc-left",)
    assert report.plan.parts["esc-left"].supply.into == "mine.1"  # type: ignore[attr-defined]
    assert report.plan.parts["esc-right"].supply.into == "mine.2"  # type: ignore[attr-defined]


def test_nothing_is_joined_while_a_danger_stands() -> None:
    text = TWIN.replace(
        "packs:",
        "packs:\n  x: {like: a, connector: XT60}\n  y: {like: a, cells: 4, connector: XT60}",
    )
    text += "\npower-leads: {both: {kind: parallel, supply: [x, y], connector: XT60}}"
    (cause,) = refused(text).causes
    assert cause.startswith("mend this first:")


def test_nothing_left_to_feed_is_said() -> None:
    plan: Plan = plan_of(
        one_esc(f"{{a: {PACK}}}").replace(
            "connector: XT60, wire: 12 AWG, length: 100",
            "supply: a, connector: XT60, wire: 12 AWG, length: 100",
        )
    )
    answer = propose_power(plan)
    assert isinstance(answer, PowerPlan)
    assert "nothing is left without a supply" in said(answer)


def test_packs_that_do_not_go_round_are_told() -> None:
    """Both packs are wanted end to end, and then none is left for the regulator."""
    text = SEPARATE[: SEPARATE.index("packs:")].replace("cells-max: 4", "cells-max: 6")
    text = text.replace("11.1 V", "22.2 V") + f"packs: {{a: {PACK}, b: {{like: a}}}}\n"
    causes = refused(text).causes
    assert causes[0] == 'the packs do not go round for ESC "esc" and regulator "reg"'
    assert any("[over-voltage]" in cause for cause in causes[1:])


def test_a_lead_found_dead_is_not_used() -> None:
    kit = "kit: [{kind: parallel, ways: 2, wire: 10 AWG, connector: XT60}]\n"
    answer, _ = proposed(TWIN + MINE + "as-found: [{end: mine, fact: dead}]\n" + kit)
    assert "mine" not in answer.joined
    assert answer.bought == ("pack-y",), "the one of the kit is the dead one"


def test_what_the_rules_take_from_the_radio_is_told_with_the_refusal() -> None:
    """A linear BEC on 4S burns (16.8 V - 5 V) = 11.8 W an ampere: nothing is left for the radio."""
    text = one_esc(f"{{a: {pack(cells='4')}}}").replace("switching", "linear")
    (cause,) = refused(text.replace(", burst: 5 A", "")).causes
    assert "11.8 W" in cause


def test_one_pack_each_needs_no_lead_and_each_side_its_own() -> None:
    """Two packs for two ESCs: nothing to buy, nothing joined; left to left."""
    text = (
        TWIN.replace("20 A", "10 A")
        .replace("{esc-left: ", "{esc-right: ")
        .replace("esc-right: {like: esc-left}", "esc-left: {like: esc-right}")
    )
    text = (
        text[: text.index("packs:")]
        + f"packs: {{pack-left: {pack()}, pack-right: {{like: pack-left}}}}\n"
    )
    answer, _ = proposed(text)
    assert answer.new == ()
    assert feeds(answer) == {
        (("pack-left",), "", ("esc-left",)), (("pack-right",), "", ("esc-right",))
    }  # fmt: skip


def test_fewest_warnings_go_before_fewest_parts() -> None:
    """25 A of one pack are below its label's 32 A, but above the 19.2 A to be trusted."""
    weak = pack(capacity="1.6 Ah", rate="20 C")
    answer, report = proposed(one_esc(f"{{a: {weak}, b: {{like: a}}}}", "full-throttle: 25 A"))
    assert feeds(answer) == {(("a", "b"), "parallel", ("esc",))}
    assert "pack-load" not in [f.rule for f in report.findings]
