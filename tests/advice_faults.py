"""One fault at a time for a sound plan: volts, wires, fuses, joins of packs, poles, pins, finds."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from copy import deepcopy
from functools import partial
from typing import Any

from advice_data import Data, joins, own, parts_of, rejoin

Spoil = Callable[[Data], Any]


def faults(data: Data) -> Iterator[tuple[str, Data]]:
    """Yield what was done to a plan, and the plan."""
    for name, spoil in [*_at_plugs(data), *_as_found(data), *_figures(data), *_packs(data)]:
        broken = deepcopy(data)
        if spoil(broken) is not False:
            yield name, broken


def _at_plugs(data: Data) -> Iterator[tuple[str, Spoil]]:
    """Pins pulled or put back, plugs turned, crossed or left out, fuses put between."""
    for name, key, n, join in joins(data):
        at = f"{name}.{key}-{n}"
        for pin in ("positive", "negative", *(["signal"] if key == "plug" else [])):
            if join.get("pulled") != pin:
                yield f"{at} {pin} pulled", partial(rejoin, name=name, key=key, n=n, pulled=pin)
        if join.get("pulled"):
            yield f"{at} put back", partial(rejoin, name=name, key=key, n=n, pulled=None)
        word = {"turned": "yes"} if key == "plug" else {"poles": "crossed"}
        yield f"{at} {word}", partial(rejoin, name=name, key=key, n=n, **word)
        yield f"{at} left out", partial(_left_out, name=name, key=key)
        for rated in ("3 A", "300 A") if key == "supply" else ():
            yield f"{at} fuse of {rated}", partial(_fuse, at=(name, n, join["into"]), rated=rated)


def _left_out(data: Data, name: str, key: str) -> None:
    del parts_of(data)[name][key]


def _fuse(data: Data, at: tuple[str, int, str], rated: str) -> None:
    name, n, into = at
    plug, wire = own(data, name, "connector") or "XT60", own(data, name, "wire") or "12 AWG"
    data.setdefault("fuses", {})["extra"] = {
        "rated": rated, "connector": plug, "supply": into, "wire": wire, "length": "50 mm"
    }  # fmt: skip
    rejoin(data, name, "supply", n, into="extra.1")


def _as_found(data: Data) -> Iterator[tuple[str, Spoil]]:
    for name in parts_of(data):
        some = [
            {"fact": "dead"},
            *({"wire": w, "fact": "open"} for w in ("negative", "positive", "signal")),
        ]
        for fact in some:
            yield f"{name} {fact}", partial(_find, fact={"end": name, **fact})


def _find(data: Data, fact: Data) -> None:
    data.setdefault("as-found", []).append(dict(fact))


FIGURES = {
    "wire": ("28 AWG", "20 AWG"), "lead-wire": ("30 AWG",), "length": ("6 m",),
    "volts": ("3.6 V", "4.6 V", "7 V", "9 V"), "rated": ("0.1", "0.3", "4"),
    "connector": ("XT30", "EC3", "bullet-4mm"), "cells": ("-1", "1", "3"),
    "capacity": ("0.5 Ah",), "cell-resistance": ("60 mohm",),
}  # fmt: skip


def _figures(data: Data) -> Iterator[tuple[str, Spoil]]:
    """Other gauges, lengths, volts, ratings, plugs and packs."""
    leads = {*data.get("power-leads", {}), *data.get("fuses", {})}
    for name, part in parts_of(data).items():
        for bec in (False, True) if isinstance(part.get("bec"), dict) else (False,):
            for key, values in FIGURES.items():
                there = key in (part["bec"] if bec else part) or key == "cell-resistance"
                if not there or (key == "connector" and name in leads):
                    continue
                if key == "cell-resistance" and "chemistry" not in part:
                    continue
                for value in values:
                    yield (f"{name} {key} {value}",
                           partial(_figure, name=name, key=key, value=value, bec=bec))  # fmt: skip


def _figure(data: Data, name: str, key: str, value: str, bec: bool) -> object:
    part = parts_of(data)[name]
    part = part["bec"] if bec else part
    if key == "volts" and ("kind" not in part or "chemistry" in part):
        return False
    if key == "rated":
        value = f"{float(part['rated'].split()[0].rstrip('A')) * float(value):g} A"
        part.pop("burst", None)
    if key == "cells":
        value = str(int(part["cells"]) + int(value))
        part.pop("volts", None)
    part |= {key: value, **({"metered": value} if key == "volts" else {})}
    return value != "0"


def _packs(data: Data) -> Iterator[tuple[str, Spoil]]:
    """A second pack beside a pack or on top of it, unlike it or the wrong way round."""
    for name, pack in data.get("packs", {}).items():
        cells = int(own(data, name, "cells"))
        for twin in (
            {"volts": f"{cells * 3.8:g} V"}, {"capacity": "1 Ah"}, {"poles": "crossed"},
            {"cells": str(cells + 1), "volts": f"{cells * 4.1:g} V"},
        ):  # fmt: skip
            yield f"{name} beside {twin}", partial(_beside, name=name, twin=twin)
        for twin in ({"capacity": "1 Ah"}, {"poles": "crossed"}) if cells % 2 == 0 else ():
            if "like" not in pack:
                yield f"{name} below {twin}", partial(_beside, name=name, twin=twin, kind="series")


def _beside(data: Data, name: str, twin: Data, kind: str = "parallel") -> object:
    packs, users = data["packs"], [j for j in joins(data) if j[3]["into"] == name]
    pack = packs[name]
    cells = int(own(data, name, "cells")) // (1 if kind == "parallel" else 2)
    pack |= {"cells": str(cells), "volts": f"{cells * 4:g} V"}
    poles = {"poles": twin["poles"]} if "poles" in twin else {}
    second = {k: v for k, v in {**deepcopy(pack), **twin}.items() if k not in {"plug", "poles"}}
    packs["second"] = second
    data.setdefault("power-leads", {})["pair"] = {
        "kind": kind, "connector": own(data, name, "connector") or "XT60", "length": "50 mm",
        "wire": own(data, name, "wire") or "10 AWG", "supply": [name, {"into": "second", **poles}],
    }  # fmt: skip
    for user, key, n, _ in users:
        rejoin(data, user, key, n, into="pair")
    return bool(users)
