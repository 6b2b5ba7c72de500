"""What a link resists, worked out apart from ours: ASTM B258, IEC 60028, the catalogue's own rows.

That a joint of two unlike classes is as poor as the poorer of them, that a switch takes its drop at
its rated current in every wire it opens, that a balance lead is as long as other wires at a pack:
common practice, no source.
"""

from __future__ import annotations

import csv
import math
from itertools import product
from pathlib import Path

import pytest
from support import plan_of

from harness.electrics.cases import built_in
from harness.electrics.ohms import Ohms, contact_ohms, ohms_of
from harness.electrics.outcome import outcome_of
from harness.parts.contacts import LinkKind
from harness.wiring.build import Wiring, build

CLASSES = ["XT30", "XT60", "XT90", "AS150", "T-plug", ""]
BATTERY_CONTACT, FACTOR = 1e-3, 5  # ohm where no class is known, times a worn one: rules.csv
LEAD = (26, 300.0)  # AWG and mm of a lead of which nothing is stated, rules.csv
AT_PACK = 150.0  # mm of a wire at a pack, rules.csv


def milliohms() -> dict[str, float]:
    """By class, as the file has it."""
    with Path("harness/catalogue/data/plugs.csv").open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["key"] == "contact-resistance"]
    assert {row["unit"] for row in rows} == {"mohm"}
    return {row["class"]: float(row["value"]) for row in rows}


def copper(gauge: int, length: float) -> float:
    """Ohm of one wire: 0.127 mm * 92^((36 - n) / 39) across, 1/58 ohm mm2/m; `length` in mm."""
    across = 0.127 * 92 ** ((36 - gauge) / 39)
    return length / 1000 / 58 / (math.pi * across**2 / 4)


def links(wiring: Wiring, part: str, kind: LinkKind, port: str) -> dict[str, Ohms]:
    """The links of a part with one end at a port, by pin."""
    found = {link.a.pin: ohms_of(wiring, link) for link in wiring.links
             if link.kind is kind and (part, port) in {link.a[:2], link.b[:2]}}  # fmt: skip
    return {pin: ohms for pin, ohms in found.items() if ohms is not None}


@pytest.mark.parametrize("worn", [False, True])
def test_a_joint_of_two_classes_is_as_poor_as_the_poorer(worn: bool) -> None:
    pairs = dict(enumerate(product(CLASSES, repeat=2)))
    said = {n: [f", connector: {name}" if name else "" for name in pair]
            for n, pair in pairs.items()}  # fmt: skip
    text = "packs:\n" + "".join(
        f"  p{n}: {{chemistry: lipo, cells: 3{pack}}}\n" for n, (pack, _) in said.items()
    )
    text += "loads:\n" + "".join(
        f"  l{n}: {{current: 1 A, supply: p{n}{load}}}\n" for n, (_, load) in said.items()
    )
    if worn:
        text += "as-found:\n" + "".join(f"  - {{end: l{n}.supply, fact: worn}}\n" for n in pairs)
    wiring, known = build(plan_of(text)), milliohms()
    for n, pair in pairs.items():
        classes = [known[name] / 1000 for name in pair if name]
        expected = max(classes, default=BATTERY_CONTACT)
        figure = contact_ohms(wiring.plan, wiring.by_plug[f"l{n}", "supply"])
        assert (figure.number if figure else None) == (
            pytest.approx(expected) if classes else None
        ), pair
        joint = links(wiring, f"l{n}", LinkKind.MATE, "supply")
        assert sorted(joint) == ["negative", "positive"]
        for ohms in joint.values():
            assert ohms.total == pytest.approx(expected * (FACTOR if worn else 1)), pair
            assert ohms.contact and [one.key for one in ohms.assumed] == ["connector"] * (
                not classes
            )


def test_a_balance_lead_is_a_wire_at_a_pack_and_a_servo_s_is_a_lead() -> None:
    """22 AWG, the most that a balance plug takes (catalogue, memory); 20 mohm a contact."""
    text = """
packs: {main: {chemistry: lipo, cells: 3, connector: XT60}}
loads: {beeper: {current: 10 mA, supply: main.balance}}
receivers: {rx: {sockets: 4}}
servos: {one: {stall: 1 A, plug: rx.1}}
"""
    wiring = build(plan_of(text))
    for pin, ohms in links(wiring, "main", LinkKind.WIRE, "balance").items():
        assert ohms.total == pytest.approx(copper(22, AT_PACK)), pin
    for ohms in links(wiring, "beeper", LinkKind.MATE, "supply").values():
        assert ohms.total == pytest.approx(0.020)
    own = links(wiring, "one", LinkKind.WIRE, "plug")
    assert sorted(own) == ["negative", "positive", "signal"]
    for ohms in own.values():
        assert ohms.total == pytest.approx(copper(*LEAD))
    stated = text.replace("stall: 1 A", "stall: 1 A, wire: 22 AWG, length: 1 m")
    for ohms in links(build(plan_of(stated)), "one", LinkKind.WIRE, "plug").values():
        assert ohms.total == pytest.approx(copper(22, 1000)) and not ohms.assumed


SWITCHED = """
receivers: {{rx: {{sockets: 4, supply-sockets: 1}}}}
loads: {{lamp: {{current: 1 A, plug: rx.1}}}}
switches: {{sw: {{pole: {pole}, plug: rx.batt, wire: 22 AWG, length: 300 mm{more}}}}}
regulators: {{reg: {{kind: switching, volts: 6 V, rated: 5 A, plug: sw.1}}}}
"""


@pytest.mark.parametrize(
    ("more", "each"),
    # 0.75 V worn at 3 A; at the 5 A it is rated for; 0.1 V at 10 A of a transistor
    [("", 0.75 / 3), (", rated: 5 A", 0.75 / 5), (", kind: electronic", 0.1 / 10)],
)
@pytest.mark.parametrize(
    ("pole", "wires"),
    [("positive", {"positive"}), ("negative", {"negative"}), ("both", {"positive", "negative"})],
)
def test_a_switch_takes_its_drop_in_each_wire_that_it_opens(
    pole: str, wires: set[str], more: str, each: float
) -> None:
    wiring = build(plan_of(SWITCHED.format(pole=pole, more=more)))
    own = links(wiring, "sw", LinkKind.WIRE, "plug")
    assert {pin for pin, ohms in own.items() if ohms.fixed} == wires
    for pin, ohms in own.items():
        assert ohms.total == pytest.approx(copper(22, 300) + each * (pin in wires))
    # by Ohm: the lamp's 1 A and the receiver's 100 mA through the wires that it opens, once each
    case = [c for c in built_in(wiring.plan) if c.name == "radio-on"]
    fine = build(plan_of(SWITCHED.format(pole=pole, more=", kind: electronic, rated: 100 A")))
    volts = [float(outcome_of(w, case).volts_in("rx", "rail")[0]) for w in (wiring, fine)]
    assert volts[1] - volts[0] == pytest.approx(1.1 * (each - 0.001) * len(wires), rel=1e-4)
