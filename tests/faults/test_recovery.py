"""What a crash leaves behind is offered whole, or with words on what is wrong."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from blockmap.files.recovery import Keeper, Kept, kept_for, kept_maps
from blockmap.files.store import fingerprint, save
from blockmap.model.errors import BlockmapError
from tests.faults.sample import after, panel, saved_panel

DAY_S = 86_400


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return the folder of recovery files."""
    return tmp_path / "recovery"


def crashed(folder: Path, *steps: int, source: Path | None = None) -> Path:
    """Keep the map after each of these edits, then vanish as a killed program does."""
    keeper = Keeper(folder)
    base = fingerprint(source) if source else None
    for step in steps:
        keeper.keep(after(panel(), step), source, base)
    keeper._hold.let_go()
    return keeper.file


def only(folder: Path) -> Kept:
    """Return the one map that is offered."""
    (kept,), damaged = kept_maps(folder)
    assert not damaged
    return kept


def test_a_crash_leaves_the_last_map_kept_and_what_to_know_of_it(
    folder: Path, tmp_path: Path
) -> None:
    source = saved_panel(tmp_path)
    before = time.time()
    crashed(folder, 1, 2, 3, source=source)
    kept = only(folder)
    assert kept.document == after(panel(), 3)
    assert (kept.car, kept.cavities, kept.damage) == ("Grey estate", 4, "")
    assert (kept.source, kept.base) == (source, fingerprint(source))
    assert before <= kept.when <= time.time()
    assert kept_for(folder, source) == kept
    assert kept_for(folder, tmp_path / "other") is None


def test_maps_of_a_running_program_are_not_offered(folder: Path) -> None:
    keeper = Keeper(folder)
    keeper.keep(panel(), None, None)
    assert kept_maps(folder) == ([], [])
    keeper.close()
    assert list(folder.iterdir()) == []


def test_a_save_forgets_even_what_a_slow_disk_writes_later(folder: Path) -> None:
    keeper = Keeper(folder)
    late = keeper.ticket()
    keeper.forget()
    keeper.keep(panel(), None, None, late)
    assert not keeper.file.exists()
    keeper.keep(after(panel(), 1), None, None)
    assert keeper.file.exists()


@pytest.mark.parametrize("with_earlier", [True, False])
def test_a_recovery_file_cut_at_any_byte_gives_what_it_holds(
    folder: Path, with_earlier: bool
) -> None:
    file = crashed(folder, *((1, 2) if with_earlier else (2,)))
    whole = file.read_bytes()
    most = 0
    for length in range(len(whole)):
        file.write_bytes(whole[:length])
        kept = only(folder)
        assert kept.damage
        if with_earlier:
            assert kept.document == after(panel(), 1), length
            continue
        try:
            document, notes = kept.read()
        except BlockmapError:
            assert most == 0, length
            continue
        assert "look through it" in notes[0]
        assert len(document.cavities) >= most - 1, length
        most = max(most, len(document.cavities))
    assert with_earlier or most == 4
    file.write_bytes(whole)
    assert only(folder).document == after(panel(), 2)


def test_one_flipped_bit_anywhere_is_never_taken_for_the_map(folder: Path) -> None:
    file = crashed(folder, 1, 2)
    earlier = file.with_name(file.name + "~")
    whole, before = file.read_bytes(), earlier.read_bytes()
    body = whole.index(b"\n") + 1
    for place in range(len(whole)):
        spoilt = bytearray(whole)
        spoilt[place] ^= 1 << (place % 8)
        file.write_bytes(spoilt)
        earlier.write_bytes(before)
        kept = only(folder)
        if place >= body:
            assert kept.damage, place
            assert kept.document == after(panel(), 1)
        elif not kept.damage:  # the head differs in what is only told
            assert kept.document == after(panel(), 2)
        earlier.unlink()
        kept = only(folder)
        assert kept.damage or place < body
        try:
            document, _ = kept.read()
        except BlockmapError:
            continue
        assert len(document.cavities) <= 4


