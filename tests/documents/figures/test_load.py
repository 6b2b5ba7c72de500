"""The load of a harness worked by hand, read back out of its documents."""

from __future__ import annotations

import csv
import io
import json
import math

import pytest
from documents.figures.hand import FEEBLE, HAND, HUNGRY, UNKNOWN, solved, wiring_of

from harness.base.refusal import Refusal
from harness.documents.figures.load import load, solved_of
from harness.documents.figures.solved import SolvedPlan
from harness.electrics.outcome import Outcome, outcome_of
from harness.electrics.rows import rows_of
from harness.electrics.solver.circuit import NotSolved
from harness.paper import render_figures as render
from harness.reading.problems import PlanError

CONTACT = 0.015
"""ohm of a servo plug's contact: common practice, no published source."""
COPPER = 0.017241
"""ohm mm2/m at 20 degC: IEC 60028 (memory)."""
AWG26 = math.pi / 4 * 0.4049**2
"""mm2: ASTM B258 gives 26 AWG as 0.4049 mm in diameter (memory)."""


def records(text: str = HAND, case: str = "", at: str = "") -> list[dict[str, str]]:
    found = render(load(solved(text, case), at), "csv")
    return list(csv.DictReader(io.StringIO(found, newline=""), strict=True))


def one(kind: str, part: str, case: str) -> dict[str, str]:
    (found,) = (r for r in records(case=case) if (r["kind"], r["part"]) == (kind, part))
    return found


def test_the_plug_of_a_moving_servo_by_ohms_law() -> None:
    """0.4 A there and back through two contacts; of 3 A continuously, 5 A for seconds (hand)."""
    plug = one("plug", "a", "wave")
    assert float(plug["amps"]) == pytest.approx(0.4, rel=1e-6)
    assert float(plug["drop_volts"]) == pytest.approx(2 * 0.4 * CONTACT, rel=1e-6)
    assert float(plug["loss_watts"]) == pytest.approx(2 * 0.4**2 * CONTACT, rel=1e-6)
    assert float(plug["share_continuous"]) == pytest.approx(0.4 / 3, rel=1e-6)
    assert float(plug["share_seconds"]) == pytest.approx(0.4 / 5, rel=1e-6)


def test_the_lead_of_a_moving_servo_by_its_copper() -> None:
    ohms = 2 * 0.2 * COPPER / AWG26
    lead = one("lead", "a", "wave")
    assert float(lead["drop_volts"]) == pytest.approx(0.4 * ohms, rel=2e-3)
    assert float(lead["loss_watts"]) == pytest.approx(0.4**2 * ohms, rel=2e-3)


def test_volts_add_up_along_the_way() -> None:
    """What the receiver has less what plug and lead lose is what the servo has (Kirchhoff)."""
    rows = {(r["kind"], r["part"]): r for r in records(case="wave")}
    receiver = float(rows["part", "rx"]["volts"])
    lost = sum(float(rows[kind, "a"]["drop_volts"]) for kind in ("plug", "lead"))
    assert float(rows["part", "a"]["volts"]) == pytest.approx(receiver - lost, rel=1e-6)
    pack = float(rows["pack", "p"]["volts"])
    lost = sum(float(rows[kind, "p"]["drop_volts"]) for kind in ("plug", "lead"))
    assert receiver == pytest.approx(pack - lost, rel=1e-6)


def test_the_csv_has_every_row_in_every_case() -> None:
    found = records()
    cases, rows = {r["case"] for r in found}, {(r["kind"], r["part"], r["port"]) for r in found}
    assert len(found) == len(cases) * len(rows)
    assert {"joined", "radio-on", "jammed", "wave"} <= cases


def test_one_case_says_what_all_cases_say_of_it() -> None:
    assert records(case="wave") == [r for r in records() if r["case"] == "wave"]


def test_the_worst_is_the_worst_of_the_cases() -> None:
    data = json.loads(render(load(solved()), "json"))
    for row in data["rows"]:
        for quantity, pick in (("volts", min), ("drop_volts", max), ("share_continuous", max)):
            values = {c: f[quantity] for c, f in row["cases"].items() if f[quantity] is not None}
            worst = row["worst"][quantity]
            assert (worst is None) == (not values)
            if worst is not None:
                assert worst["value"] == pytest.approx(pick(values.values()), abs=1e-8)
                assert values[worst["case"]] == worst["value"]


def test_json_and_csv_have_the_same_figures() -> None:
    data = json.loads(render(load(solved()), "json"))
    rows = {(r["kind"], r["part"], r["port"]): r for r in data["rows"]}
    for record in records():
        found = rows[record["kind"], record["part"], record["port"]]["cases"][record["case"]]
        for quantity, value in found.items():
            assert record[quantity] == ("" if value is None else repr(value))


def test_json_names_its_plan_and_has_no_nan() -> None:
    text = render(load(solved()), "json")
    data = json.loads(text, parse_constant=pytest.fail)
    assert data["revision"] == wiring_of().plan.revision
    assert (data["document"], data["format"]) == ("load", 1)


def test_a_share_for_good_is_only_of_cases_that_last() -> None:
    for record in records():
        if record["lasts"] == "seconds":
            assert record["share_continuous"] == record["temperature_celsius"] == ""


