"""One pulled pin is one finding, however much goes dead with it; two are no more than two."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest
from support import plan_of

from harness.base.finding import Severity
from harness.rules.run import check

EXAMPLES = Path(__file__).parents[2] / "examples"
PLUG = re.compile(r"(?<=[ {])plug: ([\w-]+\.[\w-]+)(?=[,}\n ])")
PINS = ("positive", "negative", "signal")


def plugs_of(name: str) -> tuple[str, list[re.Match[str]]]:
    text = (EXAMPLES / f"{name}.yaml").read_text("utf-8")
    return text, list(PLUG.finditer(text))


def pulled(text: str, plugs: dict[re.Match[str], str]) -> str:
    for plug in sorted(plugs, key=lambda plug: -plug.start()):
        long = f"plug: {{into: {plug[1]}, pulled: {plugs[plug]}}}"
        text = text[: plug.start()] + long + text[plug.end() :]
    return text


def found_in(text: str) -> list[str]:
    return [f.message for f in check(plan_of(text)).findings if f.severity >= Severity.WARNING]


@pytest.mark.parametrize("pin", PINS)
@pytest.mark.parametrize("name", ["dunlin-4", "marram-26", "sandbar-5", "spindrift-7"])
def test_one_pulled_pin_is_one_finding(name: str, pin: str) -> None:
    text, plugs = plugs_of(name)
    assert len(plugs) >= 4
    told = [found_in(pulled(text, {plug: pin})) for plug in plugs]
    assert max(map(len, told)) == 1


@pytest.mark.parametrize("name", ["dunlin-4", "marram-26", "saltmarsh-19"])
def test_two_pulled_pins_are_at_most_two(name: str) -> None:
    text, plugs = plugs_of(name)
    draw = random.Random(7)
    for _ in range(12):
        faults = {plug: draw.choice(PINS) for plug in draw.sample(plugs, 2)}
        told = found_in(pulled(text, faults))
        assert len(told) <= 2, [(plug[1], pin) for plug, pin in faults.items()]
        assert len(set(told)) == len(told)
