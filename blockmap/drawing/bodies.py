"""The bodies that cavities take, told apart by outline: blades, glass, cans, studs.

Every outline fills the cavity's length and breadth exactly. Each builder returns what
lies under the text and the room that is left for text.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from blockmap.drawing.contacts import end_zone
from blockmap.drawing.frame import Frame
from blockmap.drawing.primitives import Ellipse, Path, Primitive
from blockmap.model.document import Cavity
from blockmap.reference.forms import Form, form_named

__all__ = ["Body", "build_body", "form_of", "outline_of"]

form_of = cache(form_named)


@dataclass(slots=True)
class Body:
    """A drawn body and the (u, v) room for text: centre and half sizes."""

    primitives: list[Primitive]
    room: tuple[float, float, float, float]


_BY_KIND = {
    "fuse": "plain",
    "breaker": "breaker",
    "relay": "box",
    "flasher": "can",
    "tab": "tab",
    "stud": "stud",
    "link": "link",
    "terminal": "terminal",
    "blank": "blank",
}


def outline_of(cavity: Cavity) -> str:
    """Return the outline family: that of the form, else the one of the kind."""
    if cavity.kind == "blank":
        return "blank"
    form: Form | None = form_of(cavity.form) if cavity.form else None
    if form and form.outline != "blank":
        return form.outline
    return _BY_KIND.get(cavity.kind, "plain")


def _chamfered(a: float, b: float, cut: float) -> tuple[tuple[float, float], ...]:
    cut = min(cut, 0.6 * a)
    return (
        (-a + cut, -b),
        (a - cut, -b),
        (a, -b + cut),
        (a, b - cut),
        (a - cut, b),
        (-a + cut, b),
        (-a, b - cut),
        (-a, -b + cut),
    )


def _middle(frame: Frame, breadth: float = 0.86) -> tuple[float, float, float, float]:
    zone = end_zone(frame.half_u, frame.half_v)
    return 0.0, 0.0, frame.half_u - 1.12 * zone, breadth * frame.half_v


def _blade(frame: Frame, fill: str, line_mm: float) -> Body:
    a, b = frame.half_u, frame.half_v
    outline = Path(frame.points(_chamfered(a, b, 0.16 * b)), True, fill, "ink", line_mm)
    return Body([outline], _middle(frame))


def _plain(frame: Frame, fill: str, line_mm: float) -> Body:
    a, b = frame.half_u, frame.half_v
    return Body(
        [Path(frame.rect(0, 0, a, b), True, fill, "ink", line_mm)], _middle(frame)
    )


def _glass(frame: Frame, fill: str, line_mm: float) -> Body:
    a, b = frame.half_u, frame.half_v
    cap = end_zone(a, b)
    tube = Path(frame.rect(0, 0, a - cap, 0.86 * b), True, fill, "ink", line_mm)
    caps = [
        Path(frame.points(_cap(side, a, b, cap)), True, "cap", "ink", line_mm)
        for side in (-1.0, 1.0)
    ]
    return Body([tube, *caps], (0.0, 0.0, a - 1.1 * cap, 0.74 * b))


def _cap(
    side: float, a: float, b: float, cap: float
) -> tuple[tuple[float, float], ...]:
    turn = min(0.3 * b, 0.6 * cap)
    return (
        (side * (a - cap), -b),
        (side * (a - turn), -b),
        (side * a, -b + turn),
        (side * a, b - turn),
        (side * (a - turn), b),
        (side * (a - cap), b),
    )


def _ceramic(frame: Frame, fill: str, line_mm: float) -> Body:
    a, b = frame.half_u, frame.half_v
    cone = end_zone(a, b)
    shaft = Path(frame.rect(0, 0, a - cone, b), True, "body", "ink", line_mm)
    band = Path(frame.rect(0, 0, a - 1.5 * cone, b), True, fill, "ink", line_mm)
    ends = [
        Path(
            frame.points(
                (
                    (side * (a - cone), -b),
                    (side * a, -0.25 * b),
                    (side * a, 0.25 * b),
                    (side * (a - cone), b),
                )
            ),
            True,
            "cap",
            "ink",
            line_mm,
        )
        for side in (-1.0, 1.0)
    ]
    parts: list[Primitive] = [shaft, *ends]
    if fill != "body":
        parts.insert(1, band)
    return Body(parts, (0.0, 0.0, a - 1.56 * cone, 0.84 * b))


def _breaker(frame: Frame, fill: str, line_mm: float) -> Body:
    a, b = frame.half_u, frame.half_v
    outer = _chamfered(a, b, min(0.4 * b, 0.2 * a))
    rim = 0.12 * min(a, b)
    inner = _chamfered(a - rim, b - rim, min(0.34 * b, 0.17 * a))
    return Body(
        [
            Path(frame.points(outer), True, fill, "ink", line_mm * 1.5),
            Path(frame.points(inner), True, "", "ink", line_mm * 0.6),
        ],
        _middle(frame, 0.8),
    )


def _box(frame: Frame, fill: str, line_mm: float) -> Body:
    a, b = frame.half_u, frame.half_v
    return Body(
        [
            Path(
                frame.points(_chamfered(a, b, 0.1 * b)),
                True,
                fill,
                "ink",
                line_mm * 1.5,
            )
        ],
        (0.0, 0.02 * b, 0.44 * a, 0.38 * b),
    )


def _can(frame: Frame, fill: str, line_mm: float) -> Body:
    return Body(
        [
            _round(frame, 1.0, fill, line_mm * 1.5),
            _round(frame, 0.92, "", line_mm * 0.6),
        ],
        (0.0, 0.0, 0.54 * frame.half_u, 0.4 * frame.half_v),
    )


def _round(frame: Frame, share: float, fill: str, line_mm: float) -> Primitive:
    a, b = share * frame.half_u, share * frame.half_v
    if frame.square or a == b:
        rx, ry = (a, b) if frame.ux or a == b else (b, a)
        return Ellipse(frame.at(0, 0), rx, ry, fill, "ink", line_mm)
    steps = (math.tau * number / 48 for number in range(48))
    ring = frame.points((a * math.cos(t), b * math.sin(t)) for t in steps)
    return Path(ring, True, fill, "ink", line_mm)


def _tab(frame: Frame, fill: str, line_mm: float) -> Body:
    a, b = frame.half_u, frame.half_v
    room = Path(frame.rect(0, 0, a, b), True, fill, "ink", line_mm)
    return Body([room], (0.0, 0.46 * b, 0.9 * a, 0.44 * b))


def _stud(frame: Frame, fill: str, line_mm: float) -> Body:
    reach = 0.74 * min(frame.half_u, frame.half_v)
    steps = (math.tau * number / 6 for number in range(6))
    nut = frame.points((reach * math.cos(t), reach * math.sin(t)) for t in steps)
    return Body(
        [
            _round(frame, 1.0, fill, line_mm),
            Path(nut, True, "", "ink", line_mm * 1.3),
        ],
        (0.0, 0.0, 0.0, 0.0),
    )


def _link(frame: Frame, fill: str, line_mm: float) -> Body:
    a, b = frame.half_u, frame.half_v
    steps = [math.pi * number / 10 - math.pi / 2 for number in range(11)]
    turn = min(a, b)
    right = [(a - turn + turn * math.cos(t), b * math.sin(t)) for t in steps]
    left = [(-u, -v) for u, v in right]
    zone = end_zone(a, b)
    free = a - 1.4 * zone
    wave = [
        (free * (number / 30 - 1), 0.5 * b * math.sin(number * math.pi / 5))
        for number in range(61)
    ]
    return Body(
        [
            Path(frame.points((*right, *left)), True, fill, "ink", line_mm),
            Path(frame.points(wave), False, "", "faint", line_mm * 2),
        ],
        (0.0, 0.0, free, 0.76 * b),
    )


def _terminal(frame: Frame, fill: str, line_mm: float) -> Body:
    a, b = frame.half_u, frame.half_v
    return Body(
        [Path(frame.points(_chamfered(a, b, 0.25 * b)), True, fill, "ink", line_mm)],
        (0.0, 0.0, 0.0, 0.0),
    )


def _blank(frame: Frame, _fill: str, line_mm: float) -> Body:
    a, b = frame.half_u, frame.half_v
    dash = (6 * line_mm, 4 * line_mm)
    outline = Path(frame.rect(0, 0, a, b), True, "", "ink", line_mm, dash)
    return Body([outline], (0.0, 0.0, 0.9 * a, 0.86 * b))


_BUILDERS: dict[str, Callable[[Frame, str, float], Body]] = {
    "blade": _blade,
    "plain": _plain,
    "glass": _glass,
    "ceramic": _ceramic,
    "breaker": _breaker,
    "box": _box,
    "can": _can,
    "tab": _tab,
    "stud": _stud,
    "link": _link,
    "terminal": _terminal,
    "blank": _blank,
}


def build_body(outline: str, frame: Frame, fill: str, line_mm: float) -> Body:
    """Return the body of an outline family, filled with a palette colour."""
    return _BUILDERS.get(outline, _plain)(frame, fill, line_mm)
