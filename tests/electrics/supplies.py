"""Invented radio supplies that back each other up, by a seed: plans as a builder would write them.

Two to four sources a radio: packs of all chemistries, regulators and BECs from 5 to 8.4 V, each on
its own pack or a common one, behind switches and diodes of all kinds or bare, into a supply socket,
a free channel or a Y-lead, on one receiver or two. Good ones and bad ones: nobody asked the rules.
"""

from __future__ import annotations

import random

SERVOS = ("9g-analogue", "17g-digital", "mini-25g", "standard-high-torque", "standard-hv")
CELLS = (("lipo", 2), ("lipo", 2), ("life", 2), ("nimh", 4), ("nimh", 5), ("liion", 2), ("lihv", 2))


class Supplies:
    """The lines of one plan, by group."""

    def __init__(self, seed: int) -> None:
        self.rng, self.count = random.Random(seed), 0
        self.groups: dict[str, list[str]] = {}
        self.common = self.rng.random() < 0.6

    def add(self, group: str, stem: str, keys: str) -> str:
        """Write a part down; return its id."""
        self.count += 1
        name = f"{stem}-{self.count}"
        self.groups.setdefault(group, []).append(f"  {name}: {{{keys}}}")
        return name

    def wire(self) -> str:
        gauge, length = self.rng.choice([18, 20, 22, 24, 26]), self.rng.randrange(50, 900, 50)
        return f"wire: {gauge} AWG, length: {length} mm"

    def text(self) -> str:
        """One plan."""
        receivers = [self.receiver() for _ in range(self.rng.choice([1, 1, 1, 2]))]
        if self.common:
            keys = f"chemistry: lipo, cells: {self.rng.choice([2, 3, 4, 6])}, capacity: 3 Ah"
            self.groups["packs"] = [f"  main: {{{keys}, rate: 30 C, connector: XT60}}"]
        for free in receivers:
            for number in range(self.rng.randint(2, 4)):
                self.source(free, number)
        body = "\n".join(f"{group}:\n" + "\n".join(parts) for group, parts in self.groups.items())
        return (
            f"plan: 1\naircraft: Doubled supplies\nchannels: {{1: aileron, 3: throttle}}\n{body}\n"
        )

    def receiver(self) -> list[str]:
        """A receiver with servos; the sockets that sources may use."""
        batt = self.rng.randint(1, 3)
        name = self.add("receivers", "rx", f"sockets: 8, supply-sockets: {batt}")
        for socket in range(1, self.rng.randint(2, 5)):
            more = self.rng.choice(["", ", stall: 1.5 A", ", stall: 4 A"])
            self.add("servos", "servo", f"class: {self.rng.choice(SERVOS)}{more}, {self.wire()}, "
                     f"moves: aileron, plug: {name}.{socket}")  # fmt: skip
        supply = [f"{name}.batt"] if batt == 1 else [f"{name}.batt{n + 1}" for n in range(batt)]
        supply += [f"{name}.{socket}" for socket in (5, 6, 7, 8)]
        if self.rng.random() < 0.4:
            keys = f"kind: y, {self.wire()}, plug: {supply.pop(0)}"
            y = self.add("leads", "y", keys)
            supply = [f"{y}.1", f"{y}.2", *supply]
        return supply

    def way(self, socket: str) -> str:
        """What stands between a source and its socket; where the source's own plug goes."""
        for _ in range(self.rng.choice([0, 1, 1, 1, 2, 3])):
            what = self.rng.choice(["diode", "diode", "diode", "switch", "extension"])
            if what == "diode":
                kind = self.rng.choice(["silicon", "schottky", "schottky", "ideal"])
                socket = self.add("diodes", "diode", f"kind: {kind}, plug: {socket}") + ".1"
            elif what == "switch":
                kind = self.rng.choice(["slide", "electronic"])
                socket = self.add("switches", "switch", f"kind: {kind}, plug: {socket}") + ".1"
            else:
                keys = f"kind: extension, {self.wire()}, plug: {socket}"
                socket = self.add("leads", "extension", keys) + ".1"
        return socket

    def source(self, free: list[str], number: int) -> None:
        """A pack, a regulator or an ESC's BEC."""
        kind = self.rng.choice(["pack", "pack", "regulator", "regulator", "bec"])
        socket = self.way(free.pop(0 if number < 2 else self.rng.randrange(len(free))))
        if kind == "pack":
            self.pack(f", plug: {socket}")
            return
        shared = self.common and self.rng.random() < 0.7
        feed = "main" if shared else self.pack("")
        makes = (f"kind: {self.rng.choice(['linear', 'switching'])}, "
                 f"volts: {self.rng.choice([5, 5.2, 5.5, 6, 6.6, 7.4, 8.4])} V, rated: "
                 f"{self.rng.choice([1, 3, 5, 10])} A")  # fmt: skip
        if kind == "regulator":
            self.add("regulators", "reg", f"{makes}, {self.wire()}, plug: {socket}, supply: {feed}")
            return
        esc = self.add("escs", "esc", f"rated: 60 A, bec: {{{makes}}}, {self.wire()}, "
                       f"plug: {socket}, supply: {feed}")  # fmt: skip
        amps = self.rng.choice([8, 20, 45] if shared else [0.5, 2, 6])
        self.add("motors", "motor", f"full-throttle: {amps} A, plug: {esc}")

    def pack(self, plug: str) -> str:
        chemistry, cells = self.rng.choice(CELLS)
        capacity = self.rng.choice([0.5, 0.8, 1.3, 2.2, 3])
        keys = f"chemistry: {chemistry}, cells: {cells}, capacity: {capacity} Ah"
        return self.add("packs", "pack", f"{keys}, rate: 25 C, connector: XT60{plug}")


def redundant(seed: int) -> str:
    """The plan of a radio with more than one supply."""
    return Supplies(seed).text()
