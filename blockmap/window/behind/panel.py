"""The pane of what is behind the panel: contacts, strips, and damage with repairs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from blockmap.drawing.figure import view_heading
from blockmap.drawing.frame import FigureStyle
from blockmap.drawing.strips import contact_place
from blockmap.model.changes import Change
from blockmap.model.document import Cavity
from blockmap.model.units import number_text
from blockmap.window.behind.contact_page import ContactPage
from blockmap.window.behind.damage_page import DamagePage
from blockmap.window.behind.links import jump
from blockmap.window.behind.strip_page import StripPage
from blockmap.window.choice_row import ChoiceRow
from blockmap.window.elided_label import ElidedLabel
from blockmap.window.pane_in_sight import PaneInSight
from blockmap.window.selection import Selection
from blockmap.window.session import Session

if TYPE_CHECKING:
    from blockmap.window.behind.families_window import FamiliesWindow

__all__ = ["BehindPanel"]


class BehindPanel(PaneInSight):
    """Three pages; they are made when the pane first comes into sight.

    made tells that the pages are there.
    """

    made = Signal()

    def __init__(
        self, session: Session, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session, self._selection = session, selection
        self._contacts: ContactPage | None = None
        self._strips: StripPage | None = None
        self._damage: DamagePage | None = None
        self._families: FamiliesWindow | None = None
        self._pages = QStackedWidget()
        self.heading = ElidedLabel()
        font = self.heading.font()
        font.setPointSizeF(font.pointSizeF() * 1.2)
        self.heading.setFont(font)
        texts = {
            "contacts": self.tr("Contacts"),
            "strips": self.tr("Strips"),
            "damage": self.tr("Damage"),
        }
        self._choice = ChoiceRow(texts, self)
        self._choice.chosen.connect(self.show_page)
        head = QHBoxLayout()
        head.setContentsMargins(8, 0, 8, 0)
        head.addWidget(self.heading, 1)
        head.addLayout(self._choice)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 4, 0, 0)
        whole.setSpacing(2)
        whole.addLayout(head)
        whole.addWidget(self._pages, 1)
        self.setAccessibleName(self.tr("Behind"))
        self.setFocusProxy(self._choice.buttons["contacts"])
        self._wait = QTimer(self)
        self._wait.setSingleShot(True)
        self._wait.setInterval(60)
        self._wait.timeout.connect(self.refresh)
        selection.changed.connect(self._selection_changed)
        selection.block_changed.connect(self.refresh)
        selection.strip_changed.connect(self._strip_changed)
        selection.contact_changed.connect(self._contact_changed)
        selection.view_changed.connect(self._show_heading)
        session.changed.connect(self._document_changed)

    @property
    def ready(self) -> bool:
        """True once the pages are made."""
        return self._strips is not None

    def _make(self) -> None:
        if self._strips is not None:
            return
        self._contacts = ContactPage(self._session, self._selection)
        self._strips = StripPage(self._session, self._selection)
        self._damage = DamagePage(self._session, self._selection)
        for page in (self._contacts, self._strips, self._damage):
            self._pages.addWidget(page)
        self._contacts.jumped.connect(self._jump)
        self._strips.words.jumped.connect(self._jump)
        self._choice.show_chosen("contacts")
        self.made.emit()

    @property
    def contacts(self) -> ContactPage:
        """The page of contacts, made when first needed."""
        self._make()
        assert self._contacts is not None
        return self._contacts

    @property
    def strips(self) -> StripPage:
        """The page of strips, made when first needed."""
        self._make()
        assert self._strips is not None
        return self._strips

    @property
    def damage(self) -> DamagePage:
        """The page of damage and repairs, made when first needed."""
        self._make()
        assert self._damage is not None
        return self._damage

    def show_page(self, name: str) -> None:
        """Bring a page forward: contacts, strips or damage."""
        pages: dict[str, QWidget] = {
            "contacts": self.contacts,
            "strips": self.strips,
            "damage": self.damage,
        }
        self._choice.show_chosen(name)
        self._pages.setCurrentWidget(pages[name])
        self.refresh()

    def show_families(self, name: str = "") -> FamiliesWindow:
        """Show the terminal families in front, the one of this name chosen."""
        from blockmap.window.behind.families_window import FamiliesWindow

        if self._families is None:
            self._families = FamiliesWindow(
                self._session, self._selection, self.window()
            )
        self._families.show()
        if name:
            self._families.show_family(name)
        self._families.raise_()
        self._families.activateWindow()
        return self._families

    def commit(self) -> None:
        """Write what is typed in a field and not committed yet."""
        if self.ready:
            self.strips.commit()
            self.damage.commit()
        if self._families is not None:
            self._families.commit()

    def stop(self) -> None:
        """Wait for what is being worked out; nothing comes after."""
        if self.ready:
            self.contacts.asker.stop()
            self.damage.photos.stop()

    def _jump(self, target: str) -> None:
        if target.startswith("family:"):
            self.show_families(target.removeprefix("family:"))
            return
        if target.startswith("contact:"):
            self._selection.select_contact(target.rpartition(".")[2])
            return
        jump(self._session, self._selection, target)
        if target.startswith("strip:"):
            self.show_page("strips")

    def _selection_changed(self) -> None:
        if self.isVisible() and self.ready:
            self.damage.commit()
        self.refresh()

    def _strip_changed(self) -> None:
        self._show_heading()

    def _contact_changed(self) -> None:
        self._show_heading()
        if self._contacts is not None:
            self._contacts.show_contact()

    def _document_changed(self, change: Change) -> None:
        touched = not change.cavities.touched.isdisjoint(self._selection.ids)
        if touched or change.repairs or change.strips:
            self.refresh()
        else:
            self._wait.start()

    def fill(self) -> None:
        """Show what the page in front tells of the map as it is."""
        self._wait.stop()
        self._make()
        self._show_heading()
        page = self._pages.currentWidget()
        if page is self._contacts:
            self.contacts.refresh()
        elif page is self._damage:
            self.damage.refresh()
        else:
            self.strips.come_forward()

    def _show_heading(self) -> None:
        ids, document = self._selection.ids, self._session.document
        if len(ids) == 1 and ids[0] in document.cavities:
            text = self._place_words(document.cavities[ids[0]])
        elif ids:
            text = self.tr("%1 cavities").replace("%1", str(len(ids)))
        else:
            block = document.blocks.get(self._selection.block or "")
            text = (block.name or block.id) if block else ""
        self.heading.setText(text)

    def _place_words(self, cavity: Cavity) -> str:
        """Return the designation, with contact and where it is seen if asked for."""
        contact, view = self._selection.contact, self._selection.view
        if not contact:
            return cavity.designation
        block = self._session.document.blocks[cavity.block]
        x, y = contact_place(cavity, contact, FigureStyle(block.size, view))
        text = self.tr("%1: x %2, y %3 mm, %4")
        text = text.replace("%1", f"{cavity.designation} {contact}")
        text = text.replace("%2", number_text(round(x, 1)))
        text = text.replace("%3", number_text(round(y, 1)))
        words = view_heading(view, block).removesuffix(": mirrored")
        return text.replace("%4", words[:1].lower() + words[1:])
