"""The one selection that figure, legend table and inspector share.

It holds which cavities, contact and strip are selected, which block is shown and from
where. None of it is part of the map, and none of it is undone.
"""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QObject, Signal

from blockmap.model.geometry import View
from blockmap.model.ids import BlockId, CavityId, StripId
from blockmap.window.session import Session

__all__ = ["Selection"]


class Selection(QObject):
    """What is selected and shown; ids that leave the map leave the selection.

    A strip stays selected while cavities are, so that its contacts can be walked.
    """

    changed = Signal()
    contact_changed = Signal()
    strip_changed = Signal()
    block_changed = Signal()
    view_changed = Signal()

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._ids: tuple[CavityId, ...] = ()
        self._current: CavityId | None = None
        self._contact = ""
        self._strip: StripId | None = None
        self._block: BlockId | None = next(iter(session.document.blocks), None)
        self._view = View.FRONT
        session.changed.connect(self._follow)

    @property
    def ids(self) -> tuple[CavityId, ...]:
        """The selected cavities, in the order they were taken in."""
        return self._ids

    @property
    def current(self) -> CavityId | None:
        """The one of them that keys and the inspector start from."""
        return self._current

    @property
    def contact(self) -> str:
        """The contact of the current cavity that was asked for; '' when none was."""
        return self._contact

    @property
    def strip(self) -> StripId | None:
        """The selected strip; None when none is."""
        return self._strip

    @property
    def block(self) -> BlockId | None:
        """The block that is shown; None when the map has none."""
        return self._block

    @property
    def view(self) -> View:
        """From where the block is shown."""
        return self._view

    def select(self, ids: Iterable[CavityId], current: CavityId | None = None) -> None:
        """Select exactly these; show the block of the current one."""
        known = self._session.document.cavities
        chosen = tuple(dict.fromkeys(i for i in ids if i in known))
        if current not in chosen:
            current = chosen[-1] if chosen else None
        if (chosen, current) == (self._ids, self._current):
            return
        if current != self._current:
            self.select_contact("")
        self._ids, self._current = chosen, current
        if current is not None:
            self.set_block(known[current].block)
        self.changed.emit()

    def extend(self, ids: Iterable[CavityId]) -> None:
        """Take more cavities in; the last becomes the current one."""
        more = tuple(ids)
        self.select((*self._ids, *more), more[-1] if more else self._current)

    def toggle(self, id_: CavityId) -> None:
        """Take a cavity in, or out when it is in."""
        if id_ in self._ids:
            self.select(i for i in self._ids if i != id_)
        else:
            self.extend([id_])

    def select_contact(self, contact: str) -> None:
        """Ask for one contact of the current cavity; '' lets it go."""
        cavity = self._session.document.cavities.get(self._current or "")
        if cavity is None or contact not in cavity.contact_names:
            contact = ""
        if contact != self._contact:
            self._contact = contact
            self.contact_changed.emit()

    def select_strip(self, strip: StripId | None) -> None:
        """Select a strip, beside the cavities that are selected; None lets it go."""
        if strip not in self._session.document.strips:
            strip = None
        if strip != self._strip:
            self._strip = strip
            self.strip_changed.emit()

    def clear(self) -> None:
        """Select nothing."""
        self.select_contact("")
        self.select_strip(None)
        self.select(())

    def set_block(self, block: BlockId | None) -> None:
        """Show another block; what is selected elsewhere is let go."""
        if block == self._block:
            return
        self._block = block
        known = self._session.document.cavities
        stay = tuple(i for i in self._ids if i in known and known[i].block == block)
        self.block_changed.emit()
        if stay != self._ids:
            self.select(stay)

    def set_view(self, view: View) -> None:
        """Look at the block from another side."""
        if view is not self._view:
            self._view = view
            self.view_changed.emit()

    def _follow(self, _change: object) -> None:
        document = self._session.document
        if self._block not in document.blocks:
            self._block = next(iter(document.blocks), None)
            self.block_changed.emit()
        if self._strip is not None:
            self.select_strip(self._strip if self._strip in document.strips else None)
        self.select_contact(self._contact)
        if any(i not in document.cavities for i in self._ids):
            stay = [i for i in self._ids if i in document.cavities]
            self.select(stay, self._current)
