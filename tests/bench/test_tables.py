"""Currents by throttle, from the meter by way of the results into the plan, and what follows."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import yaml
from bench.bench_plan import PLAN, bench_test, compared, protocol, results_text
from scipy.optimize import brentq
from support import plan_of
from support_cli import runner

from harness.base.refusal import Refusal
from harness.bench.compare import FAIL, PASS, Comparison
from harness.bench.tables import plan_text
from harness.electrics.cases import OperatingCase
from harness.electrics.outcome import Outcome, outcome_of
from harness.parts.motor import Motor
from harness.reading.problems import PlanError
from harness.wiring.build import build

EXAMPLES = Path(__file__).parents[2] / "examples"
AMPS = "  part-throttle-amps.motor.{}: {:.6g} A\n"
VOLTS = "  part-throttle-volts.motor.{}: {:.6g} V\n"
FULL = "  full-throttle-amps.motor: {:.6g} A\n  full-throttle-volts.motor: {:.6g} V\n"
HALF = AMPS.format(50, 4.2) + VOLTS.format(50, 12.1)
READ = HALF + AMPS.format(75, 9.8) + VOLTS.format(75, 11.9) + FULL.format(18.4, 11.6)


def read(found: Comparison) -> list[tuple[float, float, float | None]]:
    (table,) = found.tables
    return [(one.throttle, one.current, one.volts) for one in table.lines]


def test_what_a_wattmeter_showed_is_offered_as_a_table() -> None:
    found = compared(READ)
    assert read(found) == [(0.5, 4.2, 12.1), (0.75, 9.8, 11.9), (1.0, 18.4, 11.6)]
    (offer,) = found.proposals
    assert (offer.part, offer.why) == ("motor", "read with a wattmeter")
    said = yaml.safe_load(offer.write.strip("`"))["measured"]
    assert said[1] == {"throttle": "75 %", "current": "9.8 A", "volts": "11.9 V"}


def test_another_unit_is_another_spelling() -> None:
    assert read(compared(AMPS.format(50, 4.2).replace("4.2 A", "4200 mA"))) == [(0.5, 4.2, None)]


def test_without_volts_it_is_said_what_they_are_taken_for() -> None:
    (offer,) = compared(AMPS.format(50, 4.2)).proposals
    assert "(50 % without volts: the nominal ones)" in offer.why
    assert compared(VOLTS.format(50, 12.1)).proposals == ()


def test_a_reading_takes_the_place_of_an_earlier_one() -> None:
    old = PLAN.replace("18 A,", "18 A, measured: [{throttle: 0.5, current: 3 A}, {throttle: 60 %,"
                       " current: 7 A}],")  # fmt: skip
    assert read(compared(HALF, old)) == [(0.5, 4.2, 12.1), (0.6, 7.0, None)]
    same = old.replace("current: 3 A", "current: 4200 mA, volts: 12.1 V")
    assert compared(HALF, same).tables == ()


@pytest.mark.parametrize(
    ("tests", "said"),
    [
        (AMPS.format(50, 12) + AMPS.format(75, 11), "12 A at 50% throttle and 11 A at 75%"),
        (AMPS.format(75, 18), "18 A at 75% throttle and 18 A at 100%"),
        (AMPS.format(75, 19) + FULL.format(18.4, 11.6), "19 A at 75% throttle and 18.4 A at 100%"),
        (AMPS.format(50, 0), "50 % throttle on no amps"),
        (AMPS.format(50, 4) + VOLTS.format(50, 0), "50 % throttle on no volts"),
    ],
)
def test_readings_that_contradict_fail_and_stay_out(tests: str, said: str) -> None:
    found = compared(tests)
    failed = found.by(FAIL)
    assert len(failed) == tests.count("\n")
    assert all(said in one.apart and one.mend for one in failed)
    assert found.proposals == ()
    assert all(table.wrong for table in found.tables)


def test_more_at_half_than_full_throttle_takes_is_a_fault_of_that_reading() -> None:
    """18 A at 11.1 V; 20.97 A and 5 % of a meter is what full packs give at full throttle."""
    found = compared(AMPS.format(50, 30) + AMPS.format(75, 9.8))
    (one,) = found.by(FAIL)
    assert (one.id, one.apart) == ("part-throttle-amps.motor.50", "7.98 A too much")
    assert "no full throttle before you know why" in one.mend
    (offer,) = found.proposals
    assert offer.why.endswith("once you know why it is not what was expected")
    assert found.tables[0].failed == ("part-throttle-amps.motor.50",)


def test_another_curve_of_an_esc_is_no_fault() -> None:
    (one,) = compared(HALF.partition("\n")[0] + "\n").by(PASS)
    assert "more than the plan leads one to expect" in one.remark


def test_motors_on_one_esc_are_read_together_and_share() -> None:
    """Two thirds and a third, by what each takes at full throttle."""
    two = PLAN.replace("motors: {", "motors: {n: {full-throttle: 9 A, plug: esc}, ")
    assert bench_test("part-throttle-amps.motor.50", two).title.startswith("current of motor and n")
    assert "part-throttle-amps.n.50" not in protocol(two).tests
    found = compared(AMPS.format(50, 6), two)
    assert {t.motor.id: t.lines[0].current for t in found.tables} == {"motor": 4.0, "n": 2.0}


def test_the_motor_alone_where_a_bec_is_on_the_meter_too() -> None:
    how = bench_test("part-throttle-amps.motor.50").how
    assert "motor off" in how[0]
    pulled = PLAN.replace("plug: rx.3,", "plug: {into: rx.3, pulled: positive},")
    assert bench_test("part-throttle-amps.motor.50", pulled).how == ()


def test_a_fan_is_plugged_in_for_it() -> None:
    fan = PLAN.replace("motors: {motor", "ducted-fans: {motor")
    found = protocol(fan)
    section = next(s for s in found.sections if s.title.startswith("Part"))
    assert "propeller" not in section.about + section.tests[0].mend
    assert section.tests[0].propellers == "on"
    assert read(compared(HALF, fan)) == [(0.5, 4.2, 12.1)]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "p.yaml").write_text(PLAN.replace("motors:", "# mine\nmotors:"))
    (tmp_path / "r.yaml").write_text(results_text(READ))
    return tmp_path


def test_the_plan_is_changed_when_asked_and_only_then(folder: Path) -> None:
    run, plan = runner(folder), folder / "p.yaml"
    before = plan.read_bytes()
    asked = run("record", "p.yaml", "r.yaml")
    assert (asked.code, plan.read_bytes()) == (0, before)
    assert "motor, 3 throttles: not written into the plan without --write" in asked.err
    ran = run("record", "p.yaml", "r.yaml", "--write")
    assert ran.code == 0
    assert "measured of motor, 3 throttles: written into p.yaml" in ran.err
    old, new = (yaml.load(text, yaml.BaseLoader) for text in (before, plan.read_bytes()))
    table = new["motors"]["motor"].pop("measured")
    assert [line["throttle"] for line in table] == ["50 %", "75 %", "100 %"]
    assert new == old
    assert "# mine\n" in plan.read_text()
    after = plan.read_bytes()
    assert run("record", "p.yaml", "r.yaml", "--write", "--to", "json").code == 0
    assert plan.read_bytes() == after


@pytest.mark.parametrize(
    "value", ["4.2", "4.2 V", "-1 A", "yes", "4,2 A"], ids=["bare", "unit", "sign", "word", "comma"]
)
def test_a_bad_value_writes_nothing(folder: Path, value: str) -> None:
    before = (folder / "p.yaml").read_bytes()
    bad = results_text(READ.replace("4.2 A", value))
    (folder / "r.yaml").write_text(bad)
    ran = runner(folder)("record", "p.yaml", "r.yaml", "--write")
    assert ran.code == 2
    assert ran.err.startswith("r.yaml:6:32: not understood")
    assert (folder / "p.yaml").read_bytes() == before
    assert not (folder / "p.record.yaml").exists()


def test_what_failed_or_contradicts_is_not_written(folder: Path) -> None:
    before = (folder / "p.yaml").read_bytes()
    for high, said in ((30, "part-throttle-amps.motor.75 not as expected"), (4, "4.2 A at 50%")):
        (folder / "r.yaml").write_text(results_text(HALF + AMPS.format(75, high)))
        ran = runner(folder)("record", "p.yaml", "r.yaml", "--write")
        assert (ran.code, said in ran.err) == (1, True)
        assert (folder / "p.yaml").read_bytes() == before


def test_a_plan_that_may_not_be_written_is_left_alone(folder: Path) -> None:
    (folder / "p.yaml").chmod(0o444)
    ran = runner(folder)("record", "p.yaml", "r.yaml", "--write")
    assert (ran.code, "write-protected" in ran.err) == (2, True)
    assert not (folder / "p.record.yaml").exists()
    stdin = (folder / "p.yaml").read_bytes()
    assert runner(folder)("record", "-", "r.yaml", "--write", stdin=stdin).code == 2


def test_a_table_that_two_motors_share_is_refused() -> None:
    shared = PLAN.partition("motors:")[0] + (
        "motors:\n  motor: {plug: esc, full-throttle: 18 A,\n    measured: &t [{throttle: 50 %,"
        " current: 3 A}]}\n  spare: {full-throttle: 18 A, measured: *t}\n"
        "packs: {pack: {chemistry: lipo, cells: 3, capacity: 2.2 Ah, rate: 25 C}}\n"
    )
    tables = compared(HALF, shared).tables
    with pytest.raises(Refusal, match="no anchor &t"):
        plan_text(plan_of(shared), tables)


SOLVED = """
packs: {p: {chemistry: lipo, cells: 4, capacity: 5 Ah, cell-resistance: 0.001 mohm, wire: 4 mm2,
  length: 1 mm, connector: AS150}}
