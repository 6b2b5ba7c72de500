"""Surroundings, cases of load and phases of flight: what is read, and what is refused where."""

from __future__ import annotations

import dataclasses
import json
from typing import Any

import jsonschema
import pytest
import yaml
from reading.test_spans import HEAD, marked, problems
from support import plan_of

from harness.plan.operation import BUILT_IN_CASES, GROUP_WORDS
from harness.plan.plan import Plan
from harness.plan.schema import plan_schema
from harness.reading.problems import PlanError

VALIDATOR = jsonschema.Draft202012Validator(plan_schema())
PARTS = (
    "channels: {1: aileron, 2: elevator}\n"
    "servos: {tip: {moves: flap}, tail: {}}\nretracts: {leg: {kind: bare-motor}}\n"
    "loads: {lamp: {moves: lights}}\n"
    "autopilots: {pilot: {sockets: 2, outputs: {1: spoiler}}}\n"
)


def read(text: str) -> Plan:
    return plan_of(f"plan: 1\naircraft: A\n{PARTS}{text}")


def test_every_key_of_a_case() -> None:
    plan = read(
        "cases:\n  gust: {like: cruise, about: wind, throttle: 80 %, moving: [flight, tip],"
        " stalled: leg, share: 0.6, without: [lamp], charge: 50 %, temperature: 23 degF,"
        " lasts: seconds}\n"
    )
    (case,) = plan.cases.values()
    values = dataclasses.asdict(case)
    span = values.pop("span")
    assert set(values.pop("spans")) == set(values) - {"id"}
    assert values == {
        "id": "gust", "like": "cruise", "about": "wind", "throttle": 0.8,
        "moving": ("flight", "tip"), "stalled": ("leg",), "share": 0.6, "without": ("lamp",),
        "charge": 0.5, "temperature": -5.0, "lasts": "seconds",
    }  # fmt: skip
    assert (span["line"], span["column"]) == (9, 3)


def test_nothing_moves_differs_from_nothing_said() -> None:
    cases = read("cases: {still: {moving: [], without: []}, like-cruise: {like: cruise}}\n").cases
    assert (cases["still"].moving, cases["still"].without) == ((), ())
    other = cases["like-cruise"]
    assert (other.moving, other.stalled, other.without, other.throttle) == (None, None, None, None)


def test_surroundings_flight_and_reserve() -> None:
    plan = read(
        "surroundings: {temperature: 68 degF, altitude: 1000 ft}\nreserve: 25 %\n"
        "flight:\n  - {phase: climb, time: 1.5 min, throttle: 90 %, case: full-throttle}\n"
        "  - {phase: glide, time: 40 s}\n"
    )
    # 68 degF is 20 degC by definition; a foot is 304.8 mm by definition
    assert plan.surroundings.temperature == pytest.approx(20)
    assert plan.surroundings.altitude == pytest.approx(304_800)
    assert plan.reserve == 0.25
    climb, glide = plan.flight
    found = (climb.phase, climb.time, climb.throttle, climb.case)
    assert found == ("climb", 90.0, 0.9, "full-throttle")
    assert (glide.throttle, glide.case) == (None, "")


def test_what_is_not_given() -> None:
    plan = read("")
    assert (plan.cases, plan.flight, plan.reserve) == ({}, (), None)
    assert (plan.surroundings.temperature, plan.surroundings.altitude) == (None, None)
    empty = read("surroundings:\ncases:\nflight:\nreserve:\n")
    assert (empty.cases, empty.flight, empty.reserve) == ({}, (), None)


def test_keys_of_parts_and_places() -> None:
    plan = plan_of(
        "places: {wing: {bundle: 12}, tail: {}}\n"
        "motors: {m: {full-throttle: 30 A, full-throttle-volts: 14.8 V}}\n"
        "packs: {p: {chemistry: lipo, cells: 4, charge: 40 %}}\n"
        "retracts: {leg: {kind: bare-motor, travel: 4 s, slow: 6 s}}\n"
    )
    assert (plan.places["wing"].bundle, plan.places["tail"].bundle) == (12, None)
    found = [getattr(plan.parts[p], word) for p, word in (
        ("m", "full_throttle_volts"), ("p", "charge"), ("leg", "slow"))]  # fmt: skip
    assert found == [14.8, 0.4, 6.0]


