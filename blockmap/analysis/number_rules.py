"""Rules about numbers of one cavity: loads, wires, drop, contact and rating.

They say what the figures imply and compute nothing of their own. Factory looms run
closer to the limit than handbook tables: an error is only what no usual wire bears,
or what is past a limit even at the favourable end of its band.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from blockmap.analysis.finding import Finding, Level, why_with
from blockmap.analysis.fuse_rules import PROTECTS
from blockmap.analysis.numbers.cavity_figures import (
    CavityFigures,
    DropFigures,
    WireFigures,
)
from blockmap.analysis.numbers.figure import Comparison, Figure
from blockmap.analysis.numbers.limits import Limits
from blockmap.analysis.numbers.wires import wire_amps
from blockmap.model.document import Cavity
from blockmap.model.units import number_text

__all__ = [
    "NumberRule",
    "at_most",
    "contact_load",
    "fuse_and_loads",
    "fuse_and_wire",
    "missing_rating",
    "wire_drops",
]

NumberRule = Callable[[Cavity, CavityFigures, Limits], Iterable[Finding]]
"""A rule that sees one cavity with its figures under the limits of the map."""


def missing_rating(
    cavity: Cavity, figures: CavityFigures, limits: Limits
) -> Iterator[Finding]:
    """Find a fuse or breaker that serves something but has no rating."""
    del limits
    serves = cavity.circuit or cavity.legend or cavity.loads or cavity.fitted_a
    if cavity.kind not in PROTECTS or cavity.rating_a is not None or not serves:
        return
    why = "without it nobody knows what to fit when it has blown"
    todo = "enter the amps the manual or the block gives for this place"
    numbers: tuple[Figure, ...] = ()
    suggestion = figures.suggestion
    if suggestion is not None and suggestion.rating is not None:
        rating = suggestion.rating
        todo += f"; by arithmetic alone the loads ask for {rating.text}"
        numbers = (rating,)
        why = why_with(why, rating, suggestion.wanted)
    elif suggestion is not None:
        todo += f"; no rating follows from the loads: {suggestion.why}"
        numbers = (suggestion.wanted,)
    yield Finding(
        code="rating-missing",
        level=Level.ADVICE,
        objects=(cavity.id,),
        what=f"{cavity.designation} has no rating",
        why=why,
        todo=todo,
        figures=numbers,
    )


def fuse_and_wire(
    cavity: Cavity, figures: CavityFigures, limits: Limits
) -> Iterator[Finding]:
    """Find a fuse above what the thinnest wire it guards bears."""
    held = figures.rating_and_wire
    fitted = figures.fitted_and_wire
    if fitted is not None and (held is None or fitted.share > held.share):
        held = fitted
    if held is None or held.holds:
        return
    amps_a = held.figure.value
    wire = min(
        (wire for wire in figures.guarded if wire.most is not None),
        key=lambda wire: wire.most.value if wire.most else 0.0,
    )
    bears = at_most(wire)
    guards = f"{cavity.designation}: a fuse of {number_text(amps_a)} A guards a wire of"
    # A stricter limit of the map's own makes advice, not an error.
    share = max(1.0, limits.value("fuse_over_wire"))
    if amps_a > bears.value * share * (1 + 1e-9):
        yield Finding(
            code="fuse-above-wire",
            level=Level.ERROR,
            objects=(cavity.id,),
            what=f"{guards} {wire.gauge}, which bears {bears.text} at most",
            why=why_with(
                "a fuse protects the wire; these are the amps of a single wire with "
                "good insulation",
                bears,
            ),
            todo="fit a smaller fuse that still carries the loads, or a thicker wire "
            "all the way",
            figures=(held.figure, held.limit),
        )
        return
    yield Finding(
        code="fuse-above-wire-limit",
        level=Level.ADVICE,
        objects=(cavity.id,),
        what=f"{guards} {wire.gauge}, for which {held.limit.text} are allowed",
        why=why_with(
            "a fuse protects the wire; its insulation, its bundle or the limit of "
            "this map allow less than a single good wire",
            held.limit,
        ),
        todo="see whether the wire and its neighbours grow warm, or fit a smaller fuse",
        figures=(held.figure, held.limit),
    )


def at_most(wire: WireFigures) -> Figure:
    """Return the most a wire bears alone and well insulated, or more by its note.

    The wire must have a figure of its own.
    """
    usual = wire_amps(wire.gauge)
    assert wire.most is not None
    if usual is None or usual.value < wire.most.value:
        return wire.most
    return usual


def fuse_and_loads(
    cavity: Cavity, figures: CavityFigures, limits: Limits
) -> Iterator[Finding]:
    """Find loads above the rating, above its share for long use, or what is fitted."""
    del limits
    whole, long = figures.rating_and_load, figures.share_and_load
    if whole is not None and not whole.holds:
        yield _above_rating(cavity, whole)
    elif long is not None and not long.holds:
        yield _above_share(cavity, long)
    fitted = figures.fitted_and_load
    smaller = (cavity.fitted_a or 0) < (cavity.rating_a or 0)
    held = whole is None or whole.holds
    if smaller and held and fitted is not None and not fitted.holds:
        yield Finding(
            code="loads-above-fitted",
            level=Level.ADVICE,
            objects=(cavity.id,),
            what=f"{cavity.designation}: its loads come to {fitted.figure.band_text}, "
            f"{fitted.limit.text} is fitted",
            why=why_with(
                "the smaller fuse opens when all its loads run at once", fitted.figure
            ),
            todo=f"fit {number_text(cavity.rating_a or 0)} A, which is specified",
            figures=(fitted.figure, fitted.limit),
        )


def _above_rating(cavity: Cavity, whole: Comparison) -> Finding:
    sure = whole.surely_broken
    come = whole.figure.text if sure else whole.figure.band_text
    words = (
        "a fuse opens when all its loads run at once and pass its rating"
        if sure
        else "a fuse opens when its loads pass its rating; whether they do depends on "
        "what the map leaves open"
    )
    return Finding(
        code="loads-above-rating" if sure else "loads-perhaps-above-rating",
        level=Level.ERROR if sure else Level.ADVICE,
        objects=(cavity.id,),
        what=f"{cavity.designation}: its loads come to {come}, its rating is "
        f"{whole.limit.text}",
        why=why_with(words, whole.figure) + _note(whole.figure),
        todo="measure the current, and move a load to another fuse"
        if sure
        else "measure the current, and enter it with the loads",
        figures=(whole.figure, whole.limit),
    )


def _note(figure: Figure) -> str:
    return f"; {figure.note}" if figure.note else ""


def _above_share(cavity: Cavity, long: Comparison) -> Finding:
    rating_a = cavity.rating_a or 1.0
    load = long.figure
    return Finding(
        code="loads-above-share",
        level=Level.ADVICE,
        objects=(cavity.id,),
        what=f"{cavity.designation}: its loads for long use come to {load.text}, "
        f"{round(100 * load.value / rating_a)} % of {number_text(rating_a)} A",
        why=why_with(
            f"a fuse carries {long.limit.text} of {number_text(rating_a)} A all the "
            "time",
            long.limit,
            load,
        ),
        todo="measure the current and feel whether the fuse and its contacts grow warm",
        figures=(load, long.limit),
    )


def wire_drops(
    cavity: Cavity, figures: CavityFigures, limits: Limits
) -> Iterator[Finding]:
    """Find wires of known length that lose more than may be lost."""
    del limits
    several = len(cavity.contact(cavity.main_contact).wires) > 1
    for found in figures.drops:
        if not found.fault.holds and found.fault.surely_broken and not several:
            yield _drop(cavity, found, found.fault, Level.ERROR)
        elif not found.advice.holds:
            yield _drop(cavity, found, found.advice, Level.ADVICE)


def _drop(
    cavity: Cavity, found: DropFigures, passed: Comparison, level: Level
) -> Finding:
    fault = level is Level.ERROR
    return Finding(
        code="drop-above-fault" if fault else "drop-above-advice",
        level=level,
        objects=(cavity.id,),
        what=f"{cavity.designation}: {found.drop.text} are lost along its wire of "
        f"{found.gauge}, {found.left.text} are left at the load",
        why=why_with(
            f"more than {passed.limit.text} is a fault of the circuit"
            if fault
            else f"a whole circuit may lose {passed.limit.text}",
            found.drop,
            found.resistance,
            passed.limit,
        )
        + _note(found.drop),
        todo="measure the drop with the load on, then fit a thicker wire or feed the "
        "load by a relay near it",
        figures=(found.drop, passed.limit, found.left),
    )


def contact_load(
    cavity: Cavity, figures: CavityFigures, limits: Limits
) -> Iterator[Finding]:
    """Find a contact that carries more than its width is good for."""
    del limits
    held = figures.contact
    if held is None or held.holds:
        return
    yield Finding(
        code="load-above-contact",
        level=Level.ADVICE,
        objects=(cavity.id,),
        what=f"{cavity.designation}: its loads come to {held.figure.text}, the contact "
        f"is good for about {held.limit.text}",
        why=why_with("a contact beyond that grows warm and loses its grip", held.figure)
        + _note(held.limit),
        todo="look for brown plastic and test the grip, or share the load out",
        figures=(held.figure, held.limit),
    )
