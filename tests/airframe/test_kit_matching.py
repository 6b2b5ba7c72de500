"""The kit is given out in the one best way: against every way there is, tried one by one."""

from __future__ import annotations

import itertools
import random
from collections import Counter
from collections.abc import Iterator

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment
from support import plan_of

from harness.airframe.kit import Kit, kit_of
from harness.airframe.kit.fit import shares

Key = tuple[int, ...]


def every_way(
    needs: list[int], pieces: list[int], costs: dict[tuple[int, int], int]
) -> Iterator[dict[tuple[int, int], int]]:
    """Yield every way to give pieces out, by trying for each single need each single piece."""
    units = [n for n, many in enumerate(needs) for _ in range(many)]

    def deal(at: int, left: list[int], got: Counter[tuple[int, int]]) -> Iterator[Counter]:
        if at == len(units):
            yield Counter(got)
            return
        yield from deal(at + 1, left, got)
        for piece, many in enumerate(left):
            if many and (units[at], piece) in costs:
                rest = [*left[:piece], many - 1, *left[piece + 1 :]]
                yield from deal(at + 1, rest, got + Counter([(units[at], piece)]))

    yield from deal(0, list(pieces), Counter())


def best_of_all(
    needs: list[int], pieces: list[int], costs: dict[tuple[int, int], int]
) -> dict[tuple[int, int], int]:
    """The definition itself: most given, then least cost, then the first pairs get most."""

    def rank(way: dict[tuple[int, int], int]) -> tuple[int, int, Key]:
        cost = sum(costs[pair] * many for pair, many in way.items())
        return (-sum(way.values()), cost, tuple(-way.get(pair, 0) for pair in sorted(costs)))

    return dict(sorted(min(every_way(needs, pieces, costs), key=rank).items()))


@pytest.mark.parametrize("seed", range(120))
def test_small_cases_against_every_way(seed: int) -> None:
    dice = random.Random(seed)
    needs = [dice.randint(0, 2) for _ in range(dice.randint(1, 3))]
    pieces = [dice.randint(0, 2) for _ in range(dice.randint(1, 3))]
    pairs = itertools.product(range(len(needs)), range(len(pieces)))
    costs = {pair: dice.randint(0, 3) for pair in pairs if dice.random() < 0.7}
    assert shares(needs, pieces, costs) == best_of_all(needs, pieces, costs)


@pytest.mark.parametrize("seed", range(8))
def test_larger_cases_against_an_assignment_solver(seed: int) -> None:
    """scipy's assignment solver, each single piece a column: as many given, at the same cost."""
    dice = random.Random(seed)
    needs = [dice.randint(1, 5) for _ in range(9)]
    pieces = [dice.randint(1, 5) for _ in range(8)]
    pairs = itertools.product(range(len(needs)), range(len(pieces)))
    costs = {pair: dice.randint(0, 300) for pair in pairs if dice.random() < 0.35}
    rows = [n for n, many in enumerate(needs) for _ in range(many)]
    columns = [p for p, many in enumerate(pieces) for _ in range(many)]
    none = 1_000_000
    table = np.array([[costs.get((n, p), none) for p in columns] for n in rows])
    solved = table[linear_sum_assignment(table)]
    found = shares(needs, pieces, costs)
    assert sum(found.values()) == int((solved < none).sum())
    assert sum(costs[pair] * many for pair, many in found.items()) == int(
        solved[solved < none].sum()
    )


def test_needs_and_pieces_are_never_exceeded() -> None:
    assert shares([3], [2], {(0, 0): 7}) == {(0, 0): 2}
    assert shares([1], [9], {(0, 0): 7}) == {(0, 0): 1}
    assert shares([], [4], {}) == {}
    assert shares([4], [4], {}) == {}


TIES: list[tuple[list[int], list[int], dict[tuple[int, int], int]]] = [
    ([1, 2], [2, 2, 1, 2], {(0, 0): 0, (0, 2): 0, (1, 0): 0, (1, 1): 0, (1, 2): 1, (1, 3): 0}),
    ([2, 2], [2, 2, 2], {(0, 0): 1, (0, 1): 1, (1, 0): 0, (1, 1): 0, (1, 2): 1}),
]


@pytest.mark.parametrize(("needs", "pieces", "costs"), TIES)
def test_of_answers_as_good_the_first(
    needs: list[int], pieces: list[int], costs: dict[tuple[int, int], int]
) -> None:
    """By hand: need 0 takes piece 0 though another costs as much, and need 1 what follows."""
    assert shares(needs, pieces, costs) == best_of_all(needs, pieces, costs)
    assert shares(needs, pieces, costs)[0, 0] == needs[0]


