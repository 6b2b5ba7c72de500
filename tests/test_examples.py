"""The good examples are what they say they are, and nothing is wrong with them."""

from __future__ import annotations

import json
import re
from collections import Counter
from pathlib import Path

import pytest
import yaml
from jsonschema import Draft202012Validator
from kept import report_at

import harness.plan
from harness.base.finding import Severity
from harness.cli.books import starter_text
from harness.cli.commands import STARTS
from harness.parts.autopilot import Autopilot
from harness.parts.contacts import Contact, LinkKind
from harness.parts.kinds import GROUPS
from harness.parts.retract import Retract
from harness.parts.sequencer import Sequencer, Steps
from harness.parts.servo import Servo
from harness.plan.plan import HEAD
from harness.rules.run import Report

ROOT = Path(__file__).parents[1]
STARTER = Path(harness.plan.__file__).with_name("starter.yaml")
EXAMPLES = sorted(p for p in (ROOT / "examples").glob("*.yaml") if "." not in p.stem)
STARTERS = sorted(STARTER.with_name("starters").glob("*.yaml"))
GOOD = [*EXAMPLES, STARTER, *STARTERS]

# ArduPilot's four-channel plane guide: the default order of the open autopilots.
ARDUPILOT_ORDER = ["aileron", "elevator", "throttle", "rudder"]


def report(stem: str) -> Report:
    return report_at(next(path for path in GOOD if path.stem == stem))


def channel(stem: str, part: str) -> str:
    """Return the name of the receiver or autopilot socket that drives a part."""
    port = report(stem).wiring.driver(part)
    assert port is not None
    return port.name


def sources_on(stem: str, contact: Contact) -> set[str]:
    """Return the parts whose volts stand on the same copper as a contact."""
    wiring = report(stem).wiring
    sources = (link for link in wiring.links if link.kind is LinkKind.SOURCE)
    return {link.owner for link in sources if wiring.nets.same(link.b, contact)}


ASKED = {
    "turnstone-4": [
        ("rx", "the order of the transmitter's first four channels (transmitter: order)"),
        ("esc", "how many cells it bears (cells-max)"),
        ("esc", "the class of its battery connector (connector)"),
        ("esc", "the length of its battery wires (length)"),
    ]
}
"""What the plan that is as short as may be leaves to be asked."""


def test_the_aeroplanes_are_there() -> None:
    stems = {path.stem for path in EXAMPLES}
    flown = {"saltmarsh-19", "dunlin-4", "marram-26", "breakwater-12", "sandbar-5", "spindrift-7",
             "turnstone-4", "phalarope-14", "twite-2"}  # fmt: skip
    assert stems == flown


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_nothing_is_found_and_nothing_is_left_unknown(path: Path) -> None:
    done = report(path.stem)
    assert [f.message for f in done.findings if f.severity > Severity.NOTE] == []
    asked = [(u.part, u.missing) for u in done.unknown]
    assert [what for what in asked if what not in ASKED.get(path.stem, ())] == []
    assert done.accepted == ()


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_every_plug_has_a_socket_of_its_own(path: Path) -> None:
    mates = report(path.stem).wiring.mates
    assert [m.plug.id for m in mates if not (m.fits and m.first)] == []
    sockets = [m.socket.id for m in mates if m.socket]
    assert len(sockets) == len(set(sockets))


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_an_editor_finds_the_schema_and_agrees(path: Path) -> None:
    first = path.read_text("utf-8").splitlines()[0]
    where = first.removeprefix("# yaml-language-server: $schema=")
    schema = ROOT / "schemas" / "plan.schema.json"
    assert where != first
    assert path in {STARTER, *STARTERS} or (path.parent / where).resolve() == schema
    validator = Draft202012Validator(json.loads(schema.read_text("utf-8")))
    plan = _text_keys(yaml.safe_load(path.read_text("utf-8")))
    assert [error.message for error in validator.iter_errors(plan)] == []


def _text_keys(value: object) -> object:
    """JSON has no other keys than texts: channel 1 is "1"."""
    if isinstance(value, dict):
        return {str(key): _text_keys(item) for key, item in value.items()}
    return [_text_keys(item) for item in value] if isinstance(value, list) else value


def test_headline_has_twenty_five_parts_or_more() -> None:
    assert len(report("saltmarsh-19").plan.parts) >= 25


