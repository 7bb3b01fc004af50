"""The day that is noted with what is entered now."""

from __future__ import annotations

import datetime

__all__ = ["today"]


def today() -> str:
    """Return this day as the map writes it: year-month-day."""
    return datetime.date.today().isoformat()
