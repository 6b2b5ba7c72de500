"""Hypothesis strategies that build valid plans, as data; and what the properties do to them.

A plan here is what a YAML parser would give: nested dicts, lists, texts and whole numbers.
Every join goes into a socket that exists, or was taken before: a valid plan may be a bad one.
"""

from __future__ import annotations

import re
from typing import Any

import yaml
from hypothesis import strategies as st
from strategies_airframe import airframe, channel, piece, wish
from strategies_bench import (
    CONNECTORS,
    FUNCTIONS,
    ORDERS,
    SCHEMES,
    SPELLINGS,
    YES,
    Bench,
    Data,
    Draw,
)


def _servo(b: Bench) -> None:
    side = b.one(["", "-left", "-right"])
    keys = b.keys(
        shaft=["left", "right", "up"], arm=["up", "down"], horn=["top", "bottom"], reversed=YES,
        measured=["up", "down", "left"], stall=SPELLINGS["amps"], length=SPELLINGS["length"],
        wire=SPELLINGS["wire"], colours=SCHEMES, pins=ORDERS, volts_max=SPELLINGS["volts"],
        moves=FUNCTIONS, signal=["analogue", "digital"],
        **{"class": ["9g-analogue", "17g-digital", "mini-25g"]},
    )  # fmt: skip
    keys |= b.some({"programmable": YES, "fixed": YES})
    others = list(b.data.get("servos", {}))
    keys |= {"like": b.one(others)} if others and b.flip() else {}
    b.add("servos", {**keys, "plug": b.join(b.three)} if b.three else keys, side)


def _lead(b: Bench) -> None:
    kind = b.one(["extension", "y", "n-way", "reverser", "custom"])
    keys = {"kind": kind} | b.keys(
        length=SPELLINGS["length"], wire=SPELLINGS["wire"], colours=SCHEMES, pins=ORDERS,
        socket_pins=ORDERS, keyed=YES, tested=YES, code=["L1", "A-4"],
    )  # fmt: skip
    ways = {"y": 2}.get(kind, 1)
    if kind in {"n-way", "custom"}:
        keys["ways"] = ways = b.draw(st.integers(1, 4))
    if kind == "custom" and b.flip():
        keys["map"] = b.one([{"signal": "positive", "positive": "signal"}, {"signal": "signal"}])
    elif kind == "custom":
        keys["ends"] = {"plug": ["white", "RD", "black"], "1": b.one([["WH", "BK", "RD"]])}
    if b.three:
        keys["plug"] = b.join(b.three)
    name = b.add("leads", keys)
    b.three += [f"{name}.{n + 1}" for n in range(ways)]


def _sequencer(b: Bench) -> None:
    outlets = b.one([2, ["doors", "legs"], ["a", "b", "c"]])
    names = [str(n + 1) for n in range(outlets)] if isinstance(outlets, int) else outlets
    keys = {"outlets": outlets} | b.keys(length=SPELLINGS["length"], power_up=["holds"])
    if b.flip():
        steps = [{"outlet": n, "start": "0 s", "end": b.one(SPELLINGS["time"])} for n in names]
        keys["steps"] = {b.one(["up", "down"]): steps}
    if b.three:
        keys["plug"] = b.join(b.three)
    if b.power and b.flip():
        keys["supply"] = b.socket(b.power)
    if b.flip():
        keys["motor-outlets"] = names[0]
    name = b.add("sequencers", keys)
    b.three += [f"{name}.{outlet}" for outlet in names]


def _retract(b: Bench) -> None:
    keys = {"kind": b.one(["self-contained", "bare-motor"])} | b.keys(
        travel=SPELLINGS["time"], running=SPELLINGS["amps"], stop=SPELLINGS["amps"],
        steering_lock=YES, length=SPELLINGS["length"], steered_by=list(b.data.get("servos", {})),
        slow=SPELLINGS["time"],
        **{"class": ["medium"]},
    )  # fmt: skip
    b.add("retracts", {**keys, "plug": b.join(b.three)} if b.three else keys)


def _stabiliser(b: Bench) -> None:
    if b.three:
        names = b.one([["1"], ["1", "2"], ["pitch", "roll"]])[: len(b.three)]
        plugs = {name: b.join(b.three) for name in names}
        name = b.add("stabilisers", {"plugs": plugs} | b.keys(volts_max=SPELLINGS["volts"]))
        b.three += [f"{name}.{outlet}" for outlet in names]


