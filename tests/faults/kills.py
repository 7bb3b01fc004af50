"""Kills the real program at random moments; run as python -m tests.faults.kills 200.

It edits, keeps and saves without pause until it is killed. Then the file must be whole,
and recovery or the file must hold the last step that was kept, or a later one.
"""

from __future__ import annotations

import random
import signal
import sys
import tempfile
import time
from pathlib import Path

from blockmap.files.recovery import kept_maps
from blockmap.files.store import load
from tests.faults.driven import driven, recovery_of
from tests.faults.sample import saved_panel

__all__ = ["kill_once"]

_BUSY = """
say("go")
for step in range(1, 100000):
    edit(step)
    window().keeping.flush()
    say("kept", step)
    if step % 5 == 0:
        window().map_file.save().wait()
        say("saved", step)
    app.processEvents()
"""


def _step(legend: str) -> int:
    return int(legend.removeprefix("STEP ") or 0)


def kill_once(folder: Path, after_s: float) -> str:
    """Kill the program so long after it began; return what was wrong, or nothing."""
    path = saved_panel(folder)
    home = folder / "home"
    with driven(_BUSY, home, path) as child:
        child.wait_for("go")
        time.sleep(after_s)
        child.process.send_signal(signal.SIGKILL)
        said = [line.split() for line in child.lines()]
        _, _, wrong = child.end()
    if wrong:
        return f"said on standard error: {wrong}"
    done = [int(words[1]) for words in said if len(words) == 2]
    last = max(done, default=0)
    in_file = _step(load(path).document.cavities["panel/F1"].legend)
    found, damaged = kept_maps(recovery_of(home))
    kept = [_step(one.document.cavities["panel/F1"].legend) for one in found]
    strays = {f.name for f in folder.iterdir()} - {path.name, f"{path.name}~", "home"}
    if damaged or strays or any(one.damage for one in found):
        return f"left {damaged} {strays} {found}"
    if not last <= max([in_file, *kept]) <= last + 1:
        return f"said {last}, file {in_file}, recovery {kept}"
    return ""


def main(times: int) -> int:
    """Kill so many times and print what was lost."""
    seed = random.randrange(1 << 32)
    chance = random.Random(seed)
    wrong = 0
    for number in range(times):
        with tempfile.TemporaryDirectory() as folder:
            moment = chance.uniform(0, 0.25)
            words = kill_once(Path(folder), moment)
        if words:
            wrong += 1
            sys.stdout.write(f"kill {number} after {moment:.4f} s: {words}\n")
    sys.stdout.write(f"{times} kills, seed {seed}: {wrong} with something lost\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 200))
