"""Joins the pane that looks for the fault with the figure.

While the pane can be seen the figure shows what was read where, and the next point.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from blockmap.model.document import Map, Reading
from blockmap.model.places import PlaceIndex
from blockmap.model.units import number_text
from blockmap.window.canvas.probed import Probed

if TYPE_CHECKING:
    from blockmap.window.main_window import MainWindow

__all__ = ["FaultLink", "values_of"]

_LONGEST = 14
_TEST_POINTS = ("b1", "b2")


def values_of(document: Map) -> tuple[tuple[str, str, str], ...]:
    """Return the last value read at each contact, by cavity and contact."""
    index = PlaceIndex(document)
    found: dict[tuple[str, str], str] = {}
    for reading in document.readings.values():
        place = index.place(reading.point)
        text = _value(reading)
        if place is None or not text:
            continue
        cavity = document.cavities[place.cavity]
        if place.where in (*cavity.contact_names, *_TEST_POINTS):
            name = f"{place.where} " if place.where in _TEST_POINTS else ""
            found.pop((cavity.id, place.where), None)
            found[cavity.id, place.where] = name + text
    return tuple((*at, text) for at, text in found.items())


def _value(reading: Reading) -> str:
    if reading.value is None:
        return reading.seen[:_LONGEST]
    text = f"{number_text(reading.value)} {reading.unit}"
    return f"{text} ↔" if reading.against else text


class FaultLink(QObject):
    """Keeps the marks of the readings up to date on the figure."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        window.fault.shown.connect(self._show)
        window.fault.proposal.changed.connect(self._show)
        window.session.changed.connect(self._show)

    def _show(self, _what: object = None) -> None:
        pane = self._window.fault
        if not pane.isVisible():
            self._window.figure.set_probed(Probed())
            return
        proposed = pane.proposal.proposed
        following = proposed.place if proposed is not None else ("", "")
        values = values_of(self._window.session.document)
        self._window.figure.set_probed(Probed(values, following))

    def stop(self) -> None:
        """Wait for the search; nothing comes after."""
        self._window.fault.stop()
