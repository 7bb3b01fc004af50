"""Says where a number comes from and how far it may be trusted.

It holds no numbers of its own. A number without a status does not enter the
reference tables, and only VERIFIED and DERIVED numbers may serve as test oracles.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["COMMON_PRACTICE_NOTE", "MEMORY_NOTE", "Source", "Sourced", "Status"]

COMMON_PRACTICE_NOTE = "common practice, no source"
MEMORY_NOTE = "from memory, not checked against a document"


class Status(StrEnum):
    """How a number of the reference tables is known."""

    VERIFIED = "verified"
    """Read in a published document, named beside the number."""
    DERIVED = "derived"
    """Computed from verified numbers by a stated formula."""
    MEMORY = "memory"
    """Believed, but not read in a document: check before relying on it."""
    COMMON_PRACTICE = "common practice"
    """A rule of thumb or typical size of the trade, without a single source."""


@dataclass(frozen=True, slots=True)
class Source:
    """A document that states a number; the address is empty when it has none."""

    title: str
    address: str = ""


@dataclass(frozen=True, slots=True)
class Sourced:
    """A number with its unit, how it is known, and the documents that state it."""

    value: float
    unit: str
    status: Status
    sources: tuple[Source, ...] = ()
    note: str = ""
