"""Words with links to places of the map, for mouse, Tab and Enter.

A link names a cavity, a strip or a block of the map; it opens nothing outside it.
"""

from __future__ import annotations

import html
from collections.abc import Iterable

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from blockmap.model.document import Map
from blockmap.model.ids import CavityId, StripId, key_of
from blockmap.window.guard import guarded
from blockmap.window.selection import Selection
from blockmap.window.session import Session

__all__ = [
    "LinkedLabel",
    "cavity_link",
    "cavity_links",
    "jump",
    "plain",
    "strip_link",
]

MOST_NAMED = 40
"""More places than this are counted, not named."""


def plain(text: str) -> str:
    """Return a text as it is to stand among links."""
    return html.escape(text)


def _link(target: str, text: str) -> str:
    return f'<a href="{html.escape(target)}">{html.escape(text)}</a>'


def cavity_link(document: Map, id_: CavityId, text: str = "") -> str:
    """Return a link to a cavity; its block is named where the map has several."""
    cavity = document.cavities.get(id_)
    if cavity is None:
        return plain(text or id_)
    if not text:
        text = cavity.designation
        if len(document.blocks) > 1:
            block = document.blocks[cavity.block]
            text = f"{text} ({block.name or block.id})"
    return _link(f"cavity:{id_}", text)


def cavity_links(document: Map, ids: Iterable[CavityId]) -> str:
    """Return links to cavities, the first ones by name."""
    found = list(ids)
    named = ", ".join(cavity_link(document, id_) for id_ in found[:MOST_NAMED])
    more = len(found) - MOST_NAMED
    return f"{named} … +{more}" if more > 0 else named


def strip_link(document: Map, id_: StripId, text: str = "") -> str:
    """Return a link to a strip."""
    strip = document.strips.get(id_)
    if strip is None:
        return plain(text or id_)
    return _link(f"strip:{id_}", text or strip.name or key_of(id_))


def jump(session: Session, selection: Selection, target: str) -> None:
    """Select what a link names and show its block."""
    kind, _, id_ = target.partition(":")
    document = session.document
    if kind == "cavity":
        selection.select([id_])
    elif kind == "strip" and id_ in document.strips:
        selection.set_block(document.strips[id_].block)
        selection.select_strip(id_)
    elif kind == "block" and id_ in document.blocks:
        selection.set_block(id_)


class LinkedLabel(QLabel):
    """A paragraph with links; jumped carries what a link names."""

    jumped = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = ""
        self.setTextFormat(Qt.TextFormat.RichText)
        self.setWordWrap(True)
        self.setOpenExternalLinks(False)
        self.setTextInteractionFlags(
            Qt.TextInteractionFlag.LinksAccessibleByKeyboard
            | Qt.TextInteractionFlag.LinksAccessibleByMouse
            | Qt.TextInteractionFlag.TextSelectableByMouse
        )
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.linkActivated.connect(self.jumped)

    def show_words(self, words: str) -> None:
        """Show words with links; none hides the paragraph."""
        self.setVisible(bool(words))
        if words != self._shown:
            self._shown = words
            self.setText(words)
        links = "<a " in words
        policy = Qt.FocusPolicy.StrongFocus if links else Qt.FocusPolicy.NoFocus
        self.setFocusPolicy(policy)

    @guarded()
    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self._shown:
            self.setText("")
            self.setText(self._shown)  # links take their colour when the text is set
