"""The key of the figure: every mark that was drawn, in a small box, with its words.

Marks that the figure does not use are left out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

from blockmap.drawing.bodies import build_body
from blockmap.drawing.designations import LabelPlace
from blockmap.drawing.frame import FigureStyle, Frame
from blockmap.drawing.label_layout import layout_labels
from blockmap.drawing.label_wish import wish_of
from blockmap.drawing.landings import landing_mark
from blockmap.drawing.marks import (
    LETTERS,
    condition_mark,
    crossed_out,
    hatched,
    interim_mark,
    unlike_sign,
)
from blockmap.drawing.picture import cavity_picture
from blockmap.drawing.primitives import (
    Ellipse,
    Face,
    Path,
    Primitive,
    Text,
    line,
    rectangle,
)
from blockmap.drawing.strip_layout import strip_marks
from blockmap.model.document import Cavity, Condition, Map
from blockmap.model.geometry import Box, Point, Size
from blockmap.model.ids import BlockId, CavityId
from blockmap.reference.trade_words import SEVERITIES

__all__ = ["KEY_BOX", "KeyEntry", "figure_key"]

KEY_BOX = Size(8.0, 4.0)
"""Room of the mark in each entry of the key."""


class KeyEntry(NamedTuple):
    """One mark, drawn from the origin within `KEY_BOX`, and what it means."""

    mark: str
    primitives: tuple[Primitive, ...]
    words: str


_WORDS = {
    "feed": "feed contact (supply side)",
    "feed not seen": "feed contact, not seen on the car",
    "feed unknown": "feed contact not known",
    "body colour": "tint: usual fuse colour; the figure rules",
    "rating unknown": "rating not known",
    "not seen": "italics and ?: not seen on the car",
    "fitted unlike": "fitted unlike specified",
    "relay numbers": "contact numbers; the moulded ones rule",
    "do not use": "do not use",
    "interim": "interim measure: must be undone",
    "off panel": "in-line holder off the block",
    "strip": "strip: one piece of metal",
    "jumper": "jumper wire",
    "landing": "supply lands here, on a contact",
    "landing on metal": "supply lands here, off the contacts",
    "landing hidden": "supply lands about here, hidden at the rear",
    "body blade": "blade fuse",
    "body plain": "fuse of unknown form",
    "body glass": "glass fuse",
    "body ceramic": "ceramic fuse with conical ends",
    "body breaker": "breaker",
    "body box": "relay or socket",
    "body can": "flasher",
    "body tab": "tab",
    "body stud": "stud",
    "body link": "link",
    "body terminal": "terminal",
    "body blank": "blank: takes nothing",
    **{f"condition {state}": state for state in LETTERS},
    **{f"severity {n}": words for n, words in SEVERITIES.items()},
    "severity mended": "mended",
}
"""What each mark means, in the order of the key."""


_of_cavities: dict[CavityId, tuple[Cavity, FigureStyle, frozenset[str]]] = {}
"""The marks of cavities, kept while they hold: looking anew means drawing anew."""

_MOST_KEPT = 20_000


def _marks_of(cavity: Cavity, style: FigureStyle) -> frozenset[str]:
    kept = _of_cavities.get(cavity.id)
    if kept is None or kept[0] is not cavity or kept[1] != style:
        if len(_of_cavities) > _MOST_KEPT:
            _of_cavities.clear()
        kept = cavity, style, frozenset(cavity_picture(cavity, style).marks)
        _of_cavities[cavity.id] = kept
    return kept[2]


def figure_key(
    document: Map,
    block: BlockId,
    style: FigureStyle,
    *,
    labels: Mapping[CavityId, LabelPlace] | None = None,
) -> tuple[KeyEntry, ...]:
    """Return the key of the figure: the marks it uses, in a settled order.

    Labels are laid out when they are not at hand and something hangs on them.

    The least letter height does not bind the samples in the key.
    """
    used = strip_marks(document, block, style)
    cavities = list(document.cavities_of(block))
    for cavity in cavities:
        used |= _marks_of(cavity, style)
    if "not seen" not in used:
        if labels is None and any(wish_of(c, style).doubtful for c in cavities):
            labels = layout_labels(document, block, style)
        if labels and any(label.doubtful for label in labels.values()):
            used.add("not seen")
    return tuple(
        KeyEntry(mark, tuple(_sample(mark, style)), words)
        for mark, words in _WORDS.items()
        if mark in used
    )


_MIDDLE = Point(KEY_BOX.width_mm / 2, KEY_BOX.height_mm / 2)


def _frame(half_u: float, half_v: float) -> Frame:
    return Frame(_MIDDLE[0], _MIDDLE[1], 1.0, 0.0, 0.0, 1.0, half_u, half_v)


def _sample(mark: str, style: FigureStyle) -> list[Primitive]:
    """Return the drawing of a mark within the box of the key."""
    kind, _, rest = mark.partition(" ")
    thin = style.line_mm
    if kind == "condition":
        return condition_mark(Condition(state=rest), _MIDDLE, 3.0, thin, 0.0)
    if kind == "severity":
        return _severity(rest, thin)
    if kind == "body" and rest != "colour":
        sizes = {"can": (1.9, 1.9), "stud": (1.9, 1.9), "box": (1.9, 1.9)}
        frame = _frame(*sizes.get(rest, (3.8, 1.3)))
        return list(build_body(rest, frame, "body", thin).primitives)
    return _SAMPLES[mark](thin)


def _severity(rest: str, thin: float) -> list[Primitive]:
    if rest == "mended":
        shown = Condition(state="untested", severity=1, stage="fitted")
    else:
        shown = Condition(state="untested", severity=int(rest))
    return condition_mark(shown, _MIDDLE, 3.0, thin, 99.0)


def _body(fill: str, thin: float) -> list[Primitive]:
    return [rectangle(Box(0.4, 0.7, 7.6, 3.3), fill, "ink", thin)]


def _triangle(fill: str, thin: float) -> list[Primitive]:
    points = (Point(2.6, 0.7), Point(2.6, 3.3), Point(5.4, 2.0))
    return [Path(points, True, fill, "ink", thin)]


def _unknown_feed(thin: float) -> list[Primitive]:
    boxes = (Box(0.8, 1.4, 2.6, 2.6), Box(5.4, 1.4, 7.2, 2.6))
    return [
        *_body("body", thin),
        *(rectangle(box, "paper", "ink", thin) for box in boxes),
    ]


def _hatch(thin: float) -> list[Primitive]:
    return [*_body("body", thin), hatched(_frame(3.5, 1.3), (0, 0, 3.5, 1.3), thin)]


def _crossed(thin: float) -> list[Primitive]:
    return [*_body("body", thin), *crossed_out(_frame(3.6, 1.3), thin)]


def _tint(thin: float) -> list[Primitive]:
    return _body("yellow body", thin)


def _landing(_thin: float) -> list[Primitive]:
    return [
        Ellipse(_MIDDLE, 1.4, 1.4, "paper", "strip", 0.4),
        Ellipse(_MIDDLE, 0.6, 0.6, "strip"),
    ]


def _across(width: float, dash: tuple[float, ...] = ()) -> list[Primitive]:
    ends = (Point(0.4, _MIDDLE[1]), Point(7.6, _MIDDLE[1]))
    return [line(ends, "strip", width, dash)]


def _wire(thin: float) -> list[Primitive]:
    places = ((0.4, 2.0), (2.4, 2.0), (3.2, 2.8), (4.6, 1.2), (5.4, 2.0), (7.6, 2.0))
    return [line((Point(x, y) for x, y in places), "ink", thin * 2)]


def _words(text: str, face: Face) -> list[Primitive]:
    return [Text(text, Point(_MIDDLE[0], _MIDDLE[1] + 1.0), 2.0, face)]


_SAMPLES: dict[str, Callable[[float], list[Primitive]]] = {
    "feed": lambda thin: _triangle("ink", thin),
    "feed not seen": lambda thin: _triangle("body", thin),
    "feed unknown": _unknown_feed,
    "body colour": _tint,
    "rating unknown": _hatch,
    "not seen": lambda thin: _words("20?", Face.ITALIC),
    "fitted unlike": lambda thin: unlike_sign(_MIDDLE, 2.4, "ink", thin),
    "relay numbers": lambda thin: _words("87", Face.REGULAR),
    "do not use": _crossed,
    "interim": lambda thin: interim_mark(_MIDDLE, 3.2),
    "off panel": _wire,
    "strip": lambda thin: _across(thin * 4.5),
    "jumper": lambda thin: _across(thin * 2.5, (thin * 9, thin * 5)),
    "landing": _landing,
    "landing on metal": lambda thin: landing_mark(_MIDDLE, False, thin),
    "landing hidden": lambda thin: landing_mark(_MIDDLE, True, thin),
}
