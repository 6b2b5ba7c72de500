"""What is expected, against figures worked out by hand and sources named beside them."""

from __future__ import annotations

import textwrap
from pathlib import Path

import pytest
from bench.bench_plan import PLAN, band_of, bench_test, protocol
from electrics.heating import wire_ohms
from scipy.optimize import brentq
from support import plan_of

from harness import load_plan
from harness.bench.build import protocol_of
from harness.bench.directions import ways_of
from harness.bench.gear import lines_of
from harness.bench.protocol import Word
from harness.bench.workbench import REST, STIRRED, Bench, solved_of
from harness.catalogue.functions import vocabulary
from harness.electrics.gear.timeline import timeline
from harness.electrics.solver.circuit import NotSolved
from harness.wiring.build import build

EXAMPLES = Path(__file__).parents[2] / "examples"
GEAR = """\
plan: 1
aircraft: Test
channels: {5: {function: gear, failsafe: hold}}
receivers: {rx: {sockets: 6}}
retracts:
  leg: {kind: self-contained, travel: 4 s, running: 0.4 A, stop: 1 A, plug: box.2}
servos: {door: {class: 9g-analogue, moves: gear-door, plug: box.1}}
sequencers:
  box:
    plug: rx.5
    outlets: 2
    power-up: POWER
    steps:
      down:
        - {outlet: 1, start: 0 s, end: 1 s, to: open}
        - {outlet: 2, start: 1.5 s, end: 7 s, to: down}
      up:
        - {outlet: 2, start: 0 s, end: 5.5 s, to: up}
        - {outlet: 1, start: 6 s, end: 7 s, to: closed}
regulators: {reg: {kind: switching, volts: 6 V, rated: 5 A, plug: rx.batt, supply: pack}}
packs: {pack: {chemistry: lipo, cells: 3, capacity: 2.2 Ah}}
"""


def test_volts_of_a_supply_are_its_set_point_within_its_tolerance() -> None:
    """Switching supplies within 3 % (our own assumption, in the catalogue): 5 V gives 4.85-5.15."""
    assert band_of("bec-volts.esc").text == "4.85 to 5.15 V"
    test = bench_test("bec-volts.esc")
    assert "plan line 13" in test.origin
    assert "catalogue regulators" in test.origin


def test_a_tolerance_of_the_plans_own_class_counts() -> None:
    own = PLAN + "classes: {regulators: {switching: {tolerance: 1 %}}}\n"
    assert band_of("bec-volts.esc", own).text == "4.95 to 5.05 V"


def test_a_charged_pack() -> None:
    """80 % charged: 3.994 V a cell (PyBaMM, Ai2020); full: 4.2 V (PX4 user guide).

    3 x 3.994 = 11.98 V; 3 x 4.2 V = 12.60 V, and 0.5 % for the meter: 12.66 V.
    """
    assert (band_of("pack-volts.pack").low, band_of("pack-volts.pack").high) == (11.98, 12.66)


def test_packs_side_by_side_are_equal_within_fifty_millivolts_a_cell() -> None:
    """Common practice: within 0.05 V a cell; three cells: 0.15 V."""
    twin = (
        PLAN.replace("supply: pack,", "supply: join,").replace(
            "packs: {pack: {",
            "packs: {second: {chemistry: lipo, cells: 3, connector: XT60}, pack: {",
        )
        + "power-leads: {join: {kind: parallel, supply: [pack, second], connector: XT60}}\n"
    )
    assert band_of("pack-equal.pack.second", twin).text == "at most 0.15 V"
    assert not [name for name in protocol().tests if name.startswith("pack-equal")]


def test_the_rail_keeps_4_8_volts() -> None:
    """Common practice: at or above 4.8 V with the sticks stirred."""
    assert band_of("rail-stirred.rx").low == 4.8
    assert band_of("rail-rest.rx").low == 4.8


# By hand, from the figures of the classes. Of the receiver 0.1 A; of each servo at rest 5 or 6 mA,
# moving 0.1 or 0.25 A. Between BEC and rail: its 30 mohm; its lead, 300 mm of 26 AWG there and
# back, as warm as its current makes it; two contacts of 10 or 20 mohm. The highest rail has the
# highest set-point (5.15 V), the least current and the least resistance, the lowest rail (4.85 V)
# the most of both.
def rail(volts: float, amps: float, contact: float) -> float:
    return volts - amps * (0.030 + wire_ohms("26 AWG", 300, amps) + 2 * contact)


