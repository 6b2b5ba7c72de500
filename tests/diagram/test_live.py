"""What a tap on a diagram shows, against the copper of the wiring, joined up by hand."""

from __future__ import annotations

from functools import cache

import kept
import pytest
from documents.plans import EVERY_KIND

from harness import as_graph
from harness.documents.build_book.live import traces
from harness.documents.leads import lead_list
from harness.drawing.scene import Group, walk
from harness.paper.blocks import Trace, row_anchor
from harness.parts.contacts import Form
from harness.parts.lead import Lead
from harness.parts.receiver import Receiver
from harness.parts.servo import Servo
from harness.rules.run import Report
from harness.wiring.build import Mate, Wiring

PLANS = {**{path.stem: path for path in kept.GOOD}, "every-kind": EVERY_KIND}
NAMES = sorted(PLANS)


def report_of(name: str) -> Report:
    return kept.report_at(PLANS[name])


@cache
def traces_of(name: str) -> tuple[Trace, ...]:
    return tuple(traces(report_of(name)))


def by_tap(name: str) -> dict[str, Trace]:
    return {tap: trace for trace in traces_of(name) for tap in trace.taps}


def leads(groups: tuple[str, ...]) -> set[str]:
    return {group.removeprefix("lead-") for group in groups if group.startswith("lead-")}


def parts(groups: tuple[str, ...]) -> set[str]:
    return {g.removeprefix("part-") for g in groups if g.startswith("part-") and "/" not in g}


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("view", ["run", "airframe"])
def test_every_lead_part_and_marker_of_a_drawing_answers(name: str, view: str) -> None:
    _, pages = kept.drawing(PLANS[name], view)
    groups = [i for p in pages for i in walk(p.scene.items) if isinstance(i, Group)]
    ids = {g.id.partition("~")[0] for g in groups if "plug-there" not in g.classes}
    kinds = ("lead-", "part-", "told-", "finding-")
    wanted = {i for i in ids if i.startswith(kinds) and "/" not in i}
    assert len(wanted) > 5
    assert wanted <= set(by_tap(name))


@pytest.mark.parametrize("name", NAMES)
def test_a_run_is_lit_with_what_was_tapped(name: str) -> None:
    for tap, trace in by_tap(name).items():
        if tap.startswith(("lead-", "part-", "finding-")):
            assert tap in trace.lit
        assert not set(leads(trace.lit)) & set(leads(trace.further))
        assert trace.title
        assert all(lines for _, lines in trace.sections)


def plain_run(wiring: Wiring, mate: Mate) -> set[str] | None:
    """The leads whose signal wires are one piece of copper with a plug's.

    None where a box in line or a wing plug takes part, whose signals the graph does not join.
    """
    wires = [{a, b} for a, b in as_graph(wiring).edges() if a.pin == b.pin == "signal"]
    net = {mate.plug.pin("signal")}
    while further := [wire for wire in wires if len(wire & net) == 1]:
        net.update(*further)
    ends = [wiring.plan.parts[contact.part] for contact in net]
    if not all(isinstance(part, Servo | Lead | Receiver) for part in ends):
        return None
    joined = [m for m in wiring.mates if m.socket and m.plug.pin("signal") in net
              and m.socket.pin("signal") in net]  # fmt: skip
    return {".".join(m.plug.id) for m in joined}


@pytest.mark.parametrize("name", NAMES)
def test_a_servos_run_is_one_piece_of_copper(name: str) -> None:
    """A lead's run and the servos' own: what hangs together by signal wire, and nothing else."""
    wiring, found = report_of(name).wiring, by_tap(name)
    checked = 0
    for mate in wiring.mates:
        if mate.plug.form is not Form.THREE_PIN or not isinstance(mate.plug.part, Servo):
            continue
        copper = plain_run(wiring, mate)
        if copper is None:
            continue
        checked += 1
        run = leads(found[f"lead-{'.'.join(mate.plug.id)}"].lit)
        chain = {".".join(m.plug.id) for m in wiring.upstream(*mate.plug.id)}
        assert run == chain <= copper
        tops = [m for m in wiring.mates if ".".join(m.plug.id) in copper
                and m.socket and isinstance(m.socket.part, Receiver)]  # fmt: skip
        for top in tops:
            assert leads(found[f"lead-{'.'.join(top.plug.id)}"].lit) == copper
    assert checked or name in {"every-kind", "marram-26", "sandbar-5"}


def test_supply_is_lit_from_the_pack_on() -> None:
    """By hand from the plan: radio-supply feeds rx at two sockets, from supply-y, pack-y, main."""
    trace = by_tap("saltmarsh-19")["part-rudder"]
    assert leads(trace.lit) == {"rudder.plug", "rudder-ext.plug"}
    assert leads(trace.further) == {
        "radio-supply.plug-1", "radio-supply.plug-2", "radio-supply.supply", "supply-y.in-1",
        "pack-y.in-1",
    }  # fmt: skip
    assert {"main", "pack-y", "supply-y", "radio-supply"} <= parts(trace.further)


def test_packs_in_series_are_all_lit() -> None:
    """By hand from the plan: the ESC's battery side hangs on drive-low and drive-high."""
    found = by_tap("breakwater-12")
    assert {"drive-low", "drive-high"} <= parts(found["lead-esc.supply"].lit)
    assert {"drive-low", "drive-high"} <= parts(found["lead-esc.plug"].further)


def test_the_arm_of_a_y_lead_that_is_not_in_the_run_stays_dark() -> None:
    trace = by_tap("saltmarsh-19")["lead-aileron-left.plug"]
    assert "part-aileron-y/way-1" in trace.lit
    assert "part-aileron-y/way-2" not in trace.lit


@pytest.mark.parametrize("name", NAMES)
def test_the_words_name_the_lead_and_lead_to_its_row(name: str) -> None:
    codes = {row["label"] for row in lead_list(report_of(name).wiring).rows}
    anchors = {row_anchor("leads", code) for code in codes}
    assert any(trace.code for trace in traces_of(name))
    for trace in traces_of(name):
        if trace.code:
            assert trace.code in codes
            assert trace.title.startswith(f"{trace.code} (")
            assert (row_anchor("leads", trace.code)) in [anchor for anchor, _ in trace.links]
        rows = {anchor for anchor, _ in trace.links if not anchor.startswith("finding-")}
        assert rows <= anchors
