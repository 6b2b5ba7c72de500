"""Every command has a bound: work is counted here, never timed, and what is left out is said."""

from __future__ import annotations

import json
from typing import Any

import networkx as nx
import pytest
from benchmarks.bigplan import packs
from kept import path_of
from support import plan_of

from harness.base.finding import Severity
from harness.cli import checking, documents, plans
from harness.cli.exits import COULD_NOT, FINDINGS, CannotRun
from harness.electrics import outcome
from harness.facts import cures
from harness.plan.load import load_plan
from harness.rules.run import check

WHOLE: dict[str, Any] = {"case": "", "at": "", "tolerance": None, "seed": None}
HEADLINE, SAGGING = str(path_of("saltmarsh-19")), path_of("broken/rail-sags")


def test_a_plan_of_too_many_parts_is_refused_and_the_others_are_checked(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    parts = len(load_plan(HEADLINE).parts)
    monkeypatch.setitem(plans.MOST_PARTS, "check", parts)
    assert checking.check([HEADLINE], "text", False, False) != COULD_NOT
    monkeypatch.setitem(plans.MOST_PARTS, "check", parts - 1)
    capsys.readouterr()
    assert checking.check([HEADLINE, str(SAGGING)], "text", False, False) == COULD_NOT
    out, error = capsys.readouterr()
    assert "rail-sags" in out
    assert f"{parts} parts: `harness check` takes at most {parts - 1} at once" in error
    assert "do: make a plan of each aeroplane" in error


def test_what_is_too_large_to_be_solved_is_not_judged_and_never_looks_sound(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    links = len(check(load_plan(HEADLINE)).wiring.links)
    monkeypatch.setattr(outcome, "SOLVE_WORK", links)
    for style in ("text", "json", "sarif"):
        assert checking.check([HEADLINE], style, False, False) == FINDINGS
        said = capsys.readouterr().out
        assert f"{links} links in" in said and "no volts and no heat are judged there" in said
        assert style == "text" or json.loads(said)
    with pytest.raises(CannotRun, match="there is no solution, so no figures"):
        documents.printed("load", HEADLINE, "table", None, **WHOLE)


def test_as_many_cures_are_tried_as_the_plan_can_afford(monkeypatch: pytest.MonkeyPatch) -> None:
    """One trial costs links times cases; of none tried, the help still says which source suits."""
    tried: list[Any] = []
    laid = cures.with_parts

    def counted(*words: Any) -> Any:
        tried.append(words)
        return laid(*words)

    monkeypatch.setattr(cures, "with_parts", counted)

    def helped(trials: int) -> str:
        tried.clear()
        monkeypatch.setattr(cures, "CURE_WORK", trials * cost)
        found = check(load_plan(str(SAGGING))).findings
        return next(f.help for f in found if f.rule == "rail-sags")

    wiring = check(load_plan(str(SAGGING))).wiring
    cost = len(wiring.links) * len(outcome.cases_of(wiring.plan))
    whole, needed = helped(99), len(tried)
    assert needed > 1 and "not every cure" not in whole
    cut = "; in a plan of this size not every cure was tried"
    assert helped(1).endswith(cut) and len(tried) == 1
    none = helped(0)
    assert none.startswith("use a source of") and none.endswith(cut) and not tried
    assert helped(needed) == whole


def test_the_way_from_many_packs_is_sought_from_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of 40 equal packs side by side any gives the volts of all: one way out, one back a case."""
    sought = []
    usual = nx.dijkstra_predecessor_and_distance

    def counted(*words: Any, **more: Any) -> Any:
        sought.append(words)
        return usual(*words, **more)

    monkeypatch.setattr(nx, "dijkstra_predecessor_and_distance", counted)
    report = check(plan_of(packs("parallel")(40)))
    cases = len(outcome.cases_of(report.plan))
    assert all(f.severity < Severity.ERROR for f in report.findings)
    assert 0 < len(sought) <= 4 * cases  # of the pack, and of the BEC that it feeds
