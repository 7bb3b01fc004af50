"""Rules about fuses and breakers: what is specified and what is fitted.

Each looks at one cavity. What needs sums or wires is the matter of `number_rules`.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from blockmap.analysis.finding import Finding, Level
from blockmap.model.document import Cavity
from blockmap.model.units import number_text
from blockmap.reference.fuse_colours import standard_ratings

__all__ = ["PROTECTS", "fitted_form", "fitted_rating", "unusual_rating"]

PROTECTS = ("fuse", "breaker")


def fitted_rating(cavity: Cavity) -> Iterator[Finding]:
    """Find a larger or smaller fuse than specified."""
    rating_a, fitted_a = cavity.rating_a, cavity.fitted_a
    if rating_a is None or fitted_a is None or rating_a == fitted_a:
        return
    amps = f"{number_text(fitted_a)} A is fitted where {number_text(rating_a)} A"
    what = f"{cavity.designation}: {amps} is specified"
    if fitted_a > rating_a:
        yield Finding(
            code="fitted-above-rating",
            level=Level.ERROR,
            objects=(cavity.id,),
            what=what,
            why="never fit a larger fuse than specified: the wire may burn before it "
            "opens",
            todo=f"fit {number_text(rating_a)} A and find why the larger one was put "
            "in",
        )
    else:
        yield Finding(
            code="fitted-below-rating",
            level=Level.INFORMATION,
            objects=(cavity.id,),
            what=what,
            why="a smaller fuse is safe but may open without a fault",
            todo=f"fit {number_text(rating_a)} A when one is at hand",
        )


def fitted_form(cavity: Cavity) -> Iterator[Finding]:
    """Find another body than the place is made for."""
    if cavity.fitted_form and cavity.fitted_form != cavity.form and cavity.form:
        yield Finding(
            code="fitted-other-form",
            level=Level.ADVICE,
            objects=(cavity.id,),
            what=f"{cavity.designation}: a {cavity.fitted_form} is fitted where a "
            f"{cavity.form} belongs",
            why="contacts grip only the body they are made for",
            todo=f"fit a {cavity.form} and test the grip of both contacts",
        )


@lru_cache(maxsize=256)
def _usual(form: str) -> tuple[float, ...]:
    return standard_ratings(form)


def unusual_rating(cavity: Cavity) -> Iterator[Finding]:
    """Find a rating that the form is not usually made in."""
    if cavity.kind not in PROTECTS or cavity.rating_a is None:
        return
    usual = _usual(cavity.form)
    if not usual or cavity.rating_a in usual:
        return
    sizes = ", ".join(number_text(amps) for amps in usual)
    yield Finding(
        code="rating-unusual",
        level=Level.ADVICE,
        objects=(cavity.id,),
        what=f"{cavity.designation}: {number_text(cavity.rating_a)} A is no usual "
        f"rating of a {cavity.form}",
        why=f"usual are {sizes} A, by the published body colours where there are any, "
        "else common practice",
        todo="look at the rating and the form again",
    )
