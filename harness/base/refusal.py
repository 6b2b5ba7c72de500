"""The error that ends a job with one clear line for people, and from which size jobs are refused.

Work is counted, never timed: the same plan has the same answer on every machine. Every command is
to end within a minute on one core of a common desk machine.
"""

from __future__ import annotations

MOST_BYTES = 12 * 1024 * 1024
"""A fleet of 30,000 parts is 7 MB."""
MOST_NODES = 1_000_000
"""Values of a plan, with what aliases repeat; 30,000 parts have fewer."""
MOST_PARTS = {
    "check": 32_000,
    "steps": 6_000,
    "protocol": 6_000,
    "record": 6_000,
    "book": 400,
    "run": 4_000,
    "power": 4_000,
    "control": 4_000,
    "airframe": 150,
}
"""Parts of a plan by command, or by view of a drawing; `check` is for all that are not named."""
SOLVE_WORK = 6_000_000
"""Links of a wiring times operating cases that are solved at once; 30,000 parts are 4,000,000."""
CURE_WORK = 200_000
"""Cures of too few volts: links times operating cases, summed over all that are tried (about 12 s);
a headline plan has 5,000."""


class Refusal(Exception):  # noqa: N818 - what it is
    """Something that cannot be done, said so that a builder knows why and what to do."""


def printable(text: str) -> str:
    """Return a text on one line, with a dot for every sign that could steer a terminal."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else " " if c.isspace() else "." for c in text)
