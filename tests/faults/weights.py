"""What a program at work holds: memory, live objects, and references to None.

None counts its references like any object on Python 3.11. References that live
objects hold are found by walking them. The rest is held where the walk cannot see:
in compiled code, and by PySide. It refuses to guess which of the two.
"""

from __future__ import annotations

import ctypes
import gc
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import CodeType
from typing import Any

__all__ = ["Weight", "weigh"]


@dataclass(frozen=True, slots=True)
class Weight:
    """One weighing.

    native_kb is what compiled code has taken and not given back, 0 where it cannot be
    told. stuck_objects are cycles that freezing kept from collection.
    """

    resident_kb: int
    native_kb: int
    live_objects: int
    stuck_objects: int
    none_held: int
    none_elsewhere: int

    def words(self) -> str:
        """Return the weighing in a line."""
        return (
            f"resident {self.resident_kb / 1024:.0f} MB, "
            f"of compiled code {self.native_kb / 1024:.1f} MB, "
            f"{self.live_objects} objects and {self.stuck_objects} stuck, "
            f"None {self.none_held} held by them and {self.none_elsewhere} elsewhere"
        )


def weigh() -> Weight:
    """Collect what can be collected, and count what is left.

    No other thread may run meanwhile: a tuple that one is just making would be listed,
    and could then not be finished, which raises there.
    """
    gc.collect()
    gc.unfreeze()  # what is frozen is neither collected nor listed
    stuck = gc.collect()
    with _alone():
        live = gc.get_objects()
        total = sys.getrefcount(None)
        held = _none_held(live)
        count = len(live)
        del live
    return Weight(_resident_kb(), _native_kb(), count, stuck, held, total - held)


@contextmanager
def _alone() -> Iterator[None]:
    earlier = sys.getswitchinterval()
    sys.setswitchinterval(1000.0)
    time.sleep(0.02)  # lets those run on that were already promised a turn
    try:
        yield
    finally:
        sys.setswitchinterval(earlier)


def _none_held(live: list[Any]) -> int:
    count = 0
    for each in live:
        count += sum(1 for part in gc.get_referents(each) if part is None)
    for inner in _plain_containers(live):
        count += sum(1 for part in inner if part is None)
    return count


def _plain_containers(live: list[Any]) -> Iterator[list[Any]]:
    """Yield the parts of tuples, dicts and code that the collector does not list."""
    seen: set[int] = set()
    waiting = live
    while waiting:
        found: list[Any] = []
        for each in waiting:
            parts = _parts(each)
            if waiting is not live:
                yield parts
            for part in parts:
                plain = isinstance(part, (tuple, dict)) and not gc.is_tracked(part)
                if (plain or isinstance(part, CodeType)) and id(part) not in seen:
                    seen.add(id(part))
                    found.append(part)
        waiting = found


def _parts(each: Any) -> list[Any]:
    if isinstance(each, CodeType):
        return [each.co_consts]
    return gc.get_referents(each)


def _resident_kb() -> int:
    try:
        words = Path("/proc/self/statm").read_text("ascii").split()
    except OSError:
        return 0
    return int(words[1]) * 4


class _MallocInfo(ctypes.Structure):
    """struct mallinfo2 of the C library, from its manual page mallinfo(3)."""

    _fields_ = [
        (name, ctypes.c_size_t)
        for name in (
            *("arena", "ordblks", "smblks", "hblks", "hblkhd"),
            *("usmblks", "fsmblks", "uordblks", "fordblks", "keepcost"),
        )
    ]


def _native_kb() -> int:
    try:
        told = ctypes.CDLL(None).mallinfo2
    except (OSError, TypeError, AttributeError):  # another C library, or an older one
        return 0
    told.restype = _MallocInfo
    info = told()
    return int(info.uordblks + info.hblkhd) // 1024
