"""The user's own files: where they are kept, and how one is written whole or not at all."""

from __future__ import annotations

import contextlib
import os
import secrets
import time
from pathlib import Path

STALE = 3600  # seconds after which a half-written file is no one's any more


def data_folder(*parts: str) -> Path:
    """A folder of the user's own below their data folder, made where it is not there yet. Raises OSError."""
    from platformdirs import user_data_path

    try:
        folder = user_data_path("askcode", appauthor=False).joinpath(*parts)
    except RuntimeError:
        raise OSError(None, "there is no home folder") from None
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    return folder


def write_whole(path: Path, data: bytes, mode: int = 0o666) -> None:
    """Write a file so that there is the old one or the new one, whatever happens, and never half of one (`mode` is that
    of a new file, less the user's mask). Raises OSError."""
    path = path.resolve()  # a link goes on pointing at the file
    new = path.with_name(f".{path.name[:100]}.{secrets.token_hex(4)}.part")
    handle = os.open(new, os.O_CREAT | os.O_EXCL | os.O_WRONLY | getattr(os, "O_BINARY", 0), mode)
    try:
        with open(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        new.replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            new.unlink()
        raise


def sweep(folder: Path) -> None:
    """Remove what a process that was killed while writing has left in a folder."""
    with contextlib.suppress(OSError):
        for left in folder.glob(".*.part"):
            if time.time() - left.stat().st_mtime > STALE:
                left.unlink()


def why(error: OSError) -> str:
    """The system's reason, as the end of a sentence."""
    return (error.strerror or type(error).__name__).lower()
