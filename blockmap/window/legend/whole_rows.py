"""Whole rows of the selected cavities: copied and cut from the figure, pasted there.

Rows are copied under headings, for a spreadsheet, another block or another map. Pasted
in the figure, a row whose place the block already has is written over that cavity, and
every other row becomes a cavity. Each command is one step to undo.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication, QObject, Signal
from PySide6.QtGui import QGuiApplication

from blockmap.files.map_reader import read_map
from blockmap.files.map_writer import map_text
from blockmap.model.columns import COLUMNS, Column
from blockmap.model.document import Cavity, Map
from blockmap.model.edits import add_cavities, add_rows, delete_cavities, paste_rows
from blockmap.model.errors import DocumentRefused
from blockmap.model.ids import BlockId, CavityId, cavity_id, free_key, key_of
from blockmap.window.legend.clipboard import (
    BYTE_LIMIT,
    NothingToPaste,
    mime_of,
    read_mime,
)
from blockmap.window.legend.pasting import left_out_words
from blockmap.window.legend.wording import count_text
from blockmap.window.selection import Selection
from blockmap.window.session import Session

__all__ = ["WholeRows"]

_PLACE = "designation"
CUTTING_FORMAT = "application/x-blockmap+yaml"
"""The copied cavities as a small map, so that nothing said of them is lost."""


_last_cutting: list[tuple[bytes, tuple[Cavity, ...]]] = []
"""What this program last put on the clipboard, and the cavities that it says."""


class WholeRows(QObject):
    """The commands; message carries what was done, refused why it was not."""

    message = Signal(str)
    refused = Signal(str, int)

    def __init__(
        self, session: Session, selection: Selection, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._session, self._selection = session, selection

    def copy(self) -> bool:
        """Copy the rows of the selected cavities; tell whether there were any."""
        document = self._session.document
        cavities = [document.cavities[i] for i in self._selection.ids]
        if not cavities:
            self.message.emit(_tr("Nothing is selected to copy"))
            return False
        code = document.car.colour_code
        columns = [c for c in COLUMNS if c.write is not None]
        rows = [[c.read(cavity, code) for c in columns] for cavity in cavities]
        used = [n for n, c in enumerate(columns) if any(row[n] for row in rows)]
        rows = [[row[n] for n in used] for row in rows]
        keys = [columns[n].key for n in used]
        heads = [_heading(columns[n]) for n in used]
        mime = mime_of(keys, rows, heads)
        cutting = _cutting(document, cavities).encode()
        _last_cutting[:] = [(cutting, tuple(cavities))]
        mime.setData(CUTTING_FORMAT, cutting)
        QGuiApplication.clipboard().setMimeData(mime)
        self.message.emit(
            count_text(
                _tr("Copied one whole row with its headings"),
                _tr("Copied %1 whole rows with their headings"),
                len(rows),
            )
        )
        return True

    def cut(self) -> None:
        """Copy the rows of the selected cavities, then delete the cavities."""
        ids = list(self._selection.ids)
        if self.copy():
            one = _tr("Cut %1")
            name = self._session.document.cavities[ids[0]].designation
            text = count_text(one.replace("%1", name), _tr("Cut %1 cavities"), len(ids))
            self._session.edit(text, delete_cavities, ids)

    def paste(self) -> bool:
        """Paste rows under headings into the block; False when there are none."""
        block = self._selection.block
        if block is None:
            return False
        try:
            cells = read_mime(QGuiApplication.clipboard().mimeData())
        except NothingToPaste as problem:
            self.refused.emit(str(problem), 0)
            return True
        if not cells.named or _PLACE not in cells.columns:
            return False
        place = cells.columns.index(_PLACE)
        named = self._named(block)
        ids = [named.get(row[place].casefold()) for row in cells.rows]
        known = {id_: row for id_, row in zip(ids, cells.rows, strict=True) if id_}
        added = [row for id_, row in zip(ids, cells.rows, strict=True) if not id_]
        whole = {c.designation: c for c in _cut_out()} if added else {}
        found = [whole[row[place]] for row in added if row[place] in whole]
        more = found if len(found) == len(added) else added
        count = len(known) + len(added)
        text = count_text(_tr("Paste a row"), _tr("Paste %1 rows"), count)
        if self._paste(text, block, cells.columns, known, more):
            made = count - len(known)
            self.message.emit(_done_words(made, len(known)) + left_out_words(cells))
        return True

    def _named(self, block: BlockId) -> dict[str, CavityId]:
        """Return the cavities of a block by all their names; the first one has it."""
        named: dict[str, CavityId] = {}
        for cavity in self._session.document.cavities_of(block):
            for name in cavity.designations:
                named.setdefault(name.casefold(), cavity.id)
        return named

    def _paste(
        self,
        text: str,
        block: BlockId,
        keys: Sequence[str | None],
        known: dict[CavityId, tuple[str, ...]],
        added: Sequence[tuple[str, ...] | Cavity],
    ) -> bool:
        before = self._session.document
        refusal = self._session.carry_out(text, pasted_rows, block, keys, known, added)
        if refusal:
            self.refused.emit(refusal, 0)
            return False
        if self._session.document is before:
            self.message.emit(_tr("What was pasted stands there already"))
            return False
        after = self._session.document.cavities_of(block)
        new = [c.id for c in after if c.id not in before.cavities]
        self._selection.select([*known, *new])
        return True


def pasted_rows(
    document: Map,
    block: BlockId,
    keys: Sequence[str | None],
    known: dict[CavityId, tuple[str, ...]],
    added: Sequence[tuple[str, ...] | Cavity],
) -> Map:
    """Return the map with rows written over known cavities and others added.

    What is added is a row of texts, or a whole cavity cut out of a map. Raises
    EditRefused when it cannot be taken.
    """
    if known:
        rest = [None if key == _PLACE else key for key in keys]
        document = paste_rows(document, list(known), rest, list(known.values()))
    inside = {key_of(c.id) for c in document.cavities_of(block)}
    moved = []
    for cavity in added:
        if isinstance(cavity, Cavity):
            key = free_key(key_of(cavity.id), inside)
            inside.add(key)
            id_ = cavity_id(block, key)
            moved.append(dataclasses.replace(cavity, id=id_, block=block))
    document = add_cavities(document, moved)
    rows = [row for row in added if not isinstance(row, Cavity)]
    return add_rows(document, block, keys, rows) if rows else document


def _cutting(document: Map, cavities: Sequence[Cavity]) -> str:
    """Return the cavities as a map of their own, with all that is said of them."""
    blocks = {c.block: document.blocks[c.block] for c in cavities}
    return map_text(Map(blocks=blocks, cavities={c.id: c for c in cavities}))


def _cut_out() -> tuple[Cavity, ...]:
    """Return the whole cavities on the clipboard; none when it holds no such map."""
    mime = QGuiApplication.clipboard().mimeData()
    data = bytes(mime.data(CUTTING_FORMAT).data())
    for cutting, cavities in _last_cutting:
        if data == cutting:
            return cavities
    if not 0 < len(data) <= BYTE_LIMIT:
        return ()
    try:
        return tuple(read_map(data).document.cavities.values())
    except DocumentRefused:
        return ()


def _done_words(made: int, written: int) -> str:
    """Return what a paste of whole rows did, and what is to be done next."""
    if not written:
        return count_text(
            _tr("Made one cavity; drag it to where it is"),
            _tr("Made %1 cavities; drag them to where they are"),
            made,
        )
    if not made:
        return count_text(
            _tr("Wrote over one cavity"), _tr("Wrote over %1 cavities"), written
        )
    done = _tr("Made %1 cavities, wrote over %2").replace("%1", str(made))
    return done.replace("%2", str(written))


def _heading(column: Column) -> str:
    return f"{column.label} ({column.unit})" if column.unit else column.label


def _tr(text: str) -> str:
    return QCoreApplication.translate("table", text)
