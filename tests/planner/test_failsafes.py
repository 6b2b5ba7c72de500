"""Which channel drives what, and where it goes without signal: proposed, and safe to follow.

What a function may never do was written down apart from the program: throttle off on loss of signal
is UK CAA CAP 658 as quoted by a club; the rest is common practice, no published source.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from planner.test_known import answered, drivers, written
from support import plan_of

from harness.base.finding import Severity
from harness.base.span import Source
from harness.catalogue.functions import vocabulary
from harness.documents.proposal import proposal_data, proposal_text
from harness.documents.transmitter import transmitter_json
from harness.plan.load import parse_plan
from harness.planner.proposal import Proposal
from harness.planner.propose import propose
from harness.rules.run import check

STOPS = {"off"}
STILL = {"hold"}
SHUT = {"hold", "off"}
ANY = {"off", "hold", "neutral", "up"}
MAY = {
    "throttle": STOPS, "gear": {"hold", "down"}, "gear-door": STILL, "bay-door": STILL,
    "hook": STILL, "payload": STILL, "parachute": STILL, "canopy": STILL, "wing-fold": STILL,
    "thrust-reverser": STILL, "tilt": STILL, "sweep": STILL, "brake": STILL, "winch": STOPS,
    "smoke": STOPS, "spoiler": STILL, "flap": {"hold", "up"}, "slat": {"hold", "up"},
}  # fmt: skip
"""What a function may go to; the others, surfaces, lights and settings, may do more: `ANY`."""
FAILSAFE_RULES = {"throttle-failsafe", "failsafe-moves-gear"}
PACK = "packs: {pack: {chemistry: lipo, cells: 3, capacity: 2.2 Ah, rate: 25 C}}\n"
ESC = "{rated: 30 A, bec: {kind: switching, volts: 5 V, rated: 5 A}, supply: pack}"
FEED = "regulators: {reg: {kind: switching, volts: 5 V, rated: 8 A, supply: pack}}\n" + PACK

# (plan, the channels as they must be called, their failsafes; "" where nothing was to be said)
GLIDER = (
    "transmitter: {order: AETR, channels: 9}\nreceivers: {rx: {sockets: 9}}\nservos:\n"
    "  aileron-left: {moves: aileron, shaft: left}\n"
    "  aileron-right: {moves: aileron, shaft: right}\n"
    "  brake-left: {moves: airbrake-left, shaft: left}\n"
    "  brake-right: {moves: airbrake-right, shaft: right}\n"
    "  hook: {moves: tow-hook}\n  tail-left: {moves: v-tail-left}\n"
    "  tail-right: {moves: v-tail-right}\n" + FEED,
    "1 aileron-left neutral, 2 v-tail-left neutral, 4 v-tail-right neutral, 5 tow-hook hold, "
    "6 aileron-right neutral, 7 airbrake-left hold, 8 airbrake-right hold",
)
TWIN = (
    "transmitter: {order: AETR}\nreceivers: {rx: {sockets: 7}}\nescs:\n"
    f"  a-left: {ESC}\n  a-right: {ESC}\n"
    "loads: {lamp: {moves: landing-light}}\n"
    "servos:\n  aileron-left: {moves: aileron, shaft: left}\n"
    "  aileron-right: {moves: aileron, shaft: right}\n  elevator: {moves: elevator}\n"
    "  rudder: {moves: rudder}\n" + PACK,
    "1 aileron-left neutral, 2 elevator neutral, 3 throttle-left off, 4 rudder neutral, "
    "5 throttle-right off, 6 aileron-right neutral, 7 landing-light hold",
)
JET = (
    "transmitter: {order: AETR}\nreceivers: {rx: {sockets: 8}}\n"
    "sequencers:\n  box:\n    outlets: [doors, legs]\n    power-up: holds\n    steps:\n"
    "      down: [{outlet: doors, start: 0 s, end: 1 s, to: open}, "
    "{outlet: legs, start: 2 s, end: 8 s, to: down}]\n"
    "      up: [{outlet: legs, start: 0 s, end: 6 s, to: up}, "
    "{outlet: doors, start: 9 s, end: 10 s, to: closed}]\n"
    "retracts:\n  leg-left: {kind: self-contained, class: small}\n"
    "  leg-right: {kind: self-contained, class: small}\n"
    f"escs: {{fan-esc: {ESC}}}\n"
    "servos:\n  door: {moves: gear-door}\n  tail-left: {moves: taileron-left}\n"
    "  tail-right: {moves: taileron-right}\n  rudder: {moves: rudder}\n  wheel: {moves: steering}\n"
    "  flap: {moves: flap}\n" + PACK,
    "1 taileron-left neutral, 2 taileron-right neutral, 3 throttle off, 4 rudder neutral, "
    "5 gear hold, 6 flap hold, 7 steering neutral",
)
VTOL = (
    "transmitter: {order: AETR}\nchannels: {1: aileron, 2: elevator, 3: throttle, 4: rudder,\n"
    "           5: flight-mode}   # as flown\n"
    "receivers: {rx: {sockets: 1, supply-sockets: 0, plug: fc.rc}}\n"
    "autopilots: {fc: {sockets: 4, outputs: {1: lift-1, 2: lift-2, 3: lift-3, 4: throttle}}}\n"
    "escs:\n  one: {moves: lift-1, bec: none, plug: fc.1, supply: hub.1}\n"
    "  two: {moves: lift-2, bec: none, plug: fc.2, supply: hub.2}\n"
    "  three: {moves: lift-3, bec: none, plug: fc.3, supply: hub.3}\n"
    "  push: {moves: throttle, bec: none, plug: fc.4, supply: hub.4}\n"
    "power-leads: {hub: {kind: parallel, ways: 4, supply: pack}}\n" + PACK,
    "1 aileron neutral, 2 elevator neutral, 3 throttle off, 4 rudder neutral, "
    "5 flight-mode the failsafe mode",
)
VTOL_UNNAMED = (VTOL[0].replace("order: AETR", "order: TAER").replace(
    "channels: {1: aileron, 2: elevator, 3: throttle, 4: rudder,\n           5: flight-mode}", ""),
    "1 throttle off, 2 aileron neutral, 3 elevator neutral, 4 rudder neutral")  # fmt: skip
ODD = (
    "transmitter: {order: AETR}\n"
    "channels:\n  1: {function: aileron, failsafe: 30 %}\n  2: elevator   # full up once\n"
    "  3: {function: throttle, failsafe: hold}\n  # the gear\n  5: {function: gear, failsafe: up}\n"
    "  6: {function: flap, failsafe: down, about: mine}\n  7: drop\n"
    "receivers: {rx: {sockets: 8}}\nretracts: {leg: {kind: self-contained, plug: rx.5}}\n"
    f"escs: {{esc: {ESC[:-1]}, plug: rx.3}}}}\n"
    "servos: {a: {plug: rx.1}, e: {plug: rx.2}, f: {plug: rx.6}, d: {plug: rx.7}}\n" + PACK,
    "1 aileron 30 %, 2 elevator neutral, 3 throttle hold, 5 gear up, 6 flap down, 7 drop hold",
)
SMALL = (  # the receiver has fewer sockets than the radio channels
    "transmitter: {order: TAER, channels: 8}\n"
    "channels: {1: throttle, 2: aileron, 3: elevator, 4: rudder, 5: gear, 6: flap, 7: light, "
    "8: hook}\nreceivers: {rx: {sockets: 4}}\n"
    f"escs: {{esc: {ESC[:-1]}, plug: rx.1}}}}\n"
    "servos: {a: {plug: rx.2}, e: {plug: rx.3}, r: {plug: rx.4}}\n" + PACK,
    "1 throttle off, 2 aileron neutral, 3 elevator neutral, 4 rudder neutral, 5 gear hold, "
    "6 flap hold, 7 light hold, 8 hook hold",
)
SMALL_OPEN = (  # four sockets for six plugs: pairs share, the lamp comes last
    "transmitter: {order: AETR, channels: 8}\nreceivers: {rx: {sockets: 4}}\n"
    "kit: [{kind: y, count: 3}]\nloads: {lamp: {moves: light}}\n"
    "servos:\n  aileron-left: {moves: aileron, shaft: left}\n"
    "  aileron-right: {moves: aileron, shaft: right}\n  elevator: {moves: elevator}\n"
    "  rudder: {moves: rudder}\n" + FEED,
    "1 aileron neutral, 2 elevator neutral, 3 light hold, 4 rudder neutral",
)
PLUGGED = (  # everything plugged in, and no channel named
    "receivers: {rx: {sockets: 6}}\n"
    f"escs: {{esc: {ESC[:-1]}, plug: rx.3}}}}\n"
    "servos:\n  aileron-left: {moves: aileron, plug: rx.1}\n"
    "  aileron-right: {moves: aileron, plug: rx.5}\n  elevator: {moves: elevator, plug: rx.2}\n"
    + PACK,
    "1 aileron-left neutral, 2 elevator neutral, 3 throttle off, 5 aileron-right neutral",
)
PRINTED = (  # channels stand under what is printed at the sockets
    "channels: {aile: aileron, thro: throttle}   # by their print\n"
    "receivers: {rx: {sockets: [aile, elev, thro, rudd]}}\n"
    f"escs: {{esc: {ESC[:-1]}, plug: rx.thro}}}}\n"
    "servos: {a: {moves: aileron, plug: rx.aile}, e: {moves: elevator, plug: rx.elev}}\n" + PACK,
    "1 aileron neutral, 2 elevator neutral, 3 throttle off",
)
CROW = (
    "channels:\n  1: aileron-left\n  6: {function: flap}\n  5:\n    function: aileron-right\n"
    "    about: mine\nmixes: [{kind: crow, of: [aileron, flap]}]\nreceivers: {rx: {sockets: 6}}\n"
    "servos:\n  l: {moves: aileron-left, plug: rx.1}\n  r: {moves: aileron-right, plug: rx.5}\n"
    "  f: {moves: flap, plug: rx.6}\n" + FEED.replace("pack}}\n", "pack, plug: rx.batt}}\n"),
    "1 aileron-left neutral, 5 aileron-right neutral, 6 flap up",
)
WORDS = (  # one word of the plan's own, one that nobody knows, one that an ESC hangs on
    "functions: {klappe: {means: flap}}\n"
    "channels: {1: klappe, 2: gizmo, 3: lift-1, 4: throttle-left, 5: gain}\n"
    "receivers: {rx: {sockets: 6}}\n"
    f"escs: {{lift: {ESC[:-1]}, moves: lift-1, plug: rx.3}}}}\n"
    "servos: {k: {moves: klappe, plug: rx.1}, g: {moves: gizmo, plug: rx.2}}\n" + PACK,
    "1 klappe hold, 2 gizmo hold, 3 lift-1 off, 4 throttle-left off, 5 gain hold",
)
MIRRORED = (  # left and right from one entry, parts under their place
    "transmitter: {order: AETR}\nchannels: {3: throttle}\nplaces:\n  fuselage:\n"
    "    receivers: {rx: {sockets: 8}}\n"
    f"    escs: {{esc: {ESC[:-1]}, plug: rx.3}}}}\n"
    "  wing-left:\n    joins: fuselage\n    side: left\n    mirrored: yes\n    servos:\n"
    "      aileron-left: {moves: aileron-left, shaft: left}   # mine\n"
    "      flap-left: {moves: flap-left, shaft: left}\n" + PACK,
    "1 aileron-left neutral, 3 throttle off, 5 aileron-right neutral, 6 flap-left hold, "
    "7 flap-right hold",
)
LOOSE = (  # everything that could let go, open or run
    "channels: {1: tow-hook, 2: bomb-release, 3: parachute, 4: bay-door, 5: smoke, 6: winch, "
    "7: canopy, 8: brake, 9: wing-tilt}\nreceivers: {rx: {sockets: 9}}\n",
    "1 tow-hook hold, 2 bomb-release hold, 3 parachute hold, 4 bay-door hold, 5 smoke off, "
    "6 winch off, 7 canopy hold, 8 brake hold, 9 wing-tilt hold",
)
PLANS = {
    "glider": GLIDER, "twin": TWIN, "jet": JET, "vtol": VTOL, "vtol-unnamed": VTOL_UNNAMED,
    "odd": ODD, "small": SMALL, "small-open": SMALL_OPEN, "plugged": PLUGGED, "printed": PRINTED,
    "crow": CROW, "words": WORDS, "mirrored": MIRRORED, "loose": LOOSE,
}  # fmt: skip


def told(answer: Proposal) -> str:
    return ", ".join(f"{c.channel} {c.function} {c.failsafe}" for c in answer.channels)


@pytest.mark.parametrize("name", PLANS)
def test_the_proposal_is_what_a_builder_would_set(name: str) -> None:
    """The expectations were written before the program proposed any."""
    text, expected = PLANS[name]
    assert told(answered(text)) == expected


@pytest.mark.parametrize("name", PLANS)
def test_followed_it_is_in_the_plan_and_on_the_sheet(name: str) -> None:
    text, expected = PLANS[name]
    plan = written(answered(text))
    said = (f"{n} {c.function} {c.failsafe}" for n, c in plan.channels.items())
    assert sorted(said) == sorted(expected.split(", "))
    sheet = json.loads(transmitter_json(check(plan)))["channels"]
    rows = {f"{row['channel']} {row['function']} {row['failsafe']}" for row in sheet}
    assert set(expected.split(", ")) <= rows


@pytest.mark.parametrize("name", PLANS)
def test_followed_no_rule_of_failsafes_speaks(name: str) -> None:
    text, _ = PLANS[name]
    before = {(f.rule, f.message) for f in check(plan_of(text)).findings}
    report = check(written(answered(text)))
    mine = [f for f in report.findings if f.rule in FAILSAFE_RULES]
    assert [f for f in mine if (f.rule, f.message) not in before or name != "odd"] == []
    assert not [u for u in report.unknown if u.rule in FAILSAFE_RULES]


@pytest.mark.parametrize("name", PLANS)
def test_a_second_time_nothing_is_left_to_propose(name: str) -> None:
    first = answered(PLANS[name][0])
    again = propose(written(first))
    assert isinstance(again, Proposal)
    assert again.text == first.text
    assert not [c for c in again.channels if c.why]


@pytest.mark.parametrize("word", [*vocabulary().functions, "gizmo"])
@pytest.mark.parametrize("box", ["", "autopilots: {fc: {sockets: 2}}\n"])
def test_nothing_dangerous_is_ever_proposed(word: str, box: str) -> None:
    """Every function there is, on either side: against what it may do at the very most."""
    for side in ("", "-left"):
        (only,) = answered(f"channels: {{1: {word}{side}}}\nreceivers: {{rx: {{}}}}\n{box}".replace(
            "{}", "{sockets: 4}")).channels  # fmt: skip
        mode = {"the failsafe mode"} if word == "mode" and box else set()
        assert only.failsafe in MAY.get(word, ANY) | mode
        assert only.why


def test_an_esc_on_any_word_stops() -> None:
    for word in ("lift-1", "winch", "gizmo", "thrust"):
        text = f"channels: {{1: {word}}}\nreceivers: {{rx: {{sockets: 4}}}}\nescs: {{esc: "
        answer = answered(f"{text}{ESC[:-1]}, moves: {word}, plug: rx.1}}}}\n{PACK}")
        assert answer.channels[0].failsafe == "off"
        open_plug = answered(f"{text}{ESC[:-1]}, moves: {word}}}}}\n{PACK}")
        assert open_plug.channels[0].failsafe == "off"
        unnamed = text.replace(f"channels: {{1: {word}}}\n", "")
        alone = answered(f"{unnamed}{ESC[:-1]}, moves: {word}, plug: rx.1}}}}\n{PACK}")
        assert (alone.channels[0].function, alone.channels[0].failsafe) == (word, "off")


def test_an_output_of_an_autopilot_is_no_channel_of_the_radio() -> None:
    """An ESC goes on output 2; channel 2 stays the elevator's, and does not go off."""
    text = VTOL[0].replace(", plug: fc.2", "").replace("2: lift-2, ", "")
    assert told(answered(text)) == VTOL[1]