def test_headline_radio_has_one_supply_and_gear_another() -> None:
    """At most one source on a positive; blacks stay, as the signals' ground (common practice)."""
    wiring = report("saltmarsh-19").wiring
    rail, ground = (Contact("rx", "rail", pin) for pin in ("positive", "negative"))
    assert sources_on("saltmarsh-19", rail) == {"radio-supply"}
    assert sources_on("saltmarsh-19", Contact("gear-box", "rail", "positive")) == {"gear-supply"}
    for esc in ("esc-left", "esc-right"):
        assert not wiring.nets.same(Contact(esc, "body", "positive"), rail)
        assert wiring.nets.same(Contact(esc, "plug", "negative"), ground)


# Common practice, no source: -1 the two surfaces turn opposite ways, +1 the same way.
@pytest.mark.parametrize(
    ("surface", "wanted"), [("aileron", -1), ("flap", 1), ("elevator", 1), ("door", -1)]
)
def test_headline_surfaces_on_y_leads_move_the_right_way(surface: str, wanted: int) -> None:
    parts = report("saltmarsh-19").plan.parts
    left, right = parts[f"{surface}-left"], parts[f"{surface}-right"]
    assert isinstance(left, Servo)
    assert isinstance(right, Servo)
    wiring = report("saltmarsh-19").wiring
    ways = [{m.socket.part.id for m in wiring.upstream(s.id) if m.socket} for s in (left, right)]
    shared = [getattr(parts[name], "kind", "") for name in ways[0] & ways[1]]
    assert shared.count("y") == 1
    facts = [(s.shaft, s.arm, s.horn, s.reversed) for s in (left, right)]
    relation = 1
    for ours, theirs in zip(*facts, strict=True):
        relation *= 1 if ours == theirs else -1
    assert relation == wanted


@pytest.mark.parametrize("way", ["down", "up"])
def test_headline_doors_make_way_for_the_slowest_leg(way: str) -> None:
    """Doors open 0.5 s before the gear; they close after its time and 30 % (common practice)."""
    plan = report("saltmarsh-19").plan
    box = next(iter(plan.of(Sequencer)))
    assert isinstance(box.steps, Steps)
    steps = getattr(box.steps, way)
    opened = max(s.end for s in steps if s.to == "open")
    legs = [s for s in steps if s.outlet in {"legs", "nose-leg"}]
    closing = min(s.start for s in steps if s.to == "closed")
    slowest = max(leg.travel or 0 for leg in plan.of(Retract))
    assert slowest > 0
    assert min(s.start for s in legs) >= opened + 0.5
    assert closing >= max(s.start for s in legs) + 1.3 * slowest
    assert {s.outlet for s in steps} == set(box.outlets)


def test_trainer_is_about_a_dozen_lines() -> None:
    text = (ROOT / "examples" / "dunlin-4.yaml").read_text("utf-8")
    lines = [s for s in text.splitlines() if s.strip() and not s.lstrip().startswith("#")]
    assert len(lines) <= 16


@pytest.mark.parametrize(("stem", "most"), [("turnstone-4", 10), ("phalarope-14", 45)])
def test_short_plans_are_short(stem: str, most: int) -> None:
    text = (ROOT / "examples" / f"{stem}.yaml").read_text("utf-8")
    lines = [s for s in text.splitlines() if s.strip() and not s.lstrip().startswith("#")]
    assert len(lines) <= most
    assert max(map(len, text.splitlines())) <= 100


def test_twin_fan_jet_has_what_a_jet_has() -> None:
    parts = report("phalarope-14").plan.parts
    kinds = Counter(part.word for part in parts.values())
    assert (kinds["ducted fan"], kinds["retract leg"], kinds["sequencer"]) == (2, 3, 1)
    moved = Counter(getattr(part, "moves", "") for part in parts.values())
    assert (moved["flap"], moved["gear-door"], moved["steering"], moved["aileron"]) == (2, 2, 1, 2)


@pytest.mark.parametrize("stem", ["dunlin-4", "turnstone-4", "saltmarsh-19", "sandbar-5"])
def test_first_four_channels_in_the_order_of_the_open_autopilots(stem: str) -> None:
    plan = report(stem).plan
    assert [plan.channels[str(n)].function for n in (1, 2, 3, 4)] == ARDUPILOT_ORDER


@pytest.mark.parametrize(("stem", "right"), [("dunlin-4", 1), ("turnstone-4", 5)])
def test_trainer_parts_hang_on_the_channels_of_that_order(stem: str, right: int) -> None:
    parts = {"aileron-left": 1, "aileron-right": right, "elevator": 2, "esc": 3, "rudder": 4}
    assert {part: int(channel(stem, part)) for part in parts} == parts


