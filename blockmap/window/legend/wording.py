"""The words of the legend table and the inspector: nouns, undo texts, hints, states.

It turns keys of columns into what a person reads; it neither reads nor changes a map.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication

from blockmap.model.columns import column
from blockmap.model.document import Condition, Map
from blockmap.model.ids import CavityId
from blockmap.reference.trade_words import SEVERITIES
from blockmap.window.marked_texts import QT_TRANSLATE_NOOP

__all__ = [
    "condition_words",
    "count_text",
    "hint",
    "noun",
    "schema_word",
    "set_text",
]


_NOUNS: dict[str, tuple[str, str]] = {
    "designation": (
        QT_TRANSLATE_NOOP("columns", "place"),
        QT_TRANSLATE_NOOP("columns", "places"),
    ),
    "kind": (
        QT_TRANSLATE_NOOP("columns", "kind"),
        QT_TRANSLATE_NOOP("columns", "kinds"),
    ),
    "turn_deg": (
        QT_TRANSLATE_NOOP("columns", "turn"),
        QT_TRANSLATE_NOOP("columns", "turns"),
    ),
    "form": (
        QT_TRANSLATE_NOOP("columns", "form"),
        QT_TRANSLATE_NOOP("columns", "forms"),
    ),
    "rating_a": (
        QT_TRANSLATE_NOOP("columns", "rating"),
        QT_TRANSLATE_NOOP("columns", "ratings"),
    ),
    "fitted_a": (
        QT_TRANSLATE_NOOP("columns", "fitted rating"),
        QT_TRANSLATE_NOOP("columns", "fitted ratings"),
    ),
    "circuit": (
        QT_TRANSLATE_NOOP("columns", "circuit"),
        QT_TRANSLATE_NOOP("columns", "circuits"),
    ),
    "legend": (
        QT_TRANSLATE_NOOP("columns", "legend"),
        QT_TRANSLATE_NOOP("columns", "legends"),
    ),
    "wires": (
        QT_TRANSLATE_NOOP("columns", "wires"),
        QT_TRANSLATE_NOOP("columns", "wire cells"),
    ),
    "loads": (
        QT_TRANSLATE_NOOP("columns", "loads"),
        QT_TRANSLATE_NOOP("columns", "load cells"),
    ),
}

_HINTS: dict[str, str] = {
    "designation": QT_TRANSLATE_NOOP("columns", "such as F1"),
    "own": QT_TRANSLATE_NOOP("columns", "such as F1"),
    "moulded": QT_TRANSLATE_NOOP("columns", "such as STOP"),
    "manual": QT_TRANSLATE_NOOP("columns", "such as 5-6"),
    "form": QT_TRANSLATE_NOOP("columns", "such as medium blade"),
    "fitted_form": QT_TRANSLATE_NOOP("columns", "if another body is in it"),
    "rating_a": QT_TRANSLATE_NOOP("columns", "amps, such as 20"),
    "fitted_a": QT_TRANSLATE_NOOP("columns", "amps in it now"),
    "circuit": QT_TRANSLATE_NOOP("columns", "such as Stop lamps"),
    "legend": QT_TRANSLATE_NOOP("columns", "such as STOP-HAZ"),
    "legend_long": QT_TRANSLATE_NOOP("columns", "such as STOP LAMPS, HAZARD"),
    "legend_short": QT_TRANSLATE_NOOP("columns", "such as STOP"),
    "wires": QT_TRANSLATE_NOOP("columns", "such as %1 16 AWG"),
    "feed_wires": QT_TRANSLATE_NOOP("columns", "such as %1 16 AWG"),
    "fed_from": QT_TRANSLATE_NOOP("columns", "such as F7.load"),
    "loads": QT_TRANSLATE_NOOP("columns", "such as horn 5 A; clock 0.02 A"),
    "feed_condition": QT_TRANSLATE_NOOP("columns", "such as spread 2"),
    "load_condition": QT_TRANSLATE_NOOP("columns", "such as spread 2"),
    "fuse_condition": QT_TRANSLATE_NOOP("columns", "such as broken 1: blown"),
    "housing_condition": QT_TRANSLATE_NOOP("columns", "such as heat-marked 1"),
    "feed_side": QT_TRANSLATE_NOOP("columns", "left, right, top, bottom"),
    "do_not_use": QT_TRANSLATE_NOOP("columns", "yes or no"),
    "off_panel": QT_TRANSLATE_NOOP("columns", "yes or no"),
    "notes": QT_TRANSLATE_NOOP("columns", "anything else"),
}

_WIRE_EXAMPLE = {
    "words": "brown/white",
    "north american": "BRN/WHT",
    "iec 60757": "BN/WH",
    "german": "br/ws",
}


def schema_word(text: str) -> str:
    """Return a label or help text of the schema in the language of the window."""
    return QCoreApplication.translate("schema", text)


def noun(key: str, count: int = 1) -> str:
    """Return what a column holds, as undo texts say it: 'rating', 'ratings'."""
    pair = _NOUNS.get(key)
    if pair:
        return QCoreApplication.translate("columns", pair[count != 1])
    label = schema_word(column(key).label)
    return label[:1].lower() + label[1:]


def hint(key: str, code: str) -> str:
    """Return what to type into an empty cell, wire colours in the map's code."""
    text = QCoreApplication.translate("columns", _HINTS.get(key, ""))
    return text.replace("%1", _WIRE_EXAMPLE.get(code, _WIRE_EXAMPLE["words"]))


def set_text(document: Map, ids: Sequence[CavityId], what: str) -> str:
    """Return 'Set rating of F12', or '... of 4 cavities' for several."""
    if len(ids) == 1:
        text = QCoreApplication.translate("columns", "Set %1 of %2")
        return text.replace("%1", what).replace("%2", name_of(document, ids[0]))
    text = QCoreApplication.translate("columns", "Set %1 of %2 cavities")
    return text.replace("%1", what).replace("%2", str(len(ids)))


def name_of(document: Map, id_: CavityId) -> str:
    """Return the designation of a cavity, short enough for a menu."""
    name = document.cavities[id_].designation
    return name if len(name) <= 24 else name[:23] + "…"


def count_text(one: str, several: str, count: int) -> str:
    """Return the text for one, or that for several with %1 as the count."""
    return one if count == 1 else several.replace("%1", str(count))


def condition_words(condition: Condition | None) -> str:
    """Return a condition by word and severity: 'spread, 2 repair soon: loose'."""
    if condition is None:
        return ""
    text = QCoreApplication.translate("trade", condition.state)
    if condition.severity:
        meaning = QCoreApplication.translate("trade", SEVERITIES[condition.severity])
        text += f", {condition.severity} {meaning}"
    if condition.note:
        text += f": {condition.note}"
    return text
