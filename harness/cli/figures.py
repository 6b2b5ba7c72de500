"""The commands about a solved harness: load, time line, equalising packs, endurance."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from harness.cli.exits import CannotRun
from harness.cli.loaded import wiring_of

if TYPE_CHECKING:
    from harness.cli.press import Made
    from harness.wiring.build import Wiring


def load(
    plan: str, case: str | None, at: str | None, tolerance: int | str | None, seed: int | None,
    to: str, page: str, out: str | None,
) -> None:  # fmt: skip
    """Say what flows everywhere: amps, volts, drops, heat, and the share of what things bear."""
    from harness.cli.figure_press import Wanted, load_document

    if seed is not None and tolerance is None:
        raise CannotRun("--seed is of the random draws of --tolerance: give that too")
    if seed is not None and tolerance == "corners":
        raise CannotRun("corners are not random: leave out --seed")
    wanted = Wanted(case or "", at or "", tolerance, 1 if seed is None else seed)
    _given(plan, out, lambda wiring: [load_document(wiring, wanted, to, page)])


def timeline(
    plan: str, function: str, chosen: str | None, to: str, page: str, out: str | None
) -> None:
    """Follow a function step by step: who moves when, what flows, how low the volts go."""
    from harness.cli.figure_press import timeline_document

    run = chosen or ""
    _given(plan, out, lambda wiring: [timeline_document(wiring, function, run, to, page)])


def equalise(plan: str, to: str, page: str, out: str | None) -> None:
    """Say what flows between packs that have just been joined, and how it dies away."""
    from harness.cli.figure_press import equalise_document

    _given(plan, out, lambda wiring: equalise_document(wiring, to, page))


def endurance(plan: str, to: str, page: str, out: str | None) -> None:
    """Say how long a flight lasts, and what each pack has left."""
    from harness.cli.figure_press import endurance_document

    _given(plan, out, lambda wiring: [endurance_document(wiring, to, page)])


def _given(plan: str, out: str | None, make: Callable[[Wiring], list[Made]]) -> None:
    from harness.cli.press import handed_out

    wiring = wiring_of(plan)
    handed_out(wiring.plan, make(wiring), out)
