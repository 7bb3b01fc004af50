"""Spoils bytes and texts as disks, editors and people do, the same for a same seed."""

from __future__ import annotations

import random
from collections.abc import Iterator

__all__ = ["spoilt", "spoilt_many"]

_PIECES = (
    b"\n",
    b"  ",
    b"\t",
    b": ",
    b"- ",
    b"&a ",
    b"*a",
    b"<<: ",
    b"!!python/object:os.system ",
    b'"',
    b"'",
    b"|",
    b">",
    b"#",
    b"{",
    b"}",
    b"[",
    b"]" * 40,
    b"---\n",
    b"...\n",
    b"%YAML 9\n",
    b"\x00",
    b"\xff\xfe",
    b"\xef\xbb\xbf",
    b"\xe2\x80\xa8",
    b"\xc2\x85",
    b"\xed\xa0\x80",
    b".nan",
    b"1e999",
    b"-0",
    b"9" * 5000,
    b"0x1F",
    b"1:30",
    b"2024-02-31",
    b"~",
    b"no",
    b";",
    b",",
    b"=1+1",
)


def _change(data: bytearray, chance: random.Random) -> None:
    at = chance.randrange(len(data) + 1)
    other = chance.randrange(len(data) + 1)
    kind = chance.randrange(7)
    if kind == 0 and at < len(data):
        data[at] ^= 1 << chance.randrange(8)
    elif kind == 1:
        data[at:at] = chance.choice(_PIECES)
    elif kind == 2:
        del data[min(at, other) : min(at, other) + chance.randrange(200)]
    elif kind == 3:
        piece = data[at : at + chance.randrange(1, 400)]
        data[other:other] = piece
    elif kind == 4:
        del data[at:]
    elif kind == 5 and at < len(data):
        data[at] = chance.randrange(256)
    else:
        lines = data.split(b"\n")
        chance.shuffle(lines[: chance.randrange(2, 12)])
        one, two = chance.randrange(len(lines)), chance.randrange(len(lines))
        lines[one], lines[two] = lines[two], lines[one]
        data[:] = b"\n".join(lines)


def spoilt(data: bytes, seed: int) -> bytes:
    """Return the data after one to six changes."""
    chance = random.Random(seed)
    changed = bytearray(data)
    for _ in range(chance.randint(1, 6)):
        _change(changed, chance)
    return bytes(changed)


def spoilt_many(data: bytes, count: int, first_seed: int = 0) -> Iterator[bytes]:
    """Yield so many spoilt forms."""
    for seed in range(first_seed, first_seed + count):
        yield spoilt(data, seed)
