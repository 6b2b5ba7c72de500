"""Advice read as a builder reads it: words of a help, and the edit of the plan they ask for.

A plan here is what YAML gives: groups of parts, each a mapping of keys. A cure that needs a choice
(another pack, another supply) takes the simplest that its words allow.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from copy import deepcopy

from advice_data import JOIN, Data, joins, own, parts_of, rejoin

from harness.base.finding import Finding

Follow = Callable[[Data, "re.Match[str]", Finding], None]
CURES: list[tuple[re.Pattern[str], Follow]] = []
AMPS = r"(?P<amps>[\d.]+) A"


def cure(words: str) -> Callable[[Follow], Follow]:
    """Register what is done where a help says these words."""

    def register(follow: Follow) -> Follow:
        CURES.append((re.compile(words), follow))
        return follow

    return register


def followed(data: Data, finding: Finding) -> Iterator[tuple[str, Data]]:
    """Yield each cure that a finding's help names, and the plan after it."""
    for pattern, follow in CURES:
        match = pattern.search(finding.help)
        if match is not None:
            mended = deepcopy(data)
            try:
                follow(mended, match, finding)
            except (LookupError, StopIteration):
                continue
            yield match[0], mended


def _joined(data: Data, words: str) -> list[tuple[str, str, int, Data]]:
    """Return the plugs that words like "esc into rx.3" mean."""
    named = [(m["part"], m["into"]) for m in re.finditer(JOIN, words)]
    said = [(j, (j[0], j[3]["into"])) for j in joins(data)]
    return [
        j
        for j, (name, into) in said
        if any(n == name and f"{i}.".startswith(f"{into}.") for n, i in named)
    ]


@cure(r"put the (?P<pin>red|black|signal)(?: and \w+)* pins? back")
def _back(data: Data, match: re.Match[str], finding: Finding) -> None:
    for name, key, n, _ in _joined(data, finding.message):
        rejoin(data, name, key, n, pulled=None)


@cure(r"to (?:part two supplies|cut).*pull the (?:red|positive)")
def _red(data: Data, match: re.Match[str], finding: Finding) -> None:
    for name, key, n, _ in _joined(data, finding.message):
        rejoin(data, name, key, n, pulled="positive")


@cure(r"slide out and insulate the red pin of (?P<which>[^(]+) \(")
def _out(data: Data, match: re.Match[str], finding: Finding) -> None:
    for name, key, n, _ in _joined(data, match["which"]):
        rejoin(data, name, key, n, pulled="positive")


@cure(r"unplug (?P<which>(?:(?! and feed)[^,])+),")
def _unplug(data: Data, match: re.Match[str], finding: Finding) -> None:
    for name, key, _, _ in _joined(data, match["which"]):
        del parts_of(data)[name][key]


@cure(r"(?:replace or )?mend [^,]+, and say so in the plan")
def _mend(data: Data, match: re.Match[str], finding: Finding) -> None:
    for fact in data["as-found"]:
        fact["mended"] = "soldered anew"


@cure(r"turn the plug and mark its pale side")
def _turn(data: Data, match: re.Match[str], finding: Finding) -> None:
    for name, key, n, join in joins(data):
        if name == finding.parts[0] and join.get("turned"):
            rejoin(data, name, key, n, turned=None)


@cure(r"join red to red and black to black|turn [\w-]+ round at its own end")
def _straight(data: Data, match: re.Match[str], finding: Finding) -> None:
    for name, key, n, join in joins(data):
        if join.get("poles") == "crossed":
            rejoin(data, name, key, n, poles="straight")


@cure(r"use a source of (?P<low>[\d.]+) V to (?P<high>[\d.]+) V, empty to full")
def _volts(data: Data, match: re.Match[str], finding: Finding) -> None:
    low, high = float(match["low"]), float(match["high"])
    _set_volts(data, finding.parts[0], round((low + high) / 2, 2))


@cure(r"use a source of at (?P<which>least|most) (?P<volts>[\d.]+) V")
def _volts_one(data: Data, match: re.Match[str], finding: Finding) -> None:
    _set_volts(data, finding.parts[0], float(match["volts"]))


