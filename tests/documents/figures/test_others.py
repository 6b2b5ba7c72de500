"""Time line, equalising packs, endurance and spread: documents against sums made by hand."""

from __future__ import annotations

import csv
import io
import json

import numpy as np
import pytest
from documents.figures.hand import FEEBLE, GEAR, HAND, JOINED, solved, wiring_of

from harness.base.refusal import Refusal
from harness.documents.figures import duration, figure, mark, percent
from harness.documents.figures.endurance import endurance_figures
from harness.documents.figures.equalise import equalise_figures
from harness.documents.figures.load import load
from harness.documents.figures.timeline import timeline_figures
from harness.documents.figures.tolerance import key_of, with_tolerance
from harness.electrics.endurance import endurance
from harness.electrics.equalise import equalise
from harness.electrics.gear.timeline import timeline
from harness.electrics.tolerance import tolerance_of
from harness.paper import render_figures as render
from harness.paper.sheet import Figures


def rows(figures: Figures) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(render(figures, "csv"), newline="")))


def gear(run: str = "") -> Figures:
    wiring = wiring_of(GEAR)
    return timeline_figures(wiring.plan, timeline(wiring, "gear"), run)


def test_the_leg_travels_evenly_and_draws_what_is_stated() -> None:
    """3 s of travel from up to down: half way at 1.5 s; 0.5 A while it runs (hand)."""
    found = {float(r["time_seconds"]): r for r in rows(gear("down"))}
    assert float(found[1.5]["leg position"]) == pytest.approx(0.5)
    assert found[1.5]["leg state"] == "moving"
    rest, running = (float(found[t]["p amps"]) for t in (max(found), 1.5))
    assert running - rest == pytest.approx(0.5, rel=1e-3)


def test_the_table_is_about_the_run_that_was_asked_for() -> None:
    tables = gear("down").sheet.tables
    assert [table.title.split(",")[0] for table in tables] == ["down"]
    first = gear().sheet.tables[0].groups[0].rows
    assert {"down", "up", "slow-down", "jammed-leg-down"} <= {row[0].text for row in first}


def test_a_wrong_run_gets_the_nearest() -> None:
    with pytest.raises(Refusal, match='no run "dwn"; did you mean "down"'):
        gear("dwn")


def joined() -> Figures:
    wiring = wiring_of(JOINED)
    return equalise_figures(wiring.plan, equalise(wiring))


def test_what_one_pack_gives_the_other_takes() -> None:
    found = rows(joined())
    amps = {(r["time_seconds"], r["pack"]): float(r["amps"]) for r in found}
    for time in {time for time, _ in amps}:
        assert amps[time, "p"] == pytest.approx(-amps[time, "q"], abs=1e-8)
        assert amps[time, "p"] >= 0


def test_the_charge_that_moves_is_the_current_over_time() -> None:
    """Q = integral of i dt, by the trapezoid rule over the rows of the CSV."""
    found = [r for r in rows(joined()) if r["pack"] == "p"]
    times, amps, charge = (
        np.array([float(r[k]) for r in found]) for k in ("time_seconds", "amps", "charge")
    )
    moved = float(np.sum((amps[1:] + amps[:-1]) / 2 * np.diff(times))) / 3600
    assert moved == pytest.approx(2.0 * (charge[0] - charge[-1]), rel=5e-3)
    data = json.loads(render(joined(), "json"))
    assert data["groups"][0]["moved_amp_hours"] == pytest.approx(moved, rel=5e-3)


def test_packs_that_do_not_touch_do_not_equalise() -> None:
    wiring = wiring_of()
    found = equalise_figures(wiring.plan, equalise(wiring))
    assert "no packs are joined side by side" in found.sheet.points[0].text
    assert found.sheet.tables == ()


def flown(text: str = HAND) -> Figures:
    wiring = wiring_of(text)
    return endurance_figures(wiring.plan, endurance(wiring))


def test_what_is_used_is_the_mean_current_times_the_time() -> None:
    for r in rows(flown()):
        time = float(r["end_seconds"]) - float(r["start_seconds"])
        assert float(r["milliamp_hours"]) == pytest.approx(float(r["mean_amps"]) * time / 3.6)


