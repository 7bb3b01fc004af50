"""Pictures made for the tests with Pillow, a library outside the program."""

from __future__ import annotations

import struct
import zlib
from io import BytesIO
from pathlib import Path
from typing import Any

from PIL import Image

__all__ = ["GREEN", "RED", "claimed_jpeg", "claimed_png", "picture", "write_picture"]

RED, GREEN = (200, 20, 20), (20, 160, 40)


def picture(kind: str = "JPEG", size: tuple[int, int] = (80, 60), **more: Any) -> bytes:
    """Return a picture whose upper left quarter is red, the rest green."""
    image = Image.new("RGB", size, GREEN)
    image.paste(RED, (0, 0, size[0] // 2, size[1] // 2))
    buffer = BytesIO()
    image.save(buffer, kind, **more)
    return buffer.getvalue()


def write_picture(path: Path, *args: Any, **more: Any) -> Path:
    """Write such a picture into a file."""
    path.write_bytes(picture(*args, **more))
    return path


def claimed_png(width: int, height: int, bits: int = 8, colour: int = 2) -> bytes:
    """Return a PNG that says it is so large; its rows are not there.

    Layout of the head: Portable Network Graphics specification, 11.2.2.
    """
    head = struct.pack(">IIBBBBB", width, height, bits, colour, 0, 0, 0)
    parts = [b"\x89PNG\r\n\x1a\n"]
    for name, body in ((b"IHDR", head), (b"IDAT", zlib.compress(b"")), (b"IEND", b"")):
        check = struct.pack(">I", zlib.crc32(name + body))
        parts.append(struct.pack(">I", len(body)) + name + body + check)
    return b"".join(parts)


def claimed_jpeg(width: int, height: int) -> bytes:
    """Return a small JPEG whose frame header says it is so large.

    The frame header is marker, length, precision, lines, samples a line: ITU-T T.81,
    B.2.2.
    """
    data = bytearray(picture("JPEG"))
    at = data.index(b"\xff\xc0")
    data[at + 5 : at + 9] = struct.pack(">HH", height, width)
    return bytes(data)
