"""The question a survey puts to the map, for the thread that answers it."""

from __future__ import annotations

from blockmap.analysis.isolation.build import network_of
from blockmap.analysis.isolation.network import Network
from blockmap.analysis.isolation.survey import Survey, survey_of
from blockmap.model.document import Map

__all__ = ["Question"]


class Question:
    """Makes the survey of a map; its circuit is kept while only readings change."""

    def __init__(self) -> None:
        self._kept: tuple[tuple[object, ...], Network] | None = None

    def __call__(self, document: Map) -> Survey:
        parts = (document.car, document.blocks, document.cavities, document.strips)
        kept = self._kept
        if kept is None or any(a is not b for a, b in zip(kept[0], parts, strict=True)):
            kept = self._kept = (parts, network_of(document))
        return survey_of(document, kept[1])
