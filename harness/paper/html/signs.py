"""Signs that stand beside colours: the same shapes as the markers on the drawings."""

from __future__ import annotations

from harness.base.colours import STATUS
from harness.drawing.marks import marker_shape
from harness.drawing.scene import Commands
from harness.drawing.svg import number

WORDS = {"caution": "Caution", "danger": "Danger", "warning": "Warning", "ok": "In order"}
"""What a reader of the page aloud says for a sign."""
_STATUS = {"caution": "warning"}
_MARK = {"danger": "M-1.2 -5h2.4l-.5 6h-1.4zM-1.2 2.4h2.4v2.4h-2.4z",
         "warning": "M-1.1 -3h2.2l-.5 5h-1.2zM-1.1 3h2.2v2.2h-2.2z",
         "ok": "M-4.4 .2l1.4 -1.5 2 2 4.2 -4.5 1.4 1.4 -5.6 6z"}  # fmt: skip


def symbols() -> str:
    """Return the shapes once; `sign` refers to them."""
    made = "".join(
        f'<symbol id="_s-{name}" viewBox="-11 -11 22 22">'
        f'<path d="{_data(marker_shape(name, 8.0))}" fill="currentColor"/>'  # type: ignore[arg-type]
        f'<path d="{_MARK[name]}" class="hole"/></symbol>'
        for name in STATUS
        if name in _MARK
    )
    return f'<svg class="symbols" aria-hidden="true" width="0" height="0">{made}</svg>'


def sign(tone: str) -> str:
    """Return the sign of a tone, or nothing."""
    if tone not in WORDS:
        return ""
    name = _STATUS.get(tone, tone)
    return (
        '<svg class="sign" aria-hidden="true" width="18" height="18">'
        f'<use href="#_s-{name}"/></svg>'
    )


def aloud(tone: str, text: str) -> str:
    """Return the sign's word for those who cannot see it, unless the text begins with it."""
    word = WORDS.get(tone, "")
    if not word or text.lower().startswith(word.lower()):
        return ""
    return f'<span class="unseen">{word}: </span>'


def _data(commands: Commands) -> str:
    return "".join(name + " ".join(map(number, values)) for name, values in commands)
