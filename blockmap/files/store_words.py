"""Says why a file could not be read or written, and what to do about it."""

from __future__ import annotations

import errno

__all__ = [
    "NO_MEMORY",
    "reading_failed",
    "reason",
    "size_words",
    "writing_failed",
    "writing_todo",
]

NO_MEMORY = "there is not enough memory; close other programs and try again"


def size_words(count: int) -> str:
    """Return a number of bytes as a person reads it."""
    if count >= 1 << 20:
        return f"{count / (1 << 20):,.1f} MB".replace(".0 ", " ")
    return f"{count:,} bytes"


def reason(error: OSError) -> str:
    """Return what the system calls it."""
    return error.strerror or type(error).__name__


def reading_failed(name: str, error: OSError) -> str:
    """Return why a file was not read."""
    todo = {
        errno.ENOENT: "there is no such file; look at its name and folder",
        errno.EACCES: "you may not read this file; ask its owner",
        errno.ENOTDIR: "a part of this path is no folder; look at its name",
        errno.ELOOP: "this link leads in a circle; choose the file itself",
        errno.ENAMETOOLONG: "the name is too long",
        errno.EMFILE: "too many files are open; close some and try again",
    }.get(error.errno or 0)
    if todo:
        return f"{name}: {todo}"
    return f"{name}: could not be read ({reason(error)}); look at the disk"


def writing_failed(name: str, error: OSError, size: int) -> str:
    """Return why so many bytes were not saved."""
    todo = writing_todo(error, size)
    return f"{name}: not saved, the earlier file is whole: {todo}"


def writing_todo(error: OSError, size: int) -> str:
    """Return what is wrong and what to do, when so many bytes are to be saved."""
    need = f"make room for {size_words(2 * size)}, or save elsewhere"
    return {
        errno.ENOSPC: f"the disk is full; {need}",
        errno.EDQUOT: f"your share of the disk is full; {need}",
        errno.EROFS: "this disk can only be read; save elsewhere",
        errno.EACCES: "you may not write in this folder; save elsewhere",
        errno.EPERM: "you may not write in this folder; save elsewhere",
        errno.ENOENT: "there is no such folder; save elsewhere, or make it first",
        errno.ENOTDIR: "a part of this path is no folder; save elsewhere",
        errno.ENAMETOOLONG: "the name is too long; choose a shorter one",
        errno.ELOOP: "this link leads in a circle; choose the file itself",
        errno.EMFILE: "too many files are open; close some and save again",
    }.get(error.errno or 0, f"{reason(error)}; look at the disk, or save elsewhere")
