"""All photos of a map, and the room that their bytes may take in it."""

from __future__ import annotations

from collections.abc import Iterator

from blockmap.model.document import Map
from blockmap.model.photos import Photo

__all__ = ["EMBEDDED_LIMIT", "embedded_bytes", "embedded_problem", "photos_of"]

EMBEDDED_LIMIT = 8 * 1024 * 1024
"""Most bytes of pictures in one map: as text they take a third more of its 16 MB."""


def photos_of(document: Map) -> Iterator[Photo]:
    """Yield every photo of a map, in the order of the map."""
    for block in document.blocks.values():
        yield from block.photos
    for cavity in document.cavities.values():
        for _, condition in cavity.conditions:
            yield from condition.photos


def embedded_bytes(document: Map) -> int:
    """Return how many bytes of pictures stand in a map."""
    return sum(len(photo.data) * 3 // 4 for photo in photos_of(document))


def embedded_problem(size: int) -> str:
    """Return why pictures of so many bytes cannot stand in one map; '' if they can."""
    if size <= EMBEDDED_LIMIT:
        return ""
    return (
        f"The pictures in the map would take {size / 2**20:.1f} MB; "
        f"{EMBEDDED_LIMIT // 2**20} MB is the most. Keep some as files beside the map"
    )
