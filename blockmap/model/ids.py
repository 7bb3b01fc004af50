"""How the parts of a map are named in references.

A block is named by its key, a cavity by 'block/key', a contact by
'block/key.contact'. Keys never change once given; what a person sees on a cavity is
its designation, which may.
"""

from __future__ import annotations

import re
from collections.abc import Container
from typing import NamedTuple

__all__ = [
    "BlockId",
    "CavityId",
    "ContactRef",
    "StripId",
    "cavity_id",
    "free_key",
    "key_of",
    "read_contact",
]

BlockId = str
CavityId = str
StripId = str

KEY_PATTERN = re.compile(r"[^\s/.:#\"'{}\[\],&*!|>%@`]{1,40}")
"""Keys hold no space, slash, dot, colon, quote or YAML mark."""


class ContactRef(NamedTuple):
    """One contact of one cavity."""

    cavity: CavityId
    contact: str

    def text(self) -> str:
        """Return 'block/key.contact'."""
        return f"{self.cavity}.{self.contact}"


def cavity_id(block: BlockId, key: str) -> CavityId:
    """Return the id of the cavity with this key in this block."""
    return f"{block}/{key}"


def key_of(identity: str) -> str:
    """Return the key part of a cavity's or strip's id."""
    return identity.rpartition("/")[2]


def read_contact(text: str, block: BlockId) -> ContactRef | None:
    """Return the contact that 'key.contact' or 'block/key.contact' names.

    None when the text has not that shape.
    """
    place, dot, contact = text.strip().rpartition(".")
    if not dot or not place or not contact:
        return None
    return ContactRef(place if "/" in place else cavity_id(block, place), contact)


def free_key(wished: str, taken: Container[str]) -> str:
    """Return a key made from wished that is not taken yet."""
    key = re.sub(r"[\s/.:#\"'{}\[\],&*!|>%@`]+", "-", wished).strip("-")[:30] or "c"
    if key not in taken:
        return key
    number = 2
    while f"{key}-{number}" in taken:
        number += 1
    return f"{key}-{number}"
