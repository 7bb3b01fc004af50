"""The inks and papers of a figure: light and dark for the screen, one for print.

A primitive names its colours; a palette says what the names look like. No fact is
told by colour alone. Body tints keep the hue of the standard body colours in every
palette and have their own figure ink, so that a rating stays readable on them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from blockmap.reference.fuse_colours import BODY_RGB, text_on

__all__ = [
    "DARK",
    "LIGHT",
    "PRINT",
    "TEXT_PAIRS",
    "Palette",
    "body_name",
    "body_text_name",
]


def body_name(colour_word: str) -> str:
    """Return the palette's name for the tint of a body colour word, such as 'red'."""
    return f"{colour_word} body"


def body_text_name(colour_word: str) -> str:
    """Return the palette's name for the ink of a figure on that tint."""
    return f"{colour_word} figure"


@dataclass(frozen=True, slots=True)
class Palette:
    """Named colours, each '#rrggbb'."""

    name: str
    colours: Mapping[str, str]

    def resolve(self, colour: str) -> str:
        """Return '#rrggbb' for a name or a literal colour.

        Raises KeyError for a name that the palette has not.
        """
        return colour if colour[:1] == "#" else self.colours[colour]


TEXT_PAIRS: tuple[tuple[str, str], ...] = (
    ("ink", "paper"),
    ("ink", "rear"),
    ("ink", "block"),
    ("ink", "rear block"),
    ("ink", "body"),
    ("ink", "cap"),
    ("faint ink", "paper"),
    ("faint ink", "rear"),
    ("faint ink", "block"),
    ("faint ink", "rear block"),
    ("select ink", "select"),
    ("watch", "paper"),
    ("repair", "paper"),
    ("stop", "paper"),
    ("error", "paper"),
    ("advice", "paper"),
    ("information", "paper"),
    ("sound", "paper"),
    *((body_text_name(word), body_name(word)) for word in BODY_RGB),
)
"""Which inks write on which grounds: each pair holds at least 4.5:1."""


def _mixed(rgb: str, other: str, share: float) -> str:
    """Return rgb with this share of another colour mixed in."""
    parts = (
        round(
            int(rgb[at : at + 2], 16) * (1 - share)
            + int(other[at : at + 2], 16) * share
        )
        for at in (1, 3, 5)
    )
    return "#" + "".join(f"{part:02x}" for part in parts)


def _bodies(towards: str, share: float) -> dict[str, str]:
    found: dict[str, str] = {}
    for word, rgb in BODY_RGB.items():
        tint = _mixed(rgb, towards, share)
        found[body_name(word)] = tint
        found[body_text_name(word)] = text_on(tint)
    return found


def _palette(name: str, towards: str, share: float, **colours: str) -> Palette:
    named = {key.replace("_", " "): value for key, value in colours.items()}
    return Palette(name, MappingProxyType({**named, **_bodies(towards, share)}))


LIGHT = _palette(
    "light",
    "#ffffff",
    0.12,
    ink="#1b1d1f",
    paper="#fdfcf8",
    rear="#eef2f6",
    block="#f4f2ea",
    rear_block="#e3e9ef",
    faint="#a9aaa4",
    faint_ink="#5c5f5c",
    body="#ffffff",
    cap="#d5d6d3",
    metal="#8f9498",
    tint="#eef2f6",
    hover="#d6e6f5",
    select="#0b62c4",
    select_ink="#ffffff",
    strip="#8a5a1e",
    watch="#6b5200",
    repair="#a34300",
    stop="#b3151b",
    error="#b3151b",
    advice="#8a4b00",
    information="#245f9e",
    sound="#1f6b37",
)
"""Ink on paper-white for the screen."""

DARK = _palette(
    "dark",
    "#000000",
    0.14,
    ink="#eceae2",
    paper="#17191b",
    rear="#16202b",
    block="#22252a",
    rear_block="#1f2c3a",
    faint="#63676b",
    faint_ink="#a9adb0",
    body="#33373c",
    cap="#54585c",
    metal="#a2a7ab",
    tint="#16202b",
    hover="#27405c",
    select="#6db3ff",
    select_ink="#0b1016",
    strip="#d19a52",
    watch="#e3c45a",
    repair="#ffa25c",
    stop="#ff8080",
    error="#ff8080",
    advice="#ffb35c",
    information="#8fc1f5",
    sound="#7fd39a",
)
"""Paper and ink reversed; body colours a little dimmed and still told apart."""

PRINT = _palette(
    "print",
    "#ffffff",
    0.45,
    ink="#000000",
    paper="#ffffff",
    rear="#ffffff",
    block="#ffffff",
    rear_block="#ffffff",
    faint="#8c8c8c",
    faint_ink="#4a4a4a",
    body="#ffffff",
    cap="#d9d9d9",
    metal="#7d7d7d",
    tint="#f2f2f2",
    hover="#ffffff",
    select="#000000",
    select_ink="#ffffff",
    strip="#000000",
    watch="#000000",
    repair="#000000",
    stop="#000000",
    error="#000000",
    advice="#000000",
    information="#000000",
    sound="#000000",
)
"""For paper: black ink, light tints, readable when printed in grey."""
