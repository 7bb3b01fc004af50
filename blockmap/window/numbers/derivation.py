"""Where a number comes from: formula with its numbers, inputs to walk, sources.

It opens no address: documents are named, and their address is shown to be copied.
"""

from __future__ import annotations

import html
from collections.abc import Sequence

from PySide6.QtCore import Qt, QUrl, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QTextBrowser, QWidget

from blockmap.analysis.numbers.figure import AS_ENTERED, SET_BY_YOU, Figure
from blockmap.window.guard import guarded
from blockmap.window.numbers.wording import figure_word, status_words, value_words

__all__ = ["DerivationView"]


class DerivationView(QTextBrowser):
    """Shows figures one under the other; a link to an input walks to it.

    left tells that the person wants back to where the figures were chosen.
    """

    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setOpenLinks(False)
        self.setAccessibleName(self.tr("Where the number comes from"))
        self.setTextInteractionFlags(
            Qt.TextInteractionFlag.LinksAccessibleByKeyboard
            | Qt.TextInteractionFlag.LinksAccessibleByMouse
            | Qt.TextInteractionFlag.TextSelectableByKeyboard
            | Qt.TextInteractionFlag.TextSelectableByMouse
        )
        self._trail: list[tuple[str, str, tuple[Figure, ...]]] = []
        self._links: dict[str, Figure] = {}
        self.anchorClicked.connect(self._walk)

    @property
    def shown_figures(self) -> tuple[Figure, ...]:
        """The figures whose derivation is shown now."""
        return self._trail[-1][2] if self._trail else ()

    @property
    def steps(self) -> int:
        """How many steps have been walked, the first figure included."""
        return len(self._trail)

    def show_figures(self, title: str, verdict: str, figures: Sequence[Figure]) -> None:
        """Show how figures were computed, under a title; the trail starts anew."""
        self._trail = [(title, verdict, tuple(figures))]
        self._show()

    def back(self) -> None:
        """Go back to the figure before; from the first one, leave."""
        if len(self._trail) > 1:
            self._trail.pop()
            self._show()
        else:
            self.left.emit()

    def _walk(self, url: QUrl) -> None:
        name = url.toString()
        if name.startswith("trail:"):
            self._trail = self._trail[: int(name.removeprefix("trail:")) + 1]
            self._show()
        elif name in self._links:
            figure = self._links[name]
            self._trail.append((figure_word(figure.name), "", (figure,)))
            self._show()

    def _show(self) -> None:
        self._links = {}
        title, verdict, figures = self._trail[-1]
        parts = [self._steps(), f"<h3>{html.escape(title)}</h3>"]
        if verdict:
            parts.append(f"<p>{html.escape(verdict)}</p>")
        for figure in figures:
            parts += self._figure(figure, with_name=figure.name != title)
        if not figures:
            parts.append(f"<p>{html.escape(self.tr('Nothing is known of it.'))}</p>")
        self.setHtml("".join(parts))
        self.moveCursor(self.textCursor().MoveOperation.Start)

    def _steps(self) -> str:
        if len(self._trail) < 2:
            return ""
        steps = [
            f'<a href="trail:{number}">{html.escape(title)}</a>'
            for number, (title, _, _) in enumerate(self._trail[:-1])
        ]
        return f"<p>{' › '.join(steps)} ›</p>"

    def _figure(self, figure: Figure, *, with_name: bool) -> list[str]:
        name = html.escape(figure_word(figure.name))
        value = html.escape(value_words(figure))
        parts = [f"<p><b>{name}: {value}</b>" if with_name else f"<p><b>{value}</b>"]
        if figure.formula != figure.text:
            parts.append(f"<br><code>{html.escape(figure.formula)}</code>")
        parts.append(f"<br>{html.escape(status_words(figure))}</p>")
        notes = [note for note in figure.note.split("; ") if note]
        if figure.inputs:  # what was entered is said with the input itself
            notes = [note for note in notes if note != AS_ENTERED]
        for note in notes:
            text = html.escape(note)
            mine = SET_BY_YOU in note
            parts.append(f"<p><b>{text}</b></p>" if mine else f"<p>{text}</p>")
        if figure.inputs:
            parts.append(f"<p>{html.escape(self.tr('Computed from:'))}</p><ul>")
            parts += [f"<li>{self._link(each)}</li>" for each in figure.inputs]
            parts.append("</ul>")
        parts += self._sources(figure)
        return parts

    def _link(self, figure: Figure) -> str:
        name = f"input:{len(self._links)}"
        self._links[name] = figure
        title = html.escape(f"{figure_word(figure.name)}: {value_words(figure)}")
        return f'<a href="{name}">{title}</a>'

    def _sources(self, figure: Figure) -> list[str]:
        if not figure.sources:
            return []
        head = html.escape(self.tr("Source:"))
        rows = []
        for source in figure.sources:
            where = f" ({source.address})" if source.address else ""
            rows.append(f"<li>{html.escape(source.title + where)}</li>")
        return [f"<p>{head}</p><ul>", *rows, "</ul>"]

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        backward = event.key() in (Qt.Key.Key_Backspace, Qt.Key.Key_Escape)
        alt = event.modifiers() & Qt.KeyboardModifier.AltModifier
        if backward or (alt and event.key() == Qt.Key.Key_Left):
            self.back()
        else:
            super().keyPressEvent(event)
