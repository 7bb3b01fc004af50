"""Cuts the power of a real disk while the program saves, for root on Linux alone.

Run as python -m tests.faults.power_cuts 100 for so many cuts with each way to mount.
The window edits and saves without pause onto an ext4 file system. At random moments
what the disk may hold after a cut is put on another disk, whose file system mends
itself as after a real one. The map there must be whole and the last one acknowledged
as saved, or a later one.
"""

from __future__ import annotations

import random
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from blockmap.files.store import load
from tests.faults.cut_disk import CutDisk
from tests.faults.driven import driven
from tests.faults.sample import saved_panel

__all__ = ["WAYS", "cuts"]

SIZE = 16 << 20
WAYS: dict[str, tuple[list[str], str]] = {
    "as usual": ([], "defaults"),
    "renames not flushed by themselves": ([], "noauto_da_alloc"),
    "names before contents": ([], "data=writeback,noauto_da_alloc"),
    "no journal": (["-O", "^has_journal"], "defaults"),
}
"""How the file system is made and mounted."""

_BUSY = """
def step(number):
    edit(number)
    window().map_file.save().then(
        lambda done: (say(number), QTimer.singleShot(0, lambda: step(number + 1)))
    )

step(1)
"""


def _run(*command: str | Path) -> str:
    done = subprocess.run(
        [str(part) for part in command], capture_output=True, text=True, check=True
    )
    return done.stdout.strip()


@contextmanager
def _mounted(file: Path, folder: Path, options: str) -> Iterator[Path]:
    """Mount the file system in a file."""
    loop = _run("losetup", "-f", "--show", file)
    try:
        folder.mkdir(exist_ok=True)
        _run("mount", "-o", options, loop, folder)
        try:
            yield folder
        finally:
            _run("umount", folder)
    finally:
        _run("losetup", "-d", loop)


def _found(image: bytes, place: Path, options: str, *, mend: bool) -> int:
    """Return which step the map on a disk after a cut holds."""
    file = place / "after.img"
    file.write_bytes(image)
    if mend:
        subprocess.run(["e2fsck", "-fy", file], capture_output=True, check=False)
    with _mounted(file, place / "after", options) as folder:
        (path,) = folder.glob("car.blockmap.yaml")
        legend = load(path).document.cavities["panel/F1"].legend
    return int(legend.removeprefix("STEP ") or 0)


_WITHOUT_FLUSHING = """
from blockmap.files.disk import Disk
Disk.flush = lambda *given: None
"""


def cuts(
    place: Path, way: str, times: int, seed: int, *, flushed: bool = True
) -> list[str]:
    """Cut the power so often; return what was wrong each time it was.

    flushed is False for a program that does not flush: that must be found out here.
    """
    make, options = WAYS[way]
    chance = random.Random(seed)
    disk = CutDisk(place / "server", SIZE)
    wrong = []
    try:
        _run("mkfs.ext4", "-q", "-F", *make, disk.file)
        with _mounted(disk.file, place / "disk", options) as folder:
            path = saved_panel(folder)
            _run("sync")
            body = _BUSY if flushed else _WITHOUT_FLUSHING + _BUSY
            with driven(body, place / "home", path) as child:
                child.wait_for("1")
                reader = threading.Thread(target=lambda: list(child.lines()))
                reader.start()
                for number in range(times):
                    time.sleep(chance.uniform(0, 0.05))
                    saved = int(child.said[-1])
                    image = disk.after_a_cut(chance)
                    try:
                        step = _found(image, place, options, mend=bool(make))
                    except Exception as problem:
                        wrong.append(f"cut {number} after step {saved}: {problem!r}")
                        continue
                    if step < saved:
                        wrong.append(f"cut {number}: said {saved}, found {step}")
                child.process.kill()
                reader.join()
    finally:
        disk.close()
    return wrong


def main(times: int) -> int:
    """Cut with each way and print what was lost."""
    seed = random.randrange(1 << 32)
    lost = 0
    for way in WAYS:
        with tempfile.TemporaryDirectory() as folder:
            wrong = cuts(Path(folder), way, times, seed)
        lost += len(wrong)
        sys.stdout.write(f"{way}: {times} cuts, seed {seed}: {len(wrong)} lost\n")
        sys.stdout.writelines(f"  {words}\n" for words in wrong)
        sys.stdout.flush()
    return 1 if lost else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 100))
