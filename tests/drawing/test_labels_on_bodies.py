"""A place without room beside it is named on its body, clear of what stands there."""

from __future__ import annotations

from dataclasses import replace

import pytest

from blockmap.drawing.bodies import outline_of
from blockmap.drawing.figure import FigureStyle, cavity_primitives, layout_labels
from blockmap.drawing.primitives import Text, text_box
from blockmap.files.map_reader import read_map
from blockmap.model.document import Block, Cavity, Map
from blockmap.model.geometry import Size, View
from blockmap.resources import layout, layout_files

LAYOUTS = tuple(path.name.removesuffix(".blockmap.yaml") for path in layout_files())


def on_paper(size: Size, view: View) -> FigureStyle:
    """Return letters as the work sheets set them: 2 mm, and 1.5 mm at the least."""
    return FigureStyle(size, view, least_cap_mm=1.5, label_cap_mm=2.0)


def shipped(name: str) -> Map:
    path = layout(name)
    return read_map(path.read_bytes(), path.name).document


@pytest.mark.parametrize("view", View)
@pytest.mark.parametrize("name", LAYOUTS)
def test_every_place_of_a_shipped_map_is_named_in_its_figure(
    name: str, view: View
) -> None:
    document = shipped(name)
    for block in document.blocks.values():
        style = on_paper(block.size, view)
        labels = layout_labels(document, block.id, style)
        for cavity in document.cavities_of(block.id):
            said = [p.text for p in labels[cavity.id].primitives if isinstance(p, Text)]
            assert said[0].removesuffix("?") == cavity.designation


def large_bodies(document: Map, block: str) -> list[Cavity]:
    kinds = ("box", "can", "blank")
    return [c for c in document.cavities_of(block) if outline_of(c) in kinds]


@pytest.mark.parametrize("view", View)
def test_a_name_on_a_relay_covers_neither_its_word_nor_its_numbers(view: View) -> None:
    # The relays of this panel stand between its edge and the row of fuses.
    document = shipped("hatchback-right-to-left")
    (block,) = document.blocks.values()
    style = on_paper(block.size, view)
    labels = layout_labels(document, block.id, style)
    on_bodies = 0
    for cavity in large_bodies(document, block.id):
        on_body = [
            text_box(p) for p in cavity_primitives(cavity, style) if isinstance(p, Text)
        ]
        words = [
            text_box(p) for p in labels[cavity.id].primitives if isinstance(p, Text)
        ]
        on_bodies += labels[cavity.id].side == "on"
        assert not any(a.meets(b) for a in on_body for b in words)
    assert on_bodies >= 3


def test_a_row_longer_than_its_body_is_set_in_full_size_where_nothing_is_near() -> None:
    # Above and below are free for one line of 2 mm and not for two.
    fuse = Cavity(
        id="b/F14",
        block="b",
        own="F14",
        x_mm=15,
        y_mm=7,
        width_mm=19.1,
        height_mm=5.1,
        form="medium blade",
        legend="CRANK SIGNAL",
    )
    block = Block(id="b", width_mm=30, height_mm=14)
    document = Map(blocks={"b": block}, cavities={fuse.id: fuse})
    style = replace(on_paper(block.size, View.FRONT), doubt=False)
    label = layout_labels(document, "b", style)[fuse.id]
    texts = [item for item in label.primitives if isinstance(item, Text)]
    assert [text.text for text in texts] == ["F14", "CRANK SIGNAL"]
    assert texts[0].cap_mm == 2.0
    assert label.box.width_mm > 19.1


def test_a_large_body_takes_its_name_rather_than_small_letters_beside_it() -> None:
    # Between relays and fuses of this panel there is room for 1.5 mm, not for 1.6 mm.
    document = shipped("hatchback-right-to-left")
    (block,) = document.blocks.values()
    scale = 1.2
    style = FigureStyle(
        block.size, View.REAR, least_cap_mm=1.5 / scale, label_cap_mm=2.0 / scale
    )
    labels = layout_labels(document, block.id, style)
    for cavity in large_bodies(document, block.id):
        name, *_ = (p for p in labels[cavity.id].primitives if isinstance(p, Text))
        assert name.cap_mm * scale > 1.59
