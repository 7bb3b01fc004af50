"""Rules about damage, patches and places that must not be used."""

from __future__ import annotations

from collections.abc import Iterator

from blockmap.analysis.finding import Finding, Level, reads
from blockmap.model.document import Cavity, Map
from blockmap.model.ids import cavity_id, key_of
from blockmap.model.units import number_text

__all__ = ["interim_measure", "place_not_to_use", "untended_damage"]

_TENDED = (
    "interim",
    "part wanted",
    "ordered",
    "received",
    "fitted",
    "proved",
    "retired",
)


def place_not_to_use(cavity: Cavity) -> Iterator[Finding]:
    """Find a place where nothing may be fitted and something is."""
    if cavity.do_not_use and cavity.fitted_a is not None:
        yield Finding(
            code="do-not-use-fitted",
            level=Level.ADVICE,
            objects=(cavity.id,),
            what=f"{cavity.designation} must not be used, but "
            f"{number_text(cavity.fitted_a)} A is fitted",
            why="what is fitted will be taken for in use",
            todo="pull it, or say that the place may be used again",
        )


@reads(
    "contacts",
    "housing",
    "fuse",
    "do_not_use",
    "interim",
    "own",
    "moulded",
    "manual",
    parts=("repairs",),
)
def untended_damage(document: Map) -> Iterator[Finding]:
    """Find damage of severity 3 about which nothing has been done or decided."""
    mended = _places_under_repair(document)
    for cavity in document.cavities.values():
        if cavity.do_not_use or cavity.interim or not mended.isdisjoint(_names(cavity)):
            continue
        untended = [
            f"{where}: {condition.state}"
            for where, condition in cavity.conditions
            if condition.severity == 3 and condition.stage not in _TENDED
        ]
        if untended:
            yield Finding(
                code="damage-untended",
                level=Level.ADVICE,
                objects=(cavity.id,),
                what=f"{cavity.designation} is not to be used as it is "
                f"({'; '.join(untended)}), and nothing is noted that was done",
                why="severity 3 means: do not use as is",
                todo="mark the place as not to be used, note an interim measure, "
                "or enter the repair",
            )


def _places_under_repair(document: Map) -> frozenset[str]:
    return frozenset(
        repair.at if repair.at in document.cavities else repair.at.partition(".")[0]
        for repair in document.repairs.values()
    )


def _names(cavity: Cavity) -> tuple[str, ...]:
    """Return what a repair may call this place."""
    shown = cavity_id(cavity.block, cavity.designation)
    return (cavity.id, key_of(cavity.id), cavity.designation, shown)


def interim_measure(cavity: Cavity) -> Iterator[Finding]:
    """List a patch that must be undone."""
    measure = cavity.interim
    if measure is None:
        return
    where = f" ({measure.where})" if measure.where else ""
    yield Finding(
        code="interim-measure",
        level=Level.INFORMATION,
        objects=(cavity.id,),
        what=f"{cavity.designation} is patched: {measure.what}{where}",
        why="an interim measure must be undone, or it is forgotten in a year",
        todo=f"undo it when this has come: {measure.until}"
        if measure.until
        else "note what has to come before it can be undone",
    )
