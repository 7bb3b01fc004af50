"""How file names and bits of a file's content look inside a message.

A message stays on one line whatever a name or a text holds. Nothing here reads files.
"""

from __future__ import annotations

import os
import re

__all__ = ["shown_name", "shown_text"]

_UNSHOWABLE = re.compile(
    "[\x00-\x1f\x7f-\x9f\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff\ud800-\udfff]"
)


def _escape(match: re.Match[str]) -> str:
    char = match[0]
    named = {"\n": "\\n", "\r": "\\r", "\t": "\\t"}.get(char)
    if named:
        return named
    code = ord(char)
    if 0xDC80 <= code <= 0xDCFF:  # a byte of a file name that is not UTF-8
        return f"\\x{code - 0xDC00:02x}"
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}"


def shown_name(path: str | os.PathLike[str]) -> str:
    """Return a file name with line ends, controls and foreign bytes escaped."""
    return _UNSHOWABLE.sub(_escape, os.fspath(path))


def shown_text(text: str, limit: int = 40) -> str:
    """Return a text in one line, escaped and cut to a length in characters."""
    cut = text if len(text) <= limit else text[: limit - 1] + "…"
    return _UNSHOWABLE.sub(_escape, cut)
