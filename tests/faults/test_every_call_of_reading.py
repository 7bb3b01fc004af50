"""The n-th call of reading or keeping fails, for every n: told, and nothing is lost."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from blockmap.files.disk import Disk
from blockmap.files.recovery import Keeper, kept_maps
from blockmap.files.store import fingerprint, load, save
from blockmap.model.errors import BlockmapError, StoreFailed
from tests.faults.sample import after, panel, saved_panel

CALLS = (
    *("stat", "fstat", "open_to_read", "read", "open_folder", "create", "write"),
    *("flush", "link", "replace", "copy_rights"),
)
CODES = [errno.EIO, errno.ENOSPC, errno.EMFILE, errno.ESTALE, errno.EACCES]


def failing(
    patch: pytest.MonkeyPatch, number: int, code: int
) -> Callable[[], list[str]]:
    """Let the n-th call of any disk fail; return what tells which were made."""
    made: list[str] = []

    def counted(name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(disk: Disk, *given: Any) -> Any:
            made.append(name)
            if len(made) == number:
                raise OSError(code, os.strerror(code))
            return real(disk, *given)

        return call

    for name in CALLS:
        patch.setattr(Disk, name, counted(name, getattr(Disk, name)))
    return lambda: made


@pytest.mark.parametrize("code", CODES)
def test_reading_a_map(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    path = saved_panel(tmp_path)
    before, known = path.read_bytes(), fingerprint(path)
    for number in range(1, 20):
        with monkeypatch.context() as patch:
            made = failing(patch, number, code)
            read, problem = None, ""
            try:
                read = load(path).document
            except StoreFailed as refused:
                problem = str(refused)
            assert read == panel() or str(path) in problem
            assert fingerprint(path) in (None, known)
        if number > len(made()):
            break
    assert number > 8
    assert path.read_bytes() == before
    assert [file.name for file in tmp_path.iterdir()] == [path.name]


@pytest.mark.parametrize("code", CODES)
def test_keeping_unsaved_work_and_listing_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    folder = tmp_path / "recovery"
    for number in range(1, 60):
        keeper = Keeper(folder)
        keeper.keep(after(panel(), 1), None, None)
        with monkeypatch.context() as patch:
            made = failing(patch, number, code)
            try:
                keeper.keep(after(panel(), 2), None, None)
                steps = {2}
            except BlockmapError:
                steps = {1, 2}  # 2 where only the last flush failed
        keeper.let_go()
        (kept,), damaged = kept_maps(folder)
        assert not damaged
        assert not kept.damage
        assert kept.document in [after(panel(), step) for step in steps], made()
        with monkeypatch.context() as patch:
            failing(patch, number, code)
            try:
                kept_maps(folder)
            except OSError as escaped:  # pragma: no cover - what must not be
                pytest.fail(f"{escaped!r} escaped")
        (again,), _ = kept_maps(folder)
        assert again.document == kept.document, "a look has lost it"
        kept.discard()
        if number > len(made()):
            break
    assert number > 10


@pytest.mark.parametrize("code", CODES)
def test_a_recovered_map_is_saved_or_still_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    path = saved_panel(tmp_path)
    folder = tmp_path / "recovery"
    for number in range(1, 40):
        save(path, panel())
        keeper = Keeper(folder)
        keeper.keep(after(panel(), 1), path, fingerprint(path))
        keeper.let_go()
        (kept,), _ = kept_maps(folder)
        with monkeypatch.context() as patch:
            made = failing(patch, number, code)
            try:
                document, _notes = kept.read()
                save(path, document)
            except BlockmapError:
                pass
        in_file = load(path).document
        (still,), _ = kept_maps(folder) if in_file == panel() else ((kept,), [])
        assert still.document == after(panel(), 1) or in_file == after(panel(), 1)
        kept.discard()
        if number > len(made()):
            break
    assert number > 10
