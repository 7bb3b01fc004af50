"""A tool tip that shows a text as it is, whatever marks somebody wrote into it.

Qt guesses whether a tip is markup. A map may come from anywhere, and markup can name
pictures: Qt would read any file or device that a legend names.
"""

from __future__ import annotations

import html

__all__ = ["plain_tip"]

ONE_LINE = 80
"""Characters; Qt wraps a longer tip only when it is markup."""


def plain_tip(text: str) -> str:
    """Return what makes Qt show the text, not what it might mean as markup."""
    marks = "<" in text or "&lt;" in text
    long = any(len(line) > ONE_LINE for line in text.splitlines())
    if not marks and not long:
        return text
    return f"<qt>{html.escape(text)}</qt>".replace("\n", "<br>")
