"""The readings sheet: what was measured, and blank lines for what comes next.

It is for the pencil beside the car; what is written on it is typed into the map later.
"""

from __future__ import annotations

from collections.abc import Callable

from blockmap.analysis.isolation.proved import follow_words, followed
from blockmap.drawing.primitives import Face, line
from blockmap.model.document import Map, Reading
from blockmap.model.edits import reading_text
from blockmap.model.geometry import Point
from blockmap.model.places import PlaceIndex
from blockmap.reference.trade_words import KEY_STATES, SWITCH_STATES
from blockmap.sheets.pages import Sheet
from blockmap.sheets.wire_words import place_words
from blockmap.sheets.work_pages import Cell, TableColumn, WorkPages

__all__ = ["compose_readings"]

_COLUMNS = (
    TableColumn(title="Point", width_mm=34),
    TableColumn(title="Against, or ground", width_mm=32),
    TableColumn(title="Key and switches", width_mm=28),
    TableColumn(title="Load on", width_mm=36),
    TableColumn(title="Out", width_mm=20),
    TableColumn(title="Value", width_mm=20, ends=True),
    TableColumn(title="Unit", width_mm=12),
    TableColumn(title="Seen", width_mm=26),
    TableColumn(title="Amps", width_mm=14, ends=True),
    TableColumn(title="Date", width_mm=22),
    TableColumn(title="Meter, note", width_mm=34),
)
_TAKEN = (
    TableColumn(title="Point", width_mm=29),
    TableColumn(title="Against, or ground", width_mm=28),
    TableColumn(title="Key and switches", width_mm=22),
    TableColumn(title="Load on", width_mm=30),
    TableColumn(title="Out", width_mm=14),
    TableColumn(title="Value", width_mm=20, ends=True),
    TableColumn(title="Seen", width_mm=16),
    TableColumn(title="Amps", width_mm=12, ends=True),
    TableColumn(title="Date", width_mm=20),
    TableColumn(title="Follows, and before", width_mm=56),
    TableColumn(title="Meter, note", width_mm=31),
)
_FIELDS = ("against", "states", "load", "out", "value", "seen", "amps_a", "date")
_CAUTIONS = ("female terminals", "airbag", "test lamp", "battery")
_LEAST_BLANK = 8
_HEAD_MM = 6.0
_ROW_MM = 5.5
"""Height of a blank line with its gap."""


def compose_readings(document: Map, *, paper: str = "a4") -> Sheet:
    """Return the readings sheet of a map. Raises ValueError for an unknown paper."""
    pages = WorkPages(document, "readings", "Readings", paper, lying=True)
    pages.new_page()
    states = ", ".join((*KEY_STATES, *SWITCH_STATES, *document.car.states))
    pages.paragraph(
        "A point is a contact such as F11 load (typed F11.load), a fuse's own test "
        "point such as F11 load test point (typed F11.b2), a strip, a load or the "
        f"battery. States: {states}. A reading without load proves little: note what "
        "was on. Without a meter, note works, dim or dead."
    )
    pages.cautions(_CAUTIONS)
    if document.readings:
        found = followed(document)
        pages.heading("Taken so far")
        index = PlaceIndex(document)

        def named(point: str) -> str:
            return place_words(document, index, point)

        rows = [
            _row(
                reading,
                named,
                follow_words(document, found[key]) if key in found else "",
            )
            for key, reading in document.readings.items()
        ]
        pages.table(_TAKEN, rows)
    pages.heading("To be taken", _LEAST_BLANK * _ROW_MM + _HEAD_MM)
    # The lines fill the page: a page with a few more of them would be half wasted.
    count = int((pages.left_mm - _HEAD_MM) / _ROW_MM)
    pages.table(_COLUMNS, [_blank_row() for _ in range(count)])
    return pages.sheet()


def _blank_row() -> list[Cell | str]:
    """Return a line to write on; thin upright lines part its columns."""
    x = -0.9
    ends = Point(x, 0.4), Point(x, _ROW_MM - 0.9)
    parted = Cell(mark=(line(ends, "faint", 0.15),))
    return ["", *(parted for _ in _COLUMNS[1:])]


def _row(
    reading: Reading, named: Callable[[str], str], follows: str
) -> list[Cell | str]:
    texts = {field: reading_text(reading, field) for field in _FIELDS}
    if reading.value is not None:
        texts["value"] += f" {reading.unit}"
    texts["against"] = named(reading.against)
    note = "; ".join(part for part in (reading.meter, reading.note) if part)
    return [
        Cell(text=named(reading.point), face=Face.BOLD),
        *texts.values(),
        follows,
        note,
    ]