RAILS = [
    (REST, rail(4.85, 0.1 + 2 * 0.006, 0.020), rail(5.15, 0.1 + 2 * 0.005, 0.010)),
    (STIRRED, rail(4.85, 0.1 + 2 * 0.25, 0.020), rail(5.15, 0.1 + 2 * 0.1, 0.010)),
]


@pytest.mark.parametrize(("case", "low", "high"), RAILS)
def test_the_rail_by_ohms_law(case: str, low: float, high: float) -> None:
    found = solved_of(build(plan_of(PLAN))).volts("rx", "rail", case)
    assert found == pytest.approx((low, high), abs=5e-5)
    name = "rail-rest.rx" if case == REST else "rail-stirred.rx"
    usual = band_of(name).usual
    assert usual == (round(low * 0.995, 2), round(high * 1.005, 2))  # a hand meter: 0.5 %


def test_no_rail_may_be_above_what_it_is_at_rest() -> None:
    """The highest at rest, 5.1357 V by the sum above, and 0.5 % of a meter: 5.16 V."""
    assert band_of("rail-rest.rx").high == band_of("rail-stirred.rx").high == 5.16


def test_rest_current_by_power() -> None:
    """0.112 A of receiver and servos at the 5.15 V of the highest set-point less 30 mohm x 0.112 A.

    85 % efficient, from 12.6 V: 5.1466 x 0.112 / 0.85 / 12.6 = 53.8 mA; 10 mA quiescent.
    """
    found = solved_of(build(plan_of(PLAN))).given("pack", REST)
    assert found is not None
    assert found[1] == pytest.approx(5.1466 * 0.112 / 0.85 / 12.6 + 0.010, abs=2e-5)
    assert band_of("rest-amps.pack").usual == (0.0, 0.07)  # 63.8 mA and 5 % of a clamp meter
    assert band_of("rest-amps.pack").high == 3  # the fuse of the first power-up: common practice


@pytest.mark.parametrize("duty", [0.5, 0.75, 1.0])
def test_currents_by_the_law_of_motors(duty: float) -> None:
    """18 A at 3 x 3.7 V; a winding that keeps 6 % and 4 % without a load (memory, the catalogue's).

    Cells that lose 0.5 V at 25 C x 2.2 Ah (memory): 27.3 mohm, 30 % more or less; copper and
    contacts 6 mohm. Full, 12.6 V: from 25 mohm; at 80 %, 11.98 V: to 42 mohm. Own volts E of the
    motor: E + R (I0 + c E^2) = d V, of which the pack gives d + 0.04 (1 - d) (memory), by an
    independent solver.
    """
    nominal, r, i0 = 11.1, 0.06 * 11.1 / 18, 0.04 * 18
    load, share = (18 - i0) / (nominal - r * 18) ** 2, duty + 0.04 * (1 - duty)

    def amps(rest: float, ohms: float) -> tuple[float, float]:
        def over(own: float) -> float:
            motor = i0 + load * own**2
            return own + r * motor - duty * (rest - ohms * share * motor)

        motor = i0 + load * float(brentq(over, 0, rest)) ** 2
        return share * motor, rest - ohms * share * motor

    found = band_of(f"part-throttle-amps.motor.{100 * duty:g}" if duty < 1 else
                    "full-throttle-amps.motor")  # fmt: skip
    volts = band_of(f"part-throttle-volts.motor.{100 * duty:g}" if duty < 1 else
                    "full-throttle-volts.motor").usual  # fmt: skip
    low, high = found.usual or (found.low or 0.0, found.high or 0.0)
    (least, sagged), (most, fresh) = amps(11.98, 0.042), amps(12.6, 0.025)
    assert low == pytest.approx(0.95 * least, abs=0.3 * share * duty)
    assert high == pytest.approx(1.05 * most, abs=0.3 * share * duty)
    assert volts == pytest.approx((0.995 * sagged, 1.005 * fresh), abs=0.06)
    assert found.high == band_of("full-throttle-amps.motor").high


def test_volts_at_full_throttle_stay_above_the_practical_minimum() -> None:
    """3.5 V a cell under load: PX4 user guide, battery page."""
    assert band_of("full-throttle-volts.throttle.pack").low == 10.5


def test_centre_is_the_published_pulse() -> None:
    """1500 us: ArduPilot SRV_Channel, Arduino Servo."""
    small = bench_test("servos-centred")
    assert small.origin.startswith("1500 us at the centre")


