"""The menu of the survey: which states, which contacts, in which order, touched where.

It holds what is chosen for as long as the window is open; nothing of it is in the map,
save for a state of the map's own that is added here.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QCoreApplication, Signal
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QLineEdit, QMenu, QToolButton, QWidget, QWidgetAction

from blockmap.window.surveying.walking import ORDERS
from blockmap.window.theme import icon

__all__ = ["SetUp"]


def _tr(text: str) -> str:
    return QCoreApplication.translate("surveying", text)


class SetUp(QToolButton):
    """The button of the menu; changed tells that something else is chosen.

    state_wanted carries a typed state or two of them, such as RUN + HEAD LOW.
    """

    changed = Signal()
    state_wanted = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.order, self.every, self.at_fuse = "list", True, True
        self.states: tuple[str, ...] = ()
        self._known: tuple[str, ...] = ()
        self.setIcon(icon("settings"))
        self.setText(_tr("Set up"))
        self.setToolTip(_tr("States, contacts and walking order of the survey"))
        self.setAccessibleName(_tr("Set up the survey"))
        self._menu = QMenu(self)
        # A menu of the button itself would hold everything up while it is open.
        self.clicked.connect(self._open)
        self._states = self._menu.addMenu(_tr("&States"))
        self._menu.addSeparator()
        orders = (
            _tr("&As the legend lists the places"),
            _tr("A&long each row"),
            _tr("Along each row, &one side first"),
        )
        self._choice(orders, ORDERS, self._take_order)
        self._menu.addSeparator()
        self._choice(
            (_tr("&Every contact"), _tr("S&upply side only")),
            ("every", "supply"),
            self._take_contacts,
        )
        self._menu.addSeparator()
        self._choice(
            (
                _tr("Probe at the &fuse, from the front"),
                _tr("Probe at the &contact itself"),
            ),
            ("fuse", "contact"),
            self._take_touched,
        )
        self.typed = QLineEdit()
        self.typed.setPlaceholderText(_tr("another, such as RUN + BRAKE"))
        self.typed.setAccessibleName(_tr("Another state"))
        self.typed.setMinimumWidth(self.fontMetrics().averageCharWidth() * 30)
        self.typed.returnPressed.connect(self._take_typed)
        self._line = QWidgetAction(self)
        self._line.setDefaultWidget(self.typed)
        self._states.aboutToShow.connect(self._fill)

    def _open(self) -> None:
        self._menu.popup(self.mapToGlobal(self.rect().bottomLeft()))

    def _choice(
        self,
        titles: Sequence[str],
        names: Sequence[str],
        take: Callable[[str], None],
    ) -> None:
        group = QActionGroup(self)
        for title, name in zip(titles, names, strict=True):
            action = self._menu.addAction(title)
            action.setCheckable(True)
            action.setChecked(name == names[0])
            action.setObjectName(name)
            group.addAction(action)
            action.triggered.connect(lambda _on=False, n=name: take(n))

    def _take_order(self, name: str) -> None:
        self.order = name
        self.changed.emit()

    def _take_contacts(self, name: str) -> None:
        self.every = name == "every"
        self.changed.emit()

    def _take_touched(self, name: str) -> None:
        self.at_fuse = name == "fuse"
        self.changed.emit()

    def offer_states(self, known: Sequence[str], shown: Sequence[str]) -> None:
        """Offer these states, those that are shown ticked."""
        self._known, self.states = tuple(known), tuple(shown)

    def _fill(self) -> None:
        """Make the ticks when the menu opens: never while one of them is at work."""
        menu = self._states
        menu.clear()
        for state in self._known:
            action = menu.addAction(state.replace("&", "&&"))
            action.setCheckable(True)
            action.setChecked(state in self.states)
            action.toggled.connect(lambda on, s=state: self._turn(s, on=on))
        menu.addSeparator()
        menu.addAction(self._line)

    def _turn(self, state: str, *, on: bool) -> None:
        rest = tuple(each for each in self.states if each != state)
        self.states = (*rest, state) if on else rest
        self.changed.emit()

    def _take_typed(self) -> None:
        text = " ".join(self.typed.text().split())
        if text:
            self.typed.clear()
            self._menu.close()
            self.state_wanted.emit(text)

    def actions_of(self) -> tuple[QAction, ...]:
        """Return the choices, for whoever drives them without the mouse."""
        return tuple(self._menu.actions())
