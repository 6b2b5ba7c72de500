"""The shopping list: stock lengths, gauges, ends in the trade's words; what is taken as owned.

Stock lengths 100 150 200 300 450 600 900 1000 mm and "the live side wears the socket": common
practice, no published source.
"""

from __future__ import annotations

import pytest
from support import plan_of

from harness.airframe.kit import kit_of
from harness.airframe.kit.shopping import Purchase, leads_to_buy, shopping


def bought(text: str) -> tuple[Purchase, ...]:
    return shopping(kit_of(plan_of(text)))


def one(lead: str) -> Purchase:
    (purchase,) = bought(f"receivers: {{rx: {{sockets: 4}}}}\nleads: {{l: {{{lead}, plug: rx.1}}}}")
    return purchase


@pytest.mark.parametrize(
    ("stated", "bought_as"),
    [("80 mm", 100), ("100 mm", 100), ("101 mm", 150), ("310 mm", 450), ("1 m", 1000)],
)
def test_lengths_are_rounded_up_to_stock(stated: str, bought_as: float) -> None:
    purchase = one(f"kind: extension, length: {stated}")
    assert purchase.length == bought_as
    assert not purchase.made


def test_longer_than_all_stock_is_made_to_length() -> None:
    purchase = one("kind: extension, length: 1300 mm")
    assert (purchase.length, purchase.made) == (1300, True)
    assert purchase.length_words == "1300 mm, made to length"


def test_what_the_plan_does_not_state_is_said() -> None:
    """22 AWG is the usual gauge of an extension (common practice)."""
    purchase = one("kind: extension")
    assert purchase.length_words == "length not stated: measure it"
    assert purchase.wire == "22 AWG as usual"


@pytest.mark.parametrize(
    ("lead", "what", "ends"),
    [
        ("kind: extension", "extension", "1 plug (female), 1 socket (male)"),
        ("kind: y", "Y-lead", "1 plug (female), 2 sockets (male)"),
        ("kind: n-way, ways: 4", "4-way lead", "1 plug (female), 4 sockets (male)"),
        ("kind: reverser", "in-line reverser", "1 plug (female), 1 socket (male)"),
        ("kind: custom, ways: 3", "custom lead", "1 plug (female), 3 sockets (male)"),
    ],
)
def test_ends_of_3_pin_leads(lead: str, what: str, ends: str) -> None:
    purchase = one(lead)
    assert (purchase.what, purchase.ends) == (what, ends)


POWER = """
packs: {{one: {{chemistry: lipo, cells: 3, connector: XT90}}, two: {{like: one}}}}
power-leads: {{lead: {{{lead}}}}}
"""


@pytest.mark.parametrize(
    ("lead", "ends"),
    [
        (
            "kind: parallel, supply: one, ways: 3, connector: XT60, connector-in: XT90",
            "1 plug XT90 (male) to the pack side, 3 sockets XT60 (female) to the loads",
        ),
        (
            "kind: parallel, supply: [one, two], connector: XT90",
            "2 plugs XT90 (male) to the pack side, 1 socket XT90 (female) to the loads",
        ),
        (
            "kind: series, supply: [one, two], connector: XT90",
            "2 plugs XT90 (male) to the pack side, 1 socket XT90 (female) to the loads",
        ),
        (
            "kind: adapter, supply: one, connector: EC5, connector-in: XT60, crossed: yes",
            "1 plug XT60 (male) to the pack side, 1 socket EC5 (female) to the loads, "
            "poles crossed",
        ),
        (
            "kind: arming, supply: one, connector: XT90",
            "1 plug XT90 (male) to the pack side, 1 socket XT90 (female) to the loads, "
            "and the loose plug that closes it, XT90",
        ),
        (
            "kind: extension, supply: one",
            "1 plug connector not stated (male) to the pack side, "
            "1 socket connector not stated (female) to the loads",
        ),
        (
            "kind: jumper, supply: one, connector: XT60",
            "1 plug XT60 (male) to the pack side, both contacts bridged",
        ),
    ],
)
def test_ends_of_battery_leads(lead: str, ends: str) -> None:
    (purchase,) = bought(POWER.format(lead=lead))
    assert purchase.group == "battery leads"
    assert purchase.ends == ends