def test_sailplane_has_six_servos_each_on_its_own_channel() -> None:
    """Crow and V-tail need a channel for every servo (common practice)."""
    plan = report("marram-26").plan
    servos = list(plan.of(Servo))
    sockets = {channel("marram-26", servo.id) for servo in servos}
    assert len(servos) == len(sockets) == 6
    assert all(plan.channels[channel("marram-26", s.id)].function == s.moves for s in servos)
    assert {mix.kind for mix in plan.mixes} == {"crow", "v-tail"}
    assert channel("marram-26", "aileron-left") != channel("marram-26", "aileron-right")


def test_large_model_flies_on_twelve_cells_in_series() -> None:
    """3.7 V nominal a cell: PX4 user guide, battery page."""
    nets = report("breakwater-12").wiring.nets
    low, high = (Contact("esc", "battery", pin) for pin in ("negative", "positive"))
    assert nets.volts(low, high) == pytest.approx(12 * 3.7)
    assert nets.loops == ()


def test_large_model_has_no_copper_between_drive_and_radio() -> None:
    nets = report("breakwater-12").wiring.nets
    assert (
        nets.volts(Contact("esc", "battery", "negative"), Contact("rx", "rail", "negative")) is None
    )


def test_large_model_has_two_radio_supplies_that_cannot_feed_each_other() -> None:
    wiring = report("breakwater-12").wiring
    one, other = (Contact(f"reg-{n}", "body", "positive") for n in "ab")
    assert not wiring.nets.same(one, other)
    assert sources_on("breakwater-12", Contact("rx", "rail", "positive")) == set()
    assert report("breakwater-12").plan.parts.keys() >= {"radio-a", "radio-b"}
    ground = Contact("rx", "rail", "negative")
    assert all(wiring.nets.volts(ground, high) == pytest.approx(7.4) for high in (one, other))


def test_vtol_receiver_speaks_to_the_autopilot() -> None:
    wiring = report("sandbar-5").wiring
    bus = wiring.by_plug["rx", "plug"]
    assert bus.socket is not None
    assert bus.socket.id == ("autopilot", "rc")


def test_vtol_logic_and_servo_rail_are_apart() -> None:
    """Autopilot logic takes 4.1 to 5.7 V (common practice)."""
    wiring = report("sandbar-5").wiring
    logic, rail = (Contact("autopilot", name, "positive") for name in ("logic", "rail"))
    ground = Contact("autopilot", "rail", "negative")
    assert sources_on("sandbar-5", logic) == {"logic-supply"}
    assert sources_on("sandbar-5", rail) == {"servo-supply"}
    volts = wiring.nets.volts(ground, logic)
    assert volts is not None
    assert 4.1 <= volts <= 5.7


def test_vtol_outputs_drive_what_they_are_named_for() -> None:
    done = report("sandbar-5")
    outputs = dict(next(done.plan.of(Autopilot)).outputs)
    moving = {p.id: getattr(p, "moves", "") for p in done.plan.parts.values()}
    found = {channel("sandbar-5", part): moves for part, moves in moving.items() if moves}
    assert found == outputs
    assert sum(function.startswith("lift-") for function in outputs.values()) == 4


@pytest.mark.parametrize("path", STARTERS, ids=lambda p: p.stem)
def test_an_aeroplane_to_start_from_says_what_to_change(path: Path) -> None:
    """Its name and each thing with a rating of its own are pointed at; it fits two screens."""
    text = path.read_text("utf-8")
    lines = text.splitlines()
    assert len(lines) <= 90
    assert max(map(len, lines)) <= 100
    assert re.search(r"(?m)^aircraft: .*# <-", text)
    for group in {GROUPS[word] for word in ("receivers", "servos", "escs", "packs")}:
        number = next(n for n, s in enumerate(lines) if re.match(rf"\s*{group.group}:", s))
        assert any("<-" in line for line in lines[max(0, number - 4) : number + 2]), group.group


def test_there_is_a_start_for_each_word_and_no_other() -> None:
    assert sorted(STARTS) == [path.stem for path in STARTERS]


def test_starter_names_every_key_and_explains_the_first() -> None:
    text = starter_text()
    assert text.startswith(STARTER.read_text("utf-8"))
    assert [word for word in [*GROUPS, *HEAD] if word not in text] == []
    assert len(text.splitlines()) <= 50
    used = [line for line in text.splitlines() if line.endswith(":") and not line.startswith(" ")]
    comments = [line for line in text.splitlines() if line.startswith("# ")]
    groups = [line.removesuffix(":") for line in used]
    assert [g for g in groups if not any(g in comment for comment in comments)] == []