escs: {esc: {bec: none, rated: 55 A, supply: p, wire: 4 mm2, length: 1 mm, connector: AS150}}
motors: {motor: {plug: esc, full-throttle: 40 A, no-load: 1.6 A}}
flight: [{phase: cruise, time: 2 min, throttle: 50 %}]
cases: {half: {throttle: 50 %, charge: 100 %}}
"""


def oracle(volts: float, throttle: float, winding: float = 0.06, no_load: float = 1.6) -> float:
    """Another winding than is usual, by an independent solver: "Motor Math", 2002, as the law is.

    40 A at 14.8 V; 4 % of volts times motor current are lost by switching at duty 0 (memory).
    """
    load = (40 - no_load) / (14.8 - winding * 40) ** 2
    own = brentq(lambda e: e + winding * (no_load + load * e**2) - throttle * volts, 0, volts)
    return float((throttle + 0.04 * (1 - throttle)) * (no_load + load * float(own) ** 2))


def solved(text: str, throttle: float) -> tuple[float, float]:
    """What the ESC draws of a full pack, and its volts then."""
    found: Outcome = outcome_of(build(plan_of(text)), [OperatingCase("one", throttle=throttle)])
    return float(found.drawn("esc")[0]), float(found.fed("esc")[0])


def test_a_recorded_table_is_what_is_solved_afterwards() -> None:
    points, tests = {}, ""
    for throttle in (0.5, 0.75, 1.0):
        before, volts = solved(SOLVED, throttle)
        points[throttle] = oracle(volts, throttle)
        assert abs(points[throttle] / before - 1) > 0.005  # the law by usual shares is another
        kind = FULL if throttle == 1 else AMPS + VOLTS
        at = f"{100 * throttle:g}"
        values = (points[throttle], volts) if throttle == 1 else (at, points[throttle], at, volts)
        tests += kind.format(*values)
    text = plan_text(plan_of(SOLVED), compared(tests, SOLVED).tables)
    for throttle in points:
        drawn, volts = solved(text, throttle)  # what the new current takes of the volts, some mV
        assert drawn == pytest.approx(oracle(volts, throttle), rel=1e-5)  # written to six digits


def test_load_endurance_and_check_follow_the_table(tmp_path: Path) -> None:
    """Half as much again at half throttle, where the flight is flown; at full, too much."""
    run, plan = runner(tmp_path), tmp_path / "p.yaml"
    plan.write_text("plan: 1\naircraft: Test\n" + SOLVED)

    def figures() -> tuple[float, float, bool]:
        load = json.loads(run("load", "p.yaml", "--case", "half", "--to", "json").out)
        flown = json.loads(run("endurance", "p.yaml", "--to", "json").out)
        checked = run("check", "p.yaml").out
        cruise = flown["flights"][0]["phases"][0]["mean_amps"]
        return load["cases"][0]["most_from_a_pack"]["amps"], cruise, "esc-load" in checked

    amps, volts = solved(SOLVED, 0.5)
    full, sagged = solved(SOLVED, 1.0)
    before = figures()
    more = AMPS.format(50, 1.5 * amps) + VOLTS.format(50, volts) + FULL.format(1.04 * full, sagged)
    (tmp_path / "r.yaml").write_text(results_text(more, SOLVED))
    ran = run("record", "p.yaml", "r.yaml", "--write")
    assert ran.code == 0, ran.out + ran.err
    after = figures()
    assert after[0] == pytest.approx(1.5 * before[0], rel=5e-3)
    assert after[1] == pytest.approx(1.5 * before[1], rel=2e-2)
    assert (before[2], after[2]) == (False, True)


def test_an_unreadable_table_is_told_at_its_line() -> None:
    with pytest.raises(PlanError) as error:
        compared(HALF.replace("4.2 A", "4.2 Ah"))
    (problem,) = error.value.problems
    assert problem.span.line == 6
    assert '"4.2 Ah" is not a current' in problem.message


def test_what_the_plan_measured_is_what_the_protocol_expects() -> None:
    table = PLAN.replace("18 A,", "18 A, measured: [{throttle: 50 %, current: 6 A, volts: 12 V}],")
    test = bench_test("part-throttle-amps.motor.50", table)
    assert "6 A (measured, plan line" in test.origin
    motor = plan_of(table).parts["motor"]
    assert isinstance(motor, Motor)
    usual = test.expected.usual  # type: ignore[union-attr]
    assert usual is not None
    assert usual[0] < 6 < usual[1]


def test_the_example_has_two_values_out_and_one_table_to_write(tmp_path: Path) -> None:
    """The README says so of it."""
    for name in ("saltmarsh-19.yaml", "saltmarsh-19.results.yaml"):
        (tmp_path / name).write_bytes((EXAMPLES / name).read_bytes())
    ran = runner(tmp_path)("record", "saltmarsh-19.yaml", "saltmarsh-19.results.yaml")
    assert (ran.code, ran.out.count("\nFAIL  ")) == (1, 2)
    assert "motor-left, 3 throttles: not written into the plan without --write" in ran.err
    assert "motor-right, 3 throttles: not for the plan (full-throttle-amps" in ran.err
