"""A figure on the screen with a mouse that works in front-view millimetres."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from blockmap.model.document import Cavity, Map, empty_map
from blockmap.model.edits import Grid, add_block, add_grid
from blockmap.model.geometry import Point, Size
from blockmap.window.canvas.figure_view import FigureView
from blockmap.window.selection import Selection
from blockmap.window.session import Session

LEFT = Qt.MouseButton.LeftButton
NONE = Qt.KeyboardModifier.NoModifier


def bare_map() -> Map:
    """Return a map with an empty block of 135 by 105 mm, the size of the demo's."""
    document, _ = add_block(empty_map(), "Panel", Size(135.0, 105.0))
    return document


def six_map() -> Map:
    """Return the block with two rows of three medium blades, F1 to F6."""
    grid = Grid(first=Point(15, 15), columns=3, rows=2, first_designation="F1")
    return add_grid(bare_map(), "panel", grid)


class Hand:
    """Real presses and keys on a figure, given in front-view millimetres."""

    def __init__(self, view: FigureView, qtbot: QtBot) -> None:
        self.view, self._qtbot = view, qtbot
        self.port = view.viewport()
        self.session, self.selection = view.session, view.selection

    @property
    def document(self) -> Map:
        return self.session.document

    def named(self, designation: str) -> Cavity:
        return next(
            c for c in self.document.cavities.values() if c.designation == designation
        )

    def names(self) -> list[str]:
        return [self.document.cavities[i].designation for i in self.selection.ids]

    def select(self, *designations: str) -> None:
        self.selection.select([self.named(d).id for d in designations])

    def px(self, x: float, y: float) -> QPoint:
        return self.view.px_of(Point(x, y)).toPoint()

    def press(self, x: float, y: float, held: Qt.KeyboardModifier = NONE) -> None:
        QTest.mousePress(self.port, LEFT, held, self.px(x, y))

    def move(self, x: float, y: float) -> None:
        QTest.mouseMove(self.port, self.px(x, y))

    def release(self, x: float, y: float, held: Qt.KeyboardModifier = NONE) -> None:
        QTest.mouseRelease(self.port, LEFT, held, self.px(x, y))

    def click(self, x: float, y: float, held: Qt.KeyboardModifier = NONE) -> None:
        QTest.mouseClick(self.port, LEFT, held, self.px(x, y))

    def drag(self, *way: tuple[float, float]) -> None:
        self.press(*way[0])
        for place in way[1:]:
            self.move(*place)
        self.release(*way[-1])

    def key(self, key: Qt.Key, held: Qt.KeyboardModifier = NONE) -> None:
        QTest.keyClick(self.view, key, held)

    def held_key(self, key: Qt.Key, held: Qt.KeyboardModifier) -> None:
        """Press a key while others stay down, which keyClick would let go."""
        for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            QApplication.sendEvent(self.view, QKeyEvent(kind, key, held))


@pytest.fixture
def hand(qtbot: QtBot) -> Callable[[Map], Hand]:
    """Return what puts a map on the screen, 10 pixels to the millimetre."""

    def put(document: Map) -> Hand:
        session = Session(document)
        selection = Selection(session)
        view = FigureView(session, selection)
        session.setParent(view)
        selection.setParent(view)
        qtbot.addWidget(view)
        view.resize(1400, 1200)
        view.show()
        view.activateWindow()
        qtbot.waitUntil(view.isActiveWindow)
        view.zoom_by(10.0 / view.frame_now.scale)
        view.settle()
        view.setFocus()
        return Hand(view, qtbot)

    return put
