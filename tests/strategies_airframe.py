"""The airframe, the radio's settings, the kit and the wishes of a plan of the property tests."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st
from strategies_bench import CONNECTORS, OUT, SPELLINGS, SPOTS, YES, Bench, Data


def channel(b: Bench, function: str) -> Any:
    """Return a channel: its function alone, or with some of its settings."""
    settings = b.some({
        "failsafe": ["hold", "off", "neutral", "20 %"], "direction": ["normal", "reversed"],
        "neutral": ["1500 us", "2 %"], "ends": ["100 / 90 %"], "rates": ["60 % / 100 %"],
        "switch": ["two-way switch: left"], "delay": SPELLINGS["time"], "about": ["a # sign"],
    })  # fmt: skip
    return {"function": function, **settings} if settings else function


def airframe(b: Bench) -> None:
    """Say where the places are, which ducts join them and what covers them."""
    sizes = {"long": SPELLINGS["length"], "wide": SPELLINGS["length"], "bundle": [1, 200]}
    for name, place in b.data["places"].items():
        more = b.some({**sizes, "at": OUT if name == "wing-left" else SPOTS})
        place.update(more)
    b.data["places"]["wing-left"] |= b.some({"joined": ["removable", "for-good"]})
    pairs = [["hull", "wing-left"], ["bay", "hull"], ["wing-left", "bay"]]
    b.data["ducts"] = {
        f"duct-{n}": {"between": pair, **b.some({"length": SPELLINGS["length"],
                                                   "bore": ["9 mm", "1 cm", "0.2 in"]})}
        for n, pair in enumerate(b.draw(st.lists(st.sampled_from(pairs), max_size=3)))
    }  # fmt: skip
    covers: Data = {}
    for n in range(b.draw(st.integers(0, 3))):
        over = b.draw(st.lists(st.sampled_from(b.places), min_size=1, max_size=3, unique=True))
        closes = ["before-joining", "after-joining", "last"]
        kind = {"kind": b.one(["hatch", "screwed", "for-good"])}
        more = b.some({"closes": closes, "after": [[], *covers]})
        covers[f"cover-{n}"] = {"over": over if b.flip() else over[0], **kind, **more}
    b.data["covers"] = covers


def piece(b: Bench, ids: list[str]) -> Data:
    kinds = ["extension", "y", "n-way", "reverser", "servo", "pack", "parallel", "wire", "fuse"]
    kind = b.one(kinds)
    named = {"servo": ["9g-analogue"], "pack": ["lipo"]}.get(kind, ["any-class"])
    return {"kind": kind} | b.some({
        "count": [1, 3, 999], "from": ["box", "drawer"], "connector": CONNECTORS, "ways": [2, 12],
        "length": SPELLINGS["length"], "wire": SPELLINGS["wire"], "spare": YES,
        "about": ["bent: a pin"], "class": named, **({"for": ids} if ids else {}),
    })  # fmt: skip


def wish(b: Bench, functions: list[str]) -> Data:
    of, away = b.one(functions), b.one(functions)
    wish = b.one([
        {"wish": "own-trim", "of": of}, {"wish": "two-plugs", "of": [of, away]},
        {"wish": "apart", "of": of, "from": away}, {"wish": "crow"}, {"wish": "v-tail"},
    ])  # fmt: skip
    return {**wish, **b.some({"must": YES})}
