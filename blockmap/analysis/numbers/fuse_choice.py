"""Suggests a rating and compares fuses with wires, loads, bodies and contacts.

A suggestion is arithmetic from what the map says. It never replaces the rating of the
service manual: never fit a larger fuse than specified.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockmap.analysis.numbers.figure import (
    Comparison,
    Figure,
    exact,
    from_reference,
    notes_joined,
    shown,
    weakest,
)
from blockmap.analysis.numbers.limits import DEFAULT_LIMITS, Limits
from blockmap.analysis.numbers.load_current import LoadSum
from blockmap.model.document import Cavity
from blockmap.reference.fuse_colours import standard_ratings
from blockmap.reference.sources import Status
from blockmap.reference.terminal_capacity import terminal_capacity

__all__ = [
    "NONE_FITS",
    "NOT_KNOWN",
    "FittedCheck",
    "Suggestion",
    "fitted_against_specified",
    "fuse_against_loads",
    "fuse_against_wire",
    "suggested_rating",
    "terminal_against_load",
]

NONE_FITS = "none fits"
NOT_KNOWN = "not known"
_CAUTION = "arithmetic only: never fit a larger fuse than specified"


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A rating that fits, or why none does.

    ``rating`` is None when none fits; ``why`` then says which two demands contradict.
    It is None too when too little is known to tell; ``known`` is False then and ``why``
    says what is missing. ``wanted`` is what the loads ask for at least, ``most`` what
    the wire allows.
    """

    rating: Figure | None
    wanted: Figure
    most: Figure | None
    why: str
    known: bool = True

    @property
    def text(self) -> str:
        """The rating such as '15 A', 'none fits' or 'not known'."""
        if self.rating is not None:
            return self.rating.text
        return NONE_FITS if self.known else NOT_KNOWN


def suggested_rating(
    form: str,
    loads: LoadSum,
    wire: Figure | None,
    limits: Limits = DEFAULT_LIMITS,
) -> Suggestion:
    """Return the smallest usual rating that carries the loads and stays below the wire.

    It carries the continuous load at the share of the limits and everything that runs
    at once at its full rating; a rush at switching on is left to the opening time.
    wire is the most amps of the thinnest wire it guards, None when unknown.
    """
    share = limits.figure("continuous_share")
    wanted = _wanted(loads, share)
    most = None if wire is None else _most(wire, limits)
    usual = standard_ratings(form)
    carrying = [amps for amps in usual if amps >= wanted.value * (1 - 1e-9)]
    known, why = bool(usual) and not loads.unknown, ""
    if loads.unknown:
        why = f"no current is known of {', '.join(loads.unknown)}"
    elif not usual:
        why = f"no usual ratings are known of a {form}" if form else "no form is noted"
    elif not carrying:
        why = (
            f"the loads want {wanted.text}, the largest {form} has {shown(usual[-1])} A"
        )
    elif most is not None and carrying[0] > most.value * (1 + 1e-9):
        why = (
            f"the loads want {shown(carrying[0])} A at least, the wire bears "
            f"{most.text} at most"
        )
    if why:
        return Suggestion(None, wanted, most, why, known)
    rating_a = carrying[0]
    bound = "" if most is None else " ≤ {} A"
    unbound = "" if most else "the gauge of the wire is not known: it is no bound here"
    inputs = (wanted,) if most is None else (wanted, most)
    rating = Figure(
        "Suggested rating",
        rating_a,
        "A",
        rating_a,
        rating_a,
        f"next usual size: {{}} A ≤ {{}} A{bound}",
        (wanted.value, rating_a)
        if most is None
        else (wanted.value, rating_a, most.value),
        weakest(each.status for each in inputs),
        (),
        notes_joined(_CAUTION, unbound),
        inputs,
    )
    return Suggestion(rating, wanted, most, unbound)


