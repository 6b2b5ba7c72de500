"""Small random airframes as data, and a building site that plays an order of work through.

The site knows nothing of the program: it reads the plan's data, keeps what is joined, closed and
plugged, and refuses what no hand could do. It is the outside judge of every order.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

from hypothesis import strategies as st

Data = dict[str, Any]
Act = tuple[str, str]
"""make part.plug, join a place, close or open a cover, or test everything."""

PLACES = ["body", "bay", "wing", "pod", "tip"]
SHAPE: Data = {
    "body": {},
    "bay": {"in": "body"},
    "wing": {"joins": "body"},
    "pod": {"in": "wing"},
    "tip": {"joins": "wing"},
}


@st.composite
def airframes(draw: Any, most: int = 4) -> Data:
    """Return a plan: five places, two joints, up to three covers, servos on extensions."""
    data: Data = {"plan": 1, "aircraft": "Test", "places": {k: dict(v) for k, v in SHAPE.items()}}
    for joint in ("wing", "tip"):
        joined = draw(st.sampled_from(["", "removable", "for-good"]))
        data["places"][joint] |= {"joined": joined} if joined else {}
    place = st.sampled_from(PLACES)
    data["receivers"] = {"rx": {"sockets": 8, "place": draw(place)}}
    data["covers"] = {}
    for number in range(draw(st.integers(0, 3))):
        cover = {
            "over": draw(st.lists(place, min_size=1, max_size=2, unique=True)),
            "kind": draw(st.sampled_from(["hatch", "screwed", "for-good"])),
        }
        early = ["before-joining"] * 3
        closes = draw(st.sampled_from(["", *early, "after-joining", "last"]))
        cover |= {"closes": closes} if closes else {}
        after = [name for name in data["covers"] if draw(st.booleans()) and draw(st.booleans())]
        data["covers"][f"c{number}"] = cover | ({"after": after} if after else {})
    data["servos"], data["leads"] = {}, {}
    for number in range(draw(st.integers(1, most // 2))):
        socket = f"rx.{number + 1}"
        if draw(st.booleans()):
            plug = _join(draw, socket)
            data["leads"][f"x{number}"] = {"kind": "extension", "place": draw(place), "plug": plug}
            socket = f"x{number}.1"
        data["servos"][f"s{number}"] = {"place": draw(place), "plug": _join(draw, socket)}
    return data


def _join(draw: Any, socket: str) -> Any:
    made = draw(st.sampled_from(["", "", *PLACES]))
    return {"into": socket, "in": made} if made else socket


@dataclass(frozen=True)
class Site:
    """One moment of the building."""

    data: Data = field(compare=False, hash=False)
    made: frozenset[str] = frozenset()
    joined: frozenset[str] = frozenset()
    closed: frozenset[str] = frozenset()
    tested: bool = False

    @property
    def plugs(self) -> dict[str, tuple[str, str, str]]:
        """For each plug the places of its part, of its socket's part, and where it is made."""
        parts = {k: v for group in ("receivers", "servos", "leads")
                 for k, v in self.data.get(group, {}).items()}  # fmt: skip
        found = {}
        for name, part in parts.items():
            if "plug" in part:
                plug = part["plug"] if isinstance(part["plug"], dict) else {"into": part["plug"]}
                there = parts[plug["into"].split(".")[0]]["place"]
                found[f"{name}.plug"] = (part["place"], there, plug.get("in", there))
        return found

    def reach(self, start: str, joints: frozenset[str]) -> set[str]:
        """Return the places that hang together with one while some joints are joined."""
        ways = [(p, v["in"]) for p, v in self.data["places"].items() if "in" in v]
        ways += [(p, v["joins"]) for p, v in self.data["places"].items()
                 if "joins" in v and p in joints]  # fmt: skip
        found = {start}
        for _ in self.data["places"]:
            found |= {b for pair in ways for a, b in (pair, pair[::-1]) if a in found}
        return found

    def touches(self, cover: str) -> set[str]:
        """Return the joints in which the bodies under a cover take part."""
        bodies = {p for o in self.data["covers"][cover]["over"] for p in self.reach(o, frozenset())}
        places = self.data["places"]
        return {j for j in places if "joins" in places[j] and {j, places[j]["joins"]} & bodies}

    def closes(self, cover: str) -> str:
        """Return when a cover closes, by the table of the plan's keys."""
        said = self.data["covers"][cover]
        return str(said.get("closes") or {"for-good": "before-joining"}.get(said["kind"], "last"))

    def refusal(self, act: Act) -> str:
        """Say why something cannot be done now, or return "" when it can."""
        kind, name = act
        return str(getattr(self, f"_{kind}")(name))

    def _make(self, name: str) -> str:
        plug, socket, here = self.plugs[name]
        over = {c for c, v in self.data["covers"].items() if here in v["over"]}
        if name in self.made:
            return "made already"
        if over & self.closed:
            return f"{here} is closed"
        near = self.reach(here, self.joined)
        return "" if {plug, socket} <= near else f"an end does not reach {here}"

    def _join(self, name: str) -> str:
        open_ = [c for c in self.data["covers"] if self.closes(c) == "before-joining"
                 and name in self.touches(c) and c not in self.closed]  # fmt: skip
        return "joined already" if name in self.joined else " and ".join(open_)

    def _close(self, name: str) -> str:
        after = set(self.data["covers"][name].get("after", ())) - self.closed
        if name in self.closed or after:
            return f"closed already, or {after} open"
        if self.closes(name) == "last" and not self.tested:
            return "not tested"
        if self.closes(name) == "after-joining" and not self.touches(name) <= self.joined:
            return "not joined"
        return ""

    def _open(self, name: str) -> str:
        if self.data["covers"][name]["kind"] == "for-good":
            return "closed for good"
        return "" if name in self.closed else "open already"

    def _test(self, _: str) -> str:
        joints = {p for p, v in self.data["places"].items() if "joins" in v}
        ready = self.made == set(self.plugs) and self.joined == joints
        return "" if ready and not self.tested else "not all is plugged and joined"

    def after(self, act: Act) -> Site:
        """Return the site when something has been done."""
        kind, name = act
        if kind == "test":
            return replace(self, tested=True)
        if kind == "open":
            return replace(self, closed=self.closed - {name})
        word = {"make": "made", "join": "joined", "close": "closed"}[kind]
        return replace(self, **{word: getattr(self, word) | {name}})  # type: ignore[arg-type]

    @property
    def done(self) -> bool:
        """Say whether all is built, tested and closed."""
        return self.tested and self.closed == set(self.data["covers"])

    def acts(self) -> Iterator[Act]:
        """Yield all that can be done now."""
        names = {
            "make": sorted(self.plugs), "join": sorted(self.data["places"]),
            "close": sorted(self.data["covers"]), "open": sorted(self.data["covers"]), "test": [""],
        }  # fmt: skip
        for kind, pool in names.items():
            for name in pool:
                if kind == "join" and "joins" not in self.data["places"][name]:
                    continue
                if not self.refusal((kind, name)):
                    yield kind, name

    def can_be_built(self) -> bool:
        """Try every order there is."""
        seen, todo = {self}, [self]
        while todo:
            site = todo.pop()
            if site.done:
                return True
            new = {site.after(act) for act in site.acts()} - seen
            seen |= new
            todo += new
        return False