# Common practice: how surfaces go as seen from behind, by the trailing edge.
DIRECTIONS = [
    ("aileron", "left", "roll", "down"),
    ("aileron", "right", "roll", "up"),
    ("elevator", "", "pitch", "up"),
    ("elevator-half", "left", "pitch", "up"),
    ("rudder", "", "yaw", "right"),
    ("v-tail", "left", "pitch", "up"),
    ("v-tail", "right", "pitch", "up"),
    ("v-tail", "left", "yaw", "up"),
    ("v-tail", "right", "yaw", "down"),
    ("elevon", "left", "pitch", "up"),
    ("elevon", "right", "pitch", "up"),
    ("elevon", "left", "roll", "down"),
    ("elevon", "right", "roll", "up"),
    ("flaperon", "right", "roll", "up"),
    ("flaperon", "left", "flaps", "down"),
    ("flap", "left", "flaps", "down"),
    ("flap", "right", "flaps", "down"),
    ("spoiler", "left", "brakes", "up"),
    ("airbrake", "right", "brakes", "up"),
    ("nose-wheel", "", "steer", "right"),
    ("tail-wheel", "", "steer", "right"),
    ("canard", "left", "pitch", "down"),
    ("drag-rudder", "right", "yaw", "open"),
    ("split-rudder", "left", "yaw", "closed"),
    ("gear-door", "left", "gear", "open"),
]


@pytest.mark.parametrize(("function", "side", "stick", "word"), DIRECTIONS)
def test_directions_seen_from_behind(function: str, side: str, stick: str, word: str) -> None:
    found = {way.stick.id: way.word for way in ways_of(vocabulary(), function, side) or ()}
    assert found[stick] == word


def test_crow_puts_ailerons_up_and_flaps_down() -> None:
    """Common practice: crow brakes."""
    for function, word in (("aileron", "up"), ("flap", "down")):
        found = {
            w.stick.id: w.word for w in ways_of(vocabulary(), function, "left", crow=True) or ()
        }
        assert found["crow"] == word


def test_surfaces_that_get_their_stick_from_channel_or_mix() -> None:
    """A jet that goes up with the elevators lifts the nose; flaperons droop: common practice."""
    text = """
    channels: {2: elevator, 1: aileron-left, 5: aileron-right, 6: rudder}
    mixes: [{kind: flaperon}]
    receivers: {rx: {sockets: 8}}
    stabilisers: {gyro: {plugs: {pitch: rx.2}}}
    servos:
      nozzle: {moves: nozzle, plug: y.1}
      canard: {moves: canard, plug: y.2}
      aileron-left: {moves: aileron, plug: rx.1}
      aileron-right: {moves: aileron, plug: rx.5}
      wheel: {moves: tail-wheel, plug: rx.6}
    leads: {y: {kind: y, plug: gyro.pitch}}
    """
    tests = protocol(textwrap.dedent(text)).tests
    told = {name.partition(".")[2]: test.expected.text for name, test in tests.items()
            if name.startswith("direction.")}  # fmt: skip
    assert told == {
        "nozzle.pitch": "up", "canard.pitch": "down", "wheel.steer": "right",
        "aileron-left.roll": "down", "aileron-right.roll": "up",
        "aileron-left.flaps": "down", "aileron-right.flaps": "down",
    }  # fmt: skip
    assert "wheel steers" in tests["direction.wheel.steer"].title
    assert "each canard goes down" in tests["gyro.gyro.canard"].title


TILTED = [
    # pushed right wing down, the right one must lift again; nose swung right, it must go left
    ("elevon", "", {"elevon": "up", "elevon.roll": "down on the right, up on the left"}),
    ("elevon", "aileron", {"elevon.roll": "down on the right, up on the left"}),
    ("v-tail", "", {"v-tail": "up", "v-tail.yaw": "up on the right, down on the left"}),
    ("v-tail", "rudder", {"v-tail.yaw": "up on the right, down on the left"}),
    ("rudder", "", {"rudder": "to the left"}),
    ("drag-rudder", "", {"drag-rudder": "closed on the right, open on the left"}),
]


@pytest.mark.parametrize(("moves", "axis", "wanted"), TILTED)
def test_a_gyro_works_against_what_disturbs(moves: str, axis: str, wanted: dict[str, str]) -> None:
    """Common practice: a steadied surface works against the push, about every axis steadied."""
    axis = axis or moves
    text = f"channels: {{1: {moves}-left, 2: {moves}-right}}\nreceivers: {{rx: {{sockets: 4}}}}\n"
    text += f"stabilisers: {{g: {{plugs: {{1: rx.1, 2: rx.2}}, axes: {{1: {axis}, 2: {axis}}}}}}}\n"
    text += f"servos: {{s-left: {{moves: {moves}, plug: g.1}}, s-right: {{moves: {moves},"
    tests = protocol(text + " plug: g.2}}\n").tests
    told = {name.removeprefix("gyro.g."): test.title.partition(" goes ")[2]
            for name, test in tests.items() if name.startswith("gyro.g.")}  # fmt: skip
    assert told == wanted