def test_a_cheap_piece_is_given_back_for_a_larger_number_served() -> None:
    """Need 0 may take either piece, need 1 only the first: the greedy choice would serve one."""
    assert shares([1, 1], [1, 1], {(0, 0): 0, (0, 1): 9, (1, 0): 9}) == {(0, 1): 1, (1, 0): 1}


LEADS = "receivers: {{rx: {{sockets: 12}}}}\nleads:\n{leads}\nkit:\n{kit}\n"


def kit(leads: list[str], pieces: list[str]) -> Kit:
    """Compare some leads, named a, b, c..., with the lines of a kit."""
    lines = [f"  {chr(97 + n)}: {{{lead}, plug: rx.{n + 1}}}" for n, lead in enumerate(leads)]
    text = LEADS.format(leads="\n".join(lines), kit="\n".join(f"  - {{{p}}}" for p in pieces))
    return kit_of(plan_of(text))


def given(found: Kit) -> dict[str, object]:
    """Return the length of the piece each part gets."""
    return {use.part.id: use.piece.length for use in found.used}


def test_least_length_to_spare_in_all() -> None:
    """By hand: 320 and 330 for 300 and 310 leave 40 mm over, either way; any 450 leaves more.

    Of the two ways that are as good, the first lead by name takes the first piece by length.
    """
    leads = ["kind: extension, length: 310 mm", "kind: extension, length: 300 mm"]
    pieces = [f"kind: extension, length: {n} mm" for n in (450, 330, 320, 450)]
    assert given(kit(leads, pieces)) == {"a": 320, "b": 330}


@pytest.mark.parametrize(
    ("plan", "piece", "fits"),
    [
        ("length: 300 mm", "length: 300 mm", True),
        ("length: 300 mm", "length: 299 mm", False),
        ("length: 300 mm", "length: 450 mm", True),  # the next stock length
        ("length: 300 mm", "length: 451 mm", False),
        ("length: 310 mm", "length: 450 mm", True),
        ("length: 310 mm", "length: 600 mm", False),
        ("length: 1200 mm", "length: 2 m", True),  # no stock length above it
        ("length: 12 in", "length: 300 mm", False),  # 304.8 mm
        ("length: 300 mm", "length: 12 in", True),
        ("wire: 22 AWG", "wire: 20 AWG", True),
        ("wire: 22 AWG", "wire: 24 AWG", False),
        ("wire: 22 AWG", "wire: 0.34 mm2", True),
        ("length: 300 mm", "wire: 22 AWG", True),  # nobody says how long: to be checked
        ("wire: 22 AWG", "length: 300 mm", True),
    ],
)
def test_what_does_for_a_lead(plan: str, piece: str, fits: bool) -> None:
    found = kit([f"kind: extension, {plan}"], [f"kind: extension, {piece}"])
    assert (not found.missing) is fits
    assert len(found.left) == (not fits)


@pytest.mark.parametrize(
    ("lead", "piece", "fits"),
    [
        ("kind: y", "kind: y", True),
        ("kind: y", "kind: extension", False),
        ("kind: y", "kind: n-way, ways: 2", True),
        ("kind: n-way, ways: 3", "kind: n-way, ways: 3", True),
        ("kind: n-way, ways: 3", "kind: n-way, ways: 4", False),
        ("kind: reverser", "kind: reverser", True),
        ("kind: custom, ways: 1", "kind: extension", False),
    ],
)
def test_kinds_and_sockets(lead: str, piece: str, fits: bool) -> None:
    assert (not kit([lead], [piece]).missing) is fits


def test_what_is_not_told_is_a_last_choice_and_to_be_checked() -> None:
    lead, told = "kind: extension, length: 300 mm", "kind: extension, length: 450 mm"
    found = kit([lead, lead], [told, "kind: extension", "kind: extension"])
    assert sorted(use.unknown for use in found.used) == [(), ("length",)]
    alone = kit([lead], [told, "kind: extension"])
    assert given(alone) == {"a": 450}


def test_spares_stay_spares_while_others_do() -> None:
    """The spare fits to the millimetre; the other is longer and is taken all the same."""
    lead = "kind: extension, length: 300 mm"
    pieces = ["kind: extension, length: 300 mm, spare: yes", "kind: extension, length: 450 mm"]
    assert given(kit([lead], pieces)) == {"a": 450}
    assert given(kit([lead, lead], pieces)) == {"a": 300, "b": 450}


