"""Where pasted cells go: which cavities, which columns, which texts.

It plans, the table carries out; a plan that would lose cells is refused with a
sentence that says what to do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QCoreApplication

from blockmap.files.shown import shown_text
from blockmap.model.columns import column
from blockmap.model.document import Map
from blockmap.model.ids import CavityId
from blockmap.window.legend.clipboard import Cells, NothingToPaste
from blockmap.window.legend.wording import noun, schema_word

__all__ = ["PastePlan", "TooFewRows", "left_out_words", "plan_paste"]


class TooFewRows(NothingToPaste):
    """More rows were copied than there are cavities to take them."""

    def __init__(self, say: str, missing: int) -> None:
        super().__init__(say)
        self.missing = missing


@dataclass(frozen=True, slots=True)
class PastePlan:
    """What paste_rows is to be called with, the undo text and the message."""

    targets: tuple[CavityId, ...]
    columns: tuple[str | None, ...]
    rows: tuple[tuple[str, ...], ...]
    undo_text: str
    message: str


def plan_paste(
    document: Map,
    cells: Cells,
    shown: Sequence[CavityId],
    rows: Sequence[int],
    keys: Sequence[str],
    width: int,
) -> PastePlan:
    """Return where the cells go.

    shown are the cavities of the table, rows those selected (the first is where
    pasting starts), keys the columns from the current one to the right, width how
    many of them are selected. Raises NothingToPaste.
    """
    if cells.named:
        named = _by_heading(document, cells, shown, rows[0])
        if named is not None:
            return named
    wide, high = cells.width, len(cells.rows)
    if wide > len(keys):
        raise NothingToPaste(
            _tr("%1 columns do not fit in the %2 from here on; show more columns")
            .replace("%1", str(wide))
            .replace("%2", str(len(keys)))
        )
    across = width // wide if width > wide and width % wide == 0 else 1
    down = len(rows) // high if len(rows) > high and len(rows) % high == 0 else 1
    block = tuple(row * across for row in cells.rows) * down
    targets = _targets(shown, rows, len(block), spread=down > 1)
    spread = Cells(block, left_out=cells.left_out)
    return _plan(document, targets, tuple(keys[: wide * across]), spread)


def _targets(
    shown: Sequence[CavityId], rows: Sequence[int], count: int, *, spread: bool
) -> tuple[CavityId, ...]:
    if spread:
        return tuple(shown[row] for row in rows)
    room = len(shown) - rows[0]
    if count > room:
        raise TooFewRows(
            _tr(
                "%1 rows do not fit: there is room for %2 from here on; add a row of "
                "cavities in the figure, or copy fewer rows"
            )
            .replace("%1", str(count))
            .replace("%2", str(room)),
            count - room,
        )
    return tuple(shown[rows[0] : rows[0] + count])


def _by_heading(
    document: Map, cells: Cells, shown: Sequence[CavityId], first: int
) -> PastePlan | None:
    """Plan rows with headings: by their place when all places are known here."""
    keys = cells.columns
    place = next((n for n, k in enumerate(keys) if k in _PLACE_KEYS), None)
    if place is not None:
        by_name: dict[str, CavityId] = {}
        for id_ in shown:
            for name in document.cavities[id_].designations:
                by_name.setdefault(name.casefold(), id_)
        found = [by_name.get(row[place].casefold()) for row in cells.rows]
        sought = tuple(id_ for id_ in found if id_ is not None)
        if len(sought) == len(found) == len(set(sought)):
            rest = tuple(None if n == place else k for n, k in enumerate(keys))
            return _plan(document, sought, rest, cells, by_place=True)
    targets = _targets(shown, [first], len(cells.rows), spread=False)
    return _plan(document, targets, keys, cells)


_PLACE_KEYS = ("designation", "own", "moulded", "manual")


def _plan(
    document: Map,
    targets: tuple[CavityId, ...],
    keys: tuple[str | None, ...],
    cells: Cells,
    *,
    by_place: bool = False,
) -> PastePlan:
    rows = cells.rows
    usable = tuple(k if k and column(k).write is not None else None for k in keys)
    filled = [k for k in usable if k]
    if not filled:
        raise NothingToPaste(
            _tr("None of the copied columns can be written; check their headings")
        )
    if len(filled) == 1 and len(rows) == 1:
        name = document.cavities[targets[0]].designation
        undo = _tr("Paste %1 of %2").replace("%1", noun(filled[0])).replace("%2", name)
    elif len(filled) == 1:
        undo = _tr("Paste %1 %2").replace("%1", str(len(rows)))
        undo = undo.replace("%2", noun(filled[0], len(rows)))
    else:
        undo = _tr("Paste %1 rows").replace("%1", str(len(rows)))
        undo = undo if len(rows) > 1 else _tr("Paste a row")
    names = ", ".join(schema_word(column(k).label) for k in filled)
    told = _tr("%1 rows by their place") if by_place else _tr("%1 rows")
    told = told.replace("%1", str(len(rows))) if len(rows) > 1 else _tr("One row")
    message = _tr("Pasted: %1 into %2").replace("%1", told).replace("%2", names)
    message += left_out_words(cells)
    return PastePlan(targets, usable, rows, undo, message)


def left_out_words(cells: Cells) -> str:
    """Return which headings named no column, to be said behind what was pasted."""
    words = ", ".join(f"“{shown_text(word)}”" for word in cells.left_out)
    return _tr("; not recognised: %1").replace("%1", words) if words else ""


def _tr(text: str) -> str:
    return QCoreApplication.translate("pasting", text)
