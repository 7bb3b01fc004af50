"""The inspector panel: a heading and the page that fits what is selected."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QFocusEvent, QShowEvent
from PySide6.QtWidgets import QLabel, QStackedLayout, QVBoxLayout, QWidget

from blockmap.model.changes import Change
from blockmap.window.guard import guarded
from blockmap.window.inspector.block_page import BlockPage
from blockmap.window.inspector.cavity_page import CavityPage
from blockmap.window.inspector.fields import Field
from blockmap.window.selection import Selection
from blockmap.window.session import Session

__all__ = ["InspectorPanel"]


EARLY_MS = 400
"""After so long the page of cavities is made, so that the first click is quick."""
MANY = 50
"""What more cavities have in common is shown in a turn of the event loop of its own."""


class InspectorPanel(QWidget):
    """Shows and edits the selected cavities, else the shown block and the car.

    Pages are made when first needed, filled anew when what they show changes, and
    not at all while the panel is hidden.
    """

    def __init__(
        self, session: Session, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session, self._selection = session, selection
        self._shown: tuple[object, ...] | None = None
        self._stale = True
        self._cavity_page: CavityPage | None = None
        self._block_page: BlockPage | None = None
        self.heading = QLabel()
        self.heading.setTextFormat(Qt.TextFormat.PlainText)
        self.heading.setWordWrap(True)
        font = self.heading.font()
        font.setPointSizeF(font.pointSizeF() * 1.2)
        self.heading.setFont(font)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 4, 0, 0)
        whole.setSpacing(2)
        self.heading.setContentsMargins(8, 0, 8, 0)
        whole.addWidget(self.heading)
        self._stack = QStackedLayout()
        whole.addLayout(self._stack, 1)
        self.setAccessibleName(self.tr("Selected"))
        self._early = QTimer(self)
        self._early.setSingleShot(True)
        self._early.setInterval(EARLY_MS)
        self._early.timeout.connect(self._cavities)
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.timeout.connect(self._show_later)
        self._painted = False
        self._fresh = False
        selection.changed.connect(self._selection_changed)
        selection.block_changed.connect(self._selection_changed)
        selection.view_changed.connect(self._view_changed)
        session.changed.connect(self._document_changed)

    def go_to(self, path: str) -> None:
        """Give the field of a property the focus, its text selected."""
        page = self._stack.currentWidget()
        assert isinstance(page, (CavityPage, BlockPage))
        page.go_to(self.field(path))

    def field(self, path: str) -> Field:
        """Return the field of a property on the page that is shown. Raises KeyError."""
        page = self._stack.currentWidget()
        assert isinstance(page, (CavityPage, BlockPage))
        for field in page.fields:
            if field.path == path:
                return field
        raise KeyError(path)

    def commit(self) -> None:
        """Write what is typed in a field and not committed yet."""
        page = self._stack.currentWidget()
        if isinstance(page, (CavityPage, BlockPage)):
            page.commit()

    @guarded()
    def focusInEvent(self, event: QFocusEvent) -> None:
        """Hand the keyboard on to the first field: the pane itself has none."""
        super().focusInEvent(event)
        page = self._stack.currentWidget()
        if isinstance(page, (CavityPage, BlockPage)):
            groups = [group for group in page.groups if group.wanted]
            first = next((f for g in groups for f in g.shown_fields), None)
            if first is not None:
                first.setFocus(event.reason())

    # Following

    def _selection_changed(self) -> None:
        if self.isVisible():
            self.commit()
        self.refresh()

    def _view_changed(self) -> None:
        if self._cavity_page is not None:
            self._cavity_page.show_view()

    def _document_changed(self, change: Change) -> None:
        ids = self._selection.ids
        concerned = bool(change.car or change.blocks)
        if ids:
            concerned = concerned or not change.cavities.touched.isdisjoint(ids)
        if concerned or (bool(ids) != self._showing_cavities()):
            self.refresh()

    def _showing_cavities(self) -> bool:
        return bool(self._shown and self._shown[0] == "cavities")

    def refresh(self) -> None:
        """Show what is selected as it is now."""
        self._later.stop()
        if not self.isVisible():
            self._stale = True
            return
        self._stale = False
        ids = self._selection.ids
        shown: tuple[object, ...] = (
            ("cavities", *ids) if ids else ("block", self._selection.block)
        )
        self._fresh = self._fresh or shown != self._shown
        self._shown = shown
        self._show_heading()
        if len(ids) > MANY:
            self._painted = False
            self._later.start()
        else:
            self._show()

    def _show_later(self) -> None:
        """Show it in the turn after this one, which paints what was just changed."""
        if self._painted:
            self._show()
        else:
            self._painted = True
            self._later.start()

    def _show(self) -> None:
        ids, fresh, self._fresh = self._selection.ids, self._fresh, False
        if ids:
            page = self._cavities()
            self._stack.setCurrentWidget(page)
            page.show_cavities(ids, fresh=fresh)
        else:
            blocks = self._blocks()
            self._stack.setCurrentWidget(blocks)
            blocks.show_block(self._selection.block, fresh=fresh)

    def _cavities(self) -> CavityPage:
        if self._cavity_page is None:
            self._cavity_page = CavityPage(self._session, self._selection)
            self._stack.addWidget(self._cavity_page)
        return self._cavity_page

    def _blocks(self) -> BlockPage:
        if self._block_page is None:
            self._block_page = BlockPage(self._session)
            self._stack.addWidget(self._block_page)
        return self._block_page

    def _show_heading(self) -> None:
        ids, document = self._selection.ids, self._session.document
        if len(ids) == 1:
            cavity = document.cavities[ids[0]]
            others = ", ".join(cavity.designations[1:])
            text = cavity.designation + (f" ({others})" if others else "")
            if cavity.unusable:
                words = (
                    self.tr("do not use")
                    if cavity.do_not_use
                    else self.tr("do not use as is")
                )
                text = f"{text}: {words}"
        elif ids:
            text = self.tr("%1 cavities").replace("%1", str(len(ids)))
        else:
            block = document.blocks.get(self._selection.block or "")
            text = (block.name or block.id) if block else self.tr("No block yet")
        self.heading.setText(text)

    @guarded()
    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._stale:
            self.refresh()
        self._early.start()
