"""The cautions every document carries. They point at texts; they do not replace them."""

from __future__ import annotations

CAUTIONS = (
    "Take propellers and fans off for every test on the bench; treat a connected pack as armed.",
    "Charge lithium packs attended, on a surface that does not burn, at 0 to 40 °C; a pack that is "
    "swollen, dented or was shorted is not used again.",
    "Make the first power-up through a 3 A fuse or a limited supply, the transmitter on first.",
    "Meter every BEC and every Y-lead before the receiver sees it.",
    "Set the failsafe so that the motors stop; check it, the range and the direction of every "
    "surface before each first flight and whenever the wings have been off.",
    "The makers' instructions and your local rules come first. This plan was computed from what "
    "was written into it; it does not replace a meter, a second pair of eyes or your judgement.",
)
"""Common practice, after the safety pages of the open autopilots' documentation."""
