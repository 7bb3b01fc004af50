"""What one cell of the legend table shows of a cavity, and how sure that is.

Plain functions of a cavity: no model, no painting.
"""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

from blockmap.model.columns import Column
from blockmap.model.document import Cavity, Condition
from blockmap.model.evidence import FACT_KEYS, is_doubtful
from blockmap.reference.fuse_colours import BodyColour, body_colour
from blockmap.window.legend.wording import condition_words

__all__ = ["body_of", "condition_of", "doubtful", "shown_text"]

_FACT_OF = {"feed_side": "feed_end"}
_FACTS = frozenset(FACT_KEYS)
_PARTS = {"fuse_condition": "fuse", "housing_condition": "housing"}


def doubtful(cavity: Cavity, column: Column) -> bool:
    """Tell whether the cell shows a fact that nobody has seen on the car."""
    key = _FACT_OF.get(column.key, column.key)
    return key in _FACTS and cavity.kind != "blank" and is_doubtful(cavity, key)


def condition_of(cavity: Cavity, column: Column) -> Condition | None:
    """Return the condition a cell stands for; None for any other cell."""
    key = column.key
    if not key.endswith("_condition"):
        return None
    if key in _PARTS:
        found: Condition | None = getattr(cavity, _PARTS[key])
        return found
    names = cavity.contact_names
    name = cavity.main_contact
    if key == "feed_condition":
        name = next((n for n in ("feed", "30") if n in names), "feed")
    return cavity.contact(name).condition


def shown_text(cavity: Cavity, column: Column, code: str) -> str:
    """Return what the cell shows, without the mark of doubt."""
    key = column.key
    if key.endswith("_condition"):
        return condition_words(condition_of(cavity, column))
    if key == "designation":
        return _place(cavity)
    if key == "do_not_use":
        return _tr("do not use") if cavity.do_not_use else ""
    if key == "off_panel":
        return _tr("off panel") if cavity.off_panel else ""
    text = column.read(cavity, code)
    return "" if key == "feed_side" and text == "unknown" else text


def _place(cavity: Cavity) -> str:
    if cavity.do_not_use:
        return _tr("%1: do not use").replace("%1", cavity.designation)
    if cavity.unusable:
        return _tr("%1: do not use as is").replace("%1", cavity.designation)
    return cavity.designation


def body_of(cavity: Cavity, column: Column) -> BodyColour | None:
    """Return the standard body colour that goes with the rating in the cell."""
    if column.key == "rating_a" and cavity.rating_a is not None:
        return body_colour(cavity.form, cavity.rating_a)
    if column.key == "fitted_a" and cavity.fitted_a is not None:
        return body_colour(cavity.fitted_form or cavity.form, cavity.fitted_a)
    return None


def _tr(text: str) -> str:
    return QCoreApplication.translate("cells", text)
