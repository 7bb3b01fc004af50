"""What may be meant by the letters typed into a cell or a field.

First what the map says already in that column, then the lists of the trade: usual
circuits, forms, wire colours in the map's code, ratings of the form, conditions.
Nothing is filled in unless it is chosen.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from blockmap.model.columns import column
from blockmap.model.document import Cavity, Map
from blockmap.model.geometry import side_word
from blockmap.model.units import number_text
from blockmap.reference.circuits import Circuit, suggest_circuits
from blockmap.reference.forms import FORMS, closest_forms
from blockmap.reference.fuse_colours import body_colour, standard_ratings
from blockmap.reference.trade_words import CONDITIONS, JUDGED_BY
from blockmap.reference.wire_codes import RGB
from blockmap.reference.wire_colours import WireColour, show_colour

__all__ = ["Suggestion", "suggest"]

MOST = 8

_LISTS = ("wires", "feed_wires", "loads")
_WIRES = ("wires", "feed_wires")
_CIRCUIT_TEXTS = ("circuit", "legend", "legend_long", "legend_short")
_NO_REPEATS = ("designation", "own", "moulded", "manual", "notes")


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A text for the cell, a note beside it, and texts for empty cells of the row."""

    text: str
    note: str = ""
    also: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))


def suggest(
    document: Map, cavity: Cavity | None, key: str, typed: str
) -> tuple[Suggestion, ...]:
    """Return up to eight suggestions for a column, best first.

    An empty text is answered where there is a short list to choose from. cavity
    tells the form, the sides and which cells are still empty.
    """
    if key in _LISTS:
        return _for_last_part(document, key, typed)
    wanted = " ".join(typed.casefold().split())
    found = (
        *_listed(cavity, key, wanted),
        *_from_map(document, key, wanted),
        *(_from_trade(cavity, key, typed) if wanted else ()),
    )
    return _distinct(found, typed)


def _distinct(found: Iterable[Suggestion], typed: str) -> tuple[Suggestion, ...]:
    kept: dict[str, Suggestion] = {}
    for one in found:
        before = kept.get(one.text)
        if before is None or (one.also and not before.also):
            kept[one.text] = one
    kept = {k: s for k, s in kept.items() if s.also or s.text != typed.strip()}
    return tuple(kept.values())[:MOST]


def _fits(text: str, wanted: str) -> bool:
    """Tell whether every wanted word starts a word of the text."""
    words = re.split(r"[\s/-]+", text.casefold())
    return all(any(w.startswith(part) for w in words) for part in wanted.split())


# What the map says already

_last: tuple[Map, str, tuple[str, ...]] | None = None


def _said(document: Map, key: str) -> tuple[str, ...]:
    """Return the texts of a column, the most used first."""
    global _last
    if _last and _last[0] is document and _last[1] == key:
        return _last[2]
    read, code = column(key).read, document.car.colour_code
    count: Counter[str] = Counter()
    for cavity in document.cavities.values():
        text = read(cavity, code)
        parts = text.split("; ") if key in _LISTS else (text,)
        count.update(part for part in parts if part)
    texts = tuple(text for text, _ in count.most_common())
    _last = (document, key, texts)
    return texts


def _from_map(document: Map, key: str, wanted: str) -> Iterator[Suggestion]:
    if not wanted or key in _NO_REPEATS or column(key).numeric or _is_listed(key):
        return
    for text in _said(document, key):
        if _fits(text, wanted):
            yield Suggestion(text)


# Short lists to choose from


def _is_listed(key: str) -> bool:
    return key in ("kind", "feed_side", "do_not_use", "off_panel") or key.endswith(
        "_condition"
    )


def _choices(cavity: Cavity | None, key: str) -> tuple[str, ...]:
    if key == "kind":
        from blockmap.reference.forms import KINDS

        return KINDS
    if key == "feed_side" and cavity is not None:
        sides = (side_word(cavity.centre, end) for end in cavity.ends)
        return (*sides, "unknown")
    if key in ("do_not_use", "off_panel"):
        return ("yes", "no")
    if key.endswith("_condition"):
        return CONDITIONS
    if key == "judged":
        return JUDGED_BY
    return ()


def _listed(cavity: Cavity | None, key: str, wanted: str) -> Iterator[Suggestion]:
    if key in ("rating_a", "fitted_a") and cavity is not None:
        yield from _ratings(cavity, key, wanted)
    if key in ("form", "fitted_form") and not wanted:
        yield from (Suggestion(name) for name in FORMS)
    if wanted and key.endswith("_condition") and wanted in CONDITIONS:
        return
    for word in _choices(cavity, key):
        if word.startswith(wanted) or _fits(word, wanted):
            yield Suggestion(word)


def _ratings(cavity: Cavity, key: str, wanted: str) -> Iterator[Suggestion]:
    form = (cavity.fitted_form if key == "fitted_a" else "") or cavity.form
    for rating in standard_ratings(form):
        text = number_text(rating)
        if text.startswith(wanted) and text != wanted:
            body = body_colour(form, rating)
            yield Suggestion(text, body.name if body else "")


# Lists of the trade


def _from_trade(cavity: Cavity | None, key: str, typed: str) -> Iterator[Suggestion]:
    if key in _CIRCUIT_TEXTS:
        for circuit in suggest_circuits(typed):
            yield _circuit_suggestion(cavity, key, circuit)
    if key in ("form", "fitted_form"):
        wanted = typed.casefold()
        yield from (Suggestion(n) for n in FORMS if _fits(n, wanted))
        yield from (Suggestion(n) for n in closest_forms(typed))


def _circuit_suggestion(
    cavity: Cavity | None, key: str, circuit: Circuit
) -> Suggestion:
    texts = {
        "circuit": circuit.long,
        "legend": circuit.medium,
        "legend_short": circuit.short,
        "legend_long": circuit.long.upper(),
    }
    also: dict[str, str] = {}
    if cavity is not None and key in ("circuit", "legend"):
        also = {
            other: texts[other]
            for other in ("circuit", "legend", "legend_short")
            if other != key and not getattr(cavity, other)
        }
    other = "legend" if key == "circuit" else "circuit"
    return Suggestion(texts[key], texts[other], also)


# Lists within one cell: the part after the last semicolon is completed


def _for_last_part(document: Map, key: str, typed: str) -> tuple[Suggestion, ...]:
    head, mark, last = typed.rpartition(";")
    before = head + mark + " " if mark else ""
    wanted = " ".join(last.casefold().split())
    if not wanted:
        return ()
    said = [Suggestion(t) for t in _said(document, key) if _starts(t, wanted)]
    colours = _colours(document, wanted) if key in _WIRES else ()
    both = (*said[:4], *colours, *said[4:])
    return tuple(
        Suggestion(before + one.text, one.note) for one in _distinct(both, last.strip())
    )


def _starts(text: str, wanted: str) -> bool:
    return text.casefold().startswith(wanted) or _fits(text, wanted)


def _colours(document: Map, wanted: str) -> Iterator[Suggestion]:
    """Yield colours in the map's code, completing what follows the last slash."""
    code = document.car.colour_code
    head, slash, part = wanted.rpartition("/")
    base = (head + slash).upper() if code == "north american" else head + slash
    if code == "iec 60757":
        base = base.upper()
    if not part:
        return
    for word in RGB:
        shown = show_colour(WireColour(word), code)
        if shown.casefold() == part:
            continue
        if shown.casefold().startswith(part) or word.startswith(part):
            yield Suggestion(base + shown, word if shown != word else "")