@cure(r'raise .*?"(?P<part>[\w-]+)" to (?P<volts>[\d.]+) V')
def _raise(data: Data, match: re.Match[str], finding: Finding) -> None:
    _set_volts(data, match["part"], float(match["volts"]))


@cure(r"set it to fewer volts")
def _fewer(data: Data, match: re.Match[str], finding: Finding) -> None:
    _set_volts(data, finding.parts[0], 5.0)


def _set_volts(data: Data, name: str, volts: float) -> None:
    """A source of these volts: a BEC or regulator set so; another pack is chosen by hand."""
    part = parts_of(data)[name]
    words = {"volts": f"{volts} V", "metered": f"{volts} V"}
    bec = own(data, name, "bec")
    if isinstance(bec, dict):
        part["bec"] = {**bec, **words}
    elif own(data, name, "cells") is not None:
        raise LookupError("a pack")
    else:
        part.update(words)


@cure(r"[Uu]se (?P<gauge>\d+ AWG)(?: or thicker)?(?: for (?P<which>[^;]+?))?(?= or make|$|,|;)")
def _gauge(data: Data, match: re.Match[str], finding: Finding) -> None:
    names = re.findall(r'"([\w-]+)"', match["which"] or "") or [_owner_of_wire(finding)]
    for name in names:
        own_key = next(
            (k for k in ("lead-wire", "wire") if f"{k}" in _key(data, name, finding)), "wire"
        )
        parts_of(data)[name][own_key] = match["gauge"]


def _owner_of_wire(finding: Finding) -> str:
    return finding.parts[0]


def _key(data: Data, name: str, finding: Finding) -> list[str]:
    """The key of the wire that is meant: of the signal lead where a part has one of its own."""
    both = own(data, name, "lead-wire") is not None
    signal = finding.spot in {"plug", "lead-wire", "lead"} or finding.rule in {
        "volts-lost",
        "rail-sags",
    }
    return ["lead-wire"] if both and signal else ["wire"]


@cure(r"make it (?P<most>\d+) mm at most")
def _shorter(data: Data, match: re.Match[str], finding: Finding) -> None:
    named = re.search(r'for [\w -]*?"([\w-]+)"', finding.help)
    name = named[1] if named else finding.parts[-1]
    key = "lead-length" if _key(data, name, finding) == ["lead-wire"] else "length"
    parts_of(data)[name][key] = f"{match['most']} mm"


@cure(r"use a lead of (?P<gauge>\d+ AWG) or thicker")
def _lead(data: Data, match: re.Match[str], finding: Finding) -> None:
    parts_of(data)[finding.parts[0]]["wire"] = match["gauge"]


@cure(r"fit a fuse above (?P<low>[\d.]+) A and up to (?P<high>[\d.]+) A")
def _fuse(data: Data, match: re.Match[str], finding: Finding) -> None:
    parts_of(data)[finding.parts[0]]["rated"] = f"{float(match['high']):g} A"


@cure(rf"fit one that bears {AMPS} or more")
def _switch(data: Data, match: re.Match[str], finding: Finding) -> None:
    parts_of(data)[finding.parts[0]]["rated"] = f"{float(match['amps']) * 1.02:g} A"


@cure(rf"fit an ESC rated {AMPS} or more")
def _esc(data: Data, match: re.Match[str], finding: Finding) -> None:
    parts_of(data)[finding.parts[0]]["rated"] = f"{match['amps']} A"


@cure(r"charge both to the same volts")
def _charge(data: Data, match: re.Match[str], finding: Finding) -> None:
    for name in finding.parts:
        parts_of(data)[name]["volts"] = parts_of(data)[finding.parts[1]]["volts"]


@cure(r"packs of the same cells, capacity and age|only packs of the same cell count and chem")
def _alike(data: Data, match: re.Match[str], finding: Finding) -> None:
    second = max(
        finding.parts, key=lambda name: float((own(data, name, "capacity") or "0").split()[0])
    )
    for name in finding.parts:
        for key in ("cells", "capacity", "chemistry", "volts"):
            if own(data, second, key) is not None:
                parts_of(data)[name][key] = own(data, second, key)
    if "as many" in finding.help:
        _level(data)


