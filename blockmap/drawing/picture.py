"""Draws one cavity: body, contacts, rating, words and marks, in the view's places.

The picture depends on the cavity and the style alone, so it can be kept until either
changes. Labels beside the body need the neighbours: see `label_layout`.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from blockmap.drawing.bodies import Body, build_body, form_of, outline_of
from blockmap.drawing.contacts import (
    Spot,
    contact_spots,
    draw_contact,
    draw_feed,
    draw_names,
)
from blockmap.drawing.fit import Fitted, fit_text
from blockmap.drawing.frame import FigureStyle, Frame, frame_of
from blockmap.drawing.marks import (
    condition_mark,
    condition_places,
    crossed_out,
    hatched,
    interim_mark,
    interim_place,
    mark_boxes,
    mark_size,
    unlike_sign,
)
from blockmap.drawing.palette import body_name, body_text_name
from blockmap.drawing.primitives import Face, Primitive, line, rectangle
from blockmap.drawing.typeface import text_width_mm
from blockmap.model.document import Cavity
from blockmap.model.evidence import is_doubtful
from blockmap.model.geometry import Box, Point
from blockmap.reference.fuse_colours import body_colour

__all__ = [
    "Picture",
    "amps_text",
    "cavity_picture",
    "cavity_primitives",
    "obstacles_of",
]

RATED_KINDS = ("fuse", "breaker")
AT_ENDS = ("blade", "plain", "glass", "ceramic", "breaker", "link")
CAPPED = ("glass", "ceramic")
"""Bodies whose metal ends are the contacts."""
WORD_CAP_MM = 2.4
"""Greatest height of the word that tells what a part is, alone on its body."""
WORDLESS = ("blade", "plain", "glass", "ceramic", "stud", "terminal")


@dataclass(slots=True)
class Picture:
    """The primitives of one cavity and the names of the marks among them."""

    primitives: list[Primitive] = field(default_factory=list)
    marks: set[str] = field(default_factory=set)


def amps_text(amps_a: float) -> str:
    """Return a rating as it stands on a fuse: 20, 7.5."""
    return f"{amps_a:g}"


def cavity_primitives(cavity: Cavity, style: FigureStyle) -> tuple[Primitive, ...]:
    """Return what is drawn of one cavity, bottom first, in the view of the style."""
    return tuple(cavity_picture(cavity, style).primitives)


def cavity_picture(cavity: Cavity, style: FigureStyle) -> Picture:
    """Return the primitives of one cavity with the names of the marks used."""
    frame = frame_of(cavity, style)
    outline = outline_of(cavity)
    spots = contact_spots(cavity, outline) if outline != "blank" else {}
    fill, ink = _colours(cavity)
    body = build_body(outline, frame, fill, style.line_mm)
    if outline == "box" and "87a" in spots:
        body.room = (
            0.0,
            -0.2 * frame.half_v,
            0.44 * frame.half_u,
            0.17 * frame.half_v,
        )
    if outline in ("blade", "plain") and len(spots) > 2:
        u, v, du, dv = body.room
        body.room = (u, v - 0.16 * dv, du, 0.82 * dv)
    picture = Picture(list(body.primitives))
    if fill != "body":
        picture.marks.add("body colour")
    if outline in WORDLESS:
        picture.marks.add(f"body {outline}")
    on_end = "ink" if outline in CAPPED else ink
    words = _word_boxes(cavity, frame, body, style) if outline == "box" else []
    _draw_contacts(picture, cavity, frame, outline, spots, on_end, style, words)
    if cavity.off_panel:
        _draw_tails(picture, frame, style)
    if cavity.unusable:
        picture.primitives += crossed_out(frame, style.line_mm)
        picture.marks.add("do not use")
    _draw_words(picture, cavity, frame, body, outline, (fill, ink), style)
    if style.conditions:
        _draw_conditions(picture, cavity, frame, spots, outline, style)
    return picture


def _colours(cavity: Cavity) -> tuple[str, str]:
    """Return fill and figure ink: those of the rating where bodies are coloured."""
    if cavity.rating_a is None or cavity.kind not in RATED_KINDS or not cavity.form:
        return "body", "ink"
    colour = body_colour(cavity.form, cavity.rating_a)
    if colour is None:
        return "body", "ink"
    return body_name(colour.name), body_text_name(colour.name)


def _draw_contacts(
    picture: Picture,
    cavity: Cavity,
    frame: Frame,
    outline: str,
    spots: dict[str, Spot],
    ink: str,
    style: FigureStyle,
    taken: list[Box],
) -> None:
    known = cavity.feed_end != "unknown"
    ended = "feed" in spots
    fill = "metal" if known or not ended else "paper"
    if ended and known:
        picture.primitives.append(
            draw_feed(frame, spots["feed"], cavity, outline, ink, style.line_mm)
        )
        doubtful = is_doubtful(cavity, "feed_end")
        picture.marks.add("feed not seen" if doubtful else "feed")
    elif ended:
        picture.marks.add("feed unknown")
    for name, spot in spots.items():
        if outline in CAPPED and known and name in ("feed", "load"):
            continue
        picture.primitives.append(
            draw_contact(frame, spot, outline, fill, style.line_mm * 0.8)
        )
    if style.conditions:
        taken = [*taken, *mark_boxes(cavity, frame, spots, outline)]
    names = draw_names(frame, spots, taken, style.least_cap_mm)
    picture.primitives += names
    if names and outline == "box":
        picture.marks.add("relay numbers")


def _word_boxes(
    cavity: Cavity, frame: Frame, body: Body, style: FigureStyle
) -> list[Box]:
    """Return where word and rating of a box stand, for the numbers to keep off."""
    if not style.ratings:
        return []
    room = frame.upright(*body.room)
    written = [(_word(cavity), room, WORD_CAP_MM)]
    if cavity.rating_a is not None:
        top, bottom = _split(room)
        rating = f"{amps_text(cavity.rating_a)}?"
        written = [(rating, top, 3.4), (_word(cavity), bottom, 2.0)]
    boxes = []
    for text, part, most in written:
        fitted = _fitted((text,), part, Face.REGULAR, most, style)
        if fitted is not None:
            (x, y), cap = part.centre, fitted.cap_mm
            half = fitted.width_mm / 2
            box = Box(x - half, y - cap / 2, x + half, y + cap / 2)
            boxes.append(box.grown(0.2 * cap))
    return boxes


def _draw_tails(picture: Picture, frame: Frame, style: FigureStyle) -> None:
    """Draw the wire at both ends of an in-line holder off its block."""
    a, b = frame.half_u, frame.half_v
    for side in (-1.0, 1.0):
        wave = (
            (side * a, 0.0),
            (side * (a + 1.2), 0.0),
            (side * (a + 2.0), 0.3 * b),
            (side * (a + 3.0), -0.3 * b),
            (side * (a + 3.8), 0.0),
        )
        picture.primitives.append(line(frame.points(wave), "ink", style.line_mm * 2))
    picture.marks.add("off panel")


def _draw_words(
    picture: Picture,
    cavity: Cavity,
    frame: Frame,
    body: Body,
    outline: str,
    colours: tuple[str, str],
    style: FigureStyle,
) -> None:
    """Draw rating and word in the room of the body, as far as they are legible."""
    u, v, du, dv = body.room
    fill, ink = colours
    if du <= 0 or dv <= 0:
        return
    rated = cavity.kind in RATED_KINDS
    if rated and cavity.rating_a is None and outline != "blank":
        picture.primitives.append(hatched(frame, body.room, style.line_mm))
        picture.marks.add("rating unknown")
    room = frame.upright(u, v, du, dv)
    rating = "?" if rated else ""
    ratings: tuple[str, ...] = (rating,)
    face = Face.BOLD
    if cavity.rating_a is not None and outline != "blank":
        rating = amps_text(cavity.rating_a)
        ratings = (rating,)
        if style.doubt and is_doubtful(cavity, "rating_a"):
            # Where the sign has no room, the slant alone still tells it.
            ratings, face = (f"{rating}?", rating), Face.ITALIC
    word = "" if outline in WORDLESS else _word(cavity)
    ground = fill if cavity.unusable or rating == "?" or outline == "link" else ""
    unlike = outline != "blank" and _is_unlike(cavity)
    if not style.ratings:
        return
    top, bottom = _split(room) if rating and (word or unlike) else (room, room)
    if rating:
        if unlike:
            _draw_unlike(picture, cavity, bottom, ink, ground, style)
        elif word and not _write(
            picture, (word,), bottom, ink, ground, Face.REGULAR, 2.0, style
        ):
            top = room
            picture.marks.add(f"body {outline}")
        # A crossed place keeps its cross in sight on both sides of the figure.
        most = min(3.4, 0.9 * frame.half_v) if cavity.unusable else 3.4
        if _write(picture, ratings, top, ink, ground, face, most, style):
            _note_doubt(picture, face)
    elif word and not _write(
        picture, (word,), room, ink, ground, Face.REGULAR, WORD_CAP_MM, style
    ):
        picture.marks.add(f"body {outline}")


def _note_doubt(picture: Picture, face: Face) -> None:
    if face is Face.ITALIC:
        picture.marks.add("not seen")


def _word(cavity: Cavity) -> str:
    form = form_of(cavity.form) if cavity.form else None
    return form.word if form and form.kind == cavity.kind else cavity.kind


def _is_unlike(cavity: Cavity) -> bool:
    other_rating = (
        cavity.fitted_a is not None
        and cavity.rating_a is not None
        and cavity.fitted_a != cavity.rating_a
    )
    if not cavity.fitted_form or not cavity.form:
        return other_rating
    return other_rating or form_of(cavity.fitted_form) != form_of(cavity.form)


def _split(room: Box) -> tuple[Box, Box]:
    """Return the first and the second part of a room, along its longer way."""
    left, top, right, bottom = room
    if room.height_mm < 5.0 and room.width_mm > 1.6 * room.height_mm:
        middle = left + 0.48 * room.width_mm
        return Box(left, top, middle, bottom), Box(middle, top, right, bottom)
    middle = top + 0.54 * room.height_mm
    return Box(left, top, right, middle), Box(left, middle, right, bottom)


def _write(
    picture: Picture,
    candidates: tuple[str, ...],
    room: Box,
    ink: str,
    ground: str,
    face: Face,
    most_cap_mm: float,
    style: FigureStyle,
) -> Fitted | None:
    """Write the first candidate that is legible in the middle of a room."""
    fitted = _fitted(candidates, room, face, most_cap_mm, style)
    if fitted is None:
        return None
    if ground:
        x, y = room.centre
        pad = 0.22 * fitted.cap_mm
        half_x, half_y = fitted.width_mm / 2 + pad, fitted.height_mm / 2 + pad
        patch = Box(x - half_x, y - half_y, x + half_x, y + half_y)
        picture.primitives.append(rectangle(patch, ground))
    picture.primitives += fitted.texts(room.centre, ink=ink)
    return fitted


def _fitted(
    candidates: tuple[str, ...],
    room: Box,
    face: Face,
    most_cap_mm: float,
    style: FigureStyle,
) -> Fitted | None:
    return fit_text(
        candidates,
        room.width_mm * 0.94,
        room.height_mm * 0.86,
        style.least_cap_mm,
        most_cap_mm,
        face,
        lines=1,
    )


def _draw_unlike(
    picture: Picture,
    cavity: Cavity,
    room: Box,
    ink: str,
    ground: str,
    style: FigureStyle,
) -> None:
    """Draw the sign of a fitted part unlike the specified, with its amps if legible."""
    picture.marks.add("fitted unlike")
    text, face = "", Face.REGULAR
    if cavity.fitted_a is not None and cavity.fitted_a != cavity.rating_a:
        text = amps_text(cavity.fitted_a)
        if style.doubt and is_doubtful(cavity, "fitted_a"):
            text, face = f"{text}?", Face.ITALIC
    cap = min(2.6, 0.8 * room.height_mm)
    if text:
        wide = text_width_mm(text, face, 1.0) + 1.25
        cap = min(cap, 0.94 * room.width_mm / wide)
    x, y = room.centre
    if text and cap >= style.least_cap_mm:
        width = text_width_mm(text, face, cap)
        whole = width + 1.25 * cap
        if ground:
            half = whole / 2 + 0.2 * cap
            patch = Box(x - half, y - 0.7 * cap, x + half, y + 0.7 * cap)
            picture.primitives.append(rectangle(patch, ground))
        fitted = Fitted((text,), cap, face, width)
        at = Point(x + whole / 2, y)
        picture.primitives += fitted.texts(at, "end", ink)
        x -= whole / 2 - 0.5 * cap
        _note_doubt(picture, face)
    else:
        cap = min(1.8, 0.7 * room.height_mm, 0.8 * room.width_mm)
    picture.primitives += unlike_sign(Point(x, y), cap, ink, style.line_mm)


def _draw_conditions(
    picture: Picture,
    cavity: Cavity,
    frame: Frame,
    spots: dict[str, Spot],
    outline: str,
    style: FigureStyle,
) -> None:
    size = mark_size(frame.half_v)
    for condition, at in condition_places(cavity, frame, spots, outline):
        picture.primitives += condition_mark(
            condition, at, size, style.line_mm, style.least_cap_mm
        )
        picture.marks.add(f"condition {condition.state}")
        mended = condition.stage in ("fitted", "proved")
        if mended:
            picture.marks.add("severity mended")
        elif condition.severity:
            picture.marks.add(f"severity {condition.severity}")
    if cavity.interim is not None:
        picture.primitives += interim_mark(interim_place(cavity, frame), size)
        picture.marks.add("interim")


def obstacles_of(cavity: Cavity, frame: Frame, style: FigureStyle) -> list[Box]:
    """Return the upright boxes that labels keep clear of: the body and its marks."""
    found = [frame.bounds]
    if cavity.off_panel:
        long = Frame(
            frame.x_mm,
            frame.y_mm,
            frame.ux,
            frame.uy,
            frame.vx,
            frame.vy,
            frame.half_u + 3.8,
            0.3 * frame.half_v,
        )
        found.append(long.bounds)
    if style.conditions and (cavity.interim or cavity.conditions):
        outline = outline_of(cavity)
        spots = contact_spots(cavity, outline) if outline != "blank" else {}
        found += mark_boxes(cavity, frame, spots, outline)
    return found