def test_alike_things_are_one_line() -> None:
    """280 and 300 mm are both bought as 300 mm; 26 AWG is another thing."""
    text = """
receivers: {rx: {sockets: 8}}
leads:
  a: {kind: extension, length: 280 mm, wire: 22 AWG, plug: rx.1}
  b: {kind: extension, length: 300 mm, wire: 22 AWG, plug: rx.2}
  c: {kind: extension, length: 300 mm, wire: 26 AWG, plug: rx.3}
  d: {kind: y, length: 300 mm, wire: 22 AWG, plug: rx.4}
"""
    found = bought(text)
    assert [(p.what, p.count, p.wire, [part.id for part in p.parts]) for p in found] == [
        ("extension", 2, "22 AWG", ["a", "b"]),
        ("extension", 1, "26 AWG", ["c"]),
        ("Y-lead", 1, "22 AWG", ["d"]),
    ]
    assert found[0].stated == (280, 300)
    assert leads_to_buy(found) == 4


SERVOS = """
receivers: {rx: {sockets: 8}}
servos:
  a: {class: 9g-analogue, plug: rx.1}
  b: {class: 17g-digital, plug: rx.2}
packs: {p: {chemistry: nimh, cells: 4, plug: rx.batt}}
"""


def test_parts_that_no_kit_lists_are_taken_as_owned() -> None:
    kit = kit_of(plan_of(SERVOS + "kit: [{kind: extension, spare: yes}]"))
    assert kit.owned == ("receiver", "servo", "pack")
    assert not kit.missing


def test_a_kind_that_the_kit_lists_is_compared_by_class() -> None:
    kit = kit_of(plan_of(SERVOS + "kit: [{kind: servo, class: 9g-analogue, count: 2}]"))
    assert kit.owned == ("receiver", "pack")
    assert [missing.need.part.id for missing in kit.missing] == ["b"]
    assert [(left.count, left.expected) for left in kit.left] == [(1, False)]
    assert kit.missing[0].nearest.endswith("it is of class 9g-analogue, the plan wants 17g-digital")
    (purchase,) = shopping(kit)
    assert (purchase.group, purchase.what) == ("parts", "servo, 17g-digital")


def test_battery_leads_are_owned_until_the_kit_lists_one() -> None:
    plan = POWER.format(lead="kind: parallel, supply: one, connector: XT90") + (
        "receivers: {rx: {sockets: 2}}\nleads: {l: {kind: y, plug: rx.1}}\n"
    )
    assert [m.need.part.id for m in kit_of(plan_of(plan)).missing] == ["lead", "l"]
    with_y = kit_of(plan_of(plan + "kit: [{kind: y}]"))
    assert not with_y.missing
    assert "parallel" in with_y.owned
    with_series = kit_of(plan_of(plan + "kit: [{kind: y}, {kind: series, spare: yes}]"))
    assert [m.need.part.id for m in with_series.missing] == ["lead"]


def test_capacitors_are_counted_one_by_one() -> None:
    text = """
escs: {e: {rated: 20 A}}
capacitors: {c: {across: e, value: 330 uF, count: 4}}
kit: [{kind: capacitor, count: 3}]
"""
    (purchase,) = bought(text)
    assert (purchase.what, purchase.count) == ("capacitor", 1)


def test_wire_and_connectors_are_never_left_over_by_surprise() -> None:
    text = "receivers: {rx: {sockets: 2}}\nkit: [{kind: wire, length: 5 m}, {kind: connector}]"
    assert [left.expected for left in kit_of(plan_of(text)).left] == [True, True]


def test_y_leads_that_split_elsewhere_are_other_goods() -> None:
    text = "receivers: {rx: {sockets: 4}}\nleads:\n" + "".join(
        f"  y{n}: {{kind: y, plug: rx.{n}, length: 300 mm{split}}}\n"
        for n, split in enumerate([", split: end", ", split: plug", "", ", split: end"], 1)
    )
    assert [(p.counted, [part.id for part in p.parts]) for p in bought(text)] == [
        ("1 Y-lead", ["y3"]),
        ("1 Y-lead split at its plug", ["y2"]),
        ("2 Y-leads split at its sockets", ["y1", "y4"]),
    ]
    kit = "kit:\n  - {kind: y, count: 2, length: 300 mm, wire: 22 AWG, split: plug}\n"
    found = kit_of(plan_of(text + kit))
    # what says nothing takes any; what asks for the other is still missing
    assert {use.part.id for use in found.used} == {"y2", "y3"}
    assert [m.need.part.id for m in found.missing] == ["y1", "y4"]
    untold = kit_of(plan_of(text + kit.replace(", split: plug", "")))
    assert any("place where it splits" in use.unknown for use in untold.used)