def _level(data: Data) -> None:
    """The second pack of one level stays at home."""
    spare = next(name for name, lead in data["power-leads"].items() if lead["kind"] == "parallel")
    first = data["power-leads"].pop(spare)["supply"][0]
    for name, key, n, join in list(joins(data)):
        if join["into"].split(".")[0] == spare:
            rejoin(data, name, key, n, into=first)
    del data["packs"]["second"]


@cure(
    r"take (?P<many>a pack|packs) of (?P<held>[\d.]+ Ah) or more"
    r"(?: with (?P<ohms>[\d.]+ mohm) a cell or less)?"
)
def _packs(data: Data, match: re.Match[str], finding: Finding) -> None:
    """All of a stack; what was metered of the cells of the old ones is not of the new ones."""
    named = [name for name in finding.parts if name in data["packs"]]
    for name in data["packs"] if match["many"] == "packs" else named:
        pack = parts_of(data)[name]
        pack["capacity"] = match["held"]
        pack.pop("cell-resistance", None)
        if match["ohms"]:
            pack["cell-resistance"] = match["ohms"]


@cure(
    r'make the wires of [\w -]*"(?P<part>[\w-]+)" (?P<most>\d+) mm at most'
    r"(?:, of (?P<gauge>\d+ AWG))?"
)
def _cut(data: Data, match: re.Match[str], finding: Finding) -> None:
    part = parts_of(data)[match["part"]]
    part["length"] = f"{match['most']} mm"
    if match["gauge"]:
        part["wire"] = match["gauge"]


@cure(r"take one rated (?P<amps>[\d.]+) m?A and (?P<burst>[\d.]+) A for seconds")
def _regulator(data: Data, match: re.Match[str], finding: Finding) -> None:
    part = parts_of(data)[finding.parts[0]]
    part["rated"], part["burst"] = "10 A", "15 A"


@cure(
    r"(?:plug|put) (?:[\w -]*?\"(?P<part>[\w-]+)\"|it) into (?P<into>[\w-]+\.[\w-]+)"
    r"(?:[^;]*?(?:and add `(?P<channel>\w+): (?P<function>[\w-]+)` to the (?P<where>\w+)))?"
)
def _into(data: Data, match: re.Match[str], finding: Finding) -> None:
    part = parts_of(data)[match["part"] or finding.parts[0]]
    there = part.get("plug")
    join = there if isinstance(there, dict) else {}
    part["plug"] = {**join, "into": match["into"]}
    if match["channel"] and match["where"] == "channels":
        data["channels"][match["channel"]] = match["function"]


@cure(r"take (?:the part|it) out of the plan")
def _gone(data: Data, match: re.Match[str], finding: Finding) -> None:
    """What is like it keeps what it has repeated so far."""
    gone = finding.parts[0]
    for part in parts_of(data).values():
        if part.get("like") == gone:
            first = {k: v for k, v in parts_of(data)[gone].items() if k not in {"plug", "supply"}}
            del part["like"]
            part.update({**first, **part})
    for group in data.values():
        if isinstance(group, dict) and gone in group:
            del group[gone]


@cure(
    r"(?:fit|one of these on both sides:) (?P<plug>[A-Z][\w.-]+|bullet[\w.-]+)"
    r"(?: or [\w.-]+)? ?(?:on both|,|$)"
)
def _both(data: Data, match: re.Match[str], finding: Finding) -> None:
    """On the two sides of each join that the finding is about; others keep what they have."""
    first = re.match(JOIN, finding.message)
    about = set(finding.parts) if first is None else {first["part"], first["into"].split(".")[0]}
    every = list(joins(data))
    for name, key, _, join in every:
        into = join["into"].split(".")[0]
        asked = {name, into} <= about or (len(about) == 1 and about & {name, into})
        if (
            asked
            and own(data, name, "connector")
            and (key == "supply" or "cells" in parts_of(data)[into])
        ):
            _fit(data, name, "connector-in", match["plug"])
            _fit(data, into, "connector-out", match["plug"])


