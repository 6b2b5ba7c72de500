"""Our data classes against those of the standard library, which are the oracle."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from collections.abc import Callable
from typing import Any, ClassVar

import pytest

from harness.base import data

Maker = Callable[..., Any]
WORDS = [
    {},
    {"frozen": True},
    {"frozen": True, "slots": True},
    {"frozen": True, "slots": True, "kw_only": True},
    {"frozen": True, "order": True},
    {"eq": False},
    {"slots": True},
    {"frozen": True, "slots": True, "eq": False},
]
KEPT: dict[str, type] = {}


def made(dataclass: Maker, words: dict[str, bool]) -> type:
    """Return a class with every sort of field that the house uses, and a heir of it."""

    @dataclass(**words)
    class Old:
        count: int
        text: str = "a"
        kept: list[int] = data.field(default_factory=list)
        seen: dict[str, int] = data.field(default_factory=dict, init=False, repr=False)
        beside: int = data.field(default=3, compare=False, repr=False)
        many: ClassVar[int] = 7

        def __post_init__(self) -> None:
            self.seen["started"] = self.count

    @dataclass(**words)
    class Heir(Old):
        more: tuple[int, ...] = ()

    return Heir


def told(work: Callable[[], Any]) -> Any:
    """Return what comes of it: a value, or the kind of error."""
    try:
        return work()
    except Exception as error:
        return type(error)


@pytest.mark.parametrize("few", [0, 1, 5, 1000])
@pytest.mark.parametrize("words", WORDS, ids=lambda w: " ".join(w) or "bare")
def test_it_does_what_the_library_does(
    words: dict[str, bool], few: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`few`: so many instances are made before `__init__` is compiled."""
    monkeypatch.setattr(data, "FEW", few)
    ours, theirs = (made(d, words) for d in (data.dataclass, dataclasses.dataclass))
    given = [{"count": 1}, {"count": 1, "beside": 9}, {"count": 2, "more": (1,)}]
    wrong = {"count": 1, "seen": {}}, {"count": 1, "wrong": 1}, {"text": "b"}
    for line in (*given, {}, *wrong):
        assert told(lambda c=ours, w=line: repr(c(**w))) == told(
            lambda c=theirs, w=line: repr(c(**w))
        )
    for places in ((1, "b"), (1, "b", [], 4, (), 5), (1, "b", [2], 4, (3,)), ()):
        assert told(lambda p=places: repr(ours(*p))) == told(lambda p=places: repr(theirs(*p)))
    assert told(lambda: ours(1, count=1)) is told(lambda: theirs(1, count=1)) is TypeError
    a, b = [ours(**w) for w in given], [theirs(**w) for w in given]
    for i in range(3):
        assert dataclasses.replace(a[i], text="z").text == dataclasses.replace(b[i], text="z").text
        for name in ("count", "beside", "new"):  # what is refused, not how: 3.11 has a slip there
            for change in (
                lambda one, n=name: setattr(one, n, 1),
                lambda one, n=name: delattr(one, n),
            ):
                x, y = (told(lambda o=o, c=change: c(copy.copy(o))) for o in (a[i], b[i]))
                assert (x is None) == (y is None)
        for j in range(3):
            assert (a[i] == a[j]) == (b[i] == b[j])
            assert told(lambda i=i, j=j: a[i] < a[j]) == told(lambda i=i, j=j: b[i] < b[j])
            assert told(lambda i=i, j=j: a[i] >= a[j]) == told(lambda i=i, j=j: b[i] >= b[j])
    assert (a[0] == b[0], a[0] == 1) == (False, False)
    assert [f.name for f in dataclasses.fields(ours)] == [
        f.name for f in dataclasses.fields(theirs)
    ]
    assert ours.__match_args__ == theirs.__match_args__
    assert a[0].kept is not a[1].kept
    assert hasattr(a[0], "__dict__") == hasattr(b[0], "__dict__")


@data.dataclass(frozen=True, slots=True)
class Spot:
    """Something that can be a key."""

    name: str
    at: float = 0.0


@data.dataclass(frozen=True)
class Lone:
    """One field only."""

    value: float


def test_a_hash_is_that_of_the_fields() -> None:
    same = dataclasses.make_dataclass("Spot", [("name", str), ("at", float)], frozen=True)
    assert hash(Spot("a", 2.0)) == hash(same("a", 2.0)) == hash(("a", 2.0))
    assert {Spot("a"): 1}[Spot("a")] == 1
    with pytest.raises(TypeError, match="unhashable"):
        hash(made(data.dataclass, {})(1))
    nan = float("nan")
    assert Lone(nan) == Lone(nan)  # as tuples compare: one and the same thing is equal to itself
    assert hash(Lone(1.0)) == hash((1.0,))


def test_a_frozen_one_can_be_copied_and_pickled() -> None:
    spot = Spot("a", 2.0)
    assert copy.deepcopy(spot) == pickle.loads(pickle.dumps(spot)) == spot
    assert copy.copy(Lone(3.0)) == Lone(3.0)


def test_a_ring_is_shown_and_ends() -> None:
    one = data.dataclass(type("One", (), {"__annotations__": {"to": "Any"}}))(None)
    one.to = one
    assert repr(one).endswith("(to=...)")


def test_a_default_that_is_shared_and_can_change_is_refused() -> None:
    with pytest.raises(ValueError, match="factory"):
        data.dataclass(type("One", (), {"__annotations__": {"to": "list[int]"}, "to": []}))


def test_the_librarys_class_can_inherit_from_ours() -> None:
    heir = dataclasses.make_dataclass("Heir", [("more", int, 1)], bases=(Spot,), frozen=True)
    assert repr(heir("a")).endswith("(name='a', at=0.0, more=1)")
    assert [f.type for f in dataclasses.fields(heir)] == ["str", "float", int]