def _wing_plug(b: Bench) -> None:
    circuits = {"one": {"signal": 1, "positive": 2, "negative": 3}, "two": {"signal": 4}}
    keys = {"contacts": 6, "circuits": circuits} | b.keys(wire=SPELLINGS["wire"])
    if b.three:
        keys["plugs"] = {"one": b.join(b.three)}
    name = b.add("wing-plugs", keys)
    b.three += [f"{name}.one", f"{name}.two"]


def _in_line(b: Bench) -> None:
    group = b.one(["switches", "diodes"])
    kinds = {"switches": ["slide", "electronic"], "diodes": ["silicon", "schottky", "ideal"]}
    keys = {"kind": b.one(kinds[group])} | b.keys(rated=SPELLINGS["amps"], wire=SPELLINGS["wire"])
    name = b.add(group, {**keys, "plug": b.join(b.three)} if b.three else keys)
    b.three.append(f"{name}.1")


def _sensor(b: Bench) -> None:
    keys = b.keys(current=SPELLINGS["amps"], isolated=YES)
    if b.three:
        keys["plug"] = b.join(b.three)
    if b.packs and b.flip():
        keys["supply"] = b.socket(b.packs) + b.one([".balance"] if b.once else [".main", ""])
    b.add("sensors", keys)


def _load(b: Bench) -> None:
    keys = b.keys(current=SPELLINGS["amps"], volts_min=SPELLINGS["volts"], moves=FUNCTIONS)
    if b.three and b.flip():
        keys["plug"] = b.join(b.three)
    elif b.power:
        keys["supply"] = b.join(b.power)
    b.add("loads", keys)


def _pack(b: Bench) -> None:
    keys = {"chemistry": b.one(["lipo", "nimh", "life"]), "cells": b.draw(st.integers(1, 12))}
    keys |= b.keys(
        capacity=SPELLINGS["charge"], rate=SPELLINGS["rate"], connector=CONNECTORS,
        volts=[f"{keys['cells'] * cell / 10:g} V" for cell in (10, 12, 14)],
        cell_resistance=SPELLINGS["ohms"], wire=SPELLINGS["wire"], charge=SPELLINGS["share"],
    )  # fmt: skip
    if b.three and b.draw(st.integers(0, 3)) == 0:
        keys["plug"] = b.join(b.three)
    name = b.add("packs", keys)
    b.packs.append(name)
    b.power += [] if "plug" in keys else [name]


def _power_lead(b: Bench) -> None:
    kind = b.one(["parallel", "series", "extension", "adapter", "jumper", "arming"])
    keys = {"kind": kind} | b.keys(
        connector=CONNECTORS, connector_in=CONNECTORS, rated=SPELLINGS["amps"],
        wire=SPELLINGS["wire"], length=SPELLINGS["length"], crossed=YES, fitted=YES,
    )  # fmt: skip
    keys["ways"] = ways = b.draw(st.integers(1, 3))
    if b.power:
        joins = [b.join(b.power) for _ in range(b.draw(st.integers(1, 2))) if b.power]
        keys["supply"] = joins if len(joins) > 1 else joins[0]
    name = b.add("power-leads", keys)
    b.power += [f"{name}.{n + 1}" for n in range(ways)]


def _fuse(b: Bench) -> None:
    keys = {"rated": b.one(SPELLINGS["amps"])} | b.keys(wire=SPELLINGS["wire"])
    name = b.add("fuses", {**keys, "supply": b.join(b.power)} if b.power else keys)
    b.power.append(f"{name}.1")


NOT_OF_A_BEC = ("place", "about", "at", "route")


def _bec(b: Bench) -> Any:
    keys = b.keys(
        kind=["linear", "switching"], rated=SPELLINGS["amps"], burst=SPELLINGS["amps"],
        metered=SPELLINGS["volts"],
    )  # fmt: skip
    return {
        "volts": b.one(SPELLINGS["volts"]),
        **{k: keys[k] for k in keys if k not in NOT_OF_A_BEC},
    }


