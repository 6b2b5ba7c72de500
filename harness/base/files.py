"""Writing files whole or not at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path


def write_whole(path: Path, content: bytes | str) -> Path:
    """Write `content` to a temporary file beside `path`, then rename it into place.

    An existing file stays as it was when anything fails. Raises OSError.
    """
    data = content.encode("utf-8") if isinstance(content, str) else content
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        Path(name).chmod(_usual_mode())
        Path(name).replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            Path(name).unlink()
        raise
    return path


def _usual_mode() -> int:
    """Return the mode a plainly opened file would get; mkstemp's own is private."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
