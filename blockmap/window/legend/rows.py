"""The legend table's rows: one cavity of the shown block each, one column a property.

The model reads the session's document and writes to it through edits; it keeps no
copy of a cavity. Sorting and filtering happen here, once when asked for, so that no
row jumps away under the hand that types.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)

from blockmap.model.changes import Change
from blockmap.model.columns import COLUMNS, Column, column
from blockmap.model.document import Cavity
from blockmap.model.edits.tagging import CellEdit, set_cells, written
from blockmap.model.errors import BadValue
from blockmap.model.ids import CavityId
from blockmap.window.guard import guarded
from blockmap.window.legend.facts import body_of, doubtful, shown_text
from blockmap.window.legend.wording import noun, schema_word, set_text
from blockmap.window.plain_tip import plain_tip
from blockmap.window.selection import Selection
from blockmap.window.session import Session

__all__ = ["SHOWN_FIRST", "TABLE_COLUMNS", "LegendModel"]

Index = QModelIndex | QPersistentModelIndex
_READ_ONLY = (
    Qt.ItemFlag.ItemIsEnabled
    | Qt.ItemFlag.ItemIsSelectable
    | Qt.ItemFlag.ItemNeverHasChildren
)
_WRITTEN = _READ_ONLY | Qt.ItemFlag.ItemIsEditable
_ROLE = Qt.ItemDataRole
_RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
_LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)

_USUAL = ("designation", "rating_a", "fitted_a", "legend", "circuit", "wires", "loads")
"""What a person types, in the order of the work; the form is drawn already."""

TABLE_COLUMNS: tuple[Column, ...] = (
    *(column(key) for key in _USUAL),
    *(c for c in COLUMNS if c.shown and c.key not in _USUAL),
    *(c for c in COLUMNS if not c.shown and c.key != "block"),
)
"""The columns of the table: those shown at first, then the rest."""

SHOWN_FIRST = frozenset(c.key for c in COLUMNS if c.shown)
DOUBT = " ?"


class LegendModel(QAbstractTableModel):
    """The cavities of the selected block as rows.

    refused carries the index and the sentence of an edit that was not taken.
    """

    refused = Signal(object, str)

    def __init__(
        self, session: Session, selection: Selection, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._session, self._selection = session, selection
        self._sorted_by: tuple[int, bool] | None = None
        self._only: frozenset[CavityId] | None = None
        self._code = session.document.car.colour_code
        self._ids: list[CavityId] = []
        self._rows: dict[CavityId, int] = {}
        self._set_ids(self._wanted())
        session.changed.connect(self._follow)
        selection.block_changed.connect(self._block_changed)

    @property
    def ids(self) -> tuple[CavityId, ...]:
        """The shown cavities, in the order of the rows."""
        return tuple(self._ids)

    @property
    def filtered(self) -> bool:
        """True while only some cavities of the block may be shown."""
        return self._only is not None

    def cavity(self, row: int) -> Cavity:
        """Return the cavity of a row."""
        return self._session.document.cavities[self._ids[row]]

    def _still_there(self, row: int) -> Cavity | None:
        """Return the cavity of a row; None where it is gone and the row goes next.

        Other views hear of a change before these rows do, and may make Qt ask here.
        """
        return self._session.document.cavities.get(self._ids[row])

    def row_of(self, id_: CavityId) -> int:
        """Return the row of a cavity, -1 when it is not shown."""
        return self._rows.get(id_, -1)

    def edit_text(self, row: int, column: int) -> str:
        """Return the text of a cell as it is typed, copied and pasted."""
        return TABLE_COLUMNS[column].read(self.cavity(row), self._code)

    def write(
        self, index: Index, text: str, also: Mapping[str, str] | None = None
    ) -> str | None:
        """Write a text into a cell, and more texts into others of its row.

        One undo step. Returns the sentence of a refusal, None when all was taken.
        """
        cavity, column = self._still_there(index.row()), TABLE_COLUMNS[index.column()]
        if cavity is None:
            return None
        try:
            written(cavity, column, text, self._code)
        except BadValue as problem:
            return str(problem)
        cells = [CellEdit(cavity.id, column.key, text)]
        cells += [CellEdit(cavity.id, key, more) for key, more in (also or {}).items()]
        title = set_text(self._session.document, [cavity.id], noun(column.key))
        self._session.edit(title, set_cells, cells)
        return None

    def show_only(self, ids: Collection[CavityId] | None) -> None:
        """Show only these cavities; None shows all again."""
        self._only = None if ids is None else frozenset(ids)
        self._show(self._wanted())

    # What Qt asks

    @guarded(0)
    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._ids)

    @guarded(0)
    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(TABLE_COLUMNS)

    @guarded(Qt.ItemFlag.NoItemFlags)
    def flags(self, index: Index) -> Qt.ItemFlag:
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        written = TABLE_COLUMNS[index.column()].write is not None
        return _WRITTEN if written else _READ_ONLY

    @guarded()
    def data(self, index: Index, role: int = _ROLE.DisplayRole) -> Any:
        read = _CELL_ROLES.get(role)
        if read is None or not index.isValid():
            return None
        cavity = self._still_there(index.row())
        return read(self, cavity, TABLE_COLUMNS[index.column()]) if cavity else None

    @guarded(False)
    def setData(self, index: Index, value: Any, role: int = _ROLE.EditRole) -> bool:
        if role != _ROLE.EditRole or not index.isValid():
            return False
        sentence = self.write(index, str(value))
        if sentence:
            self.refused.emit(index, sentence)
        return sentence is None

    @guarded()
    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = _ROLE.DisplayRole,
    ) -> Any:
        if orientation is Qt.Orientation.Vertical:
            if role != _ROLE.DisplayRole or section >= len(self._ids):
                return None
            cavity = self._still_there(section)
            return cavity.designation if cavity else None
        column = TABLE_COLUMNS[section]
        if role == _ROLE.DisplayRole:
            label = schema_word(column.label)
            return f"{label} ({column.unit})" if column.unit else label
        if role == _ROLE.ToolTipRole:
            return plain_tip(schema_word(column.help))
        if role == _ROLE.TextAlignmentRole:
            return _RIGHT if column.numeric else _LEFT
        return None

    @guarded()
    def sort(
        self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder
    ) -> None:
        """Put the rows in order once; column -1 is the order of the map."""
        down = order is Qt.SortOrder.DescendingOrder
        self._sorted_by = (column, down) if column >= 0 else None
        self._show(self._wanted())

    # What a cell shows

    def display_text(self, cavity: Cavity, column: Column) -> str:
        """Return the text a cell shows, a doubtful fact with its question mark."""
        text = shown_text(cavity, column, self._code)
        return text + DOUBT if text and doubtful(cavity, column) else text

    def _tool_tip(self, cavity: Cavity, column: Column) -> str | None:
        text = shown_text(cavity, column, self._code)
        if not text:
            return plain_tip(schema_word(column.help))
        lines = [text]
        body = body_of(cavity, column)
        if body:
            lines.append(self.tr("Standard body colour: %1").replace("%1", body.name))
        if column.key in ("wires", "feed_wires") and self._code != "words":
            lines.append(column.read(cavity, "words"))
        if doubtful(cavity, column):
            lines.append(self.tr("Not seen on the car yet"))
        return plain_tip("\n".join(lines))

    def _accessible(self, cavity: Cavity, column: Column) -> str:
        parts = (self.display_text(cavity, column), schema_word(column.label))
        return ", ".join((cavity.designation, *reversed(parts)))

    # Following the document

    def _wanted(self) -> list[CavityId]:
        block = self._selection.block
        cavities = self._session.document.cavities.values()
        chosen = [
            c
            for c in cavities
            if c.block == block and (self._only is None or c.id in self._only)
        ]
        if self._sorted_by:
            number, down = self._sorted_by
            chosen = _in_order(chosen, TABLE_COLUMNS[number], down, self._code)
        return [c.id for c in chosen]

    def _block_changed(self) -> None:
        self.beginResetModel()
        self._set_ids(self._wanted())
        self.endResetModel()

    def _follow(self, change: Change) -> None:
        part = change.cavities
        if change.car and self._session.document.car.colour_code != self._code:
            self._code = self._session.document.car.colour_code
            self._tell_rows(range(len(self._ids)))
        if part.added or part.removed or part.reordered:
            self._show_new(part.added)
        if part.altered:
            self._tell_rows(
                sorted(self._rows[i] for i in part.altered if i in self._rows)
            )

    def _show_new(self, added: Collection[CavityId]) -> None:
        if self._only is not None:
            self._only |= frozenset(added)
        self._show(self._wanted())

    def _tell_rows(self, rows: Iterable[int]) -> None:
        last_column = len(TABLE_COLUMNS) - 1
        for first, last in _runs(rows):
            self.dataChanged.emit(self.index(first, 0), self.index(last, last_column))

    def _show(self, wanted: Sequence[CavityId]) -> None:
        """Go from the shown rows to the wanted ones, keeping what stays."""
        stay = frozenset(wanted)
        gone = [row for row, id_ in enumerate(self._ids) if id_ not in stay]
        for first, last in reversed(list(_runs(gone))):
            self.beginRemoveRows(QModelIndex(), first, last)
            self._set_ids(self._ids[:first] + self._ids[last + 1 :])
            self.endRemoveRows()
        here = frozenset(self._ids)
        self._reorder([id_ for id_ in wanted if id_ in here])
        new = [row for row, id_ in enumerate(wanted) if id_ not in here]
        for first, last in _runs(new):
            self.beginInsertRows(QModelIndex(), first, last)
            fresh = list(wanted[first : last + 1])
            self._set_ids(self._ids[:first] + fresh + self._ids[first:])
            self.endInsertRows()

    def _reorder(self, ids: list[CavityId]) -> None:
        if ids == self._ids:
            return
        self.layoutAboutToBeChanged.emit()
        old = self.persistentIndexList()
        owners = [self._ids[index.row()] for index in old]
        self._set_ids(ids)
        new = [
            self.index(self._rows[owner], index.column())
            for owner, index in zip(owners, old, strict=True)
        ]
        self.changePersistentIndexList(old, new)
        self.layoutChanged.emit()

    def _set_ids(self, ids: list[CavityId]) -> None:
        self._ids = ids
        self._rows = {id_: row for row, id_ in enumerate(ids)}


_CELL_ROLES: dict[int, Any] = {
    _ROLE.DisplayRole: LegendModel.display_text,
    _ROLE.EditRole: lambda model, cavity, column: column.read(cavity, model._code),
    _ROLE.TextAlignmentRole: (
        lambda model, cavity, column: _RIGHT if column.numeric else _LEFT
    ),
    _ROLE.ToolTipRole: LegendModel._tool_tip,
    _ROLE.AccessibleTextRole: LegendModel._accessible,
}


def _runs(rows: Iterable[int]) -> Iterator[tuple[int, int]]:
    """Yield the first and last of each run of neighbouring rows; rows ascend."""
    first = last = -2
    for row in rows:
        if row == last + 1 and last >= 0:
            last = row
            continue
        if last >= 0:
            yield first, last
        first = last = row
    if last >= 0:
        yield first, last


def _in_order(
    cavities: list[Cavity], column: Column, down: bool, code: str
) -> list[Cavity]:
    """Return the cavities by what stands in the column; empty cells come last."""
    texts = {c.id: shown_text(c, column, code) for c in cavities}
    filled = [c for c in cavities if texts[c.id]]
    filled.sort(key=lambda c: _natural(texts[c.id]), reverse=down)
    return filled + [c for c in cavities if not texts[c.id]]


def _natural(text: str) -> list[tuple[int, float, str]]:
    """Return a key that counts figures as numbers: F2 before F10, 7.5 before 20."""
    parts = re.split(r"(\d+(?:\.\d+)?)", text.casefold())
    return [
        (0, float(part), "") if number % 2 else (1, 0.0, part)
        for number, part in enumerate(parts)
        if part
    ]
