"""What builders call the kinds of a kit, and which parts of a plan are of which kind."""

from __future__ import annotations

from collections.abc import Mapping

from harness.parts.autopilot import Autopilot
from harness.parts.capacitor import Capacitor
from harness.parts.diode import Diode
from harness.parts.esc import Esc
from harness.parts.fuse import Fuse
from harness.parts.lead import Lead
from harness.parts.motor import Motor
from harness.parts.pack import Pack
from harness.parts.part import Part
from harness.parts.power_lead import PowerLead
from harness.parts.receiver import Receiver
from harness.parts.regulator import Regulator
from harness.parts.retract import Retract
from harness.parts.sensor import Sensor
from harness.parts.sequencer import Sequencer
from harness.parts.servo import Servo
from harness.parts.stabiliser import Stabiliser
from harness.parts.switch import Switch
from harness.parts.wing_plug import WingPlug
from harness.wiring.ratings import SWITCHES

WORDS: Mapping[str, tuple[str, str]] = {
    "extension": ("extension", "extensions"),
    "y": ("Y-lead", "Y-leads"),
    "n-way": ("n-way lead", "n-way leads"),
    "reverser": ("in-line reverser", "in-line reversers"),
    "custom": ("made-up lead", "made-up leads"),
    "parallel": ("parallel power lead", "parallel power leads"),
    "series": ("series power lead", "series power leads"),
    "power-extension": ("power extension", "power extensions"),
    "adapter": ("power adapter", "power adapters"),
    "jumper": ("jumper plug", "jumper plugs"),
    "arming": ("arming plug", "arming plugs"),
    "receiver": ("receiver", "receivers"),
    "autopilot": ("autopilot", "autopilots"),
    "stabiliser": ("stabiliser", "stabilisers"),
    "servo": ("servo", "servos"),
    "retract": ("retract leg", "retract legs"),
    "sequencer": ("sequencer", "sequencers"),
    "esc": ("ESC", "ESCs"),
    "motor": ("motor", "motors"),
    "pack": ("pack", "packs"),
    "regulator": ("regulator", "regulators"),
    "fuse": ("fuse", "fuses"),
    "switch": ("switch", "switches"),
    "diode": ("diode", "diodes"),
    "capacitor": ("capacitor", "capacitors"),
    "sensor": ("telemetry sensor", "telemetry sensors"),
    "wing-plug": ("wing plug", "wing plugs"),
    "connector": ("loose connector", "loose connectors"),
    "wire": ("length of wire", "lengths of wire"),
}
"""One, and many, of each kind."""

THREE_PIN = ("extension", "y", "n-way", "reverser", "custom")
BATTERY = ("parallel", "series", "power-extension", "adapter", "jumper", "arming")
LEADS = (*THREE_PIN, *BATTERY)
"""Leads: compared with every kit."""
MATERIAL = ("connector", "wire")
"""What leads are made of: nobody expects it to be used up."""

_OF_PARTS: Mapping[type[Part], str] = {
    Receiver: "receiver",
    Autopilot: "autopilot",
    Stabiliser: "stabiliser",
    Servo: "servo",
    Retract: "retract",
    Sequencer: "sequencer",
    Esc: "esc",
    Motor: "motor",
    Pack: "pack",
    Regulator: "regulator",
    Fuse: "fuse",
    Switch: "switch",
    Diode: "diode",
    Capacitor: "capacitor",
    Sensor: "sensor",
    WingPlug: "wing-plug",
}


def counted_kind(kind: str, many: int) -> str:
    """Return "1 Y-lead" or "3 Y-leads"."""
    return f"{many} {WORDS[kind][many != 1]}"


def kind_of(part: Part) -> str:
    """Return what a kit calls a part; "" for lights and other loads, which no kit lists.

    An n-way lead of two sockets is a Y-lead.
    """
    if isinstance(part, Lead):
        return plain_kind(part.kind, len(part.outlets))
    if isinstance(part, PowerLead):
        return "power-extension" if part.kind == "extension" else part.kind
    return _OF_PARTS.get(type(part), "")


def plain_kind(kind: str, ways: int | None) -> str:
    """Return the kind of a lead by what it is: an n-way lead of two sockets is a Y-lead."""
    return "y" if kind == "n-way" and ways == 2 else kind


def class_of(part: Part) -> str:
    """Return the catalogue class that the plan states for a part, or "" where it states none.

    Of a pack that is its chemistry, of regulators, switches and diodes their kind.
    """
    if isinstance(part, Pack):
        return part.chemistry
    if isinstance(part, Regulator | Diode):
        return part.kind
    if isinstance(part, Switch):
        return SWITCHES[part.kind] if "kind" in part.spans else ""
    return str(getattr(part, "class_", "")) if "class" in part.spans else ""
