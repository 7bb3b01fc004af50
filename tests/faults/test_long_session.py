"""A short piece of a long day at the real window."""

from __future__ import annotations

import ast
import os
import subprocess
import sys

STEPS, REST_EVERY = 400, 100


def test_random_work_ends_as_its_replay_and_nothing_is_said_or_piles_up() -> None:
    words = [str(STEPS), "3", str(REST_EVERY)]
    ended = subprocess.run(
        [sys.executable, "-m", "tests.faults.long_session", *words],
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
        env=os.environ | {"QT_QPA_PLATFORM": "offscreen"},
    )
    assert ended.returncode == 0, ended.stderr[-3000:]
    lines = [line.split(": ", 1) for line in ended.stdout.splitlines()]
    report = {
        name: ast.literal_eval(words)
        for name, words in lines
        if not name.startswith("step ")
    }
    assert report["failures"] == []
    assert report["qt_messages"] == []
    assert report["steps"] == STEPS
    assert report["edits"] > 60
    assert report["undone"] > 60
    assert report["saves"] > 4
    # Cycles that freezing keeps from the collector stay until the program is left.
    assert max(report["stuck_objects"]) < 5_000
    # References to None that no object of ours holds. PySide takes some for good with
    # each window and editor, 7 a step here; giving too many back ends the program.
    elsewhere = report["none_elsewhere"]
    assert min(elsewhere) > elsewhere[0] - 200
    assert elsewhere[-1] - elsewhere[0] < 15 * (STEPS - REST_EVERY)
