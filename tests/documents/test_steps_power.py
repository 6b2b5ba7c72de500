"""Power in the steps: anti-spark, fuse out, legs without a sequencer; all surfaces at the field."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from kept import report_at
from support import report_of

from harness.bench.build import protocol_of
from harness.documents.steps import field_chapter, steps_chapter
from harness.paper.blocks import Chapter, Tick, Ticks
from harness.rules.run import Report

ROOT = Path(__file__).parents[2]


def example(name: str) -> Report:
    return report_at(ROOT / "examples" / f"{name}.yaml")


def ticks(chapter: Chapter) -> list[Tick]:
    return [t for block in chapter.blocks if isinstance(block, Ticks) for t in block.items]


def drive(packs: str, supply: str, leads: str = "", cells: int = 6) -> Report:
    """Return an ESC on some packs of `cells` each, the radio on a pack of its own."""
    rows = "".join(
        f"  {name}: {{chemistry: lipo, cells: {cells}, capacity: 4 Ah, rate: 30 C,"
        " connector: XT90}\n"
        for name in packs.split()
    )
    return report_of(
        "receivers: {rx: {sockets: 4}}\n"
        "servos: {s: {class: 9g-analogue, moves: rudder, plug: rx.1}}\n"
        "escs: {esc: {rated: 80 A, bec: none, connector: XT90, plug: rx.3,"
        f" supply: {supply}}}}}\n"
        "motors: {m: {full-throttle: 30 A, rotation: clockwise, plug: esc}}\n"
        f"packs:\n{rows}"
        "  radio: {chemistry: lipo, cells: 6, capacity: 1 Ah, connector: XT90}\n"
        "regulators: {reg: {kind: switching, volts: 6 V, rated: 5 A, connector: XT90,"
        " supply: radio, plug: rx.batt}}\n" + leads
    )


STACK = "power-leads:\n  stack: {kind: series, supply: [low, high], connector: XT90}\n"
ARMED = STACK + "  arm: {kind: arming, supply: stack, connector: XT90}\n"
BESIDE = "power-leads:\n  y: {kind: parallel, supply: [low, high], connector: XT90}\n"
# Which plug draws the spark, by hand: the one after which copper leads from plus to minus through
# the ESC. Of a stack the last pack, with an arming plug that, of packs side by side the first.
SPARKS = [
    ("one pack", drive("low", "low"), "low"),
    ("stack of two 3S", drive("low high", "stack", STACK, 3), "high"),
    ("stack and arming plug", drive("low high", "arm", ARMED), "arm"),
    ("side by side", drive("low high", "y", BESIDE), "first"),
    ("four cells", drive("low", "low", cells=4), ""),
    ("stack of two 2S", drive("low high", "stack", STACK, 2), ""),
]


@pytest.mark.parametrize(("report", "where"), [s[1:] for s in SPARKS], ids=[s[0] for s in SPARKS])
@pytest.mark.parametrize("make", [steps_chapter, field_chapter])
def test_anti_spark_stands_at_the_plug_that_closes_the_main_circuit(
    make: object, report: Report, where: str
) -> None:
    """From 5 cells in series up (common practice); the radio's pack has no ESC behind it."""
    assert callable(make)
    found = [t for t in ticks(make(report)) if any("anti-spark" in line for line in t.details)]
    assert len(found) == bool(where)
    if where == "arm":
        assert '"arm"' in found[0].text
    elif where == "first":
        packs = [t for t in ticks(make(report)) if '(power lead "y") into pack' in t.text]
        assert found == packs[:1]
    elif where in {"low", "high"}:
        made = [t for t in ticks(make(report)) if "plug" in t.key or "pack" in t.key]
        drives = [t for t in made if 'pack "low"' in t.text or 'pack "high"' in t.text]
        assert found[0] == [t for t in drives if t.text.startswith("Plug")][-1]


@pytest.mark.parametrize("kind", ["antispark-XT90", "XT90", "AS150"])
@pytest.mark.parametrize("side", ["pack", "esc"])
def test_a_plug_that_is_the_anti_spark_wants_no_other(kind: str, side: str) -> None:
    """The resistor sits in one half of the pair (from memory), and one is enough."""
    other = "XT90" if kind == "antispark-XT90" else kind
    sides = (kind, other) if side == "pack" else (other, kind)
    ours, theirs = sides[::-1]
    report = report_of(
        f"escs: {{esc: {{rated: 80 A, bec: none, connector: {ours}, supply: low}}}}\n"
        "packs: {low: {chemistry: lipo, cells: 6, capacity: 4 Ah, rate: 30 C,"
        f" connector: {theirs}}}}}\n"
    )
    (tick,) = [t for t in ticks(field_chapter(report)) if "anti-spark" in " ".join(t.details)]
    told = " ".join(tick.details)
    assert ("this plug is the anti-spark: it closes" in told) == (kind != "XT90")
    assert ("through an anti-spark" in told) == (kind == "XT90")