@pytest.mark.parametrize("word", [*GROUP_WORDS, "aileron", "flap", "lights", "spoiler", "tail"])
def test_what_may_move(word: str) -> None:
    assert read(f"cases: {{a: {{moving: {word}}}}}\n").cases["a"].moving == (word,)


@pytest.mark.parametrize("name", BUILT_IN_CASES)
def test_every_built_in_case_can_be_named(name: str) -> None:
    plan = read(f"cases: {{a: {{like: {name}}}}}\nflight: [{{phase: a, time: 1 s, case: {name}}}]")
    assert (plan.cases["a"].like, plan.flight[0].case) == (name, name)


WRONG = {
    "share over the whole": ("cases: {a: {throttle: [[101 %]]}}", "more than the whole"),
    "share of stall": ("cases: {a: {share: [[250 %]]}}", "more than the whole"),
    "charge of a case": ("cases: {a: {charge: [[1.5]]}}", "more than 1"),
    "negative share": ("cases: {a: {throttle: [[-5 %]]}}", "has a sign"),
    "reserve": ("reserve: [[100.5 %]]", "more than the whole"),
    "throttle of a phase": (
        "flight: [{phase: a, time: 1 s, throttle: [[40 A]]}]",
        "is not a fraction",
    ),
    "charge of a pack": (
        "packs: {p: {chemistry: lipo, cells: 2, charge: [[110 %]]}}",
        "more than the whole",
    ),
    "no time": ("flight: [{phase: a, time: [[0 s]]}]", "is too little"),
    "no time given": ("flight:\n  - [[{phase: a}]]", 'the key "time" is missing'),
    "name of a built-in case": ("cases: {[[cruise]]: {}}", "name of a built-in case"),
    "a name with a space": ("cases: {[[hard turn]]: {}}", "cannot be a name"),
    "case it is like": ("cases: {a: {like: [[criuse]]}}", 'no case "criuse"'),
    "case of a phase": ("flight: [{phase: a, time: 1 s, case: [[hott]]}]", 'no case "hott"'),
    "one that moves": ("cases: {a: {moving: [[ailron]]}}", 'no function, servo or leg "ailron"'),
    "one of several": ("cases:\n  a:\n    moving:\n      - tip\n      - [[lamp]]\n", '"lamp"'),
    "one that stalls": ("cases: {a: {stalled: [leg, [[tipp]]]}}", '"tipp"'),
    "one left out": ("cases: {a: {without: [lamp, [[aileron]]]}}", 'no part "aileron"'),
    "how long": ("cases: {a: {lasts: [[minutes]]}}", "is not one of"),
    "a key": ("cases: {a: {[[throtle]]: 5 %}}", "is not a key here"),
    "like itself": ("cases: {a: {like: [[a]]}}", "a is like itself"),
    "a ring": ("cases: {c: {like: a}, a: {like: [[b]]}, b: {like: c}}", "a, b and c are like"),
    "too many one after another": (
        "cases: {c0: {}, "
        + ", ".join(f"c{n}: {{like: c{n - 1}}}" for n in range(1, 31))
        + ", c31: {like: [[c30]]}, "
        + ", ".join(f"c{n}: {{like: c{n - 1}}}" for n in range(32, 3000))
        + "}",
        "starts from a case, more than 30 deep",
    ),
    "a case alone": ("cases: [[cruise]]", "holds cases by their names"),
    "bundle": ("places: {a: {bundle: [[0]]}}", "is not a whole number from 1 to 200"),
    "altitude": ("surroundings: {altitude: [[1500]]}", "has no unit"),
}  # fmt: skip


@pytest.mark.parametrize("name", WRONG)
def test_what_is_wrong_is_told_where_it_stands(name: str) -> None:
    text, said = WRONG[name]
    text, spans = marked(f"{HEAD}{PARTS}{text}\n")
    found = problems(text)
    assert [problem.span for problem in found] == spans
    assert said in found[0].message