def _wanted(loads: LoadSum, share: Figure) -> Figure:
    long_a, run_a = loads.continuous.value / share.value, loads.running.value
    pattern = "continuous {} A / {} = {} A"
    numbers: tuple[float, ...] = (loads.continuous.value, share.value, long_a)
    if run_a > long_a:
        pattern += "; running {} A"
        numbers += (run_a,)
    value = max(long_a, run_a)
    return Figure(
        "Rating the loads want",
        value,
        "A",
        min(value, max(loads.continuous.low / share.value, loads.running.low)),
        max(value, loads.continuous.high / share.value, loads.running.high),
        pattern,
        numbers,
        weakest((Status.DERIVED, share.status, loads.running.status)),
        share.sources,
        share.note,
        (loads.continuous, loads.running, share),
    )


def _most(wire: Figure, limits: Limits) -> Figure:
    share = limits.figure("fuse_over_wire")
    if share.value == 1:
        return wire
    value = wire.value * share.value
    return Figure(
        "Most the wire allows",
        value,
        "A",
        wire.low * share.value,
        wire.high * share.value,
        "{} A × {} = {} A",
        (wire.value, share.value, value),
        weakest((wire.status, share.status)),
        share.sources,
        notes_joined(wire.note, share.note),
        (wire, share),
    )


def fuse_against_wire(
    rating_a: float, wires: Sequence[Figure], limits: Limits = DEFAULT_LIMITS
) -> Comparison | None:
    """Return a rating beside what the thinnest wire allows; None without wires.

    wires are the most amps of each wire it guards, see `wires.wire_amps`.
    """
    if not wires:
        return None
    thinnest = min(wires, key=lambda wire: wire.value)
    rating = exact("Rating", rating_a, "A")
    return Comparison("Fuse and wire", rating, _most(thinnest, limits))


def fuse_against_loads(
    rating_a: float, loads: LoadSum, limits: Limits = DEFAULT_LIMITS
) -> tuple[Comparison, Comparison]:
    """Return the running load beside the rating, the continuous beside its share."""
    rating = exact("Rating", rating_a, "A")
    share = limits.figure("continuous_share")
    value = rating_a * share.value
    long = Figure(
        "Rating for long use",
        value,
        "A",
        value,
        value,
        "{} A × {} = {} A",
        (rating_a, share.value, value),
        share.status,
        share.sources,
        share.note,
        (rating, share),
    )
    return (
        Comparison("Load and rating", loads.running, rating),
        Comparison("Continuous load and rating", loads.continuous, long),
    )


@dataclass(frozen=True, slots=True)
class FittedCheck:
    """What is fitted beside what is specified.

    ``amps`` is 'same', 'above', 'below' or 'unknown'; ``form`` is 'same', 'other' or
    'unknown'; ``difference`` is fitted less specified in amps.
    """

    amps: str
    form: str
    difference: Figure | None


def fitted_against_specified(cavity: Cavity) -> FittedCheck:
    """Return how the fuse in a cavity differs from what the cavity is specified for."""
    form = "unknown"
    if cavity.form and cavity.fitted_form:
        form = "same" if cavity.form == cavity.fitted_form else "other"
    if cavity.rating_a is None or cavity.fitted_a is None:
        return FittedCheck("unknown", form, None)
    apart = cavity.fitted_a - cavity.rating_a
    words = "same" if apart == 0 else "above" if apart > 0 else "below"
    difference = Figure(
        "Fitted above specified",
        apart,
        "A",
        apart,
        apart,
        "{} A fitted − {} A specified",
        (cavity.fitted_a, cavity.rating_a),
    )
    return FittedCheck(words, form, difference)


def terminal_against_load(
    terminal: str, form: str, current: Figure
) -> Comparison | None:
    """Return a current beside what the contact bears; None when no width is known.

    The capacity is common practice without a source: advice at most.
    """
    capacity = terminal_capacity(terminal, form)
    if capacity is None:
        return None
    return Comparison("Load and contact", current, from_reference("Contact", capacity))
