"""What to turn round, done to a model of the aeroplane: afterwards everything must go right.

The model: a surface goes by `servo x pulse x input`, each +1 or -1: how its servo lies, which way
its channel or sequencer's outlet is set, and which way its mix takes the stick. A fault is one of
them turned. Nothing here asks the program which of them it was.
"""

from __future__ import annotations

import re
from functools import cache
from itertools import chain, combinations

import pytest
from support import plan_of

from harness.base.span import Source
from harness.bench.compare import compare
from harness.bench.directions import turning_rules
from harness.bench.motors import motors
from harness.bench.protocol import Protocol
from harness.bench.surfaces import directions, ways_by_servo
from harness.bench.workbench import Bench
from harness.plan.results import parse_results
from harness.wiring.build import build

PLAN = """\
plan: 1
aircraft: Test
places: {body: {}, wing-left: {joins: body, side: left}, wing-right: {joins: body, side: right}}
mixes: [{kind: MIX, made-in: PLACE}]
channels: {1: MIX-left, 2: MIX-right, 3: aileron, 4: steering, 5: gear, 6: flap, 7: rudder}
receivers: {rx: {sockets: 8}, two: {sockets: 8}}
leads: {y: {kind: y, plug: rx.3}, z: {kind: y, plug: box.doors}}
servos:
  l: {place: wing-left, moves: MIX, plug: rx.1}
  r: {place: wing-right, moves: MIX, plug: rx.2}
  tip-l: {place: wing-left, moves: aileron, plug: y.1}
  tip-r: {place: wing-right, moves: aileron, plug: y.2}
  flap-l: {place: wing-left, moves: flap, plug: rx.6}
  flap-r: {place: wing-right, moves: flap, plug: two.6}
  nose: {moves: steering, plug: rx.4}
  tail: {moves: rudder, plug: rx.7}
  door-l: {place: wing-left, moves: gear-door, plug: z.1}
  door-r: {place: wing-right, moves: gear-door, plug: z.2}
sequencers:
  box:
    outlets: [doors]
    plug: rx.5
    steps: {down: [{outlet: doors, start: 0 s, end: 1 s, to: open}]}
"""
OTHER = {"up": "down", "left": "right", "open": "closed", "faster": "slower"}
OTHER |= {one: other for other, one in OTHER.items()}
PULSES = {"l": "1", "r": "2", "tip-l": "3", "tip-r": "3", "flap-l": "6", "flap-r": "6",
          "nose": "4", "tail": "7", "door-l": "doors", "door-r": "doors",
          "third": "3"}  # fmt: skip
INPUTS = {"roll": "aileron", "pitch": "elevator", "flaps": "flap", "yaw": "rudder"}


def plan(mix: str = "elevon", place: str = "transmitter") -> str:
    return PLAN.replace("MIX", mix).replace("PLACE", place)


def bench(text: str) -> Bench:
    return Bench(build(plan_of(text)))


@cache
def right(text: str) -> tuple[Protocol, dict[tuple[str, str], str]]:
    """The tests of directions, and which way each servo must go for each stick."""
    made = directions(bench(text))
    found = {tuple(t.id.split(".")[1:]): t.expected.word for t in made.tests
             if t.id.startswith("direction.")}  # fmt: skip
    return Protocol("Test", "", (made,)), found  # type: ignore[return-value]


def turned(faults: frozenset[str], servo: str, stick: str) -> bool:
    """Whether an odd number of what moves a surface is turned."""
    mixed = servo in {"l", "r"}
    lies = [servo, PULSES[servo], f"{stick} of the mix" if mixed else f"{stick} switch"]
    return len(faults & set(lies)) % 2 == 1


def told(text: str, faults: frozenset[str], done: set[str] | None = None) -> dict[str, str]:
    """What the comparison says to do, by servo and stick that goes wrong."""
    protocol, ways = right(text)
    lines = [f"  direction.{s}.{k}: {OTHER[way] if turned(faults, s, k) else way}\n"
             for (s, k), way in ways.items() if done is None or f"{s}.{k}" in done]  # fmt: skip
    head = 'results: 1\naircraft: Test\nrevision: ""\ndate: "2026-10-02"\ntests:\n'
    source = Source("r.yaml", head + "".join(lines))
    found = compare(protocol, parse_results(source)).compared
    return {c.id.removeprefix("direction."): c.mend for c in found if c.mend}