def test_a_file_changed_since_says_so_and_one_that_moved_too(
    folder: Path, tmp_path: Path
) -> None:
    source = saved_panel(tmp_path)
    crashed(folder, 1, source=source)
    kept = only(folder)
    assert kept.file_now() == "same"
    save(source, after(panel(), 7))
    os.utime(source, (kept.when - 60, kept.when - 60))
    assert kept.file_now() == "changed"
    os.utime(source, (kept.when + 60, kept.when + 60))
    assert kept.file_now() == "newer"
    source.rename(tmp_path / "moved")
    assert kept.file_now() == "gone"
    assert only(folder).document == after(panel(), 1)


def test_what_is_in_the_file_already_is_not_offered(
    folder: Path, tmp_path: Path
) -> None:
    source = saved_panel(tmp_path)
    crashed(folder, 1, source=source)
    save(source, after(panel(), 1))
    assert kept_maps(folder) == ([], [])
    assert not list(folder.glob("*.kept*"))


def test_the_latest_by_clock_comes_first_and_tries_are_counted(folder: Path) -> None:
    first = crashed(folder, 1)
    crashed(folder, 2)
    found, _ = kept_maps(folder)
    assert [kept.document for kept in found] == [after(panel(), n) for n in (2, 1)]
    for count in (1, 2):
        kept = next(k for k in kept_maps(folder)[0] if k.file == first)
        kept.note_try()
        kept = next(k for k in kept_maps(folder)[0] if k.file == first)
        assert kept.tries == count
    first.with_suffix(".tries").write_bytes(b"\xff\xfe")
    assert all(kept.tries == 0 for kept in kept_maps(folder)[0])


def test_put_aside_is_kept_a_month_and_discarded_is_gone(folder: Path) -> None:
    crashed(folder, 1)
    only(folder).put_aside()
    assert kept_maps(folder) == ([], [])
    (aside,) = folder.iterdir()
    old = time.time() - 31 * DAY_S
    os.utime(aside, (old, old))
    assert kept_maps(folder) == ([], [])
    assert list(folder.iterdir()) == []
    crashed(folder, 1)
    only(folder).discard()
    assert list(folder.iterdir()) == []


def test_cleaning_takes_only_what_belongs_to_nothing(folder: Path) -> None:
    whole = crashed(folder, 1)
    running = Keeper(folder)
    running.keep(panel(), None, None)
    strays = [folder / name for name in ("a.lock", "b.tries", "c.kept~")]
    fresh = folder / "d.lock"
    for stray in [*strays, fresh]:
        stray.write_bytes(b"garbage \xff")
    old = time.time() - 400 * DAY_S
    for path in folder.iterdir():
        if path != fresh:
            os.utime(path, (old, old))
    found, damaged = kept_maps(folder)
    assert [kept.file for kept in found] == [whole]
    assert damaged == []
    assert not any(stray.exists() for stray in strays)
    assert fresh.exists()
    assert running.file.exists()
    assert running.file.with_suffix(".lock").exists()
    running.close()


def test_odd_things_in_the_folder_do_no_harm(folder: Path) -> None:
    file = crashed(folder, 1)
    (folder / "folder.kept").mkdir()
    if hasattr(os, "mkfifo"):
        os.mkfifo(folder / "fifo.kept")
    (folder / "deep.kept").write_bytes(b"[" * 100_000)
    (folder / "odd.kept").write_bytes(
        b'{"source": "a\\u0000b", "base": null, "when": 1e999, "sequence": 1, '
        b'"sha256": "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"}'
        b"\n"
    )
    found, damaged = kept_maps(folder)
    assert file in [kept.file for kept in found]
    assert any(
        "folder.kept is damaged and was left alone" in words for words in damaged
    )
    for kept in found:
        if kept.file != file:
            with pytest.raises(BlockmapError):
                kept.read()