def test_what_shares_a_pulse_is_named_where_one_function_is_tried() -> None:
    text = "channels: {6: flap}\nreceivers: {rx: {sockets: 6}}\nleads: {y: {kind: y, plug: rx.6}}\n"
    text += "servos: {f: {moves: flap, plug: y.1}, s: {moves: slat, plug: y.2}}\n"
    title = protocol(text).tests["moves.s"].title
    assert title == "s answers to flap, nothing else but f does"


def test_one_servo_for_both_ailerons_is_told_by_the_right_one() -> None:
    text = "channels: {1: aileron}\nreceivers: {rx: {sockets: 4}}\n"
    found = protocol(text + "servos: {both: {moves: aileron, plug: rx.1}}\n")
    test = found.tests["direction.both.roll"]
    assert (test.expected.text, "both goes on the right" in test.title) == ("up", True)


def test_a_side_that_nobody_told_is_not_guessed() -> None:
    assert ways_of(vocabulary(), "aileron", "") is None
    lost = PLAN.replace("place: wing-left, ", "").replace("aileron-left:", "one:")
    found = protocol(lost)
    assert "direction.one.roll" not in found.tests
    assert any("one: which way it must move" in text for text in found.unknown)


# What a box does by its power-up word, the switch and where the gear stands: by the words' meaning.
POWER_UPS = [
    ("holds", {"down-down": "stays", "down-up": "stays", "up-down": "stays", "up-up": "stays"}),
    ("follows", {"down-down": "stays", "down-up": "goes down", "up-down": "goes up",
                 "up-up": "stays"}),
    ("down", {"down-down": "stays", "down-up": "goes down", "up-down": "stays",
              "up-up": "goes down"}),
    ("up", {"down-down": "goes up", "down-up": "stays", "up-down": "goes up", "up-up": "stays"}),
]  # fmt: skip


@pytest.mark.parametrize(("word", "wanted"), POWER_UPS)
def test_gear_in_every_power_up_case(word: str, wanted: dict[str, str]) -> None:
    tests = protocol(GEAR.replace("POWER", word)).tests
    for case, does in wanted.items():
        switch, stands = case.split("-")
        test = tests[f"gear-power-up.gear.switch-{switch}-gear-{stands}"]
        assert test.expected.text == does, (word, case)


def test_an_undeclared_power_up_is_not_guessed() -> None:
    found = protocol(GEAR.replace("    power-up: POWER\n", ""))
    assert not [name for name in found.tests if name.startswith("gear-power-up")]
    assert any("power-up" in text for text in found.unknown)


def test_gear_times_by_step_and_travel() -> None:
    """The door's step ends at 1 s; the leg starts at 1.5 s and travels 4 s, 30 % more when slow.

    1.5 + 4 = 5.5 s and 1.5 + 5.2 = 6.7 s (slow legs: common practice), each 0.5 s for the watch.
    """
    text = GEAR.replace("POWER", "holds")
    assert band_of("gear-time.box.down.1-open", text).text == "0.5 to 1.5 s"
    assert band_of("gear-time.box.down.2-down", text).text == "5.0 to 7.2 s"
    assert band_of("gear-time.box.up.2-up", text).text == "3.5 to 5.7 s"
    assert band_of("gear-time.box.up.1-closed", text).text == "6.5 to 7.5 s"


def test_order_is_the_trades() -> None:
    """From the box to the first flight: common practice."""
    names = list(protocol().tests)
    wanted = ["lead.y", "bec-volts.esc", "pack-volts.pack", "servos-centred", "rest-amps.pack",
              "failsafe.3", "direction.aileron-left.roll", "no-hum.aileron", "rail-stirred.rx",
              "esc-calibrated.esc", "rotation.motor", "transmitter-off.motors-stop",
              "full-throttle-amps.motor", "joints-cool", "centre-of-gravity", "range",
              "range-mode-off"]  # fmt: skip
    assert [name for name in names if name in wanted] == wanted


def test_ids_do_not_change_with_another_part() -> None:
    more = PLAN.replace("servos:", "servos:\n  a: {class: 9g-analogue, moves: rudder, plug: rx.4}")
    before, after = protocol().tests, protocol(more).tests
    assert set(before) <= set(after)
    assert {"direction.a.yaw", "no-hum.rudder"} == set(after) - set(before)


