"""A short piece of a long day at the real window."""

from __future__ import annotations

import os
import subprocess
import sys


def test_random_work_ends_as_its_replay_and_nothing_is_said() -> None:
    ended = subprocess.run(
        [sys.executable, "-m", "tests.faults.long_session", "300", "3"],
        capture_output=True,
        text=True,
        check=False,
        timeout=200,
        env=os.environ | {"QT_QPA_PLATFORM": "offscreen"},
    )
    assert ended.returncode == 0, ended.stderr[-3000:]
    report = dict(line.split(": ", 1) for line in ended.stdout.splitlines())
    assert report["failures"] == "[]"
    assert report["qt_messages"] == "[]"
    assert int(report["steps"]) == 300
    assert int(report["edits"]) > 40
    assert int(report["undone"]) > 40
    assert int(report["saves"]) > 3
