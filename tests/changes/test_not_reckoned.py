"""What cannot be judged or reckoned in one of two plans is neither gone nor better."""

from __future__ import annotations

import pytest
from changes.edits import after, edited
from support import report_of

from harness.changes.compare import compare
from harness.documents.changes import all_changes, changes_json, changes_text
from harness.electrics.solver.layout import Layout

HEAVY = ("full-throttle: 18 A", "full-throttle: 48 A")
TURNED = ("place: wing, plug: rx.1}", "place: wing, plug: {into: rx.1, turned: yes}}")
OPEN = ("supply: pack,", "supply: {into: pack, pulled: positive},")


def test_what_waits_behind_a_danger_is_not_gone() -> None:
    heavy, turned = report_of(edited(HEAVY)), report_of(edited(HEAVY, TURNED))
    rules = {f.rule for f in heavy.findings} & set(turned.waiting)
    assert "esc-load" in rules
    for found, verb in ((compare(heavy, turned), "now"), (compare(turned, heavy), "before")):
        told = {c.what: c.text for c in found.of("findings") if c.what in rules}
        assert set(told) == rules
        assert all(text.startswith(f"not judged {verb}, ") for text in told.values())


def test_it_says_what_goes_first_and_shows_no_figures() -> None:
    found = all_changes(report_of(edited(HEAVY)), report_of(edited(TURNED)))
    assert "new plan: mend turned-plug on plan line" in changes_text(found, 999)
    assert "while it stands no currents" in changes_json(found)
    assert [c.text for c in found.of("figures")] == ["the network cannot be solved now"]
    same = all_changes(*(report_of(edited(TURNED, edit)) for edit in (HEAVY, OPEN)))
    assert same.of("figures") == ()
    assert changes_text(same, 999).count(": mend turned-plug on plan line") == 2


def test_an_open_place_is_reckoned_as_if_whole_and_that_is_said() -> None:
    """One pin is all that differs, so no figure of the load table does."""
    found = after(OPEN)
    assert "no-source" in {c.what for c in found.of("findings")}
    assert found.of("figures") == ()
    assert "new plan: reckoned as if whole, though the red pin of esc" in changes_text(found, 999)


def test_a_network_without_an_answer_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    old = report_of(edited())
    monkeypatch.setattr(Layout, "bare_loop", True)
    found = all_changes(old, report_of(edited(HEAVY)))
    assert "new plan: no solution: the network: sources" in changes_text(found, 999)
    both = all_changes(report_of(edited(HEAVY)), report_of(edited()))
    assert changes_text(both, 999).count("plan: no solution: the network") == 2
    assert both.of("figures") == ()
