"""How cells of the legend table are painted and typed into.

The delegate paints the text of the model with the small pictures that go with it, and
opens the editor. What is typed goes back through the table, which keeps the editor
open when the text is refused.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from PySide6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
)
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetrics,
    QIcon,
    QKeyEvent,
    QPainter,
    QPalette,
)
from PySide6.QtWidgets import (
    QApplication,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from blockmap.model.document import Wire
from blockmap.model.ids import CavityId
from blockmap.model.written import wire_text
from blockmap.window.guard import guarded
from blockmap.window.legend.facts import body_of, condition_of, doubtful
from blockmap.window.legend.rows import DOUBT, TABLE_COLUMNS, LegendModel
from blockmap.window.legend.suggesting_edit import SuggestingEdit
from blockmap.window.legend.suggestions import Suggestion, suggest
from blockmap.window.legend.swatches import body_swatch, wire_swatch
from blockmap.window.legend.wording import hint, schema_word
from blockmap.window.session import Session
from blockmap.window.theme import icon

if TYPE_CHECKING:
    from blockmap.window.legend.grid import LegendTable

__all__ = ["CellDelegate", "CellEditor"]

Index = QModelIndex | QPersistentModelIndex
_PAD_PX = 5
_TEXT = QStyleOptionViewItem.ViewItemFeature.HasDisplay
_TEXT_AND_PICTURE = _TEXT | QStyleOptionViewItem.ViewItemFeature.HasDecoration
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
LIST_COLUMNS = ("wires", "feed_wires", "loads")
"""Columns whose cells hold several things; taking a suggestion does not end them."""

_CONDITION_ICONS = {1: "level-advice", 2: "level-warning", 3: "level-error"}


class CellEditor(SuggestingEdit):
    """The line that lies over a cell while it is edited.

    in_place tells that the arrows move in the text; refused holds the sentence of
    the last refusal, empty when there is none.
    """

    def __init__(self, parent: QWidget, key: str) -> None:
        super().__init__(parent)
        self.key = key
        self.in_place = False
        self.refused = ""
        self.filled = False


class CellDelegate(QStyledItemDelegate):
    """Paints the cells of the legend table and makes their editors."""

    def __init__(
        self, session: Session, model: LegendModel, table: LegendTable
    ) -> None:
        super().__init__(table)
        self._session, self._model, self._table = session, model, table
        self.selected: frozenset[CavityId] = frozenset()
        """The selected cavities: their rows are tinted."""

    @property
    def _code(self) -> str:
        return self._session.document.car.colour_code

    # Painting

    @guarded()
    def initStyleOption(self, option: QStyleOptionViewItem, index: Index) -> None:
        """Dress a cell straight from the cavity, without asking the model by roles."""
        cavity, column = self._model.cavity(index.row()), TABLE_COLUMNS[index.column()]
        option.index = index  # type: ignore[assignment]
        option.text = self._model.display_text(cavity, column)
        option.features = _TEXT
        option.displayAlignment = _RIGHT if column.numeric else _LEFT
        selected = bool(option.state & QStyle.StateFlag.State_Selected)
        if not option.text:
            self._show_hint(option, index, column.key, selected)
        elif doubtful(cavity, column):
            option.font = _italic(option.font)
        if cavity.id in self.selected and not selected:
            option.backgroundBrush = QBrush(_tint(option.palette))
        body = body_of(cavity, column)
        if body is not None:
            self._decorate(option, QIcon(body_swatch(body.rgb, *_ink_of(option))))
        condition = condition_of(cavity, column)
        if condition is not None and condition.severity:
            self._decorate(option, icon(_CONDITION_ICONS[condition.severity]))

    def _decorate(self, option: QStyleOptionViewItem, picture: QIcon) -> None:
        side = option.fontMetrics.height()
        option.features = _TEXT_AND_PICTURE
        option.icon = picture
        option.decorationSize = QSize(side, side)

    def _show_hint(
        self, option: QStyleOptionViewItem, index: Index, key: str, selected: bool
    ) -> None:
        """Say in the empty cell under the cursor what is to be typed."""
        if (
            not self._table.is_current(index)
            or TABLE_COLUMNS[index.column()].write is None
        ):
            return
        option.text = hint(key, self._code)
        palette = QPalette(option.palette)
        faint = palette.color(QPalette.ColorRole.PlaceholderText)
        if selected:
            faint = palette.color(QPalette.ColorRole.HighlightedText)
            faint.setAlphaF(0.8)
        for role in (QPalette.ColorRole.Text, QPalette.ColorRole.HighlightedText):
            palette.setColor(role, faint)
        option.palette = palette

    @guarded()
    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: Index
    ) -> None:
        wires = self._wires_of(index)
        if not wires:
            super().paint(painter, option, index)
            return
        dressed = QStyleOptionViewItem(option)
        self.initStyleOption(dressed, index)
        text, dressed.text = dressed.text, ""
        style = dressed.widget.style() if dressed.widget else QApplication.style()
        style.drawControl(
            QStyle.ControlElement.CE_ItemViewItem, dressed, painter, dressed.widget
        )
        painter.save()
        painter.setFont(dressed.font)
        self._paint_wires(painter, dressed, wires, text.endswith(DOUBT))
        painter.restore()

    @guarded(QSize)
    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        size = super().sizeHint(option, index)
        size.setWidth(size.width() + self.picture_room(option.fontMetrics, index))
        return size

    def picture_room(self, metrics: QFontMetrics, index: Index) -> int:
        """Return the width of the small pictures in a cell besides its text."""
        wires = len(self._wires_of(index))
        step = _wire_height(metrics) * 2 + 4 + _PAD_PX
        return wires * step + _PAD_PX if wires else 0

    def _wires_of(self, index: Index) -> tuple[tuple[str, Wire], ...]:
        """Return the wires of a cell of wires, each with the text before it."""
        key = TABLE_COLUMNS[index.column()].key
        if key not in ("wires", "feed_wires"):
            return ()
        cavity = self._model.cavity(index.row())
        main = cavity.main_contact
        feed = next((n for n in ("feed", "30") if n in cavity.contact_names), "feed")
        if key == "feed_wires":
            return tuple(("", wire) for wire in cavity.contact(feed).wires)
        names = [main, *(n for n in cavity.contact_names if n not in (main, "feed"))]
        return tuple(
            ("" if name == main else f"{name}: ", wire)
            for name in names
            for wire in cavity.contact(name).wires
        )

    def _paint_wires(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        wires: tuple[tuple[str, Wire], ...],
        doubt: bool,
    ) -> None:
        selected = bool(option.state & QStyle.StateFlag.State_Selected)
        role = (
            QPalette.ColorRole.HighlightedText if selected else QPalette.ColorRole.Text
        )
        ink = option.palette.color(role)
        painter.setPen(ink)
        metrics = QFontMetrics(option.font)
        height = _wire_height(metrics)
        ratio = painter.device().devicePixelRatioF()
        box = option.rect.adjusted(_PAD_PX, 0, -_PAD_PX, 0)
        left = box.left()
        for number, (name, wire) in enumerate(wires):
            last = number == len(wires) - 1
            picture = wire_swatch(wire.colour, height, ink.name(), ratio)
            top = box.center().y() - height // 2
            tail = (DOUBT if doubt else "") if last else ";"
            text = name + wire_text(wire, self._code) + tail
            room = box.right() - left - height * 2 - 4
            if room < metrics.averageCharWidth() * 2:
                painter.drawText(
                    QRect(left, box.top(), box.right() - left + 1, box.height()),
                    Qt.AlignmentFlag.AlignVCenter,
                    "…",
                )
                return
            painter.drawPixmap(left, top, picture)
            left += height * 2 + 4
            shown = metrics.elidedText(text, Qt.TextElideMode.ElideRight, room)
            painter.drawText(
                QRect(left, box.top(), room, box.height()),
                Qt.AlignmentFlag.AlignVCenter,
                shown,
            )
            left += metrics.horizontalAdvance(shown) + _PAD_PX

    # Editing

    @guarded()
    def createEditor(
        self, parent: QWidget, option: QStyleOptionViewItem, index: Index
    ) -> QWidget:
        del option
        column = TABLE_COLUMNS[index.column()]
        editor = CellEditor(parent, column.key)
        editor.setFrame(False)
        editor.setAutoFillBackground(True)
        editor.setPlaceholderText(hint(column.key, self._code))
        name = f"{self._model.cavity(index.row()).designation}, "
        editor.setAccessibleName(name + schema_word(column.label))
        editor.setAccessibleDescription(schema_word(column.help))
        row = index.row()

        def offers(text: str) -> tuple[Suggestion, ...]:
            cavity = self._model.cavity(row)
            return suggest(self._session.document, cavity, column.key, text)

        editor.set_provider(offers)
        self._table.typing.opened(editor)
        return editor

    @guarded()
    def setEditorData(self, editor: QWidget, index: Index) -> None:
        if isinstance(editor, CellEditor) and not editor.filled:
            editor.filled = True
            editor.setText(self._model.edit_text(index.row(), index.column()))

    @guarded()
    def setModelData(
        self, editor: QWidget, model: QAbstractItemModel, index: Index
    ) -> None:
        del model
        if isinstance(editor, CellEditor):
            self._table.typing.commit(editor, index)

    @guarded()
    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, index: Index
    ) -> None:
        """Lie over the cell, and over its neighbours when the cell is narrow."""
        del index
        box = QRect(option.rect)
        least = option.fontMetrics.averageCharWidth() * 18
        parent = editor.parentWidget()
        room = (parent.width() if parent else least) - box.left()
        box.setWidth(max(box.width(), min(least, room)))
        editor.setGeometry(box)

    @guarded(False)
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if (
            isinstance(watched, CellEditor)
            and isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and self._table.typing.key(watched, event)
        ):
            return True
        return super().eventFilter(watched, event)


def _wire_height(metrics: QFontMetrics) -> int:
    return max(7, round(metrics.height() * 0.5))


def _ink_of(option: QStyleOptionViewItem) -> tuple[int, str, float]:
    """Return the height, ink and pixel ratio of a small picture in a cell."""
    ratio = option.widget.devicePixelRatioF() if option.widget else 1.0
    ink = option.palette.color(QPalette.ColorRole.Text).name()
    return max(8, round(option.fontMetrics.height() * 0.7)), ink, ratio


def _tint(palette: QPalette) -> QColor:
    colour = QColor(palette.color(QPalette.ColorRole.Highlight))
    colour.setAlphaF(0.16)
    return colour


@lru_cache(maxsize=16)
def _italic_by_key(key: str) -> QFont:
    font = QFont()
    font.fromString(key)
    font.setItalic(True)
    return font


def _italic(font: QFont) -> QFont:
    return _italic_by_key(font.toString())
