"""The program is killed, told to end, or crashes: its next start offers the work."""

from __future__ import annotations

import os
import random
import signal
from pathlib import Path

import pytest

from blockmap.files.recovery import Kept, kept_maps
from blockmap.files.store import load
from tests.faults.driven import driven, recovery_of
from tests.faults.kills import kill_once
from tests.faults.sample import after, panel, saved_panel

pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals of POSIX")


def found(home: Path) -> list[Kept]:
    """Return what a next start would offer."""
    maps, damaged = kept_maps(recovery_of(home))
    assert not damaged
    return maps


def test_random_kills_while_editing_keeping_and_saving(tmp_path: Path) -> None:
    seed = random.randrange(1 << 32)
    chance = random.Random(seed)
    for number in range(6):
        folder = tmp_path / str(number)
        folder.mkdir()
        assert kill_once(folder, chance.uniform(0, 0.25)) == "", f"seed {seed}"


def test_the_map_is_kept_by_itself_a_moment_after_the_last_edit(tmp_path: Path) -> None:
    path = saved_panel(tmp_path)
    body = "window().keeping.kept.connect(lambda _: say('kept'))\nedit(1); edit(2)"
    with driven(body, tmp_path, path) as child:
        child.wait_for("kept")
        assert found(tmp_path) == []  # nothing is offered while the program runs
        child.process.send_signal(signal.SIGKILL)
        child.process.wait()
        (kept,) = found(tmp_path)
    assert kept.document == after(panel(), 2)
    assert kept.source == path
    assert load(path).document == panel()


@pytest.mark.parametrize("name", ["SIGTERM", "SIGINT", "SIGHUP"])
@pytest.mark.parametrize("question", [False, True])
def test_told_to_end_it_keeps_unsaved_work_and_asks_nothing(
    tmp_path: Path, name: str, question: bool
) -> None:
    path = saved_panel(tmp_path)
    body = "edit(1)\nsay('edited')"
    if question:
        body = "edit(1)\nQTimer.singleShot(50, lambda: say('edited'))\nwindow().close()"
    with driven(body, tmp_path, path) as child:
        child.wait_for("edited")
        child.process.send_signal(getattr(signal, name))
        assert child.end() == (0, [], "")
    (kept,) = found(tmp_path)
    assert kept.document == after(panel(), 1)
    assert load(path).document == panel()


HANGING_SAVE = """
import threading
from blockmap.files.disk import Disk
really = Disk.create
def create(disk, path, mode):
    if str(path).startswith(sys.argv[1].rpartition("/")[0] + "/.blockmap"):
        threading.Event().wait()  # for ever, as a share that is gone
    return really(disk, path, mode)
Disk.create = create
edit(1)
window().map_file.save()
edit(2)
say("saving")
"""


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
@pytest.mark.parametrize("closing", [False, True])
def test_told_to_end_while_a_save_hangs_it_keeps_the_work(
    tmp_path: Path, name: str, closing: bool
) -> None:
    path = saved_panel(tmp_path)
    body = HANGING_SAVE + ("window().close()\nsay('closing')\n" if closing else "")
    with driven(body, tmp_path, path) as child:
        child.wait_for("closing" if closing else "saving")
        child.process.send_signal(getattr(signal, name))
        assert child.end() == (0, [], "")
    (kept,) = found(tmp_path)
    assert (kept.document, kept.source) == (after(panel(), 2), path)
    assert load(path).document == panel()


def test_a_crash_while_unsaved_work_is_opened_loses_nothing(tmp_path: Path) -> None:
    saved_panel(tmp_path)
    with driven(
        "edit(1); window().keeping.flush(); os._exit(9)",
        tmp_path,
        tmp_path / "car.blockmap.yaml",
    ) as child:
        child.process.wait(20)
    crash = (
        "kept().note_try(); os._exit(9)",  # before it was read
        "window().take_kept(kept()).wait(); os._exit(9)",  # before it was kept anew
        "window().take_kept(kept()).wait(); window().keeping.flush(); os._exit(9)",
    )
    for number, body in enumerate(crash, 1):
        (kept,) = found(tmp_path)
        assert (kept.document, kept.tries) == (after(panel(), 1), number - 1)
        with driven(body, tmp_path) as child:
            assert child.process.wait(20) == 9
    (kept,) = found(tmp_path)
    assert (kept.document, kept.tries) == (after(panel(), 1), 3)


def test_a_map_that_ends_the_program_does_not_end_every_start(tmp_path: Path) -> None:
    saved_panel(tmp_path)
    crash = "edit(1); window().keeping.flush(); os._exit(9)"
    with driven(crash, tmp_path, tmp_path / "car.blockmap.yaml") as child:
        child.process.wait(20)
    for _ in range(2):
        body = "window().take_kept(kept()).wait(); os._exit(9)"
        with driven(body, tmp_path) as child:
            assert child.process.wait(20) == 9
    body = (
        "page = window().start_page\n"
        "say(page.isVisible(), len(window().session.document.blocks))\n"
        "say(page.kept.list.item(0).text())\n"
    )
    with driven(body, tmp_path) as child:
        child.wait_for("True 0")
        (words,) = [next(child.lines())]
    assert "the program ended 2 times after opening this" in words


def test_leaving_with_copied_cells_ends_cleanly(tmp_path: Path) -> None:
    body = (
        "window().selection.select(['panel/F1', 'panel/F2'])\n"
        "window().actions_by_name['copy'].trigger()\n"
        "say(app.clipboard().text() != '')\n"
        "QTimer.singleShot(0, window().close)\n"
    )
    with driven(body, tmp_path, saved_panel(tmp_path)) as child:
        assert child.end() == (0, ["True"], "")
