"""The shipped icons and fonts are usable and each says where it comes from."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree

import pytest
from fontTools.ttLib import TTFont

from blockmap.resources import asset

_SVG = "{http://www.w3.org/2000/svg}"


def _listed_icons() -> dict[str, str]:
    lines = asset("icons/SOURCES.txt").read_text(encoding="utf-8").splitlines()
    words = [line.split() for line in lines]
    return {pair[0]: pair[1] for pair in words if pair and pair[0].endswith(".svg")}


def test_every_icon_says_where_it_comes_from() -> None:
    shipped = {path.name for path in asset("icons").glob("*.svg")}
    assert shipped == set(_listed_icons())
    assert "ISC License" in asset("icons/LICENSE.txt").read_text(encoding="utf-8")


def test_icons_take_the_colour_of_the_text() -> None:
    for name in _listed_icons():
        root = ElementTree.parse(asset(f"icons/{name}")).getroot()
        assert root.tag == f"{_SVG}svg", name
        assert root.get("viewBox"), name
        if name != "blockmap.svg":
            assert root.get("stroke") == "currentColor", name
            assert root.get("viewBox") == "0 0 24 24", name


@pytest.mark.parametrize(
    "name",
    [
        "IBMPlexSansCondensed-Regular.ttf",
        "IBMPlexSansCondensed-Medium.ttf",
        "IBMPlexSansCondensed-SemiBold.ttf",
        "IBMPlexSansCondensed-Italic.ttf",
        "DejaVuSansCondensed.ttf",
        "DejaVuSansCondensed-Bold.ttf",
    ],
)
def test_fonts_can_go_into_a_pdf_and_have_the_marks_of_the_trade(name: str) -> None:
    font = TTFont(asset(f"fonts/{name}"), lazy=True)
    try:
        # The PDF writer takes outlines of the TrueType kind only.
        assert "glyf" in font
        # U+2126 is the ohm sign that both families have.
        wanted = set("0O1lI?²×·–°±µ½¼äöüßéñ→←↑↓≥≤✓\u2126")
        lacking = wanted - {chr(code) for code in font.getBestCmap()}
        assert lacking <= {"✓"}
        assert font["OS/2"].fsType == 0, "embedding must be free"
    finally:
        font.close()


def test_fonts_carry_their_licences() -> None:
    for name, words in (
        ("IBMPlexSansCondensed-LICENSE.txt", "SIL Open Font License"),
        ("DejaVuSansCondensed-LICENSE.txt", "Bitstream Vera"),
    ):
        assert words in asset(f"fonts/{name}").read_text(encoding="utf-8")
