"""The inspector's page when nothing is selected: the shown block and the car."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

from blockmap.model.document import Block, Car
from blockmap.model.schema import Shape, properties
from blockmap.window.inspector.fields import (
    LongTextField,
)
from blockmap.window.inspector.form import FormGroup, FormPage
from blockmap.window.inspector.schema_fields import field_of
from blockmap.window.inspector.subjects import BlockSubject, CarSubject
from blockmap.window.session import Session

__all__ = ["BlockPage"]

_CONNECTOR_ONLY = ("face", "half")
_HINTS = {
    "outline": "such as 0,0; 135,0; 135,105; 0,105",
    "date": "such as 2024-05-31",
    "states": "such as TRAILER; FAN",
    "label_height_mm": "by the published rule",
    "year": "such as 1982",
    "currency": "such as EUR",
    "numbering": "such as 1 to 12 from right to left",
    "terminal": "one of those under Behind, Terminal families",
    "mate": "the key of the block that is its other half",
}


class BlockPage(FormPage):
    """Every property of the block and of the car."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._block_group = self._group(_tr("Block"), Block)
        self._car_group = self._group(_tr("Car"), Car)
        self.finish()

    def _group(self, heading: str, record: type) -> FormGroup:
        group = FormGroup(heading)
        for row in properties(record):
            if row.shape is Shape.RECORDS:
                continue
            hint = QCoreApplication.translate("inspector", _HINTS.get(row.key, ""))
            field = field_of(row, hint)
            wide = row.key == "outline" or isinstance(field, LongTextField)
            group.add(field, wide=wide)
        self.add_group(group)
        return group

    def show_block(self, block: str | None, *, fresh: bool) -> None:
        """Show a block and the car; fresh when another block was shown before."""
        part = self._session.document.blocks.get(block or "")
        self._block_group.show_group(part is not None)
        if part is not None:
            self._show_connector_fields(part)
            subject = BlockSubject(self._session, part.id)
            for field in self._block_group.shown_fields:
                field.show_subject(subject, fresh=fresh)
        self.arrange()
        car = CarSubject(self._session)
        for field in self._car_group.fields:
            field.show_subject(car, fresh=fresh)

    def _show_connector_fields(self, block: Block) -> None:
        for field in self._block_group.fields:
            if field.path in _CONNECTOR_ONLY:
                self._block_group.show_field(field, block.kind == "connector")


def _tr(text: str) -> str:
    return QCoreApplication.translate("inspector", text)