def _fit(data: Data, name: str, side: str, plug: str) -> None:
    """One side of a lead alone; a part with one plug has it as `connector`."""
    part = parts_of(data)[name]
    lead = name in {**data.get("power-leads", {}), **data.get("fuses", {})}
    old = own(data, name, "connector")
    if not lead or name in data.get("fuses", {}):
        part["connector"] = plug
    elif side == "connector-in":
        part["connector-in"] = plug
    else:
        part.setdefault("connector-in", own(data, name, "connector-in") or old)
        part["connector"] = plug


@cure(r"put an adapter from (?P<socket>[\w.-]+) to (?P<plug>[\w.-]+) between(?!, for)")
def _adapter(data: Data, match: re.Match[str], finding: Finding) -> None:
    name, into = re.match(JOIN, finding.message).group("part", "into")
    _, key, n, join = next(
        j for j in joins(data) if j[0] == name and f"{into}.".startswith(f"{j[3]['into']}.")
    )
    wire = own(data, name, "wire") or "12 AWG"
    data.setdefault("power-leads", {})["adapter"] = {
        "kind": "adapter",
        "connector": match["plug"],
        "connector-in": match["socket"],
        "supply": join["into"],
        "wire": wire,
        "length": "50 mm",
        "place": own(data, name, "place"),
    }
    if own(data, name, "place") is None:
        del data["power-leads"]["adapter"]["place"]
    rejoin(data, name, key, n, into="adapter.1")


@cure(r"(?:solder|fit) (?P<value>\d+) uF of low-ESR capacitors, rated (?P<volts>\d+) V or more")
def _capacitors(data: Data, match: re.Match[str], finding: Finding) -> None:
    data.setdefault("capacitors", {})["more"] = {
        "across": finding.parts[0],
        "value": f"{match['value']} uF",
        "volts": f"{match['volts']} V",
    }


@cure(r"a part made for (?P<cells>\d+)")
def _cells(data: Data, match: re.Match[str], finding: Finding) -> None:
    parts_of(data)[finding.parts[0]]["cells-max"] = match["cells"]


@cure(r"use parts made for more volts")
def _hv(data: Data, match: re.Match[str], finding: Finding) -> None:
    for name in finding.parts[1:]:
        parts_of(data)[name]["volts-max"] = "26 V"


@cure(r"use parts that work on less")
def _lv(data: Data, match: re.Match[str], finding: Finding) -> None:
    for name in finding.parts[1:]:
        parts_of(data)[name]["volts-min"] = "3.5 V"


@cure(r"pull its red pin and feed (?:the receiver|[\w-]+) from a regulator (?:rated|of) [^,]+ and")
def _instead(data: Data, match: re.Match[str], finding: Finding) -> None:
    """From the same pack, by a split lead, into a supply socket."""
    esc = next(p for p in finding.parts if own(data, p, "bec"))
    part = parts_of(data)[esc]
    rejoin(data, esc, "plug", 0, pulled="positive")
    plug = own(data, esc, "connector") or "XT60"
    first = next(j for j in joins(data) if j[:2] == (esc, "supply"))[3]["into"]
    data.setdefault("power-leads", {})["split"] = {
        "kind": "parallel",
        "ways": 2,
        "connector": plug,
        "wire": own(data, esc, "wire") or "12 AWG",
        "length": "50 mm",
        "supply": first,
    }
    part["supply"] = "split.1"
    data.setdefault("regulators", {})["new"] = {
        "kind": "switching",
        "volts": "5.5 V",
        "rated": "10 A",
        "burst": "15 A",
        "cells-max": 8,
        "metered": "5.5 V",
        "connector": plug,
        "supply": "split.2",
        "plug": "rx.batt",
    }


@cure(r"smaller (?:propeller|fan)")
def _propeller(data: Data, match: re.Match[str], finding: Finding) -> None:
    for motor in data["motors"].values():
        if "full-throttle" in motor:
            motor["full-throttle"] = "1 A"
