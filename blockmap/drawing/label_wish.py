"""What the label of a cavity is to say: designation, a word of warning, legends."""

from __future__ import annotations

from typing import NamedTuple

from blockmap.drawing.bodies import outline_of
from blockmap.drawing.frame import FigureStyle
from blockmap.drawing.primitives import Face
from blockmap.model.document import Cavity
from blockmap.model.evidence import is_doubtful

__all__ = ["Wish", "wish_of"]


class Wish(NamedTuple):
    """What a label is to say."""

    designation: str
    face: Face
    words: str
    legends: tuple[str, ...]
    legend_face: Face

    @property
    def doubtful(self) -> bool:
        """True when something in it was not seen on the car."""
        return Face.ITALIC in (self.face, self.legend_face)


def wish_of(cavity: Cavity, style: FigureStyle) -> Wish:
    """Return what the label of a cavity is to say."""
    name = cavity.designation
    face = Face.BOLD
    if style.doubt and not cavity.own and (cavity.moulded or cavity.manual):
        key = "moulded" if cavity.moulded else "manual"
        if is_doubtful(cavity, key):
            name, face = f"{name}?", Face.ITALIC
    words = "do not use" if cavity.unusable else ""
    if not words and outline_of(cavity) == "stud":
        words = "stud"
    legends: tuple[str, ...] = ()
    legend_face = Face.REGULAR
    if style.legend:
        wished = (cavity.legend or cavity.circuit, cavity.legend_short)
        legends = tuple(dict.fromkeys(text for text in wished if text))
        key = "legend" if cavity.legend or not cavity.circuit else "circuit"
        if legends and style.doubt and is_doubtful(cavity, key):
            legends = tuple(f"{text}?" for text in legends)
            legend_face = Face.ITALIC
    return Wish(name, face, words, legends, legend_face)
