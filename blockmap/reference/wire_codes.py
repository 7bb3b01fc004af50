"""Holds the published letter codes for wire colours, one table for each code.

The same letters mean different colours in different codes, so no table is merged
with another. Rows that no document confirmed are listed in `FROM_MEMORY`. The RGB
values are this program's own choice: no standard read gives any.
"""

from __future__ import annotations

from collections.abc import Mapping

__all__ = [
    "CODES",
    "FROM_MEMORY",
    "GERMAN",
    "IEC_60757",
    "LOOSE_LETTERS",
    "NORTH_AMERICAN",
    "RGB",
    "TABLES",
    "WORD_ALIASES",
]

CODES = ("words", "north american", "iec 60757", "german")

RGB: Mapping[str, str] = {
    "black": "#1c1c1c",
    "white": "#f7f7f5",
    "red": "#d2202c",
    "blue": "#1f5fc4",
    "dark blue": "#16306e",
    "light blue": "#7fb8e8",
    "green": "#1f9145",
    "dark green": "#0f5a2e",
    "light green": "#8fd08a",
    "yellow": "#f6d21c",
    "orange": "#f07d12",
    "brown": "#7a4a21",
    "dark brown": "#4e2d12",
    "light brown": "#b07a45",
    "grey": "#8c8f94",
    "dark grey": "#55585d",
    "light grey": "#c3c6ca",
    "violet": "#7b3fa0",
    "lilac": "#b79ad6",
    "pink": "#f19ab5",
    "tan": "#d2b48c",
    "turquoise": "#27b5b0",
    "natural": "#efe9d8",
    "silver": "#b9bcc0",
    "gold": "#c29b2f",
}
"""Ink for each colour word, chosen here: IEC 60757 sets no colour values."""

WORD_ALIASES: Mapping[str, str] = {
    "gray": "grey",
    "slate": "grey",
    "dark gray": "dark grey",
    "light gray": "light grey",
    "purple": "violet",
    "beige": "tan",
    "rose": "pink",
    "sky blue": "light blue",
    "navy": "dark blue",
    "navy blue": "dark blue",
    "aqua": "turquoise",
    "clear": "natural",
    "transparent": "natural",
}

# Technician course on service manuals; TAN, NAT, GRA, CLR, VLT and VIO from memory.
NORTH_AMERICAN: Mapping[str, str] = {
    "BLK": "black",
    "WHT": "white",
    "RED": "red",
    "BLU": "blue",
    "GRN": "green",
    "YEL": "yellow",
    "ORN": "orange",
    "PNK": "pink",
    "BRN": "brown",
    "GRY": "grey",
    "PPL": "violet",
    "TAN": "tan",
    "NAT": "natural",
    "BL": "blue",
    "GN": "green",
    "YL": "yellow",
    "ORG": "orange",
    "BN": "brown",
    "GRA": "grey",
    "PUR": "violet",
    "CLR": "natural",
    "VLT": "violet",
    "VIO": "violet",
}

# GOST 28763-90, which is IEC 757-83, in the order of its table.
IEC_60757: Mapping[str, str] = {
    "BK": "black",
    "BN": "brown",
    "RD": "red",
    "OG": "orange",
    "YE": "yellow",
    "GN": "green",
    "BU": "blue",
    "VT": "violet",
    "GY": "grey",
    "WH": "white",
    "PK": "pink",
    "GD": "gold",
    "TQ": "turquoise",
    "SR": "silver",
}

# Pages on DIN 72551 and DIN 47002; VI, RS, TK and OR from memory.
GERMAN: Mapping[str, str] = {
    "SW": "black",
    "WS": "white",
    "RT": "red",
    "RO": "red",
    "BR": "brown",
    "GN": "green",
    "GE": "yellow",
    "GR": "grey",
    "HB": "light blue",
    "BL": "blue",
    "LI": "lilac",
    "VI": "violet",
    "RS": "pink",
    "TK": "turquoise",
    "OR": "orange",
}

TABLES: Mapping[str, Mapping[str, str]] = {
    "words": {},
    "north american": NORTH_AMERICAN,
    "iec 60757": IEC_60757,
    "german": GERMAN,
}

FROM_MEMORY: Mapping[str, frozenset[str]] = {
    "north american": frozenset({"TAN", "NAT", "GRA", "CLR", "VLT", "VIO"}),
    "iec 60757": frozenset(),
    "german": frozenset({"VI", "RS", "TK", "OR"}),
}

# One and two letters of makers' manuals (four manuals of 1982, 1994, 1995, 2002).
# They form no code: each manual has its own list, so several meanings may stand.
# Meanings marked below as heard of are from memory and only ever lead to a refusal.
LOOSE_LETTERS: Mapping[str, tuple[str, ...]] = {
    "B": ("black", "blue"),  # black in two manuals; blue heard of
    "BK": ("black",),
    "BL": ("blue", "black"),  # blue in three manuals; black heard of
    "BN": ("brown",),
    "BR": ("brown",),
    "DB": ("dark blue",),
    "DG": ("dark green",),
    "DL": ("dark blue",),
    "G": ("green", "grey"),  # green in two manuals; grey heard of
    "GN": ("green",),
    "GR": ("green", "grey"),
    "GY": ("grey",),
    "L": ("blue", "lilac"),  # blue in one manual; lilac heard of
    "LB": ("light blue",),
    "LBL": ("light blue",),
    "LG": ("light green",),
    "N": ("natural",),
    "O": ("orange",),
    "OR": ("orange",),
    "P": ("violet", "pink"),
    "PK": ("pink",),
    "PU": ("violet",),
    "R": ("red",),
    "SB": ("black", "light blue"),
    "T": ("tan",),
    "V": ("violet",),
    "VO": ("violet",),
    "W": ("white",),
    "Y": ("yellow",),
}
