"""What lies on the bench while a plan of the property tests grows, and how people spell values."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from hypothesis import strategies as st

Data = dict[str, Any]
Draw = Callable[[st.SearchStrategy[Any]], Any]

SPELLINGS = {
    "length": ["300 mm", "30cm", "0.3 m", "12 in", '8"', "1 ft", "250\u00a0mm", "2 m"],
    "volts": ["6 V", "5.0V", "7400 mV", "8.4 V", "12 V"],
    "amps": ["500 mA", "1.5 A", "40A", "10 A", ".2 A", "60 A"],
    "time": ["1 s", "1500 ms", "2.5s", "0.1 min"],
    "wire": ["22 AWG", "AWG 20", "12AWG", "1/0 AWG", "0.34 mm2", "2.5 mm²", "28 awg"],
    "charge": ["5 Ah", "2200 mAh", "850mAh"],
    "rate": ["35 C", "5C"],
    "ohms": ["4 mohm", "0.002 ohm", "900 µohm", "3 mΩ"],
    "farads": ["220 uF", "330µF", "1 mF"],
    "share": ["30 %", "0 %", "100%", "0.25", "7.5 %"],
    "warmth": ["20 degC", "-5 °C", "68 °F", "293 K"],
}
"""Each unit in the spellings people use."""
YES = [True, False, "yes", "no", "On", "off"]
PINS = ["signal", "positive", "negative"]
ORDERS = [PINS, ["positive", "signal", "negative"], ["negative", "positive", "signal"]]
SCHEMES = ["white-red-black", "orange-red-brown", "yellow-red-black", "blue-red-black"]
CONNECTORS = ["XT60", "XT90", "XT30"]
FUNCTIONS = ["aileron", "elevator", "rudder", "throttle", "flap", "gear", "gear-door", "lights"]
SPOTS: list[Any] = ["350 mm", "0 mm", {"aft": "30 cm", "up": "2 in"}, {"aft": "1 m"}]
OUT: list[Any] = [{"aft": "350 mm", "out": "20 cm"}, {"aft": "0 mm", "out": "0 mm", "up": "1 cm"}]
"""Positions beside the centre line: for what has a side."""
STEMS = ["ka", "lo", "mi", "nu", "pé", "qi"]


@dataclass
class Bench:
    """What lies on the bench while a plan grows: sockets by the plug they take."""

    draw: Draw
    data: Data
    places: list[str]
    three: list[str] = field(default_factory=list)
    power: list[str] = field(default_factory=list)
    escs: list[str] = field(default_factory=list)
    packs: list[str] = field(default_factory=list)
    count: int = 0
    once: bool = False
    """No socket is given out twice."""

    def one(self, pool: list[Any]) -> Any:
        return self.draw(st.sampled_from(pool))

    def flip(self) -> bool:
        return bool(self.draw(st.booleans()))

    def name(self, side: str = "") -> str:
        """Return a new id; the number makes it new, the stem sorts it anywhere."""
        self.count += 1
        return f"{self.one(STEMS)}{self.count}{side}"

    def keys(self, **pools: list[Any]) -> Data:
        """Return some of the optional keys, each with one of its values."""
        found = {
            "place": [*self.places, *self.places],
            "about": ["a remark: with a colon"],
            "at": SPOTS,
            "route": [[], "hull", ["wing-left"], ["bay", "hull"], ["hull", "hull"]],
            **pools,
        }
        wanted = self.draw(st.lists(st.sampled_from(sorted(found)), unique=True, max_size=4))
        keys = {word.replace("_", "-"): self.one(found[word]) for word in wanted if found[word]}
        if "at" in keys and keys.get("place") == "wing-left" and self.flip():
            keys["at"] = self.one(OUT)
        return keys

    def socket(self, pool: list[str]) -> Any:
        """Return a socket of the pool, and take it out where each is to be used once."""
        at = self.one(pool)
        if self.once:
            pool.remove(at)
        return at

    def join(self, pool: list[str]) -> Any:
        """Return a join into a socket of the pool, in one of its forms."""
        at = self.socket(pool)
        form = self.draw(st.integers(0, 8))
        if form == 0:
            return {"into": at, "pulled": self.one(["positive", ["signal", "positive"], []])}
        if form == 1:
            return {"into": at, "turned": self.one(YES)}
        return {"into": at, "in": self.one(self.places)} if form == 2 else at

    def add(self, group: str, keys: Data, side: str = "") -> str:
        name = self.name(side)
        self.data.setdefault(group, {})[name] = keys
        return name

    def some(self, pools: dict[str, list[Any]]) -> Data:
        """Return some of the keys, each with one of its values."""
        words = self.draw(st.lists(st.sampled_from(sorted(pools)), unique=True))
        return {word: self.one(pools[word]) for word in words}
