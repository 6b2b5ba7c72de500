"""What builders call a thing that a plan calls otherwise. Common practice, no source."""

from __future__ import annotations

from collections.abc import Container

_KEYS = {
    "plug": "channel socket port outlet into to plugged-into connected-to connect output",
    "class": "type model sort kind size",
    "moves": "function surface does controls",
    "supply": "battery pack source power from input plug",
    "plugs": "plug inputs",
    "kind": "type class model",
    "chemistry": "type class technology",
    "capacity": "mah ah size",
    "volts": "voltage v u",
    "rate": "c c-rate discharge",
    "cells": "s series cell-count",
    "rated": "current amps amperes max-current continuous ampere rating",
    "full-throttle": "current max-current amps",
    "wire": "gauge awg cable",
    "length": "long cable-length lead",
    "place": "location bay where position",
    "at": "position",
    "about": "note notes comment description remark",
    "code": "label",
    "reversed": "reverse inverted invert",
    "connector": "plug-type plug-class",
    "function": "moves does name",
    "sockets": "channels outputs ports",
    "time": "duration lasts minutes",
    "phase": "name",
    "without": "off",
}
_GROUPS = {
    "aircraft": "name aeroplane airplane plane model",
    "plan": "version format",
    "packs": "battery batteries lipos lipo accus cells",
    "escs": "controllers speed-controllers speed-controls controller",
    "leads": "cables wires y-leads extensions y-cables wiring cable",
    "retracts": "gear undercarriage landing-gear legs",
    "motors": "engines engine",
    "receivers": "radio rx",
    "stabilisers": "gyros gyro stabilizers",
    "ducted-fans": "edf fans fan edfs impellers",
    "regulators": "becs bec ubec ubecs",
    "loads": "lights light leds camera cameras pumps",
    "places": "bays locations",
    "transmitter": "tx sender",
    "servos": "actuators",
    "about": "note notes comment description remark",
    "wing-plugs": "multiplugs root-plugs",
}
_WORDS = {
    "parallel": "y y-lead y-cable y-harness split splitter",
    "y": "y-lead y-cable y-harness splitter",
    "two-plug": "patch patch-lead",
}
_ASIDE = frozenset(["brake", "propeller", "prop", "timing"])
ASIDE = "nothing that is checked here depends on it: write it into about"
"""What is said of a key that no rule, figure or document would ever ask."""


_BUS = frozenset(
    ["address", "addresses", "bus", "buses", "hub", "hubs", "bus-address", "servo-bus", "bus-id"]
)
NO_BUS = ("a servo bus, many servos with addresses on one socket, is not known here",
          "give each servo a socket of its own, or leave those on the bus out: nothing of them"
          " can be checked")  # fmt: skip
"""What is said of a servo bus, and what to do: until it can be written it is not passed over."""


def is_bus(word: str) -> bool:
    """Say whether a word speaks of a servo bus."""
    return word.lower().replace("_", "-") in _BUS


def is_aside(word: str) -> bool:
    """Say whether a word is of something that nothing here depends on."""
    return word.lower() in _ASIDE


def meant(word: str, keys: Container[str], *, group: bool = False, value: bool = False) -> str:
    """Return the key that a builder's word stands for, "" when none of `keys` is meant.

    `group`: the key of a group of parts; `value`: a word that stands behind a key.
    """
    folded = word.lower().replace("_", "-").replace(" ", "-")
    table = _WORDS if value else _GROUPS if group else _KEYS
    return next((k for k, words in table.items() if k in keys and folded in words.split()), "")