def actions(name: str, words: str) -> list[str]:
    """What a builder turns round who reads it: one of these, whichever is easier."""
    stick = name.partition(".")[2]
    words = re.split(r"\. Before you turn it|; not the channel", words)[0]
    found = re.findall(r"reverse channel (\d)", words)
    found += re.findall(r"reverser into the lead of ([\w-]+)", words)
    switches = re.findall(r"turn the (?:flap )?switch round", words)
    assert not switches or stick == "flaps"
    found += [f"{stick} switch" for _ in switches]
    inputs = {word: key for key, word in INPUTS.items()}
    found += [f"{inputs[w]} of the mix" for w in re.findall(r"the (\w+) input of its mix", words)]
    found += ["doors" for _ in re.findall(r"set that outlet's ends in the sequencer's", words)]
    assert found, words
    return found


FAULTS = ["l", "r", "1", "2", "tip-l", "tip-r", "3", "flap-l", "flap-r", "6", "4", "7", "doors"]
MIXED = {"elevon": ("pitch", "roll"), "flaperon": ("roll", "flaps"), "v-tail": ("pitch", "yaw")}


@pytest.mark.parametrize("mix", MIXED)
def test_what_is_told_mends_it(mix: str) -> None:
    text = plan(mix)
    ways = right(text)[1]
    inputs = [f"{stick} of the mix" for stick in MIXED[mix]]
    ones = [frozenset([fault]) for fault in (*FAULTS, *inputs)]
    pairs = [frozenset(p) for p in combinations(["tip-l", "3", "6", "1", "doors", inputs[0]], 2)
             if set(p) != {"1", inputs[0]}]  # fmt: skip
    for faults in chain(ones, pairs, [frozenset(["1", "2"])]):
        found = told(text, faults)
        wrong = {f"{s}.{k}" for s, k in ways if turned(faults, s, k)}
        assert set(found) == wrong and wrong, faults
        for choice in (0, -1):
            todo = frozenset(actions(name, words)[choice] for name, words in found.items())
            after = faults ^ todo
            left = [f"{s}.{k}" for s, k in ways if turned(after, s, k)]
            assert left == [], (faults, todo, found)
            assert len(todo) <= len(faults), todo  # not two reversers for one channel
        for name, words in found.items():
            sure = "every direction" not in words and "all servos" not in words
            assert sure and "never swap a servo's red and black" in words.lower(), name
            # swapped plugs leave one stick right, and on one pulse nothing is changed by them
            if "all of its directions are wrong" in words or not name.startswith(("l.", "r.")):
                assert "swapped" not in words


@pytest.mark.parametrize("servo", ["l", "tip-l", "flap-l", "nose", "door-l"])
def test_one_seen_alone_is_not_guessed_at(servo: str) -> None:
    """With the others not looked at, more than one thing may be turned: each is said, with when."""
    text = plan()
    pulse = PULSES[servo]
    stick = next(k for s, k in right(text)[1] if s == servo)
    (words,) = told(text, frozenset([pulse]), {f"{servo}.{stick}"}).values()
    several = {
        "l": "every direction of l wrong: ",
        "tip-l": "all servos on the same Y-lead wrong: ",
        "flap-l": "all servos on the same channel wrong: ",
    }
    assert words.startswith(several.get(servo, ""))
    assert ("only" in words) == (servo in several)
    assert ("only this direction" in words) == (servo == "l")
    if servo in {"tip-l", "flap-l"}:  # the other is right: it is known which, whatever else
        mate = servo[:-1] + "r"
        words = told(text, frozenset([servo]))[f"{servo}.{stick}"]
        assert f"into the lead of {servo}" in words and f"lead of {mate}" not in words
        assert "reverse channel" not in words


def test_what_a_sequencer_moves_is_set_there_and_nowhere_else() -> None:
    found = told(plan(), frozenset(["doors"]))
    assert set(found) == {"door-l.gear", "door-r.gear"}
    for words in found.values():
        assert "in the sequencer's programme; the transmitter cannot turn it" in words
        assert "channel" not in words and "reverser" not in words


AUTOPILOT = """
autopilots: {fc: {sockets: 4, outputs: {1: aileron-left, 2: aileron-right}}}
"""
BOTH = "[{kind: crow, made-in: %s}, {kind: differential, made-in: %s, of: aileron}]"


