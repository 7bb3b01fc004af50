"""Joins the pane that looks for the fault with the figure.

While the pane can be seen the figure shows what was read where, and the next point.
"""

from __future__ import annotations

from operator import is_
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QObject
from PySide6.QtWidgets import QApplication, QWidget

from blockmap.model.document import Map, Reading
from blockmap.model.places import PlaceIndex
from blockmap.model.units import number_text
from blockmap.window.canvas.probed import TEST_POINTS, Probed

if TYPE_CHECKING:
    from blockmap.window.isolating.panel import FaultPanel
    from blockmap.window.main_window import MainWindow

__all__ = ["FaultLink", "values_of"]

_LONGEST = 14
_MOST_LINES = 3


def _tr(text: str) -> str:
    return QCoreApplication.translate("isolating", text)


def values_of(document: Map) -> tuple[tuple[str, str, str], ...]:
    """Return what was last read at each contact, by cavity and contact.

    What was set aside as taken before a repair is left out.

    What was read at the fuse itself stands with the contact under it, named; a drop
    says what it is across, or to which place. The last readings come first, no more
    than a few.
    """
    index = PlaceIndex(document)
    found: dict[tuple[str, str], dict[tuple[str, str], str]] = {}
    for reading in document.readings.values():
        place = index.place(reading.point)
        text = _value(reading)
        if place is None or not text or reading.aside:
            continue
        cavity = document.cavities[place.cavity]
        where = TEST_POINTS.get(place.where, place.where)
        if where not in cavity.contact_names:
            continue
        lines = found.setdefault((cavity.id, where), {})
        lines.pop((place.where, reading.against), None)
        if place.where in TEST_POINTS and not reading.against:
            text = f"{_tr('fuse')}: {text}"  # the fuse itself, not the contact under it
        lines[place.where, reading.against] = text
    return tuple(
        (*at, "\n".join(list(reversed(lines.values()))[:_MOST_LINES]))
        for at, lines in found.items()
    )


def _value(reading: Reading) -> str:
    if reading.value is None:
        return reading.seen[:_LONGEST]
    text = f"{number_text(reading.value)} {reading.unit}"
    if reading.against:
        place, dot, contact = reading.against.rpartition(".")
        if dot and reading.point.startswith(f"{place}."):
            return f"{_across(reading.point.rpartition('.')[2], contact)}: {text}"
        to = reading.against
        if dot and contact in (*TEST_POINTS, *TEST_POINTS.values()):
            to = place  # the flag stands at one end, this is where the other was
        text = _tr("%1 to %2").replace("%1", text).replace("%2", to[:_LONGEST])
    return text


def _across(one: str, other: str) -> str:
    """Return what lies between two points of one place, in a word."""
    if {one, other} == set(TEST_POINTS):
        return _tr("fuse")
    if TEST_POINTS.get(one, one) == TEST_POINTS.get(other, other):
        return _tr("contact")
    if {one, other} == set(TEST_POINTS.values()):
        return _tr("both contacts")
    return _tr("fuse and contact")


class FaultLink(QObject):
    """Keeps the marks of the readings up to date on the figure."""

    def __init__(self, window: MainWindow, pane: FaultPanel) -> None:
        super().__init__(window)
        self._window, self._pane = window, pane
        self._ours = False
        self._read: tuple[object, ...] = ()
        self._values: tuple[tuple[str, str, str], ...] = ()
        pane.shown.connect(self._show)
        window.panes.docks["fault"].visibilityChanged.connect(self._show)
        pane.proposal.changed.connect(self._follow)
        pane.proposal.behind_wanted.connect(self._go_behind)
        window.session.changed.connect(self._follow)
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        application.focusChanged.connect(self._focus_moved)

    def _go_behind(self, places: tuple[tuple[str, str], ...]) -> None:
        """Show what is behind the place that is to be mended, where it is noted."""
        for cavity, contact in places[:1]:
            self._window.selection.select([cavity])
            self._window.selection.select_contact(contact)
        self._window.panes.bring("behind")

    def _focus_moved(self, _old: QWidget | None, now: QWidget | None) -> None:
        """Take the figure back from the survey when somebody goes on here."""
        if now is not None and self._pane.isAncestorOf(now):
            self._show()

    def _follow(self, _what: object = None) -> None:
        """Show what changed, save while the survey has the keyboard and the figure."""
        survey = self._window.panes.docks["survey"].widget()
        focus = QApplication.focusWidget()
        if survey is None or focus is None or not survey.isAncestorOf(focus):
            self._show()

    def _show(self, _what: object = None) -> None:
        pane = self._pane
        # A pane behind another tab counts as visible, but nothing of it can be seen.
        if not pane.in_sight:
            if self._ours:
                self._ours = False
                self._window.figure.set_probed(Probed())
            return
        self._ours = True
        proposed = pane.proposal.proposed
        none = ("", "")
        following = proposed.place if proposed is not None else none
        beside = proposed.beside if proposed is not None else none
        document = self._window.session.document
        read = (document.cavities, document.readings)
        if not self._read or not all(map(is_, self._read, read)):
            self._read, self._values = read, values_of(document)
        self._window.figure.set_probed(Probed(self._values, following, beside))
