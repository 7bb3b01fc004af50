"""Which contacts a survey walks over, and in which order.

Plain functions of the map. Right and left are as seen from the front.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from statistics import median

from blockmap.analysis.isolation.sizes import is_off_limits
from blockmap.model.document import Cavity, Map
from blockmap.model.ids import BlockId, CavityId, ContactRef
from blockmap.window.behind.strip_edits import supply_contact
from blockmap.window.canvas.probed import spot_of

__all__ = ["ORDERS", "Row", "Walk", "states_offered"]

ORDERS = ("list", "row", "side")
"""As the legend lists the places; along each row; along each row, one side of it first
and then the other."""
_USUAL = ("OFF", "ACC", "RUN", "START")


@dataclass(frozen=True, slots=True)
class Row:
    """One contact to probe: its place, the contact in words, and whether it may be."""

    contact: ContactRef
    place: str
    words: str
    legend: str
    barred: bool
    first: bool

    @property
    def name(self) -> str:
        """The place and its contact."""
        return f"{self.place} {self.words}"


@dataclass(frozen=True, slots=True)
class _Spot:
    contact: ContactRef
    x: float
    y: float


class Walk:
    """Makes the rows of a survey; those of a cavity are kept until it changes."""

    def __init__(self) -> None:
        self._kept: dict[CavityId, _Kept] = {}

    def rows(
        self, document: Map, block: BlockId, order: str, *, every: bool
    ) -> tuple[Row, ...]:
        """Return the contacts of a block in walking order.

        Only supply sides unless every. Blank places have none.
        """
        cavities = [c for c in document.cavities_of(block) if c.kind != "blank"]
        before = self._kept
        kept = self._kept = {
            cavity.id: known
            if (known := before.get(cavity.id)) and known.cavity is cavity
            else _Kept(cavity)
            for cavity in cavities
        }
        names = {key: each.names(every=every) for key, each in kept.items()}
        if order == "list":
            walked = [each for found in names.values() for each in found]
        else:
            walked = _walked(cavities, names, by_side=order == "side")
        found = []
        last = ""
        for contact in walked:
            found.append(kept[contact.cavity].row(contact, contact.cavity != last))
            last = contact.cavity
        return tuple(found)


class _Kept:
    """What a survey knows of one cavity."""

    def __init__(self, cavity: Cavity) -> None:
        self.cavity = cavity
        self._barred = is_off_limits(cavity)
        self._names: dict[bool, tuple[ContactRef, ...]] = {}
        self._rows: dict[tuple[ContactRef, bool], Row] = {}

    def names(self, *, every: bool) -> tuple[ContactRef, ...]:
        """Return every contact, or that of the supply alone."""
        if every not in self._names:
            cavity, supply = self.cavity, supply_contact(self.cavity)
            names = cavity.contact_names if every else (supply,) if supply else ()
            self._names[every] = tuple(ContactRef(cavity.id, name) for name in names)
        return self._names[every]

    def row(self, contact: ContactRef, first: bool) -> Row:
        """Return the row of a contact, the first of its cavity or a further one."""
        if (contact, first) not in self._rows:
            cavity = self.cavity
            side = cavity.feed_side if contact.contact == "feed" else "unknown"
            if contact.contact == "load":
                side = _OTHER_SIDE.get(cavity.feed_side, "unknown")
            self._rows[contact, first] = Row(
                contact,
                cavity.designation,
                contact.contact if side == "unknown" else f"{contact.contact}, {side}",
                cavity.legend or cavity.circuit,
                self._barred,
                first,
            )
        return self._rows[contact, first]


_OTHER_SIDE = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}


def _walked(
    cavities: Sequence[Cavity],
    names: dict[CavityId, tuple[ContactRef, ...]],
    *,
    by_side: bool,
) -> list[ContactRef]:
    """Walk line by line; blades that stand upright lie side by side in a line."""
    telling = [c for c in cavities if c.kind == "fuse"] or cavities
    upright = sum(_stands(cavity) for cavity in telling) * 2 >= len(telling)

    def across(spot: Cavity | _Spot) -> float:
        x, y = _at(spot)
        return y if upright else x

    def along(spot: Cavity | _Spot) -> float:
        x, y = _at(spot)
        return x if upright else y

    found = []
    for line in _lines(cavities, across, along):
        spots = [(cavity, _spots(cavity, names[cavity.id])) for cavity in line]
        if by_side:
            sides: dict[int, list[_Spot]] = {-1: [], 0: [], 1: []}
            for cavity, each in spots:
                for spot in each:
                    away = across(spot) - across(cavity)
                    side = 0 if abs(away) < 1.0 else 1 if away > 0 else -1
                    sides[side].append(spot)
            for side in (-1, 0, 1):
                found += [spot.contact for spot in sorted(sides[side], key=along)]
        else:
            for _, each in spots:
                found += [
                    spot.contact
                    for spot in sorted(each, key=lambda s: (across(s), along(s)))
                ]
    return found


def _at(spot: Cavity | _Spot) -> tuple[float, float]:
    return (spot.x, spot.y) if isinstance(spot, _Spot) else spot.centre


def _stands(cavity: Cavity) -> bool:
    start, finish = cavity.ends
    return abs(finish.y_mm - start.y_mm) > abs(finish.x_mm - start.x_mm)


def _spots(cavity: Cavity, contacts: Iterable[ContactRef]) -> list[_Spot]:
    found = []
    for contact in contacts:
        point = spot_of(cavity, contact.contact) or cavity.centre
        found.append(_Spot(contact, point.x_mm, point.y_mm))
    return found


def _lines(
    cavities: Sequence[Cavity],
    across: Callable[[Cavity], float],
    along: Callable[[Cavity], float],
) -> list[list[Cavity]]:
    """Return the places line by line; those of a line lie within half a place."""
    if not cavities:
        return []
    reach = median(max(c.width_mm, c.height_mm) for c in cavities) / 2
    lines: list[list[Cavity]] = []
    for cavity in sorted(cavities, key=across):
        if lines and across(cavity) - across(lines[-1][0]) <= reach:
            lines[-1].append(cavity)
        else:
            lines.append([cavity])
    return [sorted(line, key=along) for line in lines]


def states_offered(document: Map, known: Sequence[str]) -> tuple[str, ...]:
    """Return the columns a survey of this map begins with.

    The usual key states, and the switches that the map says anything is live by.
    """
    said = {
        word.upper() for strip in document.strips.values() for word in strip.live
    } | {
        word.upper()
        for cavity in document.cavities.values()
        for contact in cavity.contacts.values()
        for word in contact.live
    }
    return tuple(s for s in known if s in _USUAL or s.upper() in said)
