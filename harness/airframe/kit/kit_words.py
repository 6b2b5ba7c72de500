"""What builders call the kinds of a kit, and which parts of a plan are of which kind."""

from __future__ import annotations

from collections.abc import Mapping

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


def counted_kind(kind: str, many: int) -> str:
    """Return "1 Y-lead" or "3 Y-leads"."""
    return f"{many} {WORDS[kind][many != 1]}"


def plain_kind(kind: str, ways: int | None) -> str:
    """Return the kind of a lead by what it is: an n-way lead of two sockets is a Y-lead."""
    return "y" if kind == "n-way" and ways == 2 else kind