def test_propellers_are_on_only_where_they_must_be() -> None:
    on = {name.split(".")[0] for name, t in protocol().tests.items() if t.propellers == "on"}
    read = {f"{how}-throttle-{what}" for how in ("part", "full") for what in ("amps", "volts")}
    assert on == read | {"full-throttle-total", "range"}


def test_failsafe_words() -> None:
    assert bench_test("failsafe.3").expected.text == "off"
    closed = PLAN.replace("failsafe: off", "failsafe: idle")
    assert bench_test("failsafe.3", closed).expected.text == "off"
    share = PLAN.replace("failsafe: neutral", "failsafe: 20 %")
    assert bench_test("failsafe.1", share).expected == Word()
    silent = protocol(PLAN.replace(", failsafe: neutral", ""))
    assert "channel 1 (aileron): its failsafe (failsafe)" in silent.unknown


def test_a_pulled_red_pin_is_tested_and_its_bec_too() -> None:
    pulled = PLAN.replace("plug: rx.3,", "plug: {into: rx.3, pulled: positive},")
    assert {"red-pin-out.esc", "bec-volts.esc"} <= set(protocol(pulled).tests)
    assert "red-pin-out.esc" not in protocol().tests


def test_nothing_is_expected_of_an_esc_that_is_fed_backwards() -> None:
    """It burns: no current at all is the right one. The danger itself stands at the head."""
    found = protocol(PLAN + "as-found: [{end: esc.supply, fact: crossed}]\n")
    full = [name for name in protocol().tests if "-throttle-" in name]
    assert len(full) == 8
    assert not set(found.tests) & set(full)


def test_a_current_that_nobody_stated_is_not_called_unsolved() -> None:
    found = protocol(PLAN.replace("full-throttle: 18 A, ", ""))
    assert "motor: its current at full throttle (full-throttle)" in found.unknown
    assert not [said for said in found.unknown if "solution" in said]


def test_without_a_solution_the_rest_of_the_protocol_stays(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever makes the solver refuse the whole network, nothing is expected of its figures."""

    def refused(_: object) -> None:
        raise NotSolved("the network", "bare sources are shorted")

    whole = set(protocol().tests)
    monkeypatch.setattr("harness.bench.workbench.solved_of", refused)
    found = protocol()
    reckoned = ("rest-amps.", "rail-rest.", "rail-stirred.", "full-throttle-",
                "part-throttle-")  # fmt: skip
    assert whole - set(found.tests) == {name for name in whole if name.startswith(reckoned)}
    said = [text for text in found.unknown if "no solution" in text]
    assert said == ["volts and currents: the network has no solution (bare sources are shorted)"]


@pytest.mark.parametrize(
    "stem", ["saltmarsh-19", "dunlin-4", "marram-26", "breakwater-12", "sandbar-5"]
)
def test_every_example_has_a_protocol(stem: str) -> None:
    found = protocol_of(build(load_plan(str(EXAMPLES / f"{stem}.yaml"))))
    assert len(found.tests) == sum(len(s.tests) for s in found.sections) > 20


def test_nobody_jams_a_leg_on_the_bench() -> None:
    """Each leg of a fleet jams in runs of its own; the protocol follows only what it tests."""
    bench = Bench(build(plan_of(GEAR.replace("POWER", "holds"))))
    whole = timeline(bench.wiring, "gear")
    jammed = [run.name for run in whole.runs if run.name.startswith("jammed-")]
    followed = [run.name for run in lines_of(bench)["gear"].runs]
    assert jammed
    assert followed == [run.name for run in whole.runs if run.name not in jammed]


@pytest.mark.parametrize(("side", "word"), [("left", "faster"), ("right", "slower")])
def test_thrust_that_steers_pulls_on_the_outer_side(side: str, word: str) -> None:
    """Nose to the right: the left propeller pulls more (moments about the centre of gravity)."""
    text = PLAN.replace("  esc:", f"  esc-{side}:").replace("plug: esc}", f"plug: esc-{side}}}")
    text += "mixes: [{kind: differential-thrust, of: throttle}]\n"
    assert bench_test(f"direction.esc-{side}.yaw", text).expected.text == word


def test_a_throttle_at_nought_is_off() -> None:
    share = PLAN.replace("failsafe: off", "failsafe: 0 %")
    assert bench_test("failsafe.3", share).expected.text == "off"
