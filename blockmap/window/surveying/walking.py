"""Which contacts a survey walks over, and in which order.

Plain functions of the map. Right and left are as seen from the front.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from statistics import median

from blockmap.analysis.isolation.sizes import is_off_limits
from blockmap.model.document import Cavity, Map
from blockmap.model.ids import BlockId, ContactRef
from blockmap.window.behind.strip_edits import supply_contact
from blockmap.window.canvas.probed import spot_of

__all__ = ["ORDERS", "Row", "rows_of", "states_offered"]

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


def rows_of(
    document: Map, block: BlockId, order: str, *, every: bool
) -> tuple[Row, ...]:
    """Return the contacts of a block in walking order; only supply sides unless every.

    Blank places have none.
    """
    cavities = [c for c in document.cavities_of(block) if c.kind != "blank"]
    barred = {cavity.id for cavity in cavities if is_off_limits(cavity)}
    names = {cavity.id: _names(cavity, every=every) for cavity in cavities}
    if order == "list":
        walked = [ContactRef(c.id, name) for c in cavities for name in names[c.id]]
    else:
        walked = _walked(cavities, names, by_side=order == "side")
    found = []
    before = ""
    for contact in walked:
        cavity = document.cavities[contact.cavity]
        side = cavity.feed_side if contact.contact == "feed" else "unknown"
        if contact.contact == "load":
            side = _OTHER_SIDE.get(cavity.feed_side, "unknown")
        words = contact.contact if side == "unknown" else f"{contact.contact}, {side}"
        found.append(
            Row(
                contact,
                cavity.designation,
                words,
                cavity.legend or cavity.circuit,
                cavity.id in barred,
                cavity.id != before,
            )
        )
        before = cavity.id
    return tuple(found)


_OTHER_SIDE = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}


def _names(cavity: Cavity, *, every: bool) -> tuple[str, ...]:
    if every:
        return cavity.contact_names
    name = supply_contact(cavity)
    return (name,) if name else ()


def _walked(
    cavities: Sequence[Cavity], names: dict[str, tuple[str, ...]], *, by_side: bool
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


def _spots(cavity: Cavity, names: Iterable[str]) -> list[_Spot]:
    found = []
    for name in names:
        point = spot_of(cavity, name) or cavity.centre
        found.append(_Spot(ContactRef(cavity.id, name), point.x_mm, point.y_mm))
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