def test_what_is_stated_stays_word_for_word() -> None:
    lines = answered(ODD[0]).text.splitlines()
    for line in ODD[0].splitlines():
        if line not in {"  2: elevator   # full up once", "  7: drop"}:
            assert line in lines
    assert "  2: {function: elevator, failsafe: neutral}   # full up once" in lines
    assert "  7: {function: drop, failsafe: hold}" in lines


def test_a_line_of_channels_that_grows_too_wide_is_parted() -> None:
    """SMALL has eight channels in one line; by PyYAML too they are the same ones."""
    text = answered(SMALL[0]).text
    assert max(map(len, text.splitlines())) <= 100
    assert "\n           2: {function: aileron, failsafe: neutral},\n" in text
    narrow = answered(PRINTED[0]).text
    assert "failsafe: off}}   # by their print\n" in narrow


def test_an_empty_failsafe_is_filled() -> None:
    text = "channels: {3: {function: throttle, failsafe: ''}}\nreceivers: {rx: {sockets: 4}}\n"
    assert "3: {function: throttle, failsafe: off}" in answered(text).text


def test_all_plugged_in_yet_there_is_something_to_propose() -> None:
    text = proposal_text(answered(SMALL[0]))
    assert "Nothing is left to plug in. 8 failsafes proposed: see below." in text
    assert "there is nothing to decide" not in text
    assert "channel 1 (throttle): off" in text
    assert "settle with your local rules and the maker's instructions" in text
    again = proposal_text(answered(answered(SMALL[0]).text))
    assert again.startswith("Nothing is left to plug in.\n")
    assert "there is nothing to decide" in again


