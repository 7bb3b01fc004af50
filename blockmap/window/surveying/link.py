"""Joins the survey with the figure: the contact of the next key is lit there.

A press on a contact of the figure goes to its row. The ring follows each key at once;
the selection follows when the keys pause, so that a key stays quick on a large map.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtGui import QMouseEvent

from blockmap.model.ids import CavityId, ContactRef
from blockmap.window.canvas.probed import Probed, spot_of
from blockmap.window.guard import guarded
from blockmap.window.surveying.cells import LETTERS
from blockmap.window.surveying.panel import SurveyPanel

if TYPE_CHECKING:
    from blockmap.window.main_window import MainWindow

__all__ = ["SurveyLink"]

PAUSE_MS = 150
_BEFORE, _AFTER = 40, 20
"""Rows above and below the next key whose values stand on the figure."""


class SurveyLink(QObject):
    """Keeps figure and selection with the cell of the next key."""

    def __init__(self, window: MainWindow, pane: SurveyPanel) -> None:
        super().__init__(pane)
        self._window, self._pane = window, pane
        self._ours = self._alone = self._in_front = False
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE_MS)
        self._pause.timeout.connect(self._select)
        pane.room_wanted.connect(self._give_room)
        pane.went.connect(self._show)
        pane.shown.connect(self._show)
        window.panes.docks["survey"].visibilityChanged.connect(self._seen)
        for name, dock in window.panes.docks.items():
            if name != "survey":
                dock.visibilityChanged.connect(self._say_room)
        window.panes.low.changed.connect(self._say_room)
        window.session.changed.connect(self._show)
        window.selection.changed.connect(self._follow)
        window.figure.viewport().installEventFilter(self)

    def _show(self, _what: object = None) -> None:
        pane, figure = self._pane, self._window.figure
        following = pane.lit()
        if not pane.in_sight or not following[0]:
            if self._ours:
                self._ours = False
                figure.set_probed(Probed())
            return
        self._ours = True
        figure.set_probed(Probed(self._values(), following))
        if pane.grid.hasFocus():
            figure.show_cavity(following[0])
            self._pause.start()

    def _seen(self, seen: bool) -> None:
        """Give the height back when the pane goes out of sight."""
        self._in_front = seen
        self._give_room(self._window.panes.one_alone and seen)
        self._show()

    def _give_room(self, alone: bool) -> None:
        """Give the survey the whole height; the figure gets the room of its key."""
        self._window.panes.stand_alone(alone=alone)
        self._say_room()

    def _say_room(self, _what: object = None) -> None:
        """Show whether the pane stands alone: another that was asked for ends it."""
        window, joined = self._window, self._window.panes.low.joined
        alone = window.panes.one_alone or (joined and self._in_front)
        self._pane.room.setHidden(joined)
        if alone != self._alone:
            self._alone = alone
            window.key.put_away(alone, "survey")
        self._pane.room.setChecked(alone)

    def _values(self) -> tuple[tuple[CavityId, str, str], ...]:
        """Return what was found in the state of the next key, near its row."""
        cells, state = self._pane.grid.cells, self._pane.grid.key_state
        here = self._pane.grid.at[0]
        found = []
        for row in cells.rows[max(here - _BEFORE, 0) : here + _AFTER]:
            each = cells.filled.grid.get(row.contact, {}).get(state)
            if each is not None:
                text = LETTERS[each.word] if each.value is None else each.text()
                found.append((*row.contact, text))
        return tuple(found)

    def _select(self) -> None:
        """Select the place of the next key, where the keyboard still is in the grid."""
        following = self._pane.lit()[0]
        if following and self._pane.grid.hasFocus():
            self._window.selection.select([following])

    def _follow(self) -> None:
        """Go to the first contact of a place that was selected elsewhere."""
        pane, current = self._pane, self._window.selection.current
        if not pane.in_sight or pane.grid.hasFocus() or current is None:
            return
        if pane.lit()[0] == current:
            return
        rows = pane.grid.cells.rows
        row = next((r for r in rows if r.contact.cavity == current), None)
        if row is not None:
            pane.grid.go_to(row.contact)

    def contact_at(self, event: QMouseEvent) -> ContactRef | None:
        """Return the contact of the survey that is pressed on the figure."""
        figure = self._window.figure
        pointer = figure.pointer_at(event.position(), event.modifiers())
        cavity = figure.content.cavity(figure.cavity_under(pointer))
        if cavity is None:
            return None
        best: tuple[float, ContactRef] | None = None
        for name in cavity.contact_names:
            spot, contact = spot_of(cavity, name), ContactRef(cavity.id, name)
            if spot is None or self._pane.grid.cells.row_of(contact) is None:
                continue
            dx, dy = spot.x_mm - pointer.at.x_mm, spot.y_mm - pointer.at.y_mm
            if best is None or dx * dx + dy * dy < best[0]:
                best = (dx * dx + dy * dy, contact)
        return best[1] if best else None

    # what Qt calls

    @guarded(False)
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QMouseEvent) and self._pane.in_sight:
            self._pressed(event)
        return bool(super().eventFilter(watched, event))

    def _pressed(self, event: QMouseEvent) -> None:
        figure, kind = self._window.figure, event.type()
        plain = event.modifiers() == Qt.KeyboardModifier.NoModifier
        if kind != QEvent.Type.MouseButtonRelease or figure.tool.name != "select":
            return
        if event.button() != Qt.MouseButton.LeftButton or not plain:
            return
        moved = figure.pressed_at().px - event.position()
        contact = self.contact_at(event)
        if contact is None or moved.manhattanLength() > 4 or self._pane.page != "grid":
            return
        self._pane.grid.go_to(contact)
        self._pane.grid.setFocus()
