"""What a label says, and how small its letters may be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockmap.drawing.fit import LINE_PITCH, Fitted, fit_text, narrowest
from blockmap.drawing.picture import amps_text
from blockmap.drawing.primitives import Face
from blockmap.model.document import Car, Cavity
from blockmap.reference.legibility import least_cap_height_mm

__all__ = [
    "DO_NOT_USE",
    "LEAST_PRINTED_MM",
    "LabelWords",
    "LeastHeight",
    "fit_label",
    "label_words",
    "least_height",
]


LEAST_PRINTED_MM = 1.5
"""However near the eye, office printers blur smaller letters: common practice, no
source. A height set in the map goes before it."""

DO_NOT_USE = "DO NOT USE"
"""How every sheet names a place in which nothing may be fitted."""


@dataclass(frozen=True, slots=True)
class LabelWords:
    """The parts of one label; texts run from the longest to the shortest.

    crossed tells that the place must not be used: its texts say so.
    """

    designation: str
    rating: str
    texts: tuple[str, ...]
    crossed: bool = False

    @property
    def head(self) -> str:
        """Designation and rating on one line."""
        return "  ".join(part for part in (self.designation, self.rating) if part)


@dataclass(frozen=True, slots=True)
class LeastHeight:
    """The least height of capitals, and the sentence that says where it comes from."""

    cap_mm: float
    words: str


def fit_label(
    texts: Sequence[str],
    width_mm: float,
    height_mm: float,
    cap_mm: float,
    lines: int = 2,
) -> Fitted | None:
    """Return the first text that fits at this height of capitals.

    It is set in as few lines as will do, and these as even as they can be.
    """
    most = int((height_mm / cap_mm - 1 + 1e-9) / LINE_PITCH) + 1
    if width_mm <= 0 or height_mm < cap_mm - 1e-9:
        return None
    for text in texts:
        for number in range(1, min(lines, most) + 1):
            if narrowest(text, Face.REGULAR, number) * (cap_mm - 1e-6) > width_mm:
                continue
            wide = fit_text((text,), width_mm, 1e3, cap_mm, 1e2 * cap_mm, lines=number)
            if wide:
                share = cap_mm / wide.cap_mm
                return Fitted(wide.lines, cap_mm, wide.face, wide.width_mm * share)
    return None


def label_words(cavity: Cavity, *, rated: bool = True) -> LabelWords:
    """Return what stands on a cavity's label; not rated when its body says it.

    The label of a place not to be used says that in the first place, and no rating:
    nobody shall fit a fuse there by its label.
    """
    crossed = cavity.unusable
    amps = cavity.rating_a if rated and not crossed else None
    rating = "" if amps is None else f"{amps_text(amps)} A"
    wished = (
        cavity.legend_long or cavity.circuit,
        cavity.legend,
        cavity.legend_short,
    )
    texts = tuple(dict.fromkeys(text for text in wished if text))
    if crossed:
        texts = (*(f"{DO_NOT_USE}: {text}" for text in texts), DO_NOT_USE)
    return LabelWords(cavity.designation, rating, texts, crossed)


def least_height(car: Car) -> LeastHeight:
    """Return the least height of capitals on this car's labels.

    The map's own setting goes before the published rule.
    """
    if car.label_height_mm is not None:
        return LeastHeight(
            car.label_height_mm,
            f"Capitals at least {car.label_height_mm:.3g} mm: set in this map.",
        )
    rule = least_cap_height_mm(car.label_distance_mm)
    source = rule.sources[0].title if rule.sources else "no source"
    if rule.value < LEAST_PRINTED_MM:
        return LeastHeight(
            LEAST_PRINTED_MM,
            f"Capitals at least {LEAST_PRINTED_MM:.3g} mm: smaller ones blur on paper.",
        )
    return LeastHeight(
        rule.value,
        f"Capitals at least {rule.value:.3g} mm, read from "
        f"{car.label_distance_mm:.0f} mm. Source: {source}.",
    )
