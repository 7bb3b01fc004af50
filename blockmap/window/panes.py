"""The panes beside the figure: what each is called, and how it is made when needed.

A pane is made when it comes into sight or is asked for; until then its frame is empty.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import (
    TYPE_CHECKING,
    Any,
    Generic,
    Protocol,
    TypeVar,
    cast,
    runtime_checkable,
)

from PySide6.QtCore import QByteArray, QCoreApplication, Qt, QTimer
from PySide6.QtWidgets import QApplication, QDockWidget, QWidget

from blockmap.window.keyboard_in_sight import KeyboardInSight
from blockmap.window.low_window import LAYOUT_VERSION, LowWindow
from blockmap.window.marked_texts import QT_TRANSLATE_NOOP
from blockmap.window.pane_frames import PaneFrames, rows_of_tabs
from blockmap.window.pane_in_sight import in_sight

if TYPE_CHECKING:
    from blockmap.window.behind.panel import BehindPanel
    from blockmap.window.findings_panel import FindingsPanel
    from blockmap.window.inspector.panel import InspectorPanel
    from blockmap.window.isolating.panel import FaultPanel
    from blockmap.window.legend.panel import LegendPanel
    from blockmap.window.main_window import MainWindow
    from blockmap.window.numbers.panel import NumbersPanel
    from blockmap.window.settings import Settings
    from blockmap.window.surveying.panel import SurveyPanel

__all__ = [
    "BEHIND",
    "FAULT",
    "FINDINGS",
    "INSPECTOR",
    "LEGEND",
    "NUMBERS",
    "PANES",
    "SURVEY",
    "NamedPanes",
    "Pane",
    "Panes",
]

PANES_SHARE, LOW_SHARE = 0.42, 0.5
"""Share of the window's width for the panes on the first day, and in a low window."""
DOWN_SHARES = (0.5, 0.36)
"""Shares of its height for legend and inspector."""

NEAR_PX, SETTLED_MS = 3, 300

_Made = TypeVar("_Made", bound=QWidget)


@runtime_checkable
class _TypedIn(Protocol):
    def commit(self) -> None: ...


@runtime_checkable
class _AtWork(Protocol):
    def stop(self) -> None: ...


@dataclass(frozen=True, slots=True)
class Pane(Generic[_Made]):
    """One pane: its name in code, its title, and what makes it for a window.

    make imports what the pane is built of, and joins it with the rest of the window.
    """

    name: str
    title: str
    make: Callable[[MainWindow], _Made]


def _legend(window: MainWindow) -> LegendPanel:
    from blockmap.window.legend.panel import LegendPanel

    pane = LegendPanel(
        window.session, window.selection, window, store=window.settings.state
    )
    pane.message.connect(window.say)
    pane.add_row_wanted.connect(window.desk.begin_row)
    return pane


def _survey(window: MainWindow) -> SurveyPanel:
    from blockmap.window.surveying.link import SurveyLink
    from blockmap.window.surveying.panel import SurveyPanel

    pane = SurveyPanel(window.session, window.selection, window)
    SurveyLink(window, pane)
    return pane


def _inspector(window: MainWindow) -> InspectorPanel:
    from blockmap.window.inspector.panel import InspectorPanel

    return InspectorPanel(window.session, window.selection, window)


def _behind(window: MainWindow) -> BehindPanel:
    from blockmap.window.behind.panel import BehindPanel

    pane = BehindPanel(window.session, window.selection, window)
    window.behind_link.join(pane)
    window.after_frame.then(lambda: pane.contacts)
    return pane


def _numbers(window: MainWindow) -> NumbersPanel:
    from blockmap.window.numbers.panel import NumbersPanel

    return NumbersPanel(window.session, window.selection, window.checker, window)


def _fault(window: MainWindow) -> FaultPanel:
    from blockmap.window.isolating.link import FaultLink
    from blockmap.window.isolating.panel import FaultPanel

    pane = FaultPanel(window.session, window.selection, window)
    FaultLink(window, pane)
    return pane


def _findings(window: MainWindow) -> FindingsPanel:
    from blockmap.window.findings_panel import FindingsPanel

    pane = FindingsPanel(window.session, window.selection, window)
    window.findings_link.join(pane)
    return pane


LEGEND = Pane("legend", QT_TRANSLATE_NOOP("panes", "Legend"), _legend)
SURVEY = Pane("survey", QT_TRANSLATE_NOOP("panes", "Survey"), _survey)
INSPECTOR = Pane("inspector", QT_TRANSLATE_NOOP("panes", "Selected"), _inspector)
BEHIND = Pane("behind", QT_TRANSLATE_NOOP("panes", "Behind"), _behind)
NUMBERS = Pane("numbers", QT_TRANSLATE_NOOP("panes", "Numbers"), _numbers)
FAULT = Pane("fault", QT_TRANSLATE_NOOP("panes", "Fault"), _fault)
FINDINGS = Pane("findings", QT_TRANSLATE_NOOP("panes", "Findings"), _findings)