def test_the_wrong_stick_on_a_plug_is_said_and_not_hidden() -> None:
    """Named by what is plugged in, an ESC on the aileron's channel is a danger that stays."""
    text = PLUGGED[0].replace("plug: rx.3", "plug: rx.x").replace("plug: rx.1", "plug: rx.3")
    answer = answered("transmitter: {order: AETR}\n" + text.replace("rx.x", "rx.1"))
    assert [f.rule for f in answer.faults if f.severity is Severity.DANGER] == ["channel-order"]


def test_as_data() -> None:
    channels = proposal_data(answered(ODD[0]))["channels"]
    assert channels[2] == {
        "channel": "3", "function": "throttle", "named": None, "failsafe": "hold", "why": None,
        "settle": False, "line": 7,
    }  # fmt: skip
    assert channels[1]["why"] and channels[1]["settle"]


def test_pairs_lie_side_by_side_and_what_can_be_missed_comes_last() -> None:
    """Names would put the camera first; a radio with fewer channels then lost a surface."""
    answer = answered(
        "transmitter: {order: AETR}\nreceivers: {rx: {sockets: 9}}\nservos:\n"
        "  a-camera: {moves: camera}\n  b-left: {moves: flap-left}\n  c: {moves: canard}\n"
        "  d-right: {moves: flap-right}\n  e: {moves: elevator}\n" + FEED
    )
    assert drivers(answer) == {
        "e": "rx.2", "c": "rx.5", "b-left": "rx.6", "d-right": "rx.7", "a-camera": "rx.8",
    }  # fmt: skip
    assert 'beside "b-left"' in proposal_text(answer)
    plan = parse_plan(Source("plan.yaml", answer.text))
    assert plan.channels["8"].function == "camera"