def test_the_armed_example_has_it_at_its_arming_plug_only() -> None:
    for make in (steps_chapter, field_chapter):
        found = [t for t in ticks(make(example("breakwater-12")))
                 if any("anti-spark" in line for line in t.details)]  # fmt: skip
        assert ['power lead "arming"' in t.text for t in found] == [True]


def test_the_fuse_comes_out_before_anything_draws_more() -> None:
    """3 A (common practice): the gear, the ESCs' calibration and full throttle come after it."""
    keys = [t.key for t in ticks(steps_chapter(example("saltmarsh-19")))]
    turn = {name: keys.index(f"steps-{name}") for name in
            ("try-rail", "try-fuse", "try-gear", "try-escs", "flight-throttle")}  # fmt: skip
    assert all(turn[a] < turn[b] for a, b in pairwise(turn))
    (tick,) = [
        t for t in ticks(steps_chapter(example("saltmarsh-19"))) if t.key == "steps-try-fuse"
    ]
    assert "3 A" in tick.text
    assert "may draw more than 3 A" in tick.details[0]


def test_the_protocol_takes_the_fuse_out_too() -> None:
    names = list(protocol_of(example("saltmarsh-19").wiring).tests)
    at = names.index("fuse-out")
    first = {"rest-amps": True, "direction": True, "gear-power-up": False, "gear-time": False,
             "esc-calibrated": False, "rail-stirred": False, "full-throttle-amps": False,
             }  # fmt: skip
    for stem, before in first.items():
        turns = [n for n, name in enumerate(names) if name.split(".")[0] == stem]
        assert turns
        assert all((n < at) == before for n in turns), stem


def test_servos_are_centred_on_a_tester_as_nothing_is_supplied_yet() -> None:
    found = [t for t in ticks(steps_chapter(example("saltmarsh-19"))) if "-centre-" in t.key]
    assert found
    for tick in found:
        assert "on a servo tester" in tick.text
        assert "trims" not in " ".join(tick.details)


def test_the_field_list_has_every_surface_those_that_were_off_first() -> None:
    """Of saltmarsh the wings come off; rudder and elevator stay on, and are looked at too."""
    report = example("saltmarsh-19")
    keys = [t.key for t in ticks(field_chapter(report)) if t.key.startswith("field-direction-")]
    names = [key.removeprefix("field-direction-") for key in keys]
    servos = {"aileron-left", "aileron-right", "flap-left", "flap-right", "rudder"}
    assert servos <= set(names)
    others = [n for n in names if n.startswith(("elevator", "rudder", "steer"))]
    assert names[-len(others) :] == others
    assert names.index("flap-right") < names.index("rudder")
    (gear,) = [t for t in ticks(field_chapter(report)) if t.key == "field-gear-cycle"]
    assert gear.text.startswith("On a stand")


def test_no_gear_no_gear_cycle() -> None:
    report = drive("low", "low")
    assert "field-gear-cycle" not in {t.key for t in ticks(field_chapter(report))}
    said = " ".join(f"{t.text} {' '.join(t.details)}" for t in ticks(steps_chapter(report)))
    assert not [word for word in ("gear", "door", "legs") if word in said]


LEGS = """\
channels: {5: {function: gear, failsafe: hold}}
receivers: {rx: {sockets: 6}}
retracts: {leg-left: {kind: self-contained, travel: 4 s, running: 0.4 A, stop: 1 A, plug: rx.5}}
packs: {pack: {chemistry: nimh, cells: 4, capacity: 2 Ah, plug: rx.batt}}
"""


def test_legs_without_a_sequencer_are_never_powered_on_their_wheels() -> None:
    for make in (steps_chapter, field_chapter):
        (tick,) = [t for t in ticks(make(report_of(LEGS))) if t.key.endswith("transmitter")
                   and "apart" not in t.key]  # fmt: skip
        assert "leg-left runs at once" in tick.details[0]
        assert "never switch on with the model on its wheels" in tick.details[0]
    protocol = protocol_of(report_of(LEGS).wiring)
    (section,) = [s for s in protocol.sections if s.title == "First power-up"]
    assert "never switch on with the model on its wheels" in section.about
    tests = [t for name, t in protocol.tests.items() if name.startswith("gear-power-up")]
    assert len(tests) == 4
    assert all("never on its wheels" in " ".join(t.how) for t in tests)
    boxed = protocol_of(example("saltmarsh-19").wiring)
    assert not [s for s in boxed.sections if "no sequencer holds" in s.about]


