"""Random trees of supplies, with random pins pulled and leads found dead."""

from __future__ import annotations

import random
from typing import Any

Data = dict[str, Any]


class Supplies:
    """Grows one plan: packs, joins, fuses, regulators one behind the other, a radio, what it feeds.

    `faults`: how many places without contact it has.
    """

    def __init__(self, seed: int, faults: int) -> None:
        self.chance, self.faults = random.Random(seed), faults
        self.plan: Data = {"plan": 1, "aircraft": f"Supplies {seed}"}
        self.battery: list[str] = []
        self.batts = [f"rx.batt-{n}" for n in range(1, 5)]
        self.sockets = [f"rx.{n}" for n in range(1, 9)]
        self.joins: list[tuple[Data, tuple[str, ...]]] = []
        self._packs()
        for _ in range(self.chance.randint(0, 3)):
            self.chance.choice([self._split, self._fuse])()
        for _ in range(self.chance.randint(1, 5)):
            self.chance.choice([self._regulator, self._regulator, self._esc, self._load])()
        self._radio()
        self._break()

    def add(self, group: str, **keys: Any) -> str:
        pool = self.plan.setdefault(group, {})
        name = f"{group[:3]}-{len(pool)}"
        pool[name] = keys
        return name

    def into(self, pool: list[str], pins: tuple[str, ...]) -> Data:
        """Take one of some sockets."""
        join = {"into": pool.pop(self.chance.randrange(len(pool)))}
        self.joins.append((join, pins))
        return join

    POLES = ("positive", "negative")
    THREE = ("signal", "positive", "negative")

    def _packs(self) -> None:
        for _ in range(self.chance.randint(1, 2)):
            cells = self.chance.randint(2, 4)
            name = self.add("packs", chemistry="lipo", cells=cells, capacity="3 Ah")
            self.battery.append(name)
        if self.chance.random() < 0.4 and len(self.battery) > 1:
            ends = [self.into(self.battery, self.POLES) for _ in range(2)]
            name = self.add("power-leads", kind="series", supply=ends)
            self.battery.append(f"{name}.1")

    def _split(self) -> None:
        ways = self.chance.randint(1, 3)
        keys = {"kind": "parallel", "ways": ways, "supply": self.into(self.battery, self.POLES)}
        name = self.add("power-leads", **keys)
        self.battery += [f"{name}.{n + 1}" for n in range(ways)]

    def _fuse(self) -> None:
        name = self.add("fuses", rated="10 A", supply=self.into(self.battery, self.POLES))
        self.battery.append(f"{name}.1")

    def _regulator(self) -> None:
        if not self.battery:
            return
        keys: Data = {"kind": self.chance.choice(["linear", "switching"]), "rated": "3 A"}
        keys |= {"volts": self.chance.choice(["5 V", "6 V"]), "isolated": self.flip()}
        keys["supply"] = self.into(self.battery, self.POLES)
        if self.batts and self.chance.random() < 0.6:
            keys["plug"] = self._to_rail()
        name = self.add("regulators", **keys)
        self.battery.append(f"{name}.out")

    def _to_rail(self) -> Data:
        """Through a diode or a switch, or straight if nothing else feeds the rail so."""
        straight = self.into(self.batts, self.THREE)
        kind = self.chance.choice(
            ["diodes", "diodes", "switches"] if len(self.batts) == 3 else ["diodes"]
        )
        kinds = {"diodes": "schottky", "switches": "electronic"}
        name = self.add(kind, kind=kinds[kind], plug=straight)
        join = {"into": f"{name}.1"}
        self.joins.append((join, self.THREE))
        return join

    def _esc(self) -> None:
        if not self.battery:
            return
        plug = self.into(self.sockets, self.THREE)
        bec: Any = "none"
        if not any(esc["bec"] != "none" for esc in self.plan.get("escs", {}).values()):
            bec = {"kind": "switching", "volts": "5 V", "rated": "3 A"}
        supply = self.into(self.battery, self.POLES)
        self.add("escs", bec=bec, isolated=self.flip(), plug=plug, supply=supply)

    def _load(self) -> None:
        if self.battery:
            self.add("loads", current="0.2 A", supply=self.into(self.battery, self.POLES))

    def _radio(self) -> None:
        self.plan["receivers"] = {"rx": {"sockets": 8, "supply-sockets": 4}}
        for _ in range(self.chance.randint(1, 3)):
            plug = self.into(self.sockets, self.THREE)
            if self.flip():
                name = self.add("leads", kind="extension", plug=plug)
                plug = {"into": f"{name}.1"}
            self.add("servos", **{"class": "9g-analogue", "plug": plug})

    def flip(self) -> bool:
        return self.chance.random() < 0.5

    def _break(self) -> None:
        found: list[Data] = []
        leads = [name for group in ("power-leads", "fuses", "leads", "servos", "packs", "diodes")
                 for name in self.plan.get(group, {})]  # fmt: skip
        ends = [join["into"] for join, _ in self.joins]
        for _ in range(self.faults):
            join, pins = self.chance.choice(self.joins)
            how = self.chance.randrange(4)
            if how == 0:
                join["pulled"] = sorted({*join.get("pulled", ()), self.chance.choice(pins)})
            elif how == 1:
                found.append({"end": self.chance.choice(leads), "fact": "dead"})
            elif how == 2 and "." in join["into"]:
                found.append(
                    {"end": self.chance.choice([e for e in ends if "." in e]), "fact": "dead"}
                )
            elif "." in join["into"]:
                wire = self.chance.choice(self.POLES)
                found.append({"end": join["into"], "wire": wire, "fact": "open"})
        self.plan["as-found"] = found
