"""What the car draws with the key off: millivolts typed fuse by fuse, in order.

Each value is a reading across the fuse's own test points. It adds up, compares with
the battery and names loads that would draw as much; candidates, no more.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtWidgets import (
    QFormLayout,
    QScrollArea,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from blockmap.analysis.isolation.parasitic import Drawn, parasitic_draw
from blockmap.analysis.numbers.limits import limits_of
from blockmap.model.document import Cavity, Reading
from blockmap.model.edits import limit_text, note_again, remove_reading, set_limit
from blockmap.model.errors import BadValue
from blockmap.model.units import number_text, read_number
from blockmap.reference.limit_rows import LIMIT_ROWS
from blockmap.window.fair_columns import FairColumns
from blockmap.window.inspector.fields import TextField
from blockmap.window.isolating.beside import Page, Warnings, plain_label, tr_job
from blockmap.window.isolating.draw_words import (
    band,
    current_words,
    matches,
    matches_words,
    origin,
)
from blockmap.window.isolating.typed_table import TypedTable
from blockmap.window.numbers.wording import verdict_words
from blockmap.window.plain_tip import plain_tip
from blockmap.window.this_day import today

if TYPE_CHECKING:
    from blockmap.analysis.isolation.parasitic import Parasitic
    from blockmap.window.isolating.jobs import Jobs

__all__ = ["DrawPage"]

_STATE = ("KEY OUT",)
_MV = 2
_MOST_MV = 300.0
_BEGIN = (
    "Everything off, key out and away from the car; doors latched, the bonnet switch "
    "pressed. Wait until the modules sleep: makers differ, twenty minutes to an hour "
    "is common practice, no source.",
    "Then measure millivolts across each fuse where it sits, from one test point to "
    "the other. Pull none before: pulling and fitting a fuse wakes modules.",
)
_CAUTIONS = (
    "Never start the engine or switch on the ignition with an ammeter in line: its "
    "fuse blows, the meter can burn, and the car is awake again.",
    "airbag",
    "battery gas",
)


class _Fuses(TypedTable):
    """One row a fuse; the millivolts are typed."""

    def __init__(self, page: DrawPage) -> None:
        headings = [
            tr_job("Place"),
            tr_job("Fuse"),
            tr_job("mV"),
            tr_job("mA"),
            tr_job("May be"),
        ]
        super().__init__(headings)
        self._page = page
        self.setAccessibleName(tr_job("Fuses, with the millivolts across each"))
        self.columns = FairColumns(self, letters={_MV: 8})
        self.itemSelectionChanged.connect(page.fuse_chosen)

    def typed_here(self, row: int, place: int) -> bool:
        """Tell whether a cell can be typed into: the millivolts alone."""
        del row
        return place == _MV

    def write(self, row: int, place: int, text: str) -> str:
        """Note the millivolts of a fuse; return why they are refused."""
        del place
        return self._page.note(row, text)


class _Subject:
    """What the two fields above the table read and write."""

    def __init__(self, page: DrawPage) -> None:
        self._page = page

    def value(self, path: str) -> str | None:
        """Return the battery's milliamps, or the step of the meter, as typed."""
        return self._page.field_text(path)

    def write(self, path: str, text: str, gesture: object | None = None) -> str | None:
        """Write one of them in one undo step; return the sentence of a refusal."""
        del gesture
        return self._page.write_field(path, text)