_UPPER: tuple[Pane[Any], ...] = (LEGEND, SURVEY)
_LOWER: tuple[Pane[Any], ...] = (INSPECTOR, BEHIND, NUMBERS, FAULT, FINDINGS)
PANES = (*_UPPER, *_LOWER)
"""All panes. Legend and survey stand at the top, the others on tabs below them."""


class Panes:
    """The panes at the right, movable and closable, remembered between starts."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window
        self._made: dict[str, QWidget] = {}
        self.docks: dict[str, QDockWidget] = {}
        window.setAnimated(False)  # it leaves tabs of half-way layouts standing
        for pane in PANES:
            title = QCoreApplication.translate("panes", pane.title)
            dock = QDockWidget(title, window)
            dock.setObjectName(f"{pane.name} pane")
            self.docks[pane.name] = dock
            dock.visibilityChanged.connect(lambda seen, p=pane: self._seen(p, seen))
        for front, *behind in (_UPPER, _LOWER):
            first = self.docks[front.name]
            window.addDockWidget(Qt.DockWidgetArea.RightDockWidgetArea, first)
            for pane in behind:
                window.tabifyDockWidget(first, self.docks[pane.name])
            first.raise_()
        self._first = window.saveState(LAYOUT_VERSION)
        self._divided = False
        self._closed: set[str] = set()
        self._below: list[str] = []
        self._shown = False
        self.low = LowWindow(window, self.docks)
        self.low.changed.connect(self._low_changed)
        self.low.follow()
        PaneFrames(window, self.docks.values())
        KeyboardInSight(window, self.docks, self._named)
        # Those that nobody looks at are made too, so that the first look is quick.
        window.after_frame.then(*[partial(self.made, pane) for pane in PANES])

    def made(self, pane: Pane[_Made]) -> _Made:
        """Return a pane, made now when this is the first time it is needed."""
        if pane.name not in self._made:
            widget = pane.make(self._window)
            self._made[pane.name] = widget
            self.docks[pane.name].setWidget(widget)
        return cast(_Made, self._made[pane.name])

    def _named(self, name: str) -> QWidget:
        pane: Pane[QWidget] = next(pane for pane in PANES if pane.name == name)
        return self.made(pane)

    def commit(self) -> None:
        """Enter what is typed in a pane; what is refused stays there."""
        for pane in self._made.values():
            if isinstance(pane, _TypedIn):
                pane.commit()

    def stop(self) -> None:
        """Wait for what the panes have under way; nothing comes after."""
        for pane in self._made.values():
            if isinstance(pane, _AtWork):
                pane.stop()

    def _seen(self, pane: Pane[Any], seen: bool) -> None:
        if not (seen and self._shown):
            return
        if self._window.after_frame.painted:
            self.made(pane)
        else:
            self._window.after_frame.soon(lambda: self.made(pane))

    @property
    def one_alone(self) -> bool:
        """True while an upper pane has the whole height beside the figure."""
        return bool(self._below)

    def stand_alone(self, *, alone: bool) -> None:
        """Give the upper pane the whole height, or let the lower ones come back."""
        if alone == self.one_alone or (alone and self.low.joined):
            return
        if not alone:
            below, self._below = self._below, []
            for name in below:
                self.docks[name].show()
            self.docks[below[0]].raise_()
            return
        here = [self.docks[pane.name] for pane in _LOWER]
        shown = [dock for dock in here if not (dock.isHidden() or dock.isFloating())]
        # The one in front comes first, to be in front again.
        shown.sort(key=lambda dock: not in_sight(dock))
        names = {dock: name for name, dock in self.docks.items()}
        self._below = [names[dock] for dock in shown]
        for dock in shown:
            dock.hide()

    def bring(self, name: str) -> None:
        """Show a pane, in front of those on its tab."""
        if name in self._below:
            self.stand_alone(alone=False)
        self._named(name)
        self.docks[name].show()
        self.docks[name].raise_()

    def set_shown(self, shown: bool) -> None:
        """Show the panes that the user has not closed, or none while there is no map.

        A pane that was closed stays so until it is asked for again.
        """
        self.stand_alone(alone=False)
        if self._shown and not shown:
            self._closed = self._closed_now()
        self._shown = shown
        for name, dock in self.docks.items():
            dock.setVisible(shown and name not in self._closed)
        for name in (INSPECTOR.name, LEGEND.name) if shown else ():
            if name not in self._closed:
                self.docks[name].raise_()
        if shown and not self._divided:
            QTimer.singleShot(0, self._window, self._divide)

    def _divide(self) -> None:
        """Share the window out: figure and panes side by side, panes half and half."""
        wide, high = self._window.width(), self._window.height()
        stacked = [self.docks["legend"], self.docks["inspector"]]
        across = round(wide * (LOW_SHARE if self.low.joined else PANES_SHARE))
        self._window.resizeDocks(stacked, [across, across], Qt.Orientation.Horizontal)
        if self.low.joined:
            return
        self._divided = True
        shares = [round(high * share) for share in DOWN_SHARES]
        self._window.resizeDocks(stacked, shares, Qt.Orientation.Vertical)
        QTimer.singleShot(SETTLED_MS, self._window, self._put_stray_tabs_away)

    def _low_changed(self) -> None:
        """Share the window out anew; what was shared out in a tall one stays so."""
        if self.low.joined or not self._divided:
            QTimer.singleShot(0, self._window, self._divide)
        QTimer.singleShot(SETTLED_MS, self._window, self._put_stray_tabs_away)

    def _put_stray_tabs_away(self) -> None:
        """Hide the rows of tabs that Qt leaves standing where no pane is any more."""
        docks = [dock for dock in self.docks.values() if not dock.isFloating()]
        edges = {(dock.x(), dock.geometry().bottom() + 1) for dock in docks}
        for row in rows_of_tabs(self._window):
            if row.isVisible() and not any(
                abs(row.x() - x) <= NEAR_PX and abs(row.y() - y) <= NEAR_PX
                for x, y in edges
            ):
                row.hide()

    def _closed_now(self) -> set[str]:
        return {name for name, dock in self.docks.items() if dock.isHidden()}

    def reset(self) -> None:
        """Put the panes back where they were on the first day."""
        self._below = []
        self.low.part()
        self._window.restoreState(self._first, LAYOUT_VERSION)
        for dock in self.docks.values():
            dock.show()
        self.low.follow()
        for pane in (INSPECTOR, LEGEND):
            self.docks[pane.name].raise_()
        self._divide()

    def step(self, step: int) -> None:
        """Give the keyboard to the next pane, or to the one before; the figure too."""
        places: list[tuple[QWidget, QDockWidget | None]] = [(self._window.figure, None)]
        for pane in PANES:
            if self.docks[pane.name].isVisible():
                places.append((self.made(pane), self.docks[pane.name]))
        focus = QApplication.focusWidget()
        here = next(
            (
                number
                for number, (place, _dock) in enumerate(places)
                if focus is place or (focus is not None and place.isAncestorOf(focus))
            ),
            -1 if step > 0 else 0,
        )
        place, dock = places[(here + step) % len(places)]
        if dock is not None:
            dock.raise_()
        place.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def remember(self, settings: Settings) -> None:
        """Keep where the panes stand."""
        self.stand_alone(alone=False)
        self.low.part()
        settings.state.setValue("panes", self._window.saveState(LAYOUT_VERSION))

    def restore(self, settings: Settings) -> None:
        """Put the panes where they were."""
        stood = settings.state.value("panes")
        if isinstance(stood, QByteArray):
            self._window.restoreState(stood, LAYOUT_VERSION)
            self._closed = self._closed_now()
            self._divided = True
            self.low.follow()


class NamedPanes:
    """Gives a window its panes by name; each is made when it is asked for."""

    @property
    def panes(self) -> Panes:
        """The panes of the window."""
        raise NotImplementedError

    @property
    def legend(self) -> LegendPanel:
        """The pane of the legend table."""
        return self.panes.made(LEGEND)

    @property
    def survey(self) -> SurveyPanel:
        """The pane in which a survey is filled."""
        return self.panes.made(SURVEY)

    @property
    def inspector(self) -> InspectorPanel:
        """The pane of what is selected."""
        return self.panes.made(INSPECTOR)

    @property
    def behind(self) -> BehindPanel:
        """The pane of what is behind the block."""
        return self.panes.made(BEHIND)

    @property
    def numbers(self) -> NumbersPanel:
        """The pane of numbers."""
        return self.panes.made(NUMBERS)

    @property
    def fault(self) -> FaultPanel:
        """The pane that looks for the fault."""
        return self.panes.made(FAULT)

    @property
    def findings(self) -> FindingsPanel:
        """The pane of findings."""
        return self.panes.made(FINDINGS)
