"""Each kind of change by one small edit of a plan, and the sentences it must give.

The label codes and the figures are tested elsewhere, so only the sorts of change named in a case
are read.
"""

from __future__ import annotations

import pytest
from changes.edits import CASES, PLACES, PLAN, after, edited
from support import report_of

from harness.changes.change import KINDS, Changes
from harness.changes.compare import compare


@pytest.mark.parametrize("name", CASES)
def test_one_edit_one_sentence(name: str) -> None:
    edits, kind, sentences = CASES[name]
    found = after(*edits)
    assert [change.text for change in found.of(kind)] == sentences
    others = [change.text for change in found.changes
              if change.kind in PLACES - {kind}]  # fmt: skip
    lists = ("mix", "kit line")  # a record without a name that differs is one gone and one new
    assert [text for text in others if not text.startswith(lists)] == []


@pytest.mark.parametrize("name", CASES)
def test_swapped_plans_give_the_mirrored_answer(name: str) -> None:
    edits, _, _ = CASES[name]
    forth = after(*edits)
    back = compare(report_of(edited(*edits)), report_of(PLAN))
    mirror = {"new": "gone", "gone": "new"}

    def sides(found: Changes, *, swapped: bool) -> list[tuple[str, str, str]]:
        return sorted(
            (mirror.get(c.kind, c.kind), c.new, c.old) if swapped else (c.kind, c.old, c.new)
            for c in found.changes
        )

    assert sides(back, swapped=False) == sides(forth, swapped=True)
    assert {new: old for old, new in forth.renames.items()} == back.renames


@pytest.mark.parametrize("name", CASES)
def test_a_plan_is_like_itself(name: str) -> None:
    text = edited(*CASES[name][0])
    assert compare(report_of(text), report_of(text)).changes == ()


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("300 mm, wire: 22 AWG, tested", "30 cm, wire: AWG 22, tested"),
        ("supply: pack,", "supply: {into: pack.main, poles: straight},"),
        ("plug: rx.1}", "plug: {into: rx.1}}"),
        ("capacity: 5 Ah", "capacity: 5000 mAh"),
        ("3: {function: throttle, failsafe: off}", "3: {failsafe: off, function: throttle} # x"),
    ],
)  # fmt: skip
def test_other_ways_to_write_the_same(old: str, new: str) -> None:
    text = edited((old, new))
    assert compare(report_of(PLAN), report_of(text)).changes == ()


def test_order_in_the_file_is_free() -> None:
    head, *blocks = PLAN.strip().split("\nservos:")
    groups = ("servos:" + blocks[0]).split("\nflight:")
    turned = f"flight:{groups[1]}\n{groups[0]}\n{head}\n"
    lines = turned.split("\n")
    at = next(n for n, line in enumerate(lines) if line.startswith("  flap-left"))
    lines[at : at + 3] = reversed(lines[at : at + 3])
    found = compare(report_of(PLAN), report_of("\n".join(lines)))
    assert found.changes == ()
    assert not found.same_text


def test_like_is_no_fact_of_its_own() -> None:
    old = "flap-right: {class: 9g-analogue, moves: flap, shaft: left, place: hull, plug"
    assert after((old, "flap-right: {like: flap-left, place: hull, plug")).changes == ()


def test_two_alike_candidates_are_not_guessed() -> None:
    """Two servos without plugs, both named anew: nobody can say which is which."""
    old = "servos: {a: {class: 9g-analogue}, b: {class: 9g-analogue}}"
    new = "servos: {c: {class: 9g-analogue}, d: {class: 9g-analogue}}"
    found = compare(report_of(old), report_of(new))
    assert found.renames == {}
    assert [len(found.of(kind)) for kind in ("new", "gone", "renamed")] == [2, 2, 0]


def test_another_figure_is_no_rename() -> None:
    found = after(("  aileron: {class: 9g-analogue", "  ail: {class: 17g-digital"))
    assert found.renames == {}
    assert [c.text for c in found.of("new")] == ['servo "ail" is new; it goes into rx.1']
    assert [c.text for c in found.of("gone")] == ['servo "aileron" is gone; it went into rx.1']


