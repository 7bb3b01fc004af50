"""What the inspector shows and writes: some cavities, a block, or the car.

A subject reads a property as text, None where the selected ones differ, and writes
one through the session as a single undo step.
"""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QCoreApplication

from blockmap.model.document import Block, Car, Cavity, Map
from blockmap.model.edits.parts import set_block_text, set_car_text, set_outline
from blockmap.model.errors import BadValue
from blockmap.model.geometry import Point
from blockmap.model.ids import BlockId, CavityId
from blockmap.model.schema import Property, Shape, property_named, value_text
from blockmap.model.units import number_text, read_length_mm
from blockmap.window.inspector.paths import (
    ConditionVisit,
    is_raw,
    part_read,
    read_path,
    set_path,
)
from blockmap.window.legend.wording import noun, schema_word, set_text
from blockmap.window.session import Session

__all__ = [
    "BlockSubject",
    "CarSubject",
    "CavitySubject",
    "Subject",
    "outline_text",
    "read_outline",
]


class Subject(Protocol):
    """What fields read from and write to."""

    def value(self, path: str) -> str | None:
        """Return the text of a property; None where the selected ones differ."""

    def write(self, path: str, text: str, gesture: object | None = None) -> str | None:
        """Write a property in one undo step; return the sentence of a refusal.

        Writes of one gesture become one step.
        """


class CavitySubject:
    """One or several cavities."""

    def __init__(
        self,
        session: Session,
        ids: tuple[CavityId, ...],
        visit: ConditionVisit | None = None,
    ) -> None:
        self._session, self.ids = session, ids
        self._visit = visit

    @property
    def cavities(self) -> list[Cavity]:
        """The cavities as they are now."""
        known = self._session.document.cavities
        return [known[id_] for id_ in self.ids if id_ in known]

    @property
    def document(self) -> Map:
        """The map they are in."""
        return self._session.document

    def value(self, path: str) -> str | None:
        """Return the shared text of a property; None where they differ."""
        cavities, code = self.cavities, self._session.document.car.colour_code
        if not cavities:
            return ""
        first = cavities[0]
        if is_raw(path):
            raw = getattr(first, path)
            if any(getattr(c, path) != raw for c in cavities):
                return None
            return read_path(first, path, code)
        text = read_path(first, path, code)
        part = part_read(path)
        others = {id(part(c)): c for c in cavities}
        alike = all(read_path(c, path, code) == text for c in others.values())
        return text if alike else None

    def write(self, path: str, text: str, gesture: object | None = None) -> str | None:
        """Write a property of all of them in one undo step."""
        ids = [c.id for c in self.cavities]
        if not ids:
            return None
        before = self._session.document
        title = set_text(before, ids, _path_noun(path))
        refusal = self._session.carry_out(
            title, set_path, ids, path, text, self._visit, gesture=gesture
        )
        if self._visit and path.startswith("condition/") and not refusal:
            self._visit.note(before, self._session.document, ids, path)
        return refusal


def _path_noun(path: str) -> str:
    kind, _, rest = path.partition("/")
    if not rest:
        return noun(path)
    where, _, _ = rest.rpartition("/")
    if kind == "evidence":
        fact = property_named(Cavity, where).label if where != "wires" else "Wires"
        return _tr("evidence of %1").replace("%1", _small(schema_word(fact)))
    if where.startswith("@"):
        part = schema_word(property_named(Cavity, where[1:]).label)
        return _tr("%1 condition").replace("%1", _small(part))
    if kind == "condition" and " wire" in where:
        return _tr("%1 condition").replace("%1", where)
    text = _tr("%1 contact condition") if kind == "condition" else _tr("%1 %2")
    word = schema_word(rest.rpartition("/")[2].replace("_", " "))
    return text.replace("%1", where).replace("%2", word)


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


class BlockSubject:
    """One block."""

    def __init__(self, session: Session, block: BlockId) -> None:
        self._session, self.block = session, block

    def value(self, path: str) -> str | None:
        """Return the text of a property of the block."""
        block = self._session.document.blocks.get(self.block)
        if block is None:
            return ""
        if path == "outline":
            return outline_text(block.outline)
        return value_text(property_named(Block, path), getattr(block, path))

    def write(self, path: str, text: str, gesture: object | None = None) -> str | None:
        """Write a property of the block in one undo step."""
        row = property_named(Block, path)
        title = _title(row, self._session.document.blocks[self.block].name)
        if path != "outline":
            return self._session.carry_out(
                title, set_block_text, self.block, path, text, gesture=gesture
            )
        try:
            points = read_outline(text)
        except BadValue as problem:
            return str(problem)
        return self._session.carry_out(
            title, set_outline, self.block, points, gesture=gesture
        )


class CarSubject:
    """The car and how its prints are to look."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def value(self, path: str) -> str | None:
        """Return the text of a property of the car."""
        row, value = (
            property_named(Car, path),
            getattr(self._session.document.car, path),
        )
        if row.shape is Shape.TEXTS:
            return "; ".join(value)
        return value_text(row, value)

    def write(self, path: str, text: str, gesture: object | None = None) -> str | None:
        """Write a property of the car in one undo step."""
        title = _title(property_named(Car, path), _tr("the car"))
        return self._session.carry_out(title, set_car_text, path, text, gesture=gesture)


def _title(row: Property, whose: str) -> str:
    text = _tr("Set %1 of %2").replace("%1", _small(schema_word(row.label)))
    return text.replace("%2", whose[:24] or _tr("the block"))


def outline_text(points: tuple[Point, ...]) -> str:
    """Return corners as '0,0; 135,0; 135,105'."""
    return "; ".join(f"{number_text(x)},{number_text(y)}" for x, y in points)


def read_outline(text: str) -> tuple[Point, ...]:
    """Return the corners that a text lists; none for an empty text.

    Corners are parted by semicolons, x and y by a comma or a space; decimals take a
    dot, and each number may carry a unit. Raises BadValue.
    """
    points = []
    for number, part in enumerate(filter(None, map(str.strip, text.split(";"))), 1):
        pair = part.split(",") if "," in part else part.split()
        if len(pair) != 2:
            raise BadValue(
                f"Corner {number}, “{part[:20]}”, is not x,y; write corners such as "
                "0,0; 135,0; 135,105; 0,105"
            )
        points.append(Point(read_length_mm(pair[0]), read_length_mm(pair[1])))
    return tuple(points)


def _tr(text: str) -> str:
    return QCoreApplication.translate("inspector", text)
