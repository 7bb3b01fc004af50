"""What is alike in every table whose rows are looked at and chosen, not typed into."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractItemView, QTableWidget

__all__ = ["show_rows"]


def show_rows(
    table: QTableWidget, name: str, headings: Sequence[str] = (), *, several: bool
) -> None:
    """Let a table show whole rows under headings at the left; Tab leaves it.

    name is what it is called when it is read aloud; several says that more than one
    row can be selected.
    """
    table.setColumnCount(len(headings))
    table.setHorizontalHeaderLabels(list(headings))
    table.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
    table.verticalHeader().hide()
    table.setAccessibleName(name)
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    if not several:
        table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setTabKeyNavigation(False)