class DrawPage(Page):
    """Fields for battery and meter, the sums, and the fuses."""

    def __init__(self, jobs: Jobs) -> None:
        super().__init__()
        self._jobs = jobs
        self.fuses: tuple[Cavity, ...] = ()
        self._row_texts: dict[int, tuple[str, ...]] = {}
        self.found: Parasitic | None = None
        self._drawn: dict[str, Drawn] = {}
        row = LIMIT_ROWS["meter_step_mv"]
        self.battery = TextField(
            "battery",
            tr_job("At the battery (mA)"),
            tr_job("the current of the whole car, read at the battery cable"),
            numeric=True,
        )
        self.step = TextField(
            "meter_step_mv",
            tr_job("Meter shows to (mV)"),
            tr_job("the smallest step of the meter in its millivolt range"),
            hint=limit_text("meter_step_mv", row.default.value),
            numeric=True,
        )
        self.sums = plain_label(bold=True)
        self.rest = plain_label()
        self.table = _Fuses(self)
        self.table.refused.connect(self.say)
        self._arrange()

    def _arrange(self) -> None:
        self.begin = QToolButton()
        self.begin.setText(tr_job("Before yo&u begin"))
        self.begin.setCheckable(True)
        self.begin.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.begin.toggled.connect(self._open_guide)
        inside = QWidget()
        lines = QVBoxLayout(inside)
        lines.setContentsMargins(0, 0, 0, 0)
        said = "\n".join(tr_job(text) for text in _BEGIN)
        lines.addWidget(plain_label(said))
        lines.addWidget(Warnings(*_CAUTIONS))
        lines.addStretch(1)
        self.guide = QScrollArea()
        self.guide.setWidget(inside)
        self.guide.setWidgetResizable(True)
        self.guide.setAccessibleName(tr_job("Before you begin"))
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        for field in (self.battery, self.step):
            form.addRow(field.label, field)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.begin)
        whole.addWidget(self.guide, 2)
        whole.addLayout(form)
        whole.addWidget(self.sums)
        whole.addWidget(self.rest)
        whole.addWidget(self.table, 3)
        whole.addWidget(self.message)
        taken = any(True for _ in self._key_off())
        self.begin.setChecked(not taken)
        self._open_guide(not taken)

    def _key_off(self) -> tuple[str, ...]:
        found = parasitic_draw(self._jobs.session.document)
        keys = [drawn.reading for drawn in found.drawn]
        return (*keys, *filter(None, [found.battery_reading]))

    def _open_guide(self, wanted: bool) -> None:
        self.guide.setVisible(wanted)
        arrow = Qt.ArrowType.DownArrow if wanted else Qt.ArrowType.RightArrow
        self.begin.setArrowType(arrow)

    def first_field(self) -> QWidget:
        """Return the table, at the first fuse that is not read."""
        if self.table.currentColumn() != _MV and self.fuses:
            rows = range(len(self.fuses))
            free = [r for r in rows if self.fuses[r].id not in self._drawn]
            self.table.setCurrentCell(free[0] if free else 0, _MV)
        return self.table

    # what is shown

    def refresh(self) -> None:
        """Show the draw from the readings of the map as it is now."""
        document = self._jobs.session.document
        found = parasitic_draw(document, limits_of(document))
        fuses = tuple(
            cavity
            for cavity in document.cavities.values()
            if cavity.kind == "fuse" and cavity.id not in found.barred
        )
        if tuple(c.id for c in fuses) != tuple(c.id for c in self.fuses):
            self.table.abandon()
            self._row_texts.clear()
        self.found, self.fuses = found, fuses
        self._drawn = {each.cavity: each for each in found.drawn}
        with QSignalBlocker(self.table):
            self.table.setRowCount(len(fuses))
            for row, cavity in enumerate(fuses):
                self._show_row(row, cavity)
        self.table.columns.fit()
        subject = _Subject(self)
        for field in (self.battery, self.step):
            field.show_subject(subject, fresh=False)
        self.sums.setText(self._sums())
        self.rest.setText(self._rest())

    def _show_row(self, row: int, cavity: Cavity) -> None:
        drawn = self._drawn.get(cavity.id)
        rating = cavity.fitted_a or cavity.rating_a
        form = cavity.fitted_form or cavity.form
        amps = tr_job("%1 A").replace("%1", number_text(rating)) if rating else "?"
        texts = (
            cavity.designation,
            f"{amps} {form}".strip(),
            number_text(drawn.millivolts) if drawn else "",
            current_words(drawn),
            matches_words(drawn),
        )
        tip = origin(drawn.current) if drawn and drawn.current else ""
        if self._row_texts.get(row) == (*texts, tip):
            return
        self._row_texts[row] = (*texts, tip)
        for place, text in enumerate(texts):
            self.table.put(row, place, text, right=place in (_MV, 3))
        for place in range(len(texts)):
            item = self.table.item(row, place)
            if item is not None:
                item.setToolTip(plain_tip(tip))

    def _sums(self) -> str:
        found = self.found
        if found is None or not self.fuses:
            return tr_job("The map has no fuse. Draw the panel and its ratings first.")
        if found.total is None and found.battery is None:
            if found.drawn:
                return tr_job("No table gives the resistance of the fuses read so far.")
            return tr_job("Type the millivolts of a fuse; Enter goes to the next.")
        parts = []
        if found.total is not None:
            said = tr_job("Through the fuses %1")
            parts.append(said.replace("%1", band(found.total)))
        if found.battery is not None:
            said = tr_job("at the battery %1")
            parts.append(said.replace("%1", found.battery.text))
        if found.rest is not None:
            parts.append(tr_job("not explained %1").replace("%1", band(found.rest)))
        said = "; ".join(parts)
        return f"{said[:1].upper()}{said[1:]}."

    def _rest(self) -> str:
        found = self.found
        if found is None:
            return ""
        lines = []
        if found.verdict is not None:
            said = tr_job("Key off, the whole car: %1.")
            if found.battery is None:
                said = tr_job("Key off, the fuses read so far: %1.")
            lines.append(said.replace("%1", verdict_words(found.verdict)))
        if found.rest is not None:
            lines.append(self._rest_words(found))
        read = len(found.drawn)
        if read or found.battery:
            said = tr_job("Fuses read: %1 of %2.").replace("%1", str(read))
            lines.append(said.replace("%2", str(len(self.fuses))))
        if found.barred:
            names = [self._name(each) for each in found.barred]
            said = tr_job("Never probed, an airbag circuit: %1.")
            lines.append(said.replace("%1", ", ".join(names)))
        return " ".join(lines)

    def _rest_words(self, found: Parasitic) -> str:
        assert found.rest is not None
        if found.rest.high < 0:
            return tr_job(
                "More passes the fuses than the battery gives: read again, and look "
                "at the ratings that are fitted."
            )
        if found.rest.low <= 0:
            return tr_job("The rest is within the step of the meter.")
        if found.rest_matches:
            said = tr_job("The rest is about what %1 would draw, on a fuse not read.")
            return said.replace("%1", matches(found.rest_matches))
        return tr_job(
            "The rest goes through a fuse not read, or past all of them: alternator, "
            "starter, a wire added at the battery."
        )

    def _name(self, cavity: str) -> str:
        return self._jobs.session.document.cavities[cavity].designation

    # what is done

    def note(self, row: int, text: str) -> str:
        """Note the millivolts of a fuse, or forget them; return a refusal."""
        cavity = self.fuses[row]
        drawn = self._drawn.get(cavity.id)
        name = cavity.designation
        if not text.strip():
            return self._forget(drawn.reading if drawn else "", name)
        try:
            value = read_number(text.strip().removesuffix("mV"), typed=True)
        except BadValue as problem:
            return str(problem)
        if abs(value) > _MOST_MV:
            said = tr_job(
                "%1 mV is more than a whole fuse loses: is it open, or is it V?"
            )
            return said.replace("%1", number_text(value))
        where = self._jobs.session.document.cavities[cavity.id]
        point = self._point(where)
        reading = Reading(
            point=f"{point}.b1",
            against=f"{point}.b2",
            states=_STATE,
            value=value,
            unit="mV",
            date=today(),
        )
        return self._note(reading, name)

    def _point(self, cavity: Cavity) -> str:
        """Return the name of a fuse that means no other on the map."""
        cavities = self._jobs.session.document.cavities.values()
        same = sum(cavity.designation in each.designations for each in cavities)
        return cavity.designation if same == 1 else cavity.id

    def _note(self, reading: Reading, name: str) -> str:
        title = tr_job("Note key-off reading at %1").replace("%1", name[:30])
        refusal = self._jobs.session.carry_out(title, note_again, reading)
        if refusal:
            return refusal
        self.begin.setChecked(False)
        return ""

    def _forget(self, key: str, name: str) -> str:
        if key:
            title = tr_job("Forget key-off reading at %1").replace("%1", name[:30])
            self._jobs.session.edit(title, remove_reading, key)
        return ""

    def field_text(self, path: str) -> str:
        """Return what one of the two fields holds."""
        if path == "battery":
            battery = self.found.battery if self.found else None
            return number_text(battery.value) if battery else ""
        limits = self._jobs.session.document.limits
        return limit_text(path, getattr(limits, path))

    def write_field(self, path: str, text: str) -> str | None:
        """Write one of the two fields; return the sentence of a refusal."""
        if path != "battery":
            return self._set_step(path, text)
        key = self.found.battery_reading if self.found else ""
        word = text.strip().removesuffix("mA").strip()
        if not word:
            return self._forget(key, tr_job("battery")) or None
        try:
            value = read_number(word, typed=True)
        except BadValue as problem:
            return str(problem)
        reading = Reading(
            point="battery", states=_STATE, value=value, unit="mA", date=today()
        )
        return self._note(reading, tr_job("battery")) or None

    def _set_step(self, path: str, text: str) -> str | None:
        title = tr_job("Set step of the meter")
        return self._jobs.session.carry_out(title, set_limit, path, text)

    def commit(self) -> None:
        """Write what is typed and not committed yet."""
        self.table.commit()
        self.battery.commit()
        self.step.commit()

    def fuse_chosen(self) -> None:
        """Show the fuse of the row on the figure."""
        row = self.table.currentRow()
        if self.table.hasFocus() and 0 <= row < len(self.fuses):
            self._jobs.selection.select([self.fuses[row].id])
