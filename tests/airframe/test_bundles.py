"""What lies together: counted by hand; thickness against known packings; published bend radii."""

from __future__ import annotations

import math

import pytest
from support import plan_of

from harness.airframe.bundles import Bundle, bundles_of, diameter
from harness.airframe.lengths import lengths_of
from harness.catalogue import load
from harness.wiring.build import build

# Ratio of the smallest circle round n equal circles to one of them; from memory, the known optimal
# packings: 2, 1 + 2/sqrt(3), 1 + sqrt(2), 1 + sqrt(2 (1 + 1/sqrt(5))), 3, 3.
SMALLEST = {
    2: 2.0,
    3: 1 + 2 / math.sqrt(3),
    4: 1 + math.sqrt(2),
    5: 1 + math.sqrt(2 * (1 + 1 / math.sqrt(5))),
    6: 3.0,
    7: 3.0,
}

TAIL = """
places: {body: {at: 0 mm}, tail: {in: body, at: 600 mm}}
ducts: {boom: {between: [tail, body], bore: 10 mm}}
receivers: {rx: {sockets: 8, place: body}}
servos:
  rudder: {place: tail, wire: 22 AWG, length: 900 mm, plug: rx.1}
  left: {place: tail, wire: 22 AWG, length: 250 mm, plug: y.1}
  right: {place: tail, wire: 22 AWG, length: 250 mm, plug: y.2}
leads:
  y: {kind: y, plug: ext.1, wire: 22 AWG, length: 150 mm}
  ext: {kind: extension, plug: rx.2, wire: 22 AWG, length: 600 mm}
"""


def bundle(text: str) -> Bundle:
    plan = plan_of(text)
    (one,) = bundles_of(plan, lengths_of(build(plan)))
    return one


@pytest.mark.parametrize("count", SMALLEST)
def test_half_filled_is_never_too_small_and_densest_never_too_large(count: int) -> None:
    """Two circles in one need twice their diameter, just what half a section gives."""
    cautious, tightest = (diameter([1.7] * count, fill) for fill in (0.5, math.pi / math.sqrt(12)))
    assert cautious >= SMALLEST[count] * 1.7 - 1e-9
    assert tightest <= SMALLEST[count] * 1.7
    if count == 2:
        assert cautious == pytest.approx(3.4)


def test_one_wire_is_as_thick_as_it_is() -> None:
    assert diameter([3.6], 0.5) == 3.6
    assert diameter([], 0.5) == 0


def test_leads_and_wires_by_hand() -> None:
    """The servos' leads end 250 mm from the tail, the Y's arms 400 mm from it: nowhere more than

    two servo leads (or two arms) and the rudder's together, 3 leads of 3 wires; nearer the
    receiver one extension stands for two servos. Six leads touch the boom: three servo leads,
    the Y's two arms, the extension.
    """
    one = bundle(TAIL)
    assert (one.most_leads, one.wires) == (3, 9)
    assert len(one.leads) == 6
    assert (one.one, one.other, one.duct) == ("body", "tail", "boom")


def test_shared_leads_count_once() -> None:
    """With the servos at the Y in the tail only two leads are in the boom, 6 wires."""
    text = TAIL.replace("length: 250 mm", "length: 0.001 mm").replace("150 mm", "0.001 mm")
    text = text.replace("wire: 22 AWG, length: 600 mm", "wire: 22 AWG, length: 800 mm")
    assert bundle(text).wires == 6
    assert sorted(s.key[0] for s in bundle(text).leads if s.key[0] in {"ext", "rudder"}) == [
        "ext", "rudder",
    ]  # fmt: skip


def test_thickness_bend_and_fit_by_hand() -> None:
    """Nine wires of 1.7 mm: sqrt(9 * 1.7^2 / 0.5) = 7.21 mm; 10 and 6 times that bent.

    10 times the outer diameter: US Army TM 1-1500-204-23-4; NASA-STD-8739.4: 6 times, 10 for good.
    """
    one = bundle(TAIL)
    assert one.diameter == pytest.approx(math.sqrt(9 * 1.7**2 / 0.5))
    assert one.bend == pytest.approx(10 * one.diameter)
    assert one.bend_short == pytest.approx(6 * one.diameter)
    fits = [bundle(TAIL.replace("bore: 10", f"bore: {bore}")).fit for bore in (7.22, 7.2, 5.4, 5.3)]
    assert fits == ["goes", "tight", "tight", "no"]  # sqrt(9 * 1.7^2 / 0.9069) = 5.355


def test_published_limits_are_in_the_catalogue() -> None:
    """75 wires, 2 in, 10 x: US Army TM 1-1500-204-23-4; 6 x and 10 x: NASA-STD-8739.4."""
    numbers = {
        "wires": 75, "diameter": 50.8, "bend-factor": 10, "bend-factor-long": 10,
        "bend-factor-short": 6,
    }  # fmt: skip
    for key, number in numbers.items():
        value = load().require("rules", "bundle", key)
        assert (value.number, value.status) == (pytest.approx(number), "published")


def test_insulation_is_thicker_than_the_copper_and_grows_with_it() -> None:
    """ASTM B258 gives the copper's diameter; physics: it lies inside the insulation."""
    rows = load().rows("wires")
    outer = [load().number("wires", row, "outer") for row in rows]
    copper = [math.sqrt(4 / math.pi * load().number("wires", row, "size")) for row in rows]
    assert outer == sorted(outer, reverse=True)
    assert all(o > c for o, c in zip(outer, copper, strict=True))


def test_runs_with_unknown_leads_count_as_one_lead_all_the_way() -> None:
    text = TAIL.replace("wire: 22 AWG, length: 900 mm", "wire: 22 AWG")
    assert bundle(text).wires == 9