def test_thin_wire_first_where_it_does() -> None:
    lead = "kind: extension, wire: 22 AWG"
    found = kit([lead], ["kind: extension, wire: 18 AWG", "kind: extension, wire: 22 AWG"])
    assert [use.piece.wire.text for use in found.used if use.piece.wire] == ["22 AWG"]


def test_a_piece_for_a_part_goes_there_before_all_else() -> None:
    found = kit(
        ["kind: y, length: 300 mm", "kind: y, length: 300 mm"],
        ["kind: y, length: 450 mm, for: b", "kind: y, length: 300 mm"],
    )
    assert given(found) == {"a": 300, "b": 450}
    other = kit(["kind: y"], ["kind: y, for: a", "kind: y, for: a"])
    assert [left.why for left in other.left] == ['lead "a" has all it needs']


def test_a_piece_for_a_part_that_it_cannot_be() -> None:
    found = kit(["kind: y"], ["kind: extension, for: a"])
    assert [m.need.part.id for m in found.missing] == ["a"]
    assert [left.why for left in found.left] == ['lead "a" is no extension']


def test_a_lead_made_up_of_wire() -> None:
    made = "kind: custom, ways: 1"
    assert kit([made], ["kind: wire, length: 1 m"]).missing
    found = kit([made], ["kind: wire, length: 1 m, for: a"])
    assert not found.missing
    assert not found.left


def test_the_order_of_lines_and_parts_is_free() -> None:
    leads = ["kind: y, length: 280 mm", "kind: y, length: 140 mm", "kind: y, length: 290 mm"]
    pieces = ["kind: y, length: 150 mm", "kind: y, length: 300 mm", "kind: y, length: 450 mm"]
    answers = {tuple(sorted(given(kit(leads, list(order))).items()))
               for order in itertools.permutations(pieces)}  # fmt: skip
    assert len(answers) == 1


def brute(found: Kit) -> tuple[int, float]:
    """Return how many leads can be served at most, and with how little length over, by trial."""
    leads = [p.length for p in found.plan.parts.values() if p.id != "rx"]  # type: ignore[attr-defined]
    pieces = [p.length for p in found.plan.kit for _ in range(p.count)]
    stock = [100, 150, 200, 300, 450, 600, 900, 1000]
    best = (0, 0.0)
    for order in itertools.permutations([*pieces, *[None] * len(leads)], len(leads)):
        served, over = 0, 0.0
        for lead, piece in zip(leads, order, strict=True):
            limit = next((s for s in stock if s > lead), 1e9)
            if piece is not None and lead <= piece <= limit:
                served, over = served + 1, over + piece - lead
        best = min(best, (-served, over))
    return -best[0], best[1]


@pytest.mark.parametrize("seed", range(25))
def test_whole_kits_against_every_order(seed: int) -> None:
    """Lengths drawn by lot; the stock lengths are those of the trade (common practice)."""
    dice = random.Random(seed)
    leads = [f"kind: y, length: {dice.randrange(80, 700, 20)} mm" for _ in range(3)]
    pieces = [f"kind: y, length: {dice.choice([100, 150, 200, 300, 450, 600])} mm"
              for _ in range(3)]  # fmt: skip
    found = kit(leads, pieces)
    assert (len(found.used), sum(use.over for use in found.used)) == brute(found)


def test_lines_alike_are_as_one_line() -> None:
    """The kit may be written piece by piece: what goes where is the same, whatever the lines."""
    head = "receivers: {rx: {sockets: 8}}\nleads:\n" + "".join(
        f"  l{n}: {{kind: extension, length: {n}00 mm, wire: 22 AWG, plug: rx.{n}}}\n"
        for n in range(2, 6)
    )
    line = "  - {kind: extension, length: 300 mm, wire: 22 AWG"
    other = "  - {kind: extension, wire: 22 AWG}\n"
    one = kit_of(plan_of(f"{head}kit:\n{line}, count: 4}}\n{other}"))
    apart = f"{line}}}\n"
    many = kit_of(plan_of(f"{head}kit:\n{apart}{other}{apart * 3}"))

    def given(kit: Kit) -> dict[str, int]:
        found: dict[str, int] = {}
        for use in kit.used:
            found[use.part.id] = found.get(use.part.id, 0) + use.count
        return found

    # 300 mm do for 200 and 300 mm; what has no length stated may be any, and goes to the first left
    assert given(one) == given(many) == {"l2": 1, "l3": 1, "l4": 1}
    assert [(m.need.part.id, m.count) for m in many.missing] == [("l5", 1)]
