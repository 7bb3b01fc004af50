"""Names the temporary files of a save, and sweeps those that a killed program left.

It takes nothing that a running program may still need, here or on another machine
that shares the folder.
"""

from __future__ import annotations

import hashlib
import os
import re
import secrets
import socket
from contextlib import suppress
from functools import cache
from pathlib import Path

__all__ = ["sweep", "temporary_in"]

_TEMPORARY = re.compile(r"\.blockmap-([0-9a-f]{8})-([0-9]+)-[0-9a-f]{8}\.tmp")


@cache
def _host() -> str:
    """Return a word for where process numbers mean what they mean here.

    Machines may share a folder and be called alike, and a container counts its
    processes by itself.
    """
    parts = [socket.gethostname().encode()]
    with suppress(OSError):
        parts.append(Path("/etc/machine-id").read_bytes())
    with suppress(OSError):
        parts.append(b"%d" % Path("/proc/self/ns/pid").stat().st_ino)
    return hashlib.sha256(b"\n".join(parts)).hexdigest()[:8]


def temporary_in(folder: Path) -> Path:
    """Return a name of this process for a new file in a folder."""
    return folder / f".blockmap-{_host()}-{os.getpid()}-{secrets.token_hex(4)}.tmp"


def sweep(folder: Path) -> int:
    """Remove temporary files that a killed blockmap of this machine left; count them.

    Those of a running process and of other machines stay.
    """
    removed = 0
    with suppress(OSError, ValueError), os.scandir(folder) as entries:
        for entry in entries:
            match = _TEMPORARY.fullmatch(entry.name)
            if match and match[1] == _host() and not _runs(int(match[2])):
                with suppress(OSError):
                    Path(entry.path).unlink()
                    removed += 1
    return removed


def _runs(process: int) -> bool:
    if os.name != "posix":
        return True
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True