NEAR = [
    ("cases: {a: {like: cruse}}", "cruise"),
    ("cases: {gust: {}, b: {like: gst}}", "gust"),
    ("cases: {a: {moving: elevater}}", "elevator"),
    ("cases: {a: {moving: flite}}", "flight"),
    ("cases: {a: {without: lmp}}", "lamp"),
    ("flight: [{phase: a, time: 1 s, case: full-throtle}]", "full-throttle"),
    ("flight: [{phse: a}]", "phase"),
    ("surroundings: {temprature: 5 degC}", "temperature"),
    ("surounding: {}", "surroundings"),
]


@pytest.mark.parametrize(("text", "meant"), NEAR)
def test_the_nearest_right_name_is_offered(text: str, meant: str) -> None:
    found = problems(f"{HEAD}{PARTS}{text}\n")
    assert f'did you mean "{meant}"?' in [problem.help for problem in found]


def test_a_faulty_part_makes_no_second_fault_in_a_case() -> None:
    """The servo cannot be read, yet its id and its function are known."""
    text, spans = marked(
        HEAD + "servos: {a: {moves: flap, stall: [[2]]}}\n"
        "cases: {b: {moving: [a, flap], without: a}}\n"
    )
    assert [problem.span for problem in problems(text)] == spans


def valid(text: str) -> bool:
    """Say whether the schema accepts a plan's text."""
    data: Any = json.loads(json.dumps(yaml.safe_load(f"plan: 1\naircraft: A\n{text}\n")))
    return bool(VALIDATOR.is_valid(data))


SHARES = [
    ("0 %", True), ("100 %", True), ("100.0%", True), ("007 %", True), ("0100 %", True),
    ("99.999 %", True), (".5 %", True), ("0.3", True), ("1", True), ("1.0", True), ("0", True),
    ("100.01 %", False), ("101 %", False), ("110 %", False), ("200 %", False), ("1000 %", False),
    ("0101 %", False), ("1.1", False), ("30", False), ("-1 %", False), ("30 V", False),
]  # fmt: skip


@pytest.mark.parametrize(("text", "right"), SHARES)
@pytest.mark.parametrize("quote", ["", "'"])
def test_reader_and_schema_bound_a_share_alike(text: str, right: bool, quote: str) -> None:
    whole = f"reserve: {quote}{text}{quote}"
    assert valid(whole) == right
    if right:
        assert 0 <= (plan_of(whole).reserve or 0) <= 1
    else:
        with pytest.raises(PlanError):
            plan_of(whole)


@pytest.mark.parametrize(("text", "right"), [("0 s", False), ("0.00 min", False), ("1 ms", True)])
def test_reader_and_schema_want_some_time(text: str, right: bool) -> None:
    whole = f"flight: [{{phase: a, time: {text}}}]"
    assert valid(whole) == right
    if right:
        assert plan_of(whole).flight[0].time == 0.001
    else:
        with pytest.raises(PlanError):
            plan_of(whole)


@pytest.mark.parametrize(
    "text",
    [
        "surroundings: {temperature: [[-300 degC]]}\n",
        "cases: {a: {temperature: [[9999 degC]]}}\n",
        "cases: {[[worst]]: {throttle: 50 %}}\n",
        "cases: {[[flap-stalled]]: {throttle: 50 %}}\n",
        "cases: {[[only-esc]]: {throttle: 50 %}}\n",
        "packs: {p: {chemistry: lipo, cells: 3, volts: [[1000 V]]}}\n",
    ],
)
def test_what_no_aeroplane_has_is_refused_where_it_stands(text: str) -> None:
    plain, spans = marked(HEAD + text)
    assert [problem.span for problem in problems(plain)] == spans


def test_a_pack_hot_off_the_charger_is_taken() -> None:
    """4.2 V a cell full (PX4 user guide), 5 % more shows on a cheap meter."""
    read("packs: {p: {chemistry: lipo, cells: 3, volts: 13.2 V}}\n")
    read("surroundings: {temperature: -20 degC}\n")
