"""The rows of the pane: which figures are shown of what is selected, in which order.

One cavity shows all its figures and what feeds it; several show what each carries;
nothing selected shows strips and supplies of the map.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from blockmap.analysis.number_rules import at_most
from blockmap.analysis.numbers.cavity_figures import CavityFigures, DropFigures
from blockmap.analysis.numbers.feeds import Node
from blockmap.analysis.numbers.figure import Comparison, Figure, sum_of
from blockmap.analysis.numbers.load_current import LoadSum
from blockmap.analysis.numbers.map_figures import MapFigures
from blockmap.analysis.numbers.opening_time import opening_time
from blockmap.model.document import Cavity, Map
from blockmap.model.ids import BlockId, CavityId, key_of
from blockmap.window.marked_texts import QT_TRANSLATE_NOOP
from blockmap.window.numbers.wording import (
    figure_word,
    origin_marks,
    sign_of,
    tr_number,
    value_words,
    verdict_words,
)

__all__ = ["NumberRow", "number_rows"]


@dataclass(frozen=True, slots=True)
class NumberRow:
    """One number: its name, the value in words, the verdict with its sign, its origin.

    ``sign`` is 'sound', 'advice', 'error', or empty where nothing is judged.
    """

    name: str
    value: str
    verdict: str
    sign: str
    figures: tuple[Figure, ...]


def _plain(name: str, figure: Figure, verdict: str = "", sign: str = "") -> NumberRow:
    words = "; ".join(part for part in (verdict, origin_marks(figure)) if part)
    return NumberRow(name, value_words(figure), words, sign, (figure,))


def _held(name: str, held: Comparison, level: str = "advice") -> NumberRow:
    marks = origin_marks(held.figure, held.limit)
    words = "; ".join(part for part in (verdict_words(held), marks) if part)
    return NumberRow(
        name,
        value_words(held.figure),
        words,
        sign_of(held, level),
        (held.figure, held.limit),
    )


def number_rows(
    document: Map,
    figures: MapFigures,
    ids: Sequence[CavityId],
    block: BlockId | None,
    overload_a: float | None = None,
) -> tuple[NumberRow, ...]:
    """Return the rows for what is selected.

    overload_a is the current for which a fuse's opening time is shown; twice its
    rating where none is given.
    """
    known = [i for i in ids if i in figures.cavities and i in document.cavities]
    if not known:
        return tuple(_of_feeds(document, figures, block))
    if len(known) == 1:
        cavity = document.cavities[known[0]]
        return tuple(_of_cavity(document, figures, cavity, overload_a))
    return tuple(_of_several(document, figures, known))


def _of_cavity(
    document: Map, figures: MapFigures, cavity: Cavity, overload_a: float | None
) -> Iterator[NumberRow]:
    own = figures.cavities[cavity.id]
    yield from _loads(own)
    yield from _wires(own, max(1.0, figures.limits.value("fuse_over_wire")))
    yield from _rating(cavity, own)
    for drop in own.drops:
        yield from _drop(drop)
    if own.contact is not None:
        yield _held(tr_number("Load and contact"), own.contact)
    if own.link is not None:
        right = own.link.verdict == "right"
        yield NumberRow(
            tr_number("Link and wire"),
            own.link.steps.text,
            tr_number(own.link.verdict),
            "sound" if right else "advice",
            (own.link.steps, own.link.wanted),
        )
    yield from _opening(cavity, overload_a)
    yield from _room(figures, cavity)
    yield from _above(document, figures, cavity)


def _loads(own: CavityFigures) -> Iterator[NumberRow]:
    loads = own.loads
    if loads is None:
        return
    long, whole = tr_number("Load all the time"), tr_number("Load running at once")
    share, rating = own.share_and_load, own.rating_and_load
    yield _held(long, share) if share else _plain(long, loads.continuous)
    yield _held(whole, rating, "error") if rating else _plain(whole, loads.running)
    if loads.worst.value != loads.running.value:
        yield _plain(tr_number("Load with its rush"), loads.worst)
    if own.fitted_and_load is not None:
        yield _held(tr_number("Load and fitted fuse"), own.fitted_and_load)


def _wires(own: CavityFigures, share: float) -> Iterator[NumberRow]:
    bounds = [at_most(wire).value for wire in own.guarded if wire.most is not None]
    for name, held in (
        (tr_number("Fuse and thinnest wire"), own.rating_and_wire),
        (tr_number("Fitted fuse and thinnest wire"), own.fitted_and_wire),
    ):
        if held is not None:
            grave = held.figure.value > min(bounds, default=0.0) * share * (1 + 1e-9)
            yield _held(name, held, "error" if grave else "advice")


def _rating(cavity: Cavity, own: CavityFigures) -> Iterator[NumberRow]:
    suggestion = own.suggestion
    if suggestion is not None:
        figure = suggestion.rating
        if figure is None:
            most = () if suggestion.most is None else (suggestion.most,)
            yield NumberRow(
                tr_number("Suggested rating"),
                tr_number(suggestion.text),
                suggestion.why,
                "",
                (suggestion.wanted, *most),
            )
        else:
            verdict, sign = "", ""
            if cavity.rating_a is not None:
                verdict, sign = _beside(figure.value, cavity.rating_a)
            yield _plain(tr_number("Suggested rating"), figure, verdict, sign)
    fitted = own.fitted
    if fitted is not None and fitted.difference is not None:
        words, sign = _FITTED[fitted.amps]
        yield _plain(
            tr_number("Fitted and specified"), fitted.difference, tr_number(words), sign
        )


def _beside(suggested_a: float, rating_a: float) -> tuple[str, str]:
    """Return what a suggestion means beside the rating that is specified."""
    if suggested_a == rating_a:
        return tr_number("as specified"), "sound"
    words = tr_number("specified: %1 A")
    if suggested_a > rating_a:
        words = tr_number("specified: %1 A; never fit a larger one")
    return words.replace("%1", f"{rating_a:g}"), ""


_FITTED = {
    "same": (QT_TRANSLATE_NOOP("numbers", "as specified"), "sound"),
    "above": (QT_TRANSLATE_NOOP("numbers", "larger than specified"), "error"),
    "below": (QT_TRANSLATE_NOOP("numbers", "smaller than specified"), "advice"),
}


def _drop(found: DropFigures) -> Iterator[NumberRow]:
    name = tr_number("Drop along %1").replace("%1", found.gauge)
    held = found.advice if found.fault.holds else found.fault
    yield _held(name, held, "advice" if found.fault.holds else "error")
    yield _plain(tr_number("Left at the load"), found.left)
    if found.fuse_drop is not None:
        yield _plain(tr_number("Drop of the fuse"), found.fuse_drop)


def _opening(cavity: Cavity, overload_a: float | None) -> Iterator[NumberRow]:
    rating_a = cavity.fitted_a or cavity.rating_a
    if cavity.kind != "fuse" or rating_a is None:
        return
    amps_a = overload_a or 2 * rating_a
    form = cavity.fitted_form or cavity.form
    figure = opening_time(form, rating_a, amps_a)
    if figure is None:
        figure = opening_time(form, rating_a, amps_a, with_memory=True)
    name = tr_number("Opens at %1 A").replace("%1", f"{amps_a:g}")
    if figure is None:
        words = tr_number("no table was read for this body and rating")
        yield NumberRow(name, "—", words, "", ())
    else:
        yield _plain(name, figure)


def _room(figures: MapFigures, cavity: Cavity) -> Iterator[NumberRow]:
    room = figures.tabs.get(cavity.id)
    if room is None:
        return
    name = tr_number("Left for an add-on")
    if room.left is not None:
        fuse = room.fuse.designation if room.fuse else ""
        behind = tr_number("behind %1").replace("%1", fuse)
        yield _plain(name, room.left, behind if not room.why else tr_number(room.why))
    else:
        sign = "advice" if room.fuse is None else ""
        yield NumberRow(name, "—", tr_number(room.why), sign, ())


def _above(document: Map, figures: MapFigures, cavity: Cavity) -> Iterator[NumberRow]:
    """Yield the strips and the supplies that feed a cavity, nearest first."""
    tree = figures.tree
    seen: dict[Node, None] = {}
    for name in cavity.contact_names:
        for feed in tree.above(Node("contact", f"{cavity.id}.{name}")):
            seen[feed.source] = None
    for node in seen:
        if node.kind == "strip":
            yield from _strip(document, figures, node.name)
        elif node in figures.supplies and node.kind == "supply":
            yield _supply(node.name, figures.supplies[node])


def _strip(document: Map, figures: MapFigures, identity: str) -> Iterator[NumberRow]:
    found = figures.strips.get(identity)
    if found is None or found.loads is None or identity not in document.strips:
        return
    title = document.strips[identity].name or key_of(identity)
    name = tr_number("Strip %1, running").replace("%1", title)
    if found.supply is not None:
        yield _held(name, found.supply)
    else:
        yield _plain(name, found.loads.running, tr_number("gauge of its supply?"))


def _supply(name: str, loads: LoadSum) -> NumberRow:
    return _plain(
        tr_number("Supply %1, running").replace("%1", name or "?"), loads.running
    )


def _of_feeds(
    document: Map, figures: MapFigures, block: BlockId | None
) -> Iterator[NumberRow]:
    for strip in document.strips.values():
        if block is None or strip.block == block:
            yield from _strip(document, figures, strip.id)
    for node, loads in figures.supplies.items():
        if node.kind == "supply":
            yield _supply(node.name, loads)


def _of_several(
    document: Map, figures: MapFigures, ids: Sequence[CavityId]
) -> Iterator[NumberRow]:
    sums = []
    for identity in ids:
        name = document.cavities[identity].designation
        own = figures.cavities[identity]
        if own.loads is None:
            continue
        sums.append(own.loads.running.named(name))
        if own.rating_and_load is not None:
            yield _held(name, own.rating_and_load, "error")
        else:
            yield _plain(name, own.loads.running)
    if sums:
        total = sum_of(figure_word("All selected"), sums, "A")
        yield _plain(tr_number("All selected, running"), total)
