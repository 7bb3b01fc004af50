"""The mark of texts that are translated where they are shown, not where they stand.

It is Qt's own macro with the type of a text: Qt's says no more than "object".
"""

from __future__ import annotations

__all__ = ["QT_TRANSLATE_NOOP"]


def QT_TRANSLATE_NOOP(context: str, text: str) -> str:
    """Mark a text for the translators' tool, which looks for this very name."""
    del context
    return text
