"""One plug in its socket."""

from __future__ import annotations

from dataclasses import dataclass

from harness.base.span import Span
from harness.parts.contacts import Port
from harness.parts.join import Join


@dataclass(frozen=True, slots=True)
class Mate:
    """One plug and where it goes. `socket` is None when there is no such socket.

    `fits`: the forms agree. `first`: no other plug has taken the socket before.
    """

    plug: Port
    join: Join
    socket: Port | None
    fits: bool
    first: bool
    turned: bool = False
    crossed: bool = False

    @property
    def span(self) -> Span:
        """Where the plan says it."""
        return self.join.span

    @property
    def into(self) -> str:
        """Where the plug goes: rx.6; as the plan writes it where there is no such socket."""
        return self.socket.short if self.socket is not None else self.join.into
