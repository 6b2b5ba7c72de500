"""Orders of work that cannot be; the ring is told in words, each step where the plan says it."""

from __future__ import annotations

import pytest
from airframe_support import Data, Site, airframes
from hypothesis import HealthCheck, given, settings
from strategies import as_yaml
from support import plan_of

from harness.base.finding import Finding, Severity
from harness.rules.order.impossible_order import check
from harness.rules.rule import Desk
from harness.wiring.build import build

PLAN = """
places: {body: {}, wing: {joins: body}}
covers: {skin: {over: wing, kind: for-good}}
receivers: {rx: {sockets: 6, place: body}}
servos: {s: {place: wing, plug: {into: x.1, in: wing}}}
leads: {x: {kind: extension, place: body, plug: rx.1}}
"""


def desk_of(text: str) -> Desk:
    plan = plan_of(text)
    return Desk(plan, build(plan))


def findings(text: str) -> list[Finding]:
    """Return what this rule reports."""
    return list(check.check(desk_of(text)))


def test_the_ring_is_told_from_the_plug_on() -> None:
    (finding,) = findings(PLAN)
    assert finding.severity is Severity.ERROR
    said = finding.message.split(": ", 1)[1].split("; ")
    plug = 'the plug of servo "s" into x.1'
    assert said == [
        f'{plug} must be made in "wing" before cover "skin" closes for good',
        'cover "skin" must be closed before "wing" is joined to "body"',
        f'{plug} can only be made when "wing" is joined to "body"',
    ]
    assert finding.parts == ("s",)
    assert finding.span.line == 7
    assert [(span.line, words) for span, words in finding.also] == [
        (5, 'cover "skin"'),
        (4, 'the joint of "wing" and "body"'),
    ]


def test_all_plugs_under_one_skin_are_one_report() -> None:
    text = PLAN.replace("in: wing}}}", "in: wing}}, t: {place: wing, plug: {into: y.1, in: wing}}}")
    text = text.replace(
        "plug: rx.1}}", "plug: rx.1}, y: {kind: extension, place: body, plug: rx.2}}"
    )
    (finding,) = findings(text)
    assert set(finding.parts) == {"s", "t"}
    assert 'the same holds for the plug of servo "t"' in finding.message


def test_each_wing_is_a_report_of_its_own() -> None:
    text = PLAN.replace("wing: {joins: body}", "wing: {joins: body}, other: {joins: body}")
    text = text.replace("for-good}}", "for-good}, skin-2: {over: other, kind: for-good}}")
    text = text.replace(
        "in: wing}}}", "in: wing}}, t: {place: other, plug: {into: y.1, in: other}}}"
    )
    text = text.replace(
        "plug: rx.1}}", "plug: rx.1}, y: {kind: extension, place: body, plug: rx.2}}"
    )
    assert [finding.parts for finding in findings(text)] == [("s",), ("t",)]


@pytest.mark.parametrize(
    "change",
    [
        ("place: body, plug: rx.1", "place: wing, plug: rx.1"),
        ("kind: for-good", "kind: hatch, closes: before-joining"),
        ("kind: for-good", "kind: screwed"),
        (", in: wing", ""),
        ("covers: {skin: {over: wing, kind: for-good}}", ""),
    ],
)
def test_what_mends_it(change: tuple[str, str]) -> None:
    assert change[0] in PLAN
    assert findings(PLAN.replace(*change)) == []


def test_covers_alone_can_be_in_a_ring() -> None:
    """The skin closes before joining, but after a lid that can only close when joined."""
    text = """
places: {body: {}, wing: {joins: body}}
covers:
  lid: {over: body, kind: screwed, closes: after-joining}
  skin: {over: wing, kind: for-good, after: lid}
"""
    (finding,) = findings(text)
    assert 'cover "lid" must be closed before cover "skin"' in finding.message
    assert 'cover "lid" can only be closed when "wing" is joined to "body"' in finding.message
    assert finding.parts == ()


def test_a_hatch_that_waits_for_the_test_but_must_be_closed_before() -> None:
    text = """
places: {body: {}, wing: {joins: body}}
covers:
  lid: {over: body, kind: hatch, closes: last}
  skin: {over: wing, kind: for-good, after: lid}
"""
    (finding,) = findings(text)
    assert 'cover "lid" stays open until everything has been tested' in finding.message
    assert 'everything can only be tried when "wing" is joined to "body"' in finding.message


@pytest.mark.parametrize(("joined", "count"), [("", 1), (", joined: for-good", 0)])
def test_a_plug_of_a_removable_wing_under_a_cover_for_good(joined: str, count: int) -> None:
    text = f"""
places: {{body: {{}}, wing: {{joins: body{joined}}}}}
covers: {{deck: {{over: body, kind: for-good, closes: last}}}}
receivers: {{rx: {{sockets: 4, place: body}}}}
servos: {{s: {{place: wing, plug: rx.1}}, t: {{place: wing, plug: rx.2}}}}
"""
    found = findings(text)
    assert len(found) == count
    for finding in found:
        assert finding.parts == ("s", "t")
        assert 'each time "wing" has been off' in finding.message


def test_an_unplaced_plug_is_unknown_where_a_cover_closes_for_good() -> None:
    desk = desk_of(PLAN + "loads: {light: {current: 1 A, plug: rx.3}}\n")
    list(check.check(desk))
    assert desk.unknown == []  # the receiver is placed, and the plug is made there
    desk = desk_of(PLAN.replace(", place: body}}", "}}"))
    list(check.check(desk))
    assert [(u.part, u.missing) for u in desk.unknown] == [("rx", "the place it sits in (place)")]


@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(airframes(most=4))
def test_an_error_means_no_order_or_a_plug_never_reached_again(data: Data) -> None:
    """Exhaustive search on the site is the judge; a buried plug is judged by taking apart."""
    text = as_yaml(data)
    built = Site(data).can_be_built()
    found = findings(text)
    stuck = [f for f in found if f.message.startswith("there is no order")]
    assert bool(stuck) is not built
    assert all(finding.severity is Severity.ERROR for finding in found)
    if built:
        assert bool(found) is bool(_never_again(data))


def _never_again(data: Data) -> set[str]:
    """Return the plugs that come apart with a removable joint, under a cover for good."""
    site, places = Site(data), data["places"]
    fixed = frozenset(p for p in places if places[p].get("joined") == "for-good")
    sealed = {p for c in data["covers"].values() if c["kind"] == "for-good" for p in c["over"]}
    return {name for name, (plug, socket, here) in site.plugs.items()
            if here in sealed and not {plug, socket} <= site.reach(here, fixed)}  # fmt: skip
