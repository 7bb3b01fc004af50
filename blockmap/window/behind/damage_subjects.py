"""What the fields of damage read and write: a repair, and the interim measure.

Each write is one edit of the session with a name of its own.
"""

from __future__ import annotations

import dataclasses

from PySide6.QtCore import QCoreApplication

from blockmap.model.document import InterimMeasure, Map, Repair
from blockmap.model.edits import advance_repair, set_property, set_repair_text
from blockmap.model.errors import BadValue
from blockmap.model.ids import CavityId
from blockmap.model.places import PlaceIndex
from blockmap.model.schema import property_named, read_value, value_text
from blockmap.model.units import price_text
from blockmap.reference.trade_words import REPAIR_STAGES
from blockmap.window.legend.wording import schema_word
from blockmap.window.session import Session
from blockmap.window.this_day import today

__all__ = [
    "InterimSubject",
    "RepairSubject",
    "next_stage",
    "repairs_of",
]


def _tr(text: str) -> str:
    return QCoreApplication.translate("behind", text)


def next_stage(stage: str) -> str | None:
    """Return the stage after this one in the life of a repair; None at its end."""
    at = REPAIR_STAGES.index(stage) + 1
    return REPAIR_STAGES[at] if at < len(REPAIR_STAGES) else None


def repairs_of(document: Map, id_: CavityId) -> tuple[str, ...]:
    """Return the keys of the repairs at a cavity, in the order of the map."""
    if not document.repairs:
        return ()
    index = PlaceIndex(document)
    found = []
    for key, repair in document.repairs.items():
        place = index.place(repair.at)
        if place is not None and place.cavity == id_:
            found.append(key)
    return tuple(found)


class RepairSubject:
    """One repair."""

    def __init__(self, session: Session, key: str) -> None:
        self._session, self.key = session, key

    def value(self, path: str) -> str | None:
        """Return the text of a property."""
        repair = self._session.document.repairs.get(self.key)
        if repair is None:
            return ""
        if path == "price":
            return price_text(repair.price, repair.currency)
        return value_text(property_named(Repair, path), getattr(repair, path))

    def write(self, path: str, text: str, gesture: object | None = None) -> str | None:
        """Write a property; another stage is dated today."""
        if path == "stage":
            return self.advance(text, gesture)
        label = schema_word(property_named(Repair, path).label)
        title = _tr("Set %1 of repair %2").replace("%1", label.lower())
        title = title.replace("%2", self.key)
        return self._session.carry_out(
            title, set_repair_text, self.key, path, text, gesture=gesture
        )

    def advance(self, stage: str, gesture: object | None = None) -> str | None:
        """Bring the repair to a stage as of today."""
        title = _tr("Mark repair %1 as %2").replace("%1", self.key)
        title = title.replace("%2", QCoreApplication.translate("trade", stage))
        return self._session.carry_out(
            title, advance_repair, self.key, stage, today(), gesture=gesture
        )


class InterimSubject:
    """The interim measure of one cavity; without its words there is none."""

    def __init__(self, session: Session, cavity: CavityId) -> None:
        self._session, self._cavity = session, cavity

    def _measure(self) -> InterimMeasure | None:
        cavity = self._session.document.cavities.get(self._cavity)
        return cavity.interim if cavity else None

    def value(self, path: str) -> str | None:
        """Return the text of a property."""
        measure = self._measure()
        if measure is None:
            return ""
        row = property_named(InterimMeasure, path)
        return value_text(row, getattr(measure, path))

    def write(self, path: str, text: str, gesture: object | None = None) -> str | None:
        """Write a property; an emptied measure is removed, a new one begins today."""
        old = self._measure()
        try:
            row = property_named(InterimMeasure, path)
            if path == "what" and not text.strip():
                new = None
            else:
                value = read_value(row, text, typed=True)
                if old is not None:
                    new = dataclasses.replace(old, **{path: value})
                elif path == "what":
                    new = InterimMeasure(what=value, since=today())
                elif not text.strip():
                    return None
                else:
                    return _tr("Write first what was done")
        except BadValue as problem:
            return str(problem)
        cavity = self._session.document.cavities[self._cavity]
        title = _tr("Set interim measure of %1").replace("%1", cavity.designation)
        return self._session.carry_out(
            title, set_property, [self._cavity], "interim", new, gesture=gesture
        )