ROOT = Path(__file__).parents[2]
WHOLE = [p for folder in ("examples", "examples/unplugged", "harness/plan/starters")
         for p in sorted((ROOT / folder).glob("*.yaml")) if "." not in p.stem]  # fmt: skip


@pytest.mark.parametrize("path", WHOLE, ids=lambda p: p.stem)
def test_whole_aeroplanes_without_their_failsafes(path: Path) -> None:
    """What the examples state of their channels is taken out; followed, nothing worse is said."""
    text = path.read_text("utf-8")
    bare = re.sub(r", failsafe: [a-z]+", "", text)
    answer = propose(parse_plan(Source("plan.yaml", bare)))
    assert isinstance(answer, Proposal)
    said, before = (
        {f.rule for f in check(plan).findings}
        for plan in (written(answer), parse_plan(Source("plan.yaml", text)))
    )
    leads = {"kit-left-over", "kit-lacks", "lead-not-tested"}  # of the leads that are proposed
    assert said <= before | (leads if path.parent.name == "unplugged" else set())
    assert all(c.failsafe in MAY.get(vocabulary().base(c.function), ANY) | {"the failsafe mode"}
               for c in answer.channels)  # fmt: skip
    gone = [line.rpartition("#")[2] for line in bare.splitlines() if "#" in line]
    assert all(remark in answer.text for remark in gone)


def test_an_alias_of_a_word_is_kept() -> None:
    text = "channels: {1: &a aileron, 5: *a}\nreceivers: {rx: {sockets: 6}}\n"
    plan = written(answered(text))
    assert [(c.function, c.failsafe) for c in plan.channels.values()] == [
        ("aileron", "neutral")
    ] * 2
