"""Channels: what the radio sends on them, which functions they have, and what hangs on them."""

from __future__ import annotations

from collections.abc import Collection

from harness.base.functions import agree, plain
from harness.facts.signals import Drive, belongs, channel_key, drives, function_of, has_bus
from harness.parts.autopilot import Autopilot
from harness.parts.figure import origin_of
from harness.parts.receiver import Receiver
from harness.parts.servo import Servo
from harness.plan.plan import Plan
from harness.plan.radio import Channel
from harness.wiring.build import Wiring

STICKS = {"A": "aileron", "E": "elevator", "T": "throttle", "R": "rudder"}
"""The functions of the first four channels by their initials."""


def radio_order(plan: Plan) -> tuple[str, str]:
    """Return the order of the first four channels by initials, and where it is said, or ""."""
    if plan.transmitter.order:
        line = plan.transmitter.spans["order"].line
        return plan.transmitter.order.upper(), f"plan line {line}"
    if any(True for _ in plan.of(Autopilot)):
        value = plan.catalogue.require("rules", "channels", "order")
        return value.text, value.source
    return "", ""


def drives_on(wiring: Wiring, channel: str) -> list[Drive]:
    """Return the devices that a receiver's channel drives."""
    return [drive for drive in drives(wiring) if channel_key(drive) == ("", channel)]


def drives_for(wiring: Wiring, functions: Collection[str]) -> list[Drive]:
    """Return the devices that have one of some functions."""
    return [d for d in drives(wiring) if plain(function_of(wiring.plan, d)) in functions]


def escs_on(wiring: Wiring, name: str, channel: Channel) -> list[str]:
    """Return the ESCs whose throttle a channel is; else, of a throttle, what is plugged into it."""
    plan = wiring.plan
    direct = [d.part.id for d in drives_on(wiring, name)
              if d.part.drives and belongs(plan, d)]  # fmt: skip
    if direct or plain(channel.function) != "throttle":
        return direct
    if has_bus(plan):
        motors = [drive for drive in drives(wiring) if drive.part.drives]
        return [d.part.id for d in motors if agree(function_of(plan, d), channel.function)]
    sockets = [(receiver.id, name) for receiver in plan.of(Receiver)]
    return sorted(port.part.id for socket in sockets for port in wiring.downstream(socket))


def functions_astray(wiring: Wiring) -> list[str]:
    """Return the functions of devices that are on no channel of theirs."""
    plan = wiring.plan
    home = {drive.part.id for drive in drives(wiring) if belongs(plan, drive)}
    devices = [part for part in plan.parts.values() if part.answers]
    return [part.moves for part in devices if part.id not in home and part.moves]


def frames_of(plan: Plan, servo: Servo) -> tuple[str, str]:
    """Return whether a servo is analogue or digital, or "", and where that comes from."""
    if servo.signal:
        return servo.signal, f"plan line {servo.at('signal').line}"
    value = plan.catalogue.value("servos", servo.class_, "kind") if servo.class_ else None
    known = value is not None and value.text in {"analogue", "digital"}
    return (value.text, origin_of(value)) if value is not None and known else ("", "")
