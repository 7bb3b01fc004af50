"""A body is drawn in its true proportion and told apart by outline and word."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockmap.drawing.bodies import build_body, outline_of
from blockmap.drawing.figure import FigureStyle, cavity_primitives
from blockmap.drawing.frame import frame_of
from blockmap.drawing.primitives import (
    Ellipse,
    Path,
    Primitive,
    Text,
    bounds_of_primitives,
    mapped,
    text_box,
)
from blockmap.model.document import Cavity, Condition, Contact, Evidence
from blockmap.model.geometry import Box, Point, Size, View
from blockmap.reference.forms import FORMS, Form

SIZE = Size(120.0, 80.0)
FRONT = FigureStyle(SIZE)
# Sources: encyclopedia text of 2007 and maker datasheets for the blades (19.1 x 5.1,
# 10.9 x 3.6, 29.2 x 8.5 mm); reference page on glass sizes, 1/4 in by 1-1/4 in;
# the same encyclopedia text for the ceramic body of DIN 72581-1, 25 x 6 mm.
PUBLISHED = {
    "medium blade": (19.1, 5.1),
    "mini blade": (10.9, 3.6),
    "maxi blade": (29.2, 8.5),
    "glass 6.3 x 32": (1.25 * 25.4, 0.25 * 25.4),
    "ceramic 6 x 25": (25.0, 6.0),
}


def a_cavity(form: Form, **changed: object) -> Cavity:
    plain = Cavity(
        id="P/1",
        block="P",
        kind=form.kind,
        own="1",
        x_mm=50.0,
        y_mm=30.0,
        width_mm=form.length_mm,
        height_mm=form.width_mm,
        form=form.name,
        feed_end="start",
        rating_a=10.0,
        evidence={
            key: Evidence(how="seen") for key in ("rating_a", "feed_end", "fitted_a")
        },
    )
    return replace(plain, **changed)  # type: ignore[arg-type]


def body_bounds(cavity: Cavity, style: FigureStyle) -> Box:
    body = build_body(outline_of(cavity), frame_of(cavity, style), "body", 0.2)
    box = bounds_of_primitives(body.primitives)
    assert box
    return box


@pytest.mark.parametrize("name", PUBLISHED)
def test_an_outline_has_the_published_size(name: str) -> None:
    lying = body_bounds(a_cavity(FORMS[name]), FRONT)
    assert (lying.width_mm, lying.height_mm) == pytest.approx(PUBLISHED[name])
    standing = body_bounds(a_cavity(FORMS[name], turn_deg=90.0), FRONT)
    assert (standing.height_mm, standing.width_mm) == pytest.approx(PUBLISHED[name])


@pytest.mark.parametrize("view", list(View))
@pytest.mark.parametrize("form", FORMS.values(), ids=lambda f: f.name)
def test_every_outline_fills_its_cavity(form: Form, view: View) -> None:
    cavity = a_cavity(form, turn_deg=270.0)
    seen = view.apply_box(cavity.bounds, SIZE)
    assert body_bounds(cavity, FigureStyle(SIZE, view)) == pytest.approx(seen)


@given(
    st.sampled_from(list(FORMS.values())),
    st.floats(1, 500),
    st.floats(1, 500),
    st.sampled_from([0.0, 90.0, 180.0]),
)
def test_an_outline_fills_a_cavity_of_any_size(
    form: Form, length: float, breadth: float, turn: float
) -> None:
    cavity = a_cavity(form, width_mm=length, height_mm=breadth, turn_deg=turn)
    assert body_bounds(cavity, FRONT) == pytest.approx(cavity.bounds)


def words_on(primitives: tuple[Primitive, ...]) -> list[str]:
    return [item.text for item in primitives if isinstance(item, Text)]


def test_kinds_are_told_by_word_and_by_outline() -> None:
    shapes: dict[str, str] = {}
    for name, word in (
        ("blade breaker", "breaker"),
        ("flasher 2-pin", "flasher"),
        ("relay 4-pin", "relay"),
        ("tab 6.3", "tab"),
        ("fusible link", "link"),
        ("blank", "blank"),
    ):
        cavity = a_cavity(FORMS[name])
        style = FigureStyle(SIZE, least_cap_mm=0.8)
        assert word in words_on(cavity_primitives(cavity, style)), name
        # The same size for all: what is left is the outline.
        square = replace(cavity, width_mm=20.0, height_mm=20.0)
        body = build_body(outline_of(square), frame_of(square, style), "body", 0.2)
        shapes[repr(body.primitives)] = name
    assert len(shapes) == 6


def test_relay_contacts_carry_their_numbers() -> None:
    words = words_on(cavity_primitives(a_cavity(FORMS["relay 5-pin"]), FRONT))
    assert {"30", "87", "87a", "85", "86"} <= set(words)


def test_rating_is_the_figure_on_the_body() -> None:
    cavity = a_cavity(FORMS["medium blade"], rating_a=7.5)
    assert "7.5" in words_on(cavity_primitives(cavity, FRONT))
    unknown = cavity_primitives(replace(cavity, rating_a=None), FRONT)
    assert "?" in words_on(unknown)
    guessed = cavity_primitives(replace(cavity, evidence={}), FRONT)
    (shown,) = (item for item in guessed if isinstance(item, Text))
    assert (shown.text, shown.face.value) == ("7.5?", "italic")


def test_a_fitted_fuse_unlike_the_specified_is_seen_even_without_room() -> None:
    cavity = a_cavity(FORMS["medium blade"], fitted_a=20.0)
    assert {"10", "20"} <= set(words_on(cavity_primitives(cavity, FRONT)))
    far = FigureStyle(SIZE, least_cap_mm=9.0)
    same = cavity_primitives(replace(cavity, fitted_a=10.0), far)
    other = cavity_primitives(cavity, far)
    assert words_on(other) == []
    assert len(other) > len(same)


@pytest.mark.parametrize("severity", [1, 2, 3])
def test_severity_is_told_by_the_frame_alone(severity: int) -> None:
    bad = Contact(condition=Condition(state="spread", severity=severity))
    cavity = a_cavity(FORMS["medium blade"], contacts={"load": bad})
    drawn = cavity_primitives(cavity, FRONT)
    frames = [
        item.width_mm
        for item in drawn
        if isinstance(item, Path) and item.fill == "paper" and item.stroke
    ]
    crossing = [
        item
        for item in drawn
        if isinstance(item, Path) and len(item.points) == 2 and item.stroke == "stop"
    ]
    assert (frames[-1] > 0.3) == (severity > 1)
    # Two lines over the frame and two over the whole cavity.
    assert len(crossing) == (4 if severity == 3 else 0)
    assert "S" in words_on(drawn)


VIEWS = [View.REAR, View.FLIPPED, View.TURNED]


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("turn_deg", [0.0, 90.0, 30.0])
@pytest.mark.parametrize("form", FORMS.values(), ids=lambda f: f.name)
def test_a_view_seen_in_the_same_view_again_is_the_front(
    form: Form, view: View, turn_deg: float
) -> None:
    bad = Contact(condition=Condition(state="spread", severity=3))
    # Next to the contacts of a box the marks stand as text does, upright.
    marked = () if form.outline == "box" else form.contact_names[:1]
    contacts = dict.fromkeys(marked, bad)
    cavity = a_cavity(form, turn_deg=turn_deg, contacts=contacts)
    style = FigureStyle(SIZE, view)
    again = mapped(cavity_primitives(cavity, style), lambda p: view.apply(p, SIZE))
    front = cavity_primitives(cavity, FRONT)
    assert _shapes(again) == _shapes(front)


def _shapes(primitives: tuple[Primitive, ...]) -> list[tuple[object, ...]]:
    """Return every shape but text and the grounds laid under text.

    The corners of upright frames and the two lines of a cross run the other way round
    after mirroring; sorting forgives that.
    """
    found: list[tuple[object, ...]] = []
    for item in primitives:
        if isinstance(item, Path) and item.stroke:
            corners = sorted(map(_settled, item.points))
            found.append((*corners, item.fill, item.stroke, item.width_mm))
        elif isinstance(item, Ellipse):
            place = _settled(item.centre)
            found.append((place, item.rx_mm, item.ry_mm, item.fill))
    return sorted(found, key=repr)


def _settled(point: Point) -> tuple[float, float]:
    """Return the point to a thousandth; the odd shift keeps halves off the edge."""
    return round(point.x_mm + 1.37e-5, 3), round(point.y_mm + 1.37e-5, 3)


def triangle(primitives: tuple[Primitive, ...]) -> Path:
    (mark,) = (
        item
        for item in primitives
        if isinstance(item, Path) and item.closed and len(item.points) == 3
    )
    return mark


@pytest.mark.parametrize(
    ("feed_end", "in_front", "in_rear"),
    [("start", "left", "right"), ("finish", "right", "left")],
)
def test_the_feed_mark_changes_sides_in_the_rear_view(
    feed_end: str, in_front: str, in_rear: str
) -> None:
    cavity = a_cavity(FORMS["medium blade"], feed_end=feed_end)
    for style, side in ((FRONT, in_front), (FigureStyle(SIZE, View.REAR), in_rear)):
        centre = frame_of(cavity, style)
        base_a, base_b, tip = triangle(cavity_primitives(cavity, style)).points
        assert base_a.x_mm == base_b.x_mm
        assert (base_a.x_mm < centre.x_mm) == (side == "left")
        # The tip points into the cavity.
        assert abs(tip.x_mm - centre.x_mm) < abs(base_a.x_mm - centre.x_mm)


def test_a_feed_end_nobody_saw_has_a_hollow_mark_and_an_unknown_one_none() -> None:
    cavity = a_cavity(FORMS["medium blade"])
    assert triangle(cavity_primitives(cavity, FRONT)).fill
    unseen = replace(cavity, evidence={})
    assert not triangle(cavity_primitives(unseen, FRONT)).fill
    unknown = cavity_primitives(replace(cavity, feed_end="unknown"), FRONT)
    assert not [i for i in unknown if isinstance(i, Path) and len(i.points) == 3]


@pytest.mark.parametrize("view", list(View))
@pytest.mark.parametrize("turn_deg", [0.0, 90.0])
@pytest.mark.parametrize("form", FORMS.values(), ids=lambda f: f.name)
@pytest.mark.parametrize("fitted_a", [10.0, 20.0])
def test_no_text_lies_on_a_contact(
    form: Form, view: View, turn_deg: float, fitted_a: float
) -> None:
    cavity = a_cavity(form, turn_deg=turn_deg, fitted_a=fitted_a)
    style = FigureStyle(SIZE, view, least_cap_mm=0.3)
    drawn = cavity_primitives(cavity, style)
    contacts = [
        box
        for item in drawn
        if not isinstance(item, Text) and item.fill == "metal"
        if (box := bounds_of_primitives([item]))
    ]
    assert contacts or not form.contact_names or form.outline in ("glass", "ceramic")
    for item in drawn:
        if isinstance(item, Text):
            box = text_box(item).grown(-0.02)
            assert not any(box.meets(contact) for contact in contacts), item.text
            assert cavity_holds(box, frame_of(cavity, style).bounds), item.text


@pytest.mark.parametrize("view", list(View))
@pytest.mark.parametrize("turn_deg", [0.0, 90.0, 180.0, 270.0])
@pytest.mark.parametrize("name", [f.name for f in FORMS.values() if f.outline == "box"])
@pytest.mark.parametrize("rating_a", [None, 30.0])
def test_word_and_numbers_of_a_relay_stand_clear_of_each_other(
    name: str, view: View, turn_deg: float, rating_a: float | None
) -> None:
    cavity = a_cavity(FORMS[name], turn_deg=turn_deg, rating_a=rating_a)
    drawn = cavity_primitives(cavity, FigureStyle(SIZE, view, least_cap_mm=0.3))
    texts = [item for item in drawn if isinstance(item, Text)]
    numbers = {n for n in FORMS[name].contact_names if n.rstrip("a").isdecimal()}
    assert {text.text for text in texts} >= numbers
    boxes = [text_box(text) for text in texts]
    for at, box in enumerate(boxes):
        meeting = [texts[n].text for n in range(at) if boxes[n].meets(box)]
        assert not meeting, (texts[at].text, meeting)


def cavity_holds(inner: Box, outer: Box) -> bool:
    return outer.union(inner) == outer


@pytest.mark.parametrize("view", list(View))
@pytest.mark.parametrize("turn_deg", [0.0, 90.0])
@pytest.mark.parametrize("name", ["relay 4-pin", "relay 5-pin", "flasher 3-pin"])
def test_marks_inside_a_box_lie_on_no_name_and_no_contact(
    name: str, view: View, turn_deg: float
) -> None:
    form = FORMS[name]
    bad = Contact(condition=Condition(state="corroded", severity=2))
    cavity = a_cavity(
        form, turn_deg=turn_deg, contacts=dict.fromkeys(form.contact_names, bad)
    )
    drawn = cavity_primitives(cavity, FigureStyle(SIZE, view))
    boxes: dict[str, list[Box]] = {"paper": [], "metal": [], "word": []}
    for item in drawn:
        box = bounds_of_primitives([item])
        assert box
        if isinstance(item, Text):
            if item.text != "C":
                boxes["word"].append(box)
        elif item.fill in boxes:
            boxes[item.fill].append(box)
    assert len(boxes["paper"]) == len(form.contact_names)
    for mark in boxes["paper"]:
        assert not any(mark.meets(box) for box in boxes["metal"] + boxes["word"])
