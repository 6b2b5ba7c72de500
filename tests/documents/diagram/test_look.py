"""Leads look like what they are."""

from __future__ import annotations

from documents.diagram.looking import groups, pages_of, report_of, words
from support import report_of as report_of_text

from harness.base.colours import INSULATION, to_hex
from harness.documents.diagram import Wish, draw_pages
from harness.documents.diagram.strands import Strander
from harness.documents.diagram.words import Teller
from harness.drawing.ribbon import MOTOR, POWER
from harness.drawing.scene import Group, Path, walk
from harness.wiring.codes import port_codes


def strander(name: str) -> Strander:
    report = report_of(name)
    codes = port_codes(report.wiring)
    return Strander(report.wiring, Teller(report, codes), codes)


def strokes(group: Group) -> set[str]:
    return {i.stroke for i in walk(group.items) if isinstance(i, Path) and i.stroke}


def test_wires_have_their_insulation_colours() -> None:
    # Arduino servo documentation: ground black or brown, power red, signal white or orange.
    report = report_of_text(
        "receivers: {rx: {sockets: 2}}\n"
        "servos: {s: {class: 9g-analogue, colours: orange-red-brown, plug: rx.1}}\n"
    )
    (ribbon,) = [g for g in groups(draw_pages(report, Wish())) if g.id == "lead-s.plug"]
    assert {to_hex(INSULATION[code]) for code in ("OG", "RD", "BN")} <= strokes(ribbon)


def test_a_pulled_pin_is_pulled_at_its_plug() -> None:
    work = strander("saltmarsh-19")
    mate = work.wiring.by_plug["esc-left", "plug"]
    wires = work.strand(mate, ("a", "1"), ("b", "plug")).wires
    assert [(w.code, w.pulled) for w in wires] == [("WH", ""), ("RD", "tail"), ("BK", "")]


def test_battery_leads_are_thick_pairs_and_motor_leads_three() -> None:
    work = strander("saltmarsh-19")
    battery = work.strand(work.wiring.by_plug["esc-left", "supply"], ("a", "1"), ("b", "s"))
    assert [w.code for w in battery.wires] == ["RD", "BK"]
    assert battery.gauge is POWER
    motor = work.strand(work.wiring.by_plug["motor-left", "plug"], ("a", "1"), ("b", "s"))
    assert len(motor.wires) == 3
    assert motor.gauge is MOTOR


def test_every_lead_carries_its_label_code() -> None:
    report = report_of("saltmarsh-19")
    codes = port_codes(report.wiring)
    flags = words(pages_of("saltmarsh-19", "run"), "flag-").split()
    assert sorted(flags) == sorted(codes[m.plug.id] for m in report.wiring.mates)


def test_free_sockets_are_drawn_and_named() -> None:
    said = words(pages_of("dunlin-4", "run"), "part-rx").split()
    assert {"1", "2", "3", "4", "5", "6", "batt", "aileron", "rudder"} <= set(said)


def test_two_plugs_in_one_socket_are_two_leads_at_two_places() -> None:
    pictures = pages_of("broken/socket-used-twice", "run")
    ends = {}
    for group in groups(pictures):
        if group.id in {"lead-aileron-left.plug", "lead-aileron-right.plug"}:
            path = next(i for i in walk(group.items) if isinstance(i, Path))
            ends[group.id] = path.commands[0][1]
    assert len(set(ends.values())) == 2


def test_a_plug_without_a_socket_ends_at_words_that_say_so() -> None:
    said = words(pages_of("broken/no-such-socket", "run"), "nowhere-")
    assert said == "rx.7: no such socket"