def test_the_band_stands_first_with_where_its_width_comes_from() -> None:
    """A servo of 2 A at 30 % of its stall all the time draws more; cold and age take charge."""
    found = flown()
    first = found.sheet.points[0].text
    assert [word.split()[0] for word in first.split(", ")] == ["best", "typical", "worst"]
    (width,) = (note for note in found.sheet.notes if "width" in note.title)
    assert any("aged packs: " in line and line.endswith("less") for line in width.lines)
    said = json.loads(render(found, "json"))
    assert said["best_seconds"] >= said["flights"][0]["lasts_seconds"]


def test_a_plan_without_a_flight_is_told_what_to_write() -> None:
    found = flown(HAND.split("flight:", maxsplit=1)[0])
    assert "no time is told" in found.sheet.points[0].text
    assert "mean-current" in found.sheet.points[0].text
    assert json.loads(render(found, "json"))["flights"] == []


def test_the_energy_of_a_pack_is_nominal_volts_times_capacity() -> None:
    """Four NiMH cells of 1.2 V nominal and 2 Ah: 9.6 Wh."""
    (energy,) = json.loads(render(flown(), "json"))["energies"]
    assert energy["watt_hours"] == pytest.approx(9.6)
    assert energy["over"] is False


def test_a_large_pack_is_noted_against_the_100_wh_of_air_travel() -> None:
    """IATA: up to 100 Wh without approval (published.md); 24 cells of 5 Ah have 144 Wh."""
    text = HAND.replace("cells: 4, capacity: 2 Ah", "cells: 24, capacity: 5 Ah")
    said = [p.text for p in flown(text).sheet.points]
    assert any("holds 144 Wh: above the 100 Wh" in text for text in said)


def test_the_spread_holds_what_is_planned_and_runs_upwards() -> None:
    found = solved(FEEBLE)
    draws = tolerance_of(found.outcome.wiring, draws=50)
    figures = with_tolerance(load(found), draws, {key_of(row) for row in found.rows})
    order = ("least", "five_percent", "median", "ninety_five_percent", "most")
    for record in rows(figures):
        values = [float(record[word]) for word in order]
        assert values == sorted(values)
        assert record["draws"] == "50"
    assert any("passes its limit" in point.text for point in figures.sheet.points)


def test_the_spread_is_of_the_rows_asked_for() -> None:
    found = solved()
    draws = tolerance_of(found.outcome.wiring, kind="corners")
    figures = with_tolerance(load(found, "a"), draws, {("part", "a", "")})
    assert {(r["kind"], r["part"]) for r in rows(figures)} == {("part", "a")}


@pytest.mark.parametrize(
    ("said", "value"),
    [(figure(2.834), "2.83"), (figure(83.64), "83.6"), (figure(662.4), "662"),
     (figure(-0.001), "0.00"), (figure(float("nan")), "-"), (percent(1.001), "101 %"),
     (percent(0.5699), "57 %"), (percent(1.0), "100 %"), (duration(2685), "44 min 45 s"),
     (duration(0.5), "0.5 s"), (duration(11_100), "3 h 05 min"), (duration(59.7), "1 min 00 s"),
     (duration(3599.7), "1 h 00 min"), (duration(None), "-"), (mark(0), "a"), (mark(25), "z"),
     (mark(26), "aa"), (mark(27), "ab")],
)  # fmt: skip
def test_figures_for_people(said: str, value: str) -> None:
    assert said == value


@pytest.mark.parametrize(("minutes", "long"), [(1, False), (60 * 20, True)])
def test_when_to_land_and_a_flight_planned_longer_than_that(minutes: int, long: bool) -> None:
    found = flown(HAND.replace("time: 60 s", f"time: {minutes} min"))
    (line,) = [p.text for p in found.sheet.points if p.text.startswith("land by ")]
    down = json.loads(render(found, "json"))["land_by_seconds"]
    assert line.startswith(f"land by {duration(down['sound packs'])}; with aged packs by ")
    warned = [
        p.text for p in found.sheet.points if p.text.startswith("the phases of the plan take")
    ]
    assert bool(warned) is long