def test_what_bears_too_little_leads_and_is_marked() -> None:
    # 5.24 V (80 %) behind 0.1 ohm of cells, 60 mohm of contacts, 75 of copper at 40 degC; the servo
    # is 3 ohm, the receiver 0.1 A: 0.1 + (5.24 - 0.1 * 0.15) / 3.23 = 1.72 A, of 0.1 C x 2 Ah
    text = render(load(solved(FEEBLE)), "table")
    assert text.split("\n")[1].endswith("more than it bears:")
    assert text.split("\n")[2].startswith('- pack "p": 1.72 A of 0.2 A for seconds (859 %)')
    assert "OVER 859 % of 0.2" in text
    assert "OVER" not in render(load(solved()), "table")


def test_too_few_volts_are_marked_with_what_is_needed() -> None:
    # half empty, 5.10 V: 0.5 A lose 0.13 V/A in cells and plug, 0.4 A of them 0.1 V/A on: 4.99 V;
    # nearly empty, for seconds, it is 4.83 V, but what lasts goes before
    sheet = load(solved(HUNGRY)).sheet
    said = [p.text for p in sheet.points if p.tone == "danger"]
    assert 'servo "a" gets 4.99 V in wave; it needs 6.5 V' in said
    assert "LOW 4.99" in render(load(solved(HUNGRY)), "table")


def test_what_is_not_known_is_said_and_left_out() -> None:
    figures = load(solved(UNKNOWN))
    assert next(note.title for note in figures.sheet.notes).startswith("Not known")
    assert any("left out" in p.text and p.text.endswith(": a") for p in figures.sheet.points)
    assert [item["part"] for item in figures.data["not_known"]] == ["a"]
    assert not [r for r in figures.records if (r["kind"], r["part"]) == ("part", "a")]


def test_what_was_assumed_is_listed_with_its_key() -> None:
    text = HAND.replace(", length: 150 mm}", "}")
    found = load(solved(text))
    assert {"part": "p", "what": "the length of its wire", "key": "length"} in found.data["assumed"]
    assert load(solved()).data["assumed"] == []
    assert "p: the length of its wire; state it as length" in render(found, "table")


def test_at_a_part_is_its_way_to_the_source_in_order() -> None:
    rows = [(r["kind"], r["part"]) for r in records(case="wave", at="a")]
    assert rows == [("part", "a"), ("lead", "a"), ("plug", "a"), ("part", "rx"),
                    ("lead", "p"), ("plug", "p"), ("pack", "p")]  # fmt: skip


def test_at_a_receiver_are_the_plugs_it_holds() -> None:
    plugs = [r["name"] for r in records(case="wave", at="rx") if r["kind"] == "plug"]
    assert plugs == ["p in rx.batt", "a in rx.1"]


def test_at_a_part_all_cases_are_rows() -> None:
    table = load(solved(), "a").sheet.tables[-1]
    for group in table.groups:
        assert [row[0].text for row in group.rows] == [c.name for c in solved().outcome.cases]


@pytest.mark.parametrize(
    ("case", "at", "said"),
    [("wav", "", 'there is no case "wav" in this plan; did you mean "wave"?'),
     ("", "b", 'there is no part "b" in this plan; it can be: a, p, rx')],
)  # fmt: skip
def test_a_wrong_name_gets_the_nearest(case: str, at: str, said: str) -> None:
    with pytest.raises(Refusal) as caught:
        load(solved(HAND, case), at)
    assert str(caught.value) == said


def broken(case: str = "", *bad: str) -> SolvedPlan:
    """A solved plan of which some cases are said to have no solution."""
    outcome = outcome_of(wiring_of())
    for number, one_case in enumerate(outcome.cases):
        if one_case.name in bad:
            why = NotSolved("cells of p", "gives no more than 9 A", number)
            outcome.solution.raw.trouble[number] = why
    blank = Outcome(outcome.net, outcome.solution)
    return SolvedPlan(blank, rows_of(blank), case)


def test_a_case_without_a_solution_is_named_and_the_others_shown() -> None:
    found = load(broken("", "wave"))
    said = 'case wave has no solution: pack "p" (plan line 10): gives no more than 9 A'
    assert said in render(found, "table")
    first = found.sheet.points[0]
    assert first.tone == "danger"
    assert first.text == 'no solution in wave: pack "p" (plan line 10): gives no more than 9 A'
    assert "nothing carries more than it bears" not in [point.text for point in found.sheet.points]
    assert {r["case"] for r in found.records} == {c.name for c in solved().outcome.cases} - {"wave"}
    assert found.data["not_solved"][0]["case"] == "wave"
    for to in ("table", "json", "csv", "html"):
        assert "nan" not in render(found, to).lower()


def test_no_numbers_of_a_case_without_a_solution() -> None:
    with pytest.raises(
        Refusal, match=r'nothing is computed: case wave .* pack "p" \(plan line 10\)'
    ):
        broken("wave", "wave")


def test_the_same_bytes_twice() -> None:
    for to in ("table", "json", "csv", "html"):
        assert render(load(solved()), to) == render(load(solved_of(wiring_of())), to)


ORPHAN = """
receivers: {rx: {sockets: 4}}
escs: {esc: {rated: 30 A, plug: rx.1, bec: {kind: switching, volts: 5 V, rated: 3 A}}}
"""


def test_a_supply_that_nothing_feeds_burns_nothing_known() -> None:
    """What it gives without taking anything would be heat below 0 W."""
    rows = [r for r in rows_of(outcome_of(wiring_of(ORPHAN))) if r.kind == "supply"]
    assert [row.loss for row in rows] == [None]


def test_a_limit_of_nothing_is_refused() -> None:
    with pytest.raises(PlanError, match='"0 A" is too little'):
        wiring_of(ORPHAN.replace("rated: 3 A", "rated: 0 A"))
