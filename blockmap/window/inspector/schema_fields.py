"""Makes the field of one property as the schema describes it."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

from blockmap.model.schema import Property, Shape
from blockmap.window.inspector.fields import (
    ChoiceField,
    Field,
    LongTextField,
    TextField,
)
from blockmap.window.legend.wording import schema_word

__all__ = ["field_of"]


def field_of(row: Property, hint: str = "") -> Field:
    """Return the field of a property: a list of choices, several lines, or one."""
    label = schema_word(row.label)
    label = f"{label} ({row.unit})" if row.unit and row.key != "outline" else label
    help_text = schema_word(row.help)
    if row.shape is Shape.CHOICE:
        none = [] if row.default else [("", "—")]
        words = [(w, QCoreApplication.translate("trade", w)) for w in row.allowed]
        return ChoiceField(row.key, label, help_text, [*none, *words])
    if row.shape is Shape.LONG_TEXT:
        return LongTextField(row.key, label, help_text)
    numeric = row.shape in (Shape.NUMBER, Shape.LENGTH, Shape.INTEGER)
    return TextField(row.key, label, help_text, numeric=numeric, hint=hint)
