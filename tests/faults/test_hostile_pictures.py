"""Spoilt and huge pictures are refused or taken, in little memory, and never more.

PNG files are put together here by hand: ISO/IEC 15948, 5.3 (chunks) and 11.2.
"""

from __future__ import annotations

import struct
import subprocess
import sys
import zlib
from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from blockmap.files.pictures import head_of, kept_picture, small_picture
from blockmap.model.errors import StoreFailed
from tests.faults.spoiling import spoilt
from tests.pictures import picture

LARGEST = 200
"""Megabytes that any picture may take."""


def whole_pictures() -> list[bytes]:
    """Return pictures of each kind that a camera or a drawing program makes."""
    exif = Image.Exif()
    exif[274] = 6
    return [
        picture("JPEG", (90, 60), exif=exif),
        picture("JPEG", (64, 64), progressive=True),
        picture("PNG", (70, 50)),
        png(40, 30, 16, 6),
        png(40, 30, 16, 0),
        png(33, 20, 1, 0),
    ]


def png(wide: int, high: int, depth: int, colour: int) -> bytes:
    """Return a PNG of one tone: colour 0 is grey, 2 RGB, 6 RGB with transparency."""
    channels = {0: 1, 2: 3, 6: 4}[colour]
    row = b"\0" + b"\x55" * ((wide * channels * depth + 7) // 8)
    packer = zlib.compressobj(1)
    parts = [packer.compress(row) for _ in range(high)]
    head = struct.pack(">IIBBBBB", wide, high, depth, colour, 0, 0, 0)
    chunks = [(b"IHDR", head), (b"IDAT", b"".join([*parts, packer.flush()]))]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data))
        + kind
        + data
        + struct.pack(">I", zlib.crc32(kind + data))
        for kind, data in [*chunks, (b"IEND", b"")]
    )


WHOLE = whole_pictures()


@pytest.mark.filterwarnings("ignore::UserWarning")  # Pillow remarks on spoilt parts
@given(st.integers(0, 1 << 62), st.sampled_from(range(len(WHOLE))))
@settings(max_examples=200, deadline=None)
def test_a_spoilt_picture_is_refused_or_is_one_that_can_be_shown(
    seed: int, which: int
) -> None:
    data = spoilt(WHOLE[which], seed)
    for small in (False, True):
        try:
            made = (
                small_picture(data, (48, 36), "a") if small else kept_picture(data, "a")
            )
        except StoreFailed:
            continue
        shown = Image.open(BytesIO(made.data))
        shown.load()
        assert shown.size == (made.width_px, made.height_px)
        assert shown.mode in ("L", "RGB")


@given(st.binary(max_size=300))
@settings(max_examples=200, deadline=None)
def test_any_bytes_are_refused_as_a_picture(data: bytes) -> None:
    for whole in (data, b"\xff\xd8\xff" + data, b"\x89PNG\r\n\x1a\n" + data):
        with pytest.raises(StoreFailed):
            kept_picture(whole, "a")


def test_whole_pictures_are_taken() -> None:
    for data in WHOLE:
        assert max(Image.open(BytesIO(kept_picture(data, "a").data)).size) >= 20


_MEASURED = """
import sys
from pathlib import Path
from blockmap.files.photos import new_photo
from blockmap.model.errors import StoreFailed
def status(key):
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith(key))
new_photo(sys.argv[1], None)
Path("/proc/self/clear_refs").write_text("5")  # the peak begins anew
before = status("VmRSS")
try:
    new_photo(sys.argv[2], None)
    words = "taken"
except StoreFailed as refused:
    words = str(refused)
print((status("VmHWM") - before) >> 10, words)
"""


@pytest.mark.skipif(
    not Path("/proc/self/clear_refs").exists(),
    reason="memory is measured by means of Linux",
)
@pytest.mark.parametrize("kind", ["deep", "clear", "wide", "progressive"])
def test_the_largest_pictures_that_are_taken_fit_into_little_memory(
    kind: str, tmp_path: Path
) -> None:
    small, large = tmp_path / "small", tmp_path / "large"
    small.write_bytes(picture("PNG", (70, 50)))
    if kind == "deep":
        large.write_bytes(png(5_900, 5_900, 16, 6))
    elif kind == "clear":
        large.write_bytes(png(5_900, 5_900, 8, 6))
    elif kind == "wide":
        Image.new("RGB", (19_000, 2_600), "red").save(large, "JPEG")
    else:
        size = (4_890, 4_890)
        Image.new("RGB", size, "red").save(
            large, "JPEG", progressive=True, subsampling=0
        )
        assert head_of(large.read_bytes(), "a").progressive
    ended = subprocess.run(
        [sys.executable, "-c", _MEASURED, str(small), str(large)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert ended.returncode == 0, ended.stderr[-800:]
    peak, words = ended.stdout.split(" ", 1)
    assert words.strip() == "taken"
    assert int(peak) < LARGEST


def test_a_progressive_picture_that_would_need_more_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    Image.new("L", (5_000, 5_000)).save(path, "JPEG", progressive=True)
    with pytest.raises(StoreFailed, match="24 million"):
        kept_picture(path.read_bytes(), "a.jpg")
