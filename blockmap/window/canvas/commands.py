"""What menus and keys do to the selected cavities: each is one named edit.

Works on the shared selection, so it is the same from the figure, the table and the
menu. Directions are those of the view that is shown.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication, QObject

from blockmap.model.document import Cavity
from blockmap.model.edits import (
    Direction,
    Edge,
    align_cavities,
    delete_cavities,
    distribute_cavities,
    duplicate_cavities,
    move_cavities,
    remove_strip,
    turn_cavities,
)
from blockmap.model.geometry import Point, View, bounds_of
from blockmap.model.ids import CavityId, key_of
from blockmap.window.marked_texts import QT_TRANSLATE_NOOP
from blockmap.window.selection import Selection
from blockmap.window.session import Session

__all__ = ["FigureCommands"]

_SWAPPED_ACROSS = {Edge.LEFT: Edge.RIGHT, Edge.RIGHT: Edge.LEFT}
_SWAPPED_DOWN = {Edge.TOP: Edge.BOTTOM, Edge.BOTTOM: Edge.TOP}


class FigureCommands(QObject):
    """Commands on the selection of one session."""

    def __init__(
        self, session: Session, selection: Selection, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._session, self._selection = session, selection
        self._nudge: object | None = None

    def named(self, one: str, several: str, ids: Sequence[CavityId]) -> str:
        """Return the name of an edit: of one cavity by designation, else by count.

        one and several come marked for translation.
        """
        if len(ids) == 1:
            cavity = self._session.document.cavities[ids[0]]
            text = QCoreApplication.translate("Figure", one)
            return text.replace("%1", cavity.designation)
        return QCoreApplication.translate("Figure", several, "", len(ids))

    def _chosen(self) -> list[CavityId]:
        return list(self._selection.ids)

    def _of_block(self) -> list[Cavity]:
        block = self._selection.block
        return list(self._session.document.cavities_of(block)) if block else []

    def delete(self) -> bool:
        """Delete the selected cavities and select what is nearest in the map."""
        ids = self._chosen()
        if not ids:
            return False
        order = [c.id for c in self._of_block()]
        gone = set(ids)
        places = [number for number, id_ in enumerate(order) if id_ in gone]
        after = [i for i in order[places[-1] + 1 :] if i not in gone] if places else []
        before = [i for i in order[: places[0]] if i not in gone] if places else []
        name = self.named(
            QT_TRANSLATE_NOOP("Figure", "Delete %1"),
            QT_TRANSLATE_NOOP("Figure", "Delete %n cavities"),
            ids,
        )
        done = self._session.edit(name, delete_cavities, ids)
        if done:
            self._selection.select(after[:1] or before[-1:])
        return done

    def delete_strip(self) -> bool:
        """Forget the selected strip of the block that is shown; contacts stay."""
        strip = self._session.document.strips.get(self._selection.strip or "")
        if strip is None or strip.block != self._selection.block:
            return False
        name = QCoreApplication.translate("Figure", "Remove strip %1")
        name = name.replace("%1", strip.name or key_of(strip.id))
        return self._session.edit(name, remove_strip, strip.id)

    def duplicate(self) -> bool:
        """Add copies beside the selected cavities and select the copies."""
        ids = self._chosen()
        if not ids:
            return False
        document = self._session.document
        parts = [document.cavities[i] for i in ids]
        box = bounds_of(p for part in parts for p in part.corners)
        block = document.blocks[parts[0].block]
        # To the right where there is room, else below.
        dx, dy = math.ceil(box.width_mm + 2.0), 0
        if box.right_mm + dx > block.width_mm >= box.right_mm:
            dx, dy = 0, math.ceil(box.height_mm + 2.0)
        name = self.named(
            QT_TRANSLATE_NOOP("Figure", "Duplicate %1"),
            QT_TRANSLATE_NOOP("Figure", "Duplicate %n cavities"),
            ids,
        )
        done = self._session.edit(name, duplicate_cavities, ids, float(dx), float(dy))
        if done:
            self._selection.select(self._session.last_result)
        return done

    def turn(self, by_deg: float) -> bool:
        """Turn each selected cavity about its middle, clockwise as it is seen."""
        ids = self._chosen()
        if not ids:
            return False
        if self._selection.view.mirrored:
            by_deg = -by_deg
        name = self.named(
            QT_TRANSLATE_NOOP("Figure", "Turn %1"),
            QT_TRANSLATE_NOOP("Figure", "Turn %n cavities"),
            ids,
        )
        return self._session.edit(name, turn_cavities, ids, by_deg)

    def align(self, edge: Edge) -> bool:
        """Bring edges or middles of the selected cavities onto one line, as seen."""
        view = self._selection.view
        if view in (View.REAR, View.TURNED):
            edge = _SWAPPED_ACROSS.get(edge, edge)
        if view in (View.FLIPPED, View.TURNED):
            edge = _SWAPPED_DOWN.get(edge, edge)
        ids = self._chosen()
        name = self.named(
            QT_TRANSLATE_NOOP("Figure", "Align %1"),
            QT_TRANSLATE_NOOP("Figure", "Align %n cavities"),
            ids,
        )
        return self._session.edit(name, align_cavities, ids, edge)

    def distribute(self, direction: Direction) -> bool:
        """Space the middles of the selected cavities evenly."""
        ids = self._chosen()
        name = self.named(
            QT_TRANSLATE_NOOP("Figure", "Distribute %1"),
            QT_TRANSLATE_NOOP("Figure", "Distribute %n cavities"),
            ids,
        )
        return self._session.edit(name, distribute_cavities, ids, direction)

    def nudge(self, towards: tuple[int, int], by_mm: float) -> bool:
        """Move the selection a little, as seen; a run of nudges is one step to undo."""
        ids = self._chosen()
        if not ids:
            return False
        view, cavities = self._selection.view, self._session.document.cavities
        dx = towards[0] * by_mm * (-1 if view in (View.REAR, View.TURNED) else 1)
        dy = towards[1] * by_mm * (-1 if view in (View.FLIPPED, View.TURNED) else 1)
        centres = {i: Point(cavities[i].x_mm + dx, cavities[i].y_mm + dy) for i in ids}
        if self._nudge is None:
            self._nudge = object()
        name = self.named(
            QT_TRANSLATE_NOOP("Figure", "Move %1"),
            QT_TRANSLATE_NOOP("Figure", "Move %n cavities"),
            ids,
        )
        return self._session.edit(name, move_cavities, centres, gesture=self._nudge)

    def end_nudge(self) -> None:
        """Begin a new step with the next nudge."""
        self._nudge = None

    def select_all(self) -> None:
        """Select every cavity of the block that is shown."""
        self._selection.select([c.id for c in self._of_block()])

    def invert_selection(self) -> None:
        """Select what is not selected in the block that is shown."""
        chosen = set(self._selection.ids)
        self._selection.select([c.id for c in self._of_block() if c.id not in chosen])
