"""The documents about a solved harness that go into a plan's book."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress

from harness.base.refusal import Refusal
from harness.faces.figure_press import (
    PICTURES,
    Wanted,
    endurance_of,
    equalise_of,
    line_of,
    load_of,
    solved_plan,
    solving,
    timeline_of,
)
from harness.faces.press import Made
from harness.reader.parts.power import Pack
from harness.wiring.build import Wiring

TEXTS = ("html", "csv")


def book_figures(wiring: Wiring, page: str) -> Iterator[Made]:
    """Yield load, time lines, equalising packs and endurance, as far as the plan has them.

    Where the network has no solution a page says why instead of figures.
    """
    for name, make in MAKERS:
        try:
            yield from list(make(wiring, page))
        except Refusal as why:
            yield Made(f"{name}.txt", f"No figures ({name}), and why", f"{why}\n")


def _forms(make: Callable[[str], list[Made]]) -> Iterator[Made]:
    """Yield a document in all its forms; where there is no picture of it, its texts."""
    for to in TEXTS:
        yield from make(to)
    with suppress(Refusal):
        for to in PICTURES:
            yield from make(to)


def _load(wiring: Wiring, page: str) -> Iterator[Made]:
    solved = solved_plan(wiring)
    if solved.rows:
        yield from _forms(lambda to: [load_of(solved, solved.rows, Wanted(), to, page)])


def _timelines(wiring: Wiring, page: str) -> Iterator[Made]:
    """One for each function that a sequencer takes part in."""
    from harness.electrics.gear.movers import functions_of

    for function, movers in functions_of(wiring).items():
        if any(mover.box is not None for mover in movers):
            yield from _timeline(wiring, function, page)


def _timeline(wiring: Wiring, function: str, page: str) -> Iterator[Made]:
    line = line_of(wiring, function)
    yield from _forms(lambda to: [timeline_of(wiring.plan, line, "", to, page)])


def _equalise(wiring: Wiring, page: str) -> Iterator[Made]:
    from harness.electrics.equalise import equalise

    with solving(wiring.plan, "joining the packs"):
        groups = equalise(wiring)
    if groups:
        yield from _forms(lambda to: equalise_of(wiring.plan, groups, to, page))


def _endurance(wiring: Wiring, page: str) -> Iterator[Made]:
    from harness.electrics.flight.endurance import endurance

    if not any(wiring.plan.of(Pack)):
        return
    with solving(wiring.plan, "flying the phases"):
        found = endurance(wiring)
    yield from _forms(lambda to: [endurance_of(wiring.plan, found, to, page)])


MAKERS: tuple[tuple[str, Callable[[Wiring, str], Iterator[Made]]], ...] = (
    ("load", _load),
    ("timeline", _timelines),
    ("equalise", _equalise),
    ("endurance", _endurance),
)