OWN_RADIO = """
regulators: {reg: {kind: switching, volts: 5 V, rated: 3 A, supply: rp, plug: rx.batt}}
packs:
  rp: {chemistry: lipo, cells: 2, capacity: 1 Ah, rate: 20 C}
  main: {chemistry: lipo, cells: 4, capacity: 4 Ah, rate: 30 C}
"""
BEC_RADIO = "packs: {main: {chemistry: lipo, cells: 4, capacity: 4 Ah, rate: 30 C}}\n"


def _jet(motor: str, radio: str) -> Report:
    bec = "none" if "reg" in radio else "{kind: switching, volts: 5 V, rated: 3 A}"
    return report_of(
        "channels: {2: elevator, 3: {function: throttle, failsafe: off}, 5: gear}\n"
        "receivers: {rx: {sockets: 6}}\n"
        "servos: {elevator: {moves: elevator, plug: rx.2}}\n"
        "retracts: {leg: {kind: self-contained, plug: rx.5}}\n"
        f"escs: {{esc: {{rated: 60 A, bec: {bec}, plug: rx.3, supply: arm}}}}\n"
        f"{motor}: {{turner: {{plug: esc}}}}\n"
        f"power-leads: {{arm: {{kind: arming, supply: main}}}}\n{radio}"
    )


@pytest.mark.parametrize("motor", ["motors", "ducted-fans"])
def test_the_arming_plug_goes_in_last_and_comes_out_first(motor: str) -> None:
    """Common practice: surfaces, gear and failsafe are tried while no motor can start."""
    report = _jet(motor, OWN_RADIO)
    bench = [t.key for t in ticks(steps_chapter(report))]
    order = ["try-failsafe", "try-directions", "try-gear", "arm-arm", "try-escs", "try-motors",
             "try-motor-off", "flight-throttle"]  # fmt: skip
    turn = [bench.index(f"steps-{name}") for name in order]
    assert turn == sorted(turn)
    field = [t.key for t in ticks(field_chapter(report))]
    order = ["direction-elevator", "gear-cycle", "daily-failsafe", "daily-range", "arm-arm",
             "motor-off", "disarm-arm", "apart-arm."]  # fmt: skip
    turn = [[k.startswith(f"field-{name}") for k in field].index(True) for name in order]
    assert turn == sorted(turn)
    (fit,) = [t for t in ticks(steps_chapter(report)) if t.key == "steps-arm-arm"]
    assert fit.text == 'Fit the arming plug of power lead "arm"'
    assert "from here on the motor can start" in fit.details[0]
    assert "nobody beside, before or behind" in fit.details[1]


def test_a_radio_fed_through_the_arming_plug_has_it_first_and_is_told_so() -> None:
    report = _jet("motors", BEC_RADIO)
    for make, first, fit in (
        (steps_chapter, "steps-try-rail", "steps-arm-arm"),
        (field_chapter, "field-direction-elevator", "field-arm-arm"),
    ):
        every = ticks(make(report))
        keys = [t.key for t in every]
        assert keys.index(fit) < keys.index(first)
        assert "the radio is fed through it" in " ".join(every[keys.index(fit)].details)


@pytest.mark.parametrize(
    ("motor", "words", "key", "state"),
    [("ducted-fans", "plug fans in", "steps-try-ready", "on"),
     ("motors", "fit propellers", "steps-flight-ready", "off")],
)  # fmt: skip
def test_what_turns_is_made_ready_before_the_first_test_that_needs_it(
    motor: str, words: str, key: str, state: str
) -> None:
    """Fans before the ESCs are tried, as they sit in their ducts; propellers for full throttle."""
    report = _jet(motor, OWN_RADIO)
    every = ticks(steps_chapter(report))
    keys = [t.key for t in every]
    (ready,) = [t for t in every if words in t.text]
    assert ready.key == key
    after = "steps-try-escs" if motor == "ducted-fans" else "steps-flight-throttle"
    before = "steps-try-gear" if motor == "ducted-fans" else "steps-try-motor-off"
    assert keys.index(before) < keys.index(key) < keys.index(after)
    (section,) = [s for s in protocol_of(report.wiring).sections if s.title == "Motors"]
    assert {test.propellers for test in section.tests} == {state}
    assert (words in section.about) == (motor == "ducted-fans")
    assert "arming plug last" in section.about


@pytest.mark.parametrize(
    ("name", "report"), [one[:2] for one in SPARKS], ids=[s[0] for s in SPARKS]
)
def test_the_plug_that_brings_the_motor_current_says_so(name: str, report: Report) -> None:
    """Once at the field, and after the radio's pack (common practice, no source)."""
    every = ticks(field_chapter(report))
    live = [t for t in every if any("can start at any time" in line for line in t.details)]
    assert len(live) == 1, name
    radio = next(t for t in every if 'pack "radio"' in t.text)
    assert every.index(radio) < every.index(live[0])
