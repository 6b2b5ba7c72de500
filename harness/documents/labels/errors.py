"""What can go wrong when labels are made."""

from __future__ import annotations

from harness.base.refusal import Refusal


class StockError(ValueError, Refusal):
    """A label stock whose name is not known or whose dimensions cannot be."""


class LabelRefused(ValueError, Refusal):  # noqa: N818 - the builder's word for it
    """A label that would be unreadable, cut off or misprinted is not made at all."""
