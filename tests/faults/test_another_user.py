"""Files of another user: the program runs as nobody, the files are root's.

The child begins as root, because the interpreter itself may stand where nobody else
may look, imports everything, and then becomes the other user for good.
"""

from __future__ import annotations

import json
import os
import shutil
import stat
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from blockmap.files.recovery import kept_maps
from blockmap.files.store import load
from tests.faults.driven import driven, recovery_of
from tests.faults.sample import after, panel, saved_panel

pytestmark = pytest.mark.skipif(
    os.name != "posix" or os.geteuid() != 0, reason="only root may become another user"
)
NOBODY = 65534

_BECOME = f"""
import importlib, json, pkgutil
import blockmap
for module in pkgutil.walk_packages(blockmap.__path__, "blockmap."):
    if not module.name.endswith("__main__"):
        importlib.import_module(module.name)
for code in ("ascii", "utf-8-sig", "utf-16", "cp1252"):
    "".encode(code)  # these are modules too
asked = []
where = []
def answer(name, value):
    def dialog(_parent, *given):
        asked.append((name, " ".join(map(str, given))))
        return value(name)
    setattr(dialogs, name, dialog)
answer("ask_elsewhere", lambda _name: bool(where))
answer("ask_save_file", lambda _name: where.pop())
answer("tell", lambda _name: None)
os.setgroups([])
os.setresgid({NOBODY}, {NOBODY}, {NOBODY})
os.setresuid({NOBODY}, {NOBODY}, {NOBODY})
def told(result):
    say(json.dumps([result, asked, window().bar.text]))
    window().session.mark_saved()
    window().close()
"""


@pytest.fixture
def place() -> Iterator[Path]:
    """Return a folder that everybody may look into."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    (folder / "home").mkdir()
    os.chown(folder / "home", NOBODY, NOBODY)
    yield folder
    shutil.rmtree(folder)


def as_nobody(place: Path, body: str, *paths: Path) -> tuple[bool, str, str]:
    """Run the program as nobody; return the result, what was asked, what it tells."""
    with driven(_BECOME + body, place / "home", *paths) as child:
        code, lines, wrong = child.end()
    assert (code, wrong) == (0, "")
    result, asked, text = json.loads(lines[-1])
    words: list[Any] = [words for _kind, words in asked]
    return result, " ".join(words), text


SAVE = "edit(1)\nwindow().map_file.save().then(told)\n"


@pytest.mark.parametrize("mode", [0o644, 0o600 | 0o044])
def test_a_file_of_another_is_left_alone_and_saved_elsewhere(
    place: Path, mode: int
) -> None:
    path = saved_panel(place)
    path.chmod(mode)
    mine = place / "home" / "mine.blockmap.yaml"
    body = f"where.append(Path({str(mine)!r}))\n" + SAVE
    result, asked, _text = as_nobody(place, body, path)
    assert result
    assert "the file is write-protected" in asked
    assert load(path).document == panel()
    assert load(mine).document == after(panel(), 1)
    assert mine.stat().st_uid == NOBODY


def test_a_file_that_may_be_written_in_a_folder_that_may_not(place: Path) -> None:
    path = saved_panel(place)
    path.chmod(0o666)
    result, asked, _text = as_nobody(place, SAVE, path)
    assert not result
    assert "you may not write in this folder" in asked
    assert load(path).document == panel()
    assert not list(place.glob(".blockmap-*"))


def test_a_file_of_another_in_a_folder_where_only_owners_may_rename(
    place: Path,
) -> None:
    shared = place / "shared"
    shared.mkdir()
    path = saved_panel(shared)
    path.chmod(0o666)
    shared.chmod(0o1777)
    result, asked, _text = as_nobody(place, SAVE, path)
    assert not result
    assert "you may not write in this folder" in asked
    assert load(path).document == panel()
    assert not list(shared.glob(".blockmap-*"))


def test_a_file_shared_by_a_group_keeps_its_mode(place: Path) -> None:
    shared = place / "shared"
    shared.mkdir()
    path = saved_panel(shared)
    shared.chmod(0o777)
    path.chmod(0o666)
    result, asked, _text = as_nobody(place, SAVE, path)
    assert (result, asked) == (True, "")
    assert load(path).document == after(panel(), 1)
    assert stat.S_IMODE(path.stat().st_mode) == 0o666


def test_a_file_that_may_not_be_read_is_refused_in_words(place: Path) -> None:
    path = saved_panel(place)
    path.chmod(0o600)
    opening = f"window().map_file.open(Path({str(path)!r})).then(told)\n"
    result, asked, _text = as_nobody(place, opening)
    assert not result
    assert "you may not read this file; ask its owner" in asked


def test_a_state_folder_of_another_turns_recovery_off_and_nothing_else(
    place: Path,
) -> None:
    state = place / "home" / "state"
    state.mkdir()
    state.chmod(0o755)
    path = saved_panel(place / "home")
    os.chown(path, NOBODY, NOBODY)
    body = "edit(1)\nwindow().keeping.flush()\n" + SAVE.replace("edit(1)", "edit(2)")
    result, asked, text = as_nobody(place, body, path)
    assert (result, asked) == (True, "")
    assert "Recovery is off, save often" in text
    assert load(path).document == after(panel(), 2)


def test_what_nobody_left_unsaved_is_kept(place: Path) -> None:
    path = saved_panel(place)
    give = (  # what the start made as root
        "for folder, _, _ in os.walk(os.environ['HOME']):\n"
        f"    os.chown(folder, {NOBODY}, {NOBODY})\n"
    )
    keep = "edit(1)\nwindow().keeping.flush()\nsay('kept')"
    with driven(give + _BECOME + keep, place / "home", path) as child:
        child.wait_for("kept")
        child.process.kill()
        child.process.wait()
    (kept,), damaged = kept_maps(recovery_of(place / "home"))
    assert not damaged
    assert kept.document == after(panel(), 1)