def test_another_socket_is_no_rename() -> None:
    edits = (("  aileron: {class", "  ail: {class"), ("plug: rx.1}", "plug: rx.2}"))
    assert after(*edits).renames == {}


def test_a_chain_of_new_names_is_followed() -> None:
    """Lead, servo and receiver all have new names; each is found by what it plugs into."""
    old = """
receivers: {rx: {sockets: 4}}
leads: {ext: {kind: extension, plug: rx.1}}
servos: {s: {class: 9g-analogue, plug: ext.1}, t: {class: 9g-analogue, plug: rx.2}}
"""
    new = old.replace("rx", "radio").replace("ext:", "long:").replace("ext.1", "long.1")
    new = new.replace("{s:", "{servo:")
    found = compare(report_of(old), report_of(new))
    assert found.renames == {"rx": "radio", "ext": "long", "s": "servo"}
    assert {c.kind for c in found.changes} == {"renamed"}


def test_the_outputs_of_a_regulator_are_alike() -> None:
    one = "receivers: {rx: {sockets: 4, supply-sockets: 2}}\n"
    one += "packs: {p: {chemistry: life, cells: 2}}\n"
    reg = "regulators: {r: {volts: 5 V, supply: p, plug: [rx.batt-1, rx.batt-2]}}\n"
    swapped = reg.replace("[rx.batt-1, rx.batt-2]", "[rx.batt-2, rx.batt-1]")
    assert compare(report_of(one + reg), report_of(one + swapped)).changes == ()
    fewer = reg.replace("[rx.batt-1, rx.batt-2]", "rx.batt-2")
    found = compare(report_of(one + reg), report_of(one + fewer))
    assert [c.text for c in found.of("moved")] == ["r's plug 1 came out of rx.batt-1, now loose"]


def test_findings_gone_and_new() -> None:
    """Two servos in one socket is a fault by any rule."""
    found = after(("plug: rx.1}", "plug: rx.6}"))
    new = [c.text for c in found.of("findings") if "socket-used-twice" in c.text]
    assert len(new) == 1
    assert new[0].startswith("new, error: ")
    back = compare(report_of(edited(("plug: rx.1}", "plug: rx.6}"))), report_of(PLAN))
    assert [c.text.replace("gone, ", "new, ") for c in back.of("findings")
            if "socket-used-twice" in c.text] == new  # fmt: skip


def test_a_finding_that_is_accepted_now() -> None:
    text = "receivers: {rx: {sockets: 2}}\nleads: {l: {kind: y, plug: rx.1}}\n"
    because = "accepted: [{rule: lead-not-tested, part: l, because: metered by the club}]\n"
    found = compare(report_of(text), report_of(text + because))
    (change,) = [c for c in found.of("findings") if c.what == "lead-not-tested"]
    assert change.text == (
        'note before, accepted now: Y-lead "l" is not recorded as metered, '
        "because metered by the club [lead-not-tested]"
    )


def test_a_new_name_alone_changes_no_finding() -> None:
    old = "receivers: {rx: {sockets: 2}}\nleads: {l: {kind: y, plug: rx.1}}\n"
    found = compare(report_of(old), report_of(old.replace("{l:", "{long:")))
    assert found.renames == {"l": "long"}
    assert found.of("findings") == ()


def test_facts_no_longer_lacking() -> None:
    found = after(("length: 120 mm}", "}"))
    texts = [c.text for c in found.of("findings") if c.what == "not known"]
    assert texts == ["esc: not known now: the length of its battery wires (length)"]


def test_worst_case_volts() -> None:
    """Half the cells, half the volts: the lowest volts of the pack and of what it feeds fall."""
    found = after(("cells: 3, capacity", "cells: 2, capacity"))
    texts = [c.text for c in found.of("figures")]
    assert any(text.startswith('pack "pack": lowest ') for text in texts)
    assert all(c.kind in KINDS for c in found.changes)
