"""A disk whose power can be cut, under a real file system; for root on Linux alone.

A small server gives the kernel one file over /dev/fuse. It is the backing store of a
loop device, so a real file system can stand on it. What is written counts as in the
disk's own memory until the kernel asks for a flush; a power cut keeps what was flushed
and any part of the rest.
"""

from __future__ import annotations

import ctypes
import errno
import os
import random
import struct
import subprocess
import threading
from contextlib import suppress
from pathlib import Path

__all__ = ["CutDisk", "can_mount"]

_LOOKUP, _GETATTR, _SETATTR, _OPEN, _READ, _WRITE = 1, 3, 4, 14, 15, 16
_RELEASE, _FSYNC, _FLUSH, _INIT, _OPENDIR, _READDIR = 18, 20, 25, 26, 27, 28
_SILENT = {2, 36, 42}  # forget, interrupt, forget several
_DIRECT = 1
_NAME = b"disk"
_libc = ctypes.CDLL(None, use_errno=True)


def can_mount() -> bool:
    """Tell whether this user and machine can do all that is needed."""
    tools = all(
        any((Path(place) / tool).exists() for place in ("/sbin", "/usr/sbin", "/bin"))
        for tool in ("mkfs.ext4", "losetup", "mount")
    )
    return tools and os.geteuid() == 0 and Path("/dev/fuse").exists()


class CutDisk:
    """A disk of so many bytes, served until close()."""

    def __init__(self, folder: Path, size: int) -> None:
        self._folder = folder
        self._size = size
        self._kept = bytearray(size)
        self._pending: list[tuple[int, bytes]] = []
        self._lock = threading.Lock()
        self.flushes = 0
        folder.mkdir()
        self._channel = os.open("/dev/fuse", os.O_RDWR | os.O_CLOEXEC)
        options = f"fd={self._channel},rootmode=40000,user_id=0,group_id=0"
        given = (b"cut", os.fsencode(folder), b"fuse", 0, options.encode())
        if _libc.mount(*given):
            raise OSError(ctypes.get_errno(), "the server could not be mounted")
        self._thread = threading.Thread(target=self._serve, daemon=True)
        self._thread.start()

    @property
    def file(self) -> Path:
        """The file that a loop device may stand on."""
        return self._folder / os.fsdecode(_NAME)

    def after_a_cut(self, chance: random.Random) -> bytes:
        """Return what the disk may hold when the power is cut now."""
        with self._lock:
            left = bytearray(self._kept)
            pending = list(self._pending)
        kind = chance.randrange(3)
        if kind == 0:
            pending = pending[: chance.randint(0, len(pending))]
        elif kind == 1:
            pending = [one for one in pending if chance.random() < 0.5]
        for offset, data in pending:
            left[offset : offset + len(data)] = data
        return bytes(left)

    def close(self) -> None:
        """Take the server away."""
        subprocess.run(["umount", "-l", str(self._folder)], check=False)
        self._thread.join(10)
        os.close(self._channel)

    # what the kernel asks

    def _serve(self) -> None:
        while True:
            try:
                asked = os.read(self._channel, 1 << 18)
            except OSError as error:
                if error.errno in (errno.EINTR, errno.EAGAIN, errno.ENOENT):
                    continue
                return  # unmounted
            _length, kind, unique, node = struct.unpack_from("<IIQQ", asked)
            if kind in _SILENT:
                continue
            code, answer = self._answer(kind, node, asked[40:])
            head = struct.pack("<IiQ", 16 + len(answer), -code, unique)
            with suppress(OSError):
                os.write(self._channel, head + answer)

    def _answer(self, kind: int, node: int, body: bytes) -> tuple[int, bytes]:
        if kind == _INIT:
            _major, _minor, ahead, _flags = struct.unpack_from("<IIII", body)
            limits = struct.pack("<HHIIHHI", 12, 9, 1 << 17, 1, 32, 0, 0)
            return 0, struct.pack("<IIII", 7, 31, ahead, 1 << 5) + limits + bytes(28)
        if kind == _LOOKUP:
            if body.rstrip(b"\0") != _NAME:
                return errno.ENOENT, b""
            return 0, struct.pack("<QQQQII", 2, 0, 3600, 3600, 0, 0) + self._about(2)
        if kind in (_GETATTR, _SETATTR):
            return 0, struct.pack("<QII", 3600, 0, 0) + self._about(node)
        if kind in (_OPEN, _OPENDIR):
            return 0, struct.pack("<QII", 1, _DIRECT if kind == _OPEN else 0, 0)
        if kind == _READ:
            _handle, offset, size = struct.unpack_from("<QQI", body)
            return 0, self._read(offset, size)
        if kind == _WRITE:
            _handle, offset, size = struct.unpack_from("<QQI", body)
            with self._lock:
                self._pending.append((offset, body[40 : 40 + size]))
            return 0, struct.pack("<II", size, 0)
        if kind == _FSYNC:
            self._flush()
            return 0, b""
        if kind in (_RELEASE, _FLUSH, _READDIR, 29):
            return 0, b""
        return errno.ENOSYS, b""

    def _about(self, node: int) -> bytes:
        mode, size = (0o40755, 0) if node == 1 else (0o100600, self._size)
        sizes = struct.pack("<QQQ", node, size, size // 512)
        return sizes + bytes(36) + struct.pack("<IIIIIII", mode, 1, 0, 0, 0, 4096, 0)

    def _read(self, offset: int, size: int) -> bytes:
        with self._lock:
            found = bytearray(self._kept[offset : offset + size])
            for start, data in self._pending:
                low, high = max(start, offset), min(start + len(data), offset + size)
                if low < high:
                    found[low - offset : high - offset] = data[
                        low - start : high - start
                    ]
        return bytes(found)

    def _flush(self) -> None:
        with self._lock:
            for offset, data in self._pending:
                self._kept[offset : offset + len(data)] = data
            self._pending = []
            self.flushes += 1
