"""Words for maps and their files: the name in titles, and how two maps differ."""

from __future__ import annotations

from pathlib import Path

from blockmap.model.changes import changes_between
from blockmap.model.document import Map

__all__ = ["difference_words", "shown_name"]


def shown_name(path: Path | None, untitled: str) -> str:
    """Return a file's name for titles: its ending left out, odd characters escaped."""
    if path is None:
        return untitled
    name = path.name
    for ending in (".blockmap.yaml", ".blockmap", ".yaml"):
        name = name.removesuffix(ending)
    return "".join(c if c.isprintable() else "\ufffd" for c in name)[:120]


def difference_words(mine: Map, theirs: Map) -> str:
    """Return in words what another map adds, lacks and alters."""
    change = changes_between(mine, theirs)
    parts = []
    for noun, part in (
        ("block", change.blocks),
        ("cavity", change.cavities),
        ("strip", change.strips),
    ):
        for verb, ids in (
            ("adds", part.added),
            ("lacks", part.removed),
            ("alters", part.altered),
        ):
            if ids:
                named = ", ".join(sorted(ids)[:6]) + (" …" if len(ids) > 6 else "")
                parts.append(f"The file {verb} {len(ids)} × {noun}: {named}.")
    if change.car:
        parts.append("The file alters what is said of the car.")
    for what, differs in (
        ("readings", change.readings),
        ("repairs", change.repairs),
        ("terminal families", change.families),
        ("limits", change.limits),
        ("work and odds of the search", change.work or change.odds),
        ("accepted findings", change.accepted),
    ):
        if differs:
            parts.append(f"The file has other {what}.")
    return "\n".join(parts) or "The file says the same as the map here."