@pytest.mark.parametrize(
    ("places", "where"),
    # made in one place: there; in both, or one mix here and one there: where its pulse comes from
    [
        (("transmitter", "transmitter"), ("transmitter", "transmitter")),
        (("autopilot", "autopilot"), ("autopilot", "autopilot")),
        (("both", "both"), ("transmitter", "autopilot")),
        (("autopilot", "both"), ("autopilot", "autopilot")),
        (("both", "transmitter"), ("transmitter", "transmitter")),
        (("transmitter", "autopilot"), ("transmitter", "autopilot")),
        (("autopilot", "transmitter"), ("transmitter", "autopilot")),
    ],
)
def test_a_mix_is_turned_round_where_it_is_made(
    places: tuple[str, str], where: tuple[str, str]
) -> None:
    text = plan("aileron").replace("[{kind: aileron, made-in: transmitter}]", BOTH % places)
    flown = text.replace("plug: rx.1}", "plug: fc.1}").replace("plug: rx.2}", "plug: fc.2}")
    for whole, place in zip((text, flown + AUTOPILOT), where, strict=True):
        tests = {t.id: t for t in directions(bench(whole)).tests}
        words = tests["direction.l.roll"].mend
        assert f"turn the aileron input of its mix round in the {place};" in words
        assert "then look at the differential again" in words
        assert "turn the share of l in the crow mix round" in tests["direction.l.crow"].mend
        there = "output 1 of fc in the autopilot" if "fc" in whole else "channel 1 in the transmit"
        assert f"reverse {there}" in words


def test_a_third_on_another_lead_shares_a_channel_and_no_y_lead() -> None:
    third = plan().replace("servos:\n", "servos:\n  third: {moves: aileron-left, plug: two.3}\n")
    tests = {t.id: t for t in directions(bench(third)).tests}
    for servo in ("tip-l", "tip-r", "third"):
        assert "all servos on the same channel wrong" in tests[f"direction.{servo}.roll"].mend

    # one of the others is seen to go right: so it is not the channel, whatever the last one does
    seen = {"tip-l.roll", "third.roll"}
    (words,) = told(third, frozenset(["tip-l"]), seen).values()
    assert words.startswith("the other on the same pulse is right: put an in-line reverser into")


ESCS = """
channels: {3: throttle, 5: gear}
receivers: {rx: {sockets: 8}, two: {sockets: 8}}
leads: {y: {kind: y, plug: rx.3}}
escs: {a: {plug: y.1, bec: none}, b: {plug: y.2, bec: none}, c: {plug: rx.5, bec: none}}
"""


@pytest.mark.parametrize(
    ("c", "beside"),
    [
        ("rx.5", {"a": "b, on one Y-lead", "b": "a, on one Y-lead"}),
        ("two.3", {n: f"{o}, on one channel" for n, o in (("a", "b and c"), ("b", "a and c"),
                                                          ("c", "a and b"))}),
    ],
)  # fmt: skip
def test_escs_on_one_pulse_are_calibrated_together(c: str, beside: dict[str, str]) -> None:
    """Common practice: two ESCs on a Y are of one type, and calibrated together."""
    tests = {t.id: t for t in motors(bench(ESCS.replace("rx.5", c))).tests}
    for name in "abc":
        test = tests[f"esc-calibrated.{name}"]
        assert test.how == ((f"together with {beside[name]}",) if name in beside else ())
        assert ("all motors start at the same click" in test.title) == (name in beside)


ONE, SEVERAL = "a surface that goes wrong: reverse", "for every"
TWO, BOX = "of two on one channel", "what hangs on a sequencer"


@pytest.mark.parametrize(
    ("gone", "said"),
    [
        ("", {SEVERAL, TWO, BOX}),
        ("l r", {ONE, TWO, BOX}),
        ("l r tip-r flap-r", {ONE, BOX}),
        ("l r tip-r flap-r door-l door-r", {ONE}),
        ("tip-l tip-r flap-l flap-r nose tail door-l door-r", {SEVERAL}),
        ("l r tip-l tip-r flap-l flap-r nose tail", {BOX}),
    ],
)
def test_the_rules_in_general_are_of_what_hangs_there(gone: str, said: set[str]) -> None:
    text = plan()
    for name in gone.split():
        text = re.sub(rf"  {name}: .*\n", "", text)
    made = bench(text)
    words = list(turning_rules(made, ways_by_servo(made)))
    assert {key for key in (ONE, TWO, SEVERAL, BOX) if any(key in w for w in words)} == said
    assert words[-1] == "never swap a servo's red and black"
