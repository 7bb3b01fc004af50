"""Cells of lists that change at each edit or selection: Qt makes them and keeps them.

A cell that Python makes costs more than it shows: PySide takes a reference to None for
each function of it that Qt calls and nobody overrides, and never gives it back. A day
of work would add hundreds of thousands. A cell that Qt makes for its own list costs
none, and one that is there already is used again. Headings and the like, which need a
font or flags of their own, are still made by hand.
"""

from __future__ import annotations

from PySide6.QtCore import QAbstractItemModel, Qt
from PySide6.QtGui import QIcon

from blockmap.window.plain_tip import plain_tip

__all__ = ["show_cell"]

_TEXT = int(Qt.ItemDataRole.DisplayRole)
_TIP = int(Qt.ItemDataRole.ToolTipRole)
_SIGN = int(Qt.ItemDataRole.DecorationRole)
_PLACE = int(Qt.ItemDataRole.TextAlignmentRole)


def show_cell(
    model: QAbstractItemModel,
    place: tuple[int, int],
    text: str,
    *,
    tip: str = "",
    sign: QIcon | None = None,
    align: Qt.AlignmentFlag | None = None,
) -> None:
    """Show this in the cell at a row and a column, and nothing of what stood there."""
    model.setItemData(
        model.index(*place),
        {
            _TEXT: text,
            _TIP: plain_tip(tip),
            _SIGN: sign,
            _PLACE: None if align is None else align.value,
        },
    )
