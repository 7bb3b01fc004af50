"""The figure of a whole block: labels, key, strips, headings, and any map at all."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings

from blockmap.drawing.figure import (
    FigureStyle,
    block_primitives,
    cavity_primitives,
    figure_bounds,
    figure_key,
    figure_primitives,
    layout_labels,
    strip_pictures,
    view_heading,
)
from blockmap.drawing.frame import frame_of
from blockmap.drawing.key import KEY_BOX
from blockmap.drawing.primitives import (
    Path,
    Text,
    bounds_of_primitives,
    mapped,
    text_box,
)
from blockmap.drawing.strips import contact_place, landing_box
from blockmap.model.document import Block, Map, Strip
from blockmap.model.geometry import Box, Point, View, bounds_of
from tests.strategies import maps


def style_of(
    document: Map, view: View = View.FRONT, least_cap_mm: float = 1.0
) -> FigureStyle:
    return FigureStyle(document.blocks["P"].size, view, least_cap_mm)


@pytest.mark.parametrize("view", list(View))
@pytest.mark.parametrize("least", [0.8, 1.5, 2.5, 4.0])
def test_labels_lie_over_no_body_no_mark_and_no_other_label(
    worn_panel: Map, view: View, least: float
) -> None:
    style = style_of(worn_panel, view, least)
    labels = layout_labels(worn_panel, "P", style)
    rings = [
        landing_box(strip) for strip in strip_pictures(worn_panel, "P", style).values()
    ]
    for key, label in labels.items():
        texts = [item for item in label.primitives if isinstance(item, Text)]
        for text in texts:
            box = text_box(text).grown(-0.01)
            assert not any(ring and box.meets(ring) for ring in rings), key
            for other in worn_panel.cavities.values():
                if label.side == "on" and other.id == key:
                    continue
                for item in cavity_primitives(other, style):
                    drawn = bounds_of_primitives([item])
                    assert drawn
                    assert not box.meets(drawn), (key, other.id, item)
            for second, place in labels.items():
                assert second == key or not box.meets(place.box), (key, second)


@pytest.mark.parametrize("view", list(View))
@pytest.mark.parametrize("least", [1.0, 2.5])
def test_labels_do_not_run_over_the_outline(
    panel: Map, view: View, least: float
) -> None:
    # A panel cut close to its outer bodies.
    cut = (Point(8, 3), Point(133, 3), Point(133, 104), Point(8, 104))
    block = replace(panel.blocks["P"], outline=cut)
    tight = replace(panel, blocks={"P": block})
    style = style_of(tight, view, least)
    inside = view.apply_box(Box(8, 3, 133, 104), style.size).grown(1e-6)
    labels = layout_labels(tight, "P", style)
    assert len(labels) > 20
    for key, label in labels.items():
        assert inside.union(label.box) == inside, key


def test_every_place_of_the_panel_is_named_at_a_usual_zoom(worn_panel: Map) -> None:
    labels = layout_labels(worn_panel, "P", style_of(worn_panel))
    assert set(labels) == set(worn_panel.cavities)
    for key, label in labels.items():
        words = [item.text for item in label.primitives if isinstance(item, Text)]
        assert words[0] == worn_panel.cavities[key].own


def test_a_designation_is_kept_when_the_legend_has_no_room(panel: Map) -> None:
    near = layout_labels(panel, "P", style_of(panel, least_cap_mm=1.2))
    far = layout_labels(panel, "P", style_of(panel, least_cap_mm=3.2))

    def words(labels: dict[str, object]) -> int:
        return sum(
            isinstance(item, Text)
            for label in labels.values()
            for item in label.primitives  # type: ignore[attr-defined]
        )

    assert len(far) == len(panel.cavities)
    assert words(dict(far)) < words(dict(near))


@pytest.mark.parametrize("least", [0.5, 1.0, 2.0, 5.0, 30.0])
def test_no_text_is_smaller_than_can_be_read(worn_panel: Map, least: float) -> None:
    drawn = figure_primitives(worn_panel, "P", style_of(worn_panel, least_cap_mm=least))
    for item in drawn:
        if isinstance(item, Text):
            assert item.cap_mm >= least - 1e-9, item


def test_text_is_upright_in_every_view(worn_panel: Map) -> None:
    for view in View:
        for item in figure_primitives(worn_panel, "P", style_of(worn_panel, view)):
            assert not isinstance(item, Text) or item.turn_deg == 0.0


def test_what_must_not_be_used_says_so_in_words(worn_panel: Map) -> None:
    label = layout_labels(worn_panel, "P", style_of(worn_panel))["P/F11"]
    words = [item.text for item in label.primitives if isinstance(item, Text)]
    assert "do not use" in " ".join(words)


def test_the_key_holds_the_marks_used_and_no_other(panel: Map, worn_panel: Map) -> None:
    sound = {entry.mark for entry in figure_key(panel, "P", style_of(panel))}
    worn = {entry.mark for entry in figure_key(worn_panel, "P", style_of(worn_panel))}
    assert worn - sound == {
        "feed not seen",
        "not seen",
        "rating unknown",
        "fitted unlike",
        "do not use",
        "interim",
        "strip",
        "jumper",
        "landing",
        "condition spread",
        "condition corroded",
        "condition heat-marked",
        "condition annealed",
        "severity 1",
        "severity 2",
        "severity 3",
    }
    assert "feed" in sound
    assert "body glass" not in worn
    plain = replace(style_of(worn_panel), conditions=False, strips=False)
    quiet = {entry.mark for entry in figure_key(worn_panel, "P", plain)}
    assert not {mark for mark in quiet if mark.startswith(("condition", "severity"))}
    assert not quiet & {"strip", "jumper", "landing", "interim"}


def test_every_sample_of_the_key_lies_in_its_box(worn_panel: Map) -> None:
    room = Box(0, 0, KEY_BOX.width_mm, KEY_BOX.height_mm).grown(1e-6)
    for entry in figure_key(worn_panel, "P", style_of(worn_panel)):
        box = bounds_of_primitives(entry.primitives)
        assert box, entry.mark
        assert room.union(box) == room, entry.mark
        assert entry.words


@pytest.mark.parametrize("view", list(View))
def test_strips_join_their_contacts_alike_in_every_view(
    worn_panel: Map, view: View
) -> None:
    style = style_of(worn_panel, view)
    front = strip_pictures(worn_panel, "P", style_of(worn_panel))
    seen = strip_pictures(worn_panel, "P", style)
    for key, picture in seen.items():
        back = mapped(picture.under, lambda p: view.apply(p, style.size))
        for here, there in zip(back, front[key].under, strict=True):
            assert isinstance(here, Path)
            assert isinstance(there, Path)
            for a, b in zip(here.points, there.points, strict=True):
                assert a == pytest.approx(b)
    f4, f5 = (worn_panel.cavities[f"P/{name}"] for name in ("F4", "F5"))
    (route,) = seen["P/acc"].routes
    ends = sorted((route[0], route[-1]))
    wished = sorted(contact_place(cavity, "feed", style) for cavity in (f4, f5))
    for end, contact in zip(ends, wished, strict=True):
        assert end == pytest.approx(contact)
    # The line goes round the bodies: its middle leg lies over neither.
    for cavity in (f4, f5):
        middle = bounds_of_primitives([Path(route[1:-1], closed=False)])
        assert middle
        assert not middle.grown(0.2).meets(frame_of(cavity, style).bounds)


def test_jumpers_are_dashed_and_metal_is_not(worn_panel: Map) -> None:
    pictures = strip_pictures(worn_panel, "P", style_of(worn_panel))
    lines = [item for item in pictures["P/bat"].under if isinstance(item, Path)]
    assert sorted(bool(line.dash_mm) for line in lines) == [False, False, True, True]


def test_mirrored_views_have_a_double_outline_and_a_name(panel: Map) -> None:
    outlines = {
        view: len(block_primitives(panel, "P", style_of(panel, view))) for view in View
    }
    assert outlines == {View.FRONT: 1, View.REAR: 2, View.FLIPPED: 2, View.TURNED: 1}
    assert len({view_heading(view) for view in View}) == 4
    assert view_heading(View.REAR) == "Rear view: mirrored"
    for view in View:  # a figure that lies the other way round is seen from behind
        side = "Rear view" if view.mirrored else "Front view"
        assert view_heading(view).startswith(side)


def test_a_connector_says_which_face_is_seen() -> None:
    plug = Block(
        id="C", kind="connector", width_mm=30.0, height_mm=20.0, face="mating face"
    )
    assert view_heading(View.FRONT, plug) == "Seen from the mating face"
    assert view_heading(View.REAR, plug) == "Seen from the wire side: mirrored"
    flipped, turned = view_heading(View.FLIPPED, plug), view_heading(View.TURNED, plug)
    assert flipped == "Seen from the wire side: flipped top to bottom"
    assert turned == "Seen from the mating face: turned 180 degrees"


@settings(deadline=None, suppress_health_check=list(HealthCheck), max_examples=40)
@given(maps())
def test_any_map_is_drawn(document: Map) -> None:
    for block, part in document.blocks.items():
        for view in (View.FRONT, View.REAR):
            style = FigureStyle(part.size, view, least_cap_mm=1.0)
            for item in figure_primitives(document, block, style):
                assert not isinstance(item, Text) or item.cap_mm >= 1.0 - 1e-9
            assert figure_bounds(document, block, style)
            figure_key(document, block, style)


def landed(worn_panel: Map, lands: str, lands_at: str = "") -> Map:
    """Return the panel with the feeds of F1 to F4 on one strip, fed as said."""
    strip = Strip(
        id="P/x",
        block="P",
        members=("F1.feed", "F2.feed", "F3.feed", "F4.feed"),
        lands=lands,
        lands_at=lands_at,
    )
    return replace(worn_panel, strips={"P/x": strip})


@pytest.mark.parametrize(
    ("lands", "near", "mark"),
    [
        ("end", "", "landing on metal"),
        ("end", "F4.feed", "landing on metal"),
        ("middle", "", "landing on metal"),
        ("hidden at the rear", "", "landing hidden"),
        ("hidden at the rear", "F2.feed", "landing hidden"),
    ],
)
def test_a_landing_off_the_contacts_is_drawn_and_told_otherwise(
    worn_panel: Map, lands: str, near: str, mark: str
) -> None:
    document = landed(worn_panel, lands, near)
    for view in View:
        style = style_of(document, view)
        keys = {entry.mark: entry for entry in figure_key(document, "P", style)}
        assert mark in keys
        assert "landing" not in keys
        picture = strip_pictures(document, "P", style)["P/x"]
        box = landing_box(picture)
        assert box is not None
        drawn = [
            item for item in picture.over if isinstance(item, Path) and item.closed
        ]
        assert drawn
        assert all(bounds_of(item.points).meets(box) for item in drawn)
        assert any(item.dash_mm for item in drawn) == (mark == "landing hidden")


def test_a_landing_in_the_middle_lies_between_the_halves(worn_panel: Map) -> None:
    document = landed(worn_panel, "middle")
    style = style_of(document)
    box = landing_box(strip_pictures(document, "P", style)["P/x"])
    assert box is not None
    spots = [contact_place(document.cavities[f"P/F{n}"], "feed", style) for n in (2, 3)]
    between = bounds_of(spots).grown(6.0)
    assert between.meets(box)


@pytest.mark.parametrize("near", ["F1.feed", "F4.feed"])
def test_a_landing_at_an_end_lies_beyond_it(panel: Map, near: str) -> None:
    document = landed(panel, "end", near)
    # In one row, so that outwards is to the left or to the right.
    row = {
        f"P/F{n}": replace(document.cavities["P/F1"], id=f"P/F{n}", x_mm=20.0 * n)
        for n in (1, 2, 3, 4)
    }
    document = replace(document, cavities=row)
    style = style_of(document)
    box = landing_box(strip_pictures(document, "P", style)["P/x"])
    assert box is not None
    middle = (box.left_mm + box.right_mm) / 2
    assert middle < 20.0 if near == "F1.feed" else middle > 80.0