def _esc(b: Bench) -> None:
    keys = b.keys(
        rated=SPELLINGS["amps"], cells_max=[3, 6], isolated=YES, fed=YES, connector=CONNECTORS,
        lead_length=SPELLINGS["length"], length=SPELLINGS["length"], pins=ORDERS,
        bec=["none"],
    )  # fmt: skip
    keys |= {"bec": _bec(b)} if b.flip() else {}
    keys |= {"plug": b.join(b.three)} if b.three else {}
    keys |= {"supply": b.join(b.power)} if b.power else {}
    b.escs.append(b.add("escs", keys, b.one(["", "-left", "-right"])))


def _motor(b: Bench) -> None:
    keys = b.keys(
        full_throttle=SPELLINGS["amps"], rotation=["clockwise"], wire=SPELLINGS["wire"],
        full_throttle_volts=SPELLINGS["volts"],
    )  # fmt: skip
    b.add("motors", {**keys, "plug": b.socket(b.escs)} if b.escs else keys)


def _capacitor(b: Bench) -> None:
    if b.escs:
        keys = {"across": b.one(b.escs), "value": b.one(SPELLINGS["farads"])}
        b.add("capacitors", keys | b.keys(count=[1, 4], volts=SPELLINGS["volts"]))


def _regulator(b: Bench) -> None:
    keys = {**_bec(b), **b.keys(isolated=YES, cells_max=[2, 6], length=SPELLINGS["length"])}
    keys |= {"supply": b.join(b.power)} if b.power else {}
    if b.three:
        joins = [b.join(b.three) for _ in range(b.draw(st.integers(1, 2))) if b.three]
        keys["plug"] = joins if len(joins) > 1 else joins[0]
    b.power.append(b.add("regulators", keys) + ".out")


def _box(b: Bench) -> None:
    group = b.one(["receivers", "autopilots"])
    sockets = b.one([4, 8, ["in-1", "in-2", "out"]])
    names = [str(n + 1) for n in range(sockets)] if isinstance(sockets, int) else sockets
    more = {"rail": ["separate"], "outputs": [{names[0]: "aileron"}]}
    own = more if group == "autopilots" else {}
    keys = {"sockets": sockets} | b.keys(pins=ORDERS, keyed=YES, limit=SPELLINGS["amps"], **own)
    supplies = ["batt"]
    if group == "receivers" and b.flip():
        keys["supply-sockets"], supplies = b.one([(0, []), (2, ["batt-1", "batt-2"])])
    if group == "autopilots":
        supplies = [*supplies, "power", "rc"]
    name = b.add(group, keys)
    b.three += [f"{name}.{socket}" for socket in (*names, *supplies)]


MAKERS = [
    _servo, _lead, _sequencer, _retract, _stabiliser, _wing_plug, _in_line, _sensor, _load, _pack,
    _power_lead, _fuse, _esc, _motor, _capacitor, _regulator, _box,
]  # fmt: skip


def _head(b: Bench) -> None:
    """Add what is no part: channels, mixes, what was seen, what is accepted."""
    functions = b.draw(st.lists(st.sampled_from(FUNCTIONS), min_size=1, max_size=6, unique=True))
    b.data["channels"] = {n: channel(b, word) for n, word in enumerate(functions, 1)}
    if b.flip():
        b.data["transmitter"] = {"order": b.one(["AETR", "TAER"]), "channels": 8}
    if b.flip():
        b.data["mixes"] = [{"kind": b.one(["crow", "v-tail", "own-trim", "elevon"])}]
    ids = [name for group in b.data.values() if isinstance(group, dict) for name in group]
    ids = [name for name in ids if isinstance(name, str) and re.search(r"\d", name)]
    if ids and b.flip():
        b.data["as-found"] = [b.one(_seen(b.data))] if _seen(b.data) else []
    if ids and b.flip():
        entry = {"rule": "socket-used-twice", "part": b.one(ids), "because": "it was tried"}
        b.data["accepted"] = [entry]
    if b.flip():
        _operation(b, functions, ids)
    if b.flip():
        airframe(b)
    if b.flip():
        b.data["kit"] = [piece(b, ids) for _ in range(b.draw(st.integers(1, 6)))]
    if b.flip():
        b.data["wishes"] = [wish(b, functions) for _ in range(b.draw(st.integers(1, 3)))]
    if b.flip():
        b.data["buy-at-most"] = b.draw(st.integers(0, 999))


