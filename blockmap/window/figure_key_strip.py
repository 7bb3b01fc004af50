"""The key of the figure, below it: every mark that is drawn, and what it means.

What lies over the figure, as signs and readings do, comes last. The rest is worked out
in another thread soon after a change, so that it never stands in the way of an edit.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from PySide6.QtCore import QEvent, QRect, QSize, Qt, QTimer
from PySide6.QtGui import QPainter, QPaintEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from blockmap.drawing.frame import FigureStyle
from blockmap.drawing.key import KEY_BOX, KeyEntry, figure_key
from blockmap.drawing.palette import DARK, LIGHT
from blockmap.model.document import Map
from blockmap.model.geometry import View
from blockmap.model.ids import BlockId
from blockmap.window.aside import Aside
from blockmap.window.canvas.batches import Batch, Inks, compiled
from blockmap.window.canvas.over_key import over_entries
from blockmap.window.guard import guarded
from blockmap.window.plain_tip import plain_tip
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.theme import dark_now

__all__ = ["FigureKeyStrip"]

GAP_PX = 4
SMALLER = 0.9
"""Size of the words against those of the window."""
WAIT_MS = 120


class _Shown(NamedTuple):
    """What a key belongs to."""

    document: Map
    block: BlockId | None
    view: View


def _entries(shown: _Shown) -> tuple[KeyEntry, ...]:
    part = shown.document.blocks.get(shown.block or "")
    if part is None:
        return ()
    style = FigureStyle(size=part.size, view=shown.view)
    return figure_key(shown.document, part.id, style)


class FigureKeyStrip(QWidget):
    """Marks and words in rows, as many rows as the width asks for."""

    def __init__(
        self,
        session: Session,
        selection: Selection,
        over: Callable[[], frozenset[str]] = frozenset,
    ) -> None:
        super().__init__()
        self._session, self._selection, self._over = session, selection, over
        self._drawn: tuple[KeyEntry, ...] = ()
        self._entries: tuple[KeyEntry, ...] = ()
        self._batches: list[Batch] = []
        self._places: list[QRect] = []
        self._more: QRect | None = None
        self._put_away: set[str] = set()
        small = self.font()
        small.setPointSizeF(small.pointSizeF() * SMALLER)
        self.setFont(small)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self._wait = QTimer(self)
        self._wait.setSingleShot(True)
        self._wait.timeout.connect(self._refresh_aside)
        self._aside = Aside(self._take, self)
        session.changed.connect(self._later)
        selection.block_changed.connect(self._later)
        selection.view_changed.connect(self._later)
        self._later()

    def refresh(self) -> None:
        """Work the key out anew."""
        self._show(_entries(self._now()))

    def _now(self) -> _Shown:
        selection = self._selection
        return _Shown(self._session.document, selection.block, selection.view)

    def _refresh_aside(self) -> None:
        now = self._now()
        if self._aside.busy:
            self._wait.start(WAIT_MS)
        else:
            self._aside.start(lambda: (now, _entries(now)))

    def _take(self, done: tuple[_Shown, tuple[KeyEntry, ...]]) -> None:
        shown, entries = done
        now = self._now()
        if shown.document is now.document and shown[1:] == now[1:]:
            self._show(entries)
        else:
            self._wait.start(WAIT_MS)

    def refresh_over(self) -> None:
        """Follow what lies over the figure."""
        self._show(self._drawn)

    def _show(self, drawn: tuple[KeyEntry, ...]) -> None:
        self._drawn = drawn
        entries = drawn + over_entries(self._over())
        if [e.mark for e in entries] != [e.mark for e in self._entries]:
            self._entries = entries
            self._batches = [Batch([compiled(e.primitives)]) for e in entries]
            self._place(self.width())
            self.updateGeometry()
        words = "; ".join(entry.words for entry in entries)
        self.setAccessibleName(self.tr("Key of the figure"))
        self.setAccessibleDescription(words)
        self._tell_rest()
        self.setVisible(bool(entries) and not self._put_away)
        self.update()

    def _tell_rest(self) -> None:
        """Let the pointer read what is left out."""
        rest = self._entries[len(self._places) :]
        self.setToolTip(plain_tip("\n".join(entry.words for entry in rest)))

    def put_away(self, away: bool, why: str = "wish") -> None:
        """Hide the key, or show it again once nothing else has put it away."""
        before = set(self._put_away)
        (self._put_away.add if away else self._put_away.discard)(why)
        if self._put_away != before:
            self.refresh()

    @guarded(lambda: QSize(200, 24))
    def sizeHint(self) -> QSize:
        return QSize(400, self._height(max(400, self.width())))

    @guarded(True)
    def hasHeightForWidth(self) -> bool:
        return True

    @guarded(24)
    def heightForWidth(self, width: int) -> int:
        return self._height(width)

    @guarded()
    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place(self.width())
        self._tell_rest()

    @guarded()
    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.PaletteChange):
            self._place(self.width())
            self.updateGeometry()
            self.update()

    @guarded()
    def paintEvent(self, event: QPaintEvent) -> None:
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        inks = Inks(DARK if dark_now() else LIGHT)
        scale = self._scale()
        ink = self.palette().color(QPalette.ColorRole.WindowText)
        middle = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
        painter.setPen(ink)
        for entry, batch, place in zip(
            self._entries, self._batches, self._places, strict=False
        ):  # as many as have a place
            painter.save()
            painter.translate(place.left(), place.top() + GAP_PX / 2)
            painter.scale(scale, scale)
            painter.translate(-batch.bounds.left(), 0)
            batch.draw(painter, inks, scale * self.devicePixelRatioF())
            painter.restore()
            words = place.adjusted(self._mark_width(batch) + GAP_PX, 0, 0, 0)
            painter.setPen(ink)
            painter.drawText(words, middle, entry.words)
        if self._more is not None:
            painter.drawText(self._more, middle, self._left_out())
        painter.end()

    def _later(self, _change: object = None) -> None:
        # The first key at once: the figure makes room for it only once.
        self._wait.start(WAIT_MS if self._drawn else 0)

    def _scale(self) -> float:
        return (self.fontMetrics().height() + 2) / KEY_BOX.height_mm

    def _mark_width(self, batch: Batch) -> int:
        return math.ceil(self._scale() * batch.bounds.width())

    def _place(self, width: int) -> int:
        """Lay the entries out in rows; return the height they take.

        The figure is worth more than its key: what would take more than a third of
        the height is left out, and how much that is stands at the end.
        """
        metrics = self.fontMetrics()
        row = metrics.height() + 2 + GAP_PX
        most = self._most_rows(row)
        x, y, line = GAP_PX, GAP_PX // 2, 1
        self._places, self._more = [], None
        for entry, batch in zip(self._entries, self._batches, strict=True):
            words = metrics.horizontalAdvance(entry.words)
            wide = self._mark_width(batch) + GAP_PX + words
            if x > GAP_PX and x + wide > width - GAP_PX:
                x, y, line = GAP_PX, y + row, line + 1
            if line > most:
                return self._leave_out(width, y - row, row)
            self._places.append(QRect(x, y, wide + 2, row))
            x += wide + 3 * GAP_PX
        return y + row + GAP_PX // 2

    def _most_rows(self, row: int) -> int:
        desk = self.parentWidget()
        return (
            max(2, desk.height() // 3 // row)
            if desk is not None
            else len(self._entries)
        )

    def _leave_out(self, width: int, y: int, row: int) -> int:
        """Make room at the end of the last row for the words on what is left out."""
        metrics = self.fontMetrics()
        while True:
            last = self._places[-1]
            x = last.right() + 3 * GAP_PX if last.top() == y else GAP_PX
            room = QRect(x, y, width - GAP_PX - x, row)
            enough = room.width() >= metrics.horizontalAdvance(self._left_out())
            if enough or last.top() != y or len(self._places) == 1:
                self._more = room
                return y + row + GAP_PX // 2
            self._places.pop()

    def _left_out(self) -> str:
        count = len(self._entries) - len(self._places)
        return self.tr("%n more in a taller window", "", count)

    def _height(self, width: int) -> int:
        kept = self._places, self._more
        height = self._place(width) if self._entries else 0
        self._places, self._more = kept
        return height