def _seen(data: Data) -> list[Data]:
    """What may have been seen of the leads and servos of a plan."""
    found: list[Data] = []
    for name in data.get("servos", {}):
        found += [{"end": f"{name}.plug", "fact": word} for word in ("turned", "crossed", "worn")]
        found += [{"end": name, "fact": "dead"}, {"end": name, "wire": "signal", "fact": "open"}]
    for name in data.get("leads", {}):
        found += [{"end": name, "fact": "dead"}, {"end": f"{name}.1", "fact": "dead"}]
        found += [{"end": f"{name}.plug", "wire": "negative", "fact": "open"}]
    for name in data.get("power-leads", {}):
        found += [{"end": f"{name}.1", "wire": "positive", "fact": "open"}]
    return found


def _operation(b: Bench, functions: list[str], ids: list[str]) -> None:
    """Add how the aeroplane is operated: its surroundings, a case of its own, a flight."""
    movers = [name for group in ("servos", "retracts") for name in b.data.get(group, {})]
    moving = ["all", "flight", "gear", *functions, *movers]
    pools = {
        "like": ["cruise", "jammed"], "throttle": SPELLINGS["share"], "moving": [moving, moving[0]],
        "stalled": [[], b.one(moving)], "share": SPELLINGS["share"], "without": [ids, []],
        "charge": SPELLINGS["share"], "temperature": SPELLINGS["warmth"], "lasts": ["seconds"],
    }  # fmt: skip
    words = b.draw(st.lists(st.sampled_from(sorted(pools)), unique=True))
    b.data["cases"] = {"own-case": {word: b.one(pools[word]) for word in words}}
    phase = {"phase": "loops", "time": b.one(SPELLINGS["time"]), "case": b.one(["own-case", "hot"])}
    b.data["flight"] = [phase, {"phase": "glide", "time": "30 s", "throttle": "0 %"}]
    b.data["reserve"] = b.one(SPELLINGS["share"])
    b.data["surroundings"] = {"temperature": b.one(SPELLINGS["warmth"]), "altitude": "2 m"}


@st.composite
def plans(draw: Draw, most: int = 14, once: bool = False) -> Data:
    """Return a valid plan of up to `most` parts and a receiver, as data.

    With `once` no two plugs go into one socket.
    """
    name = draw(st.sampled_from(["Test", "Möwe 7", "no", "12:30"]))
    wing = {"joins": "hull", "side": "left"}
    places = {"hull": {}, "wing-left": wing, "bay": {"in": "hull"}}
    data: Data = {"plan": 1, "aircraft": name, "places": places}
    bench = Bench(draw, data, list(places), once=once)
    _box(bench)
    for maker in draw(st.lists(st.sampled_from(MAKERS), max_size=most)):
        maker(bench)
    _head(bench)
    return data


def as_yaml(data: Data, flow: bool | None = False) -> str:
    """Write data as YAML, in block style, flow style or a mixture (None)."""
    return str(yaml.safe_dump(data, sort_keys=False, allow_unicode=True, default_flow_style=flow))


NO_PARTS = {
    "plan",
    "aircraft",
    "places",
    "ducts",
    "covers",
    "kit",
    "wishes",
    "buy-at-most",
    "channels",
    "transmitter",
    "mixes",
    "surroundings",
    "cases",
    "flight",
    "reserve",
    "as-found",
    "accepted",
}


def ids_of(data: Data) -> list[str]:
    """Return the ids of all parts."""
    return [name for group in data if group not in NO_PARTS for name in data[group]]


def renamed(data: Any, names: dict[str, str]) -> Any:
    """Return the data with parts renamed wherever they are named: `id` or `id.socket`."""
    if isinstance(data, dict):
        return {renamed(word, names): renamed(value, names) for word, value in data.items()}
    if isinstance(data, list):
        return [renamed(item, names) for item in data]
    if not isinstance(data, str):
        return data
    name, dot, socket = data.partition(".")
    return names.get(name, name) + dot + socket


def reordered(data: Any, draw: Draw) -> Any:
    """Return the data with the keys of every mapping in another order; lists stay."""
    if isinstance(data, list):
        return [reordered(item, draw) for item in data]
    if not isinstance(data, dict):
        return data
    return {word: reordered(data[word], draw) for word in draw(st.permutations(list(data)))}
