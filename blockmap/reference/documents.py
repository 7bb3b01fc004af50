"""Names the documents that the reference tables were read in.

Documents are described, not advertised: where a title or an address would carry a
maker's name the description stands alone.
"""

from __future__ import annotations

from blockmap.reference.sources import Source

ENCYCLOPEDIA_FUSES = Source(
    "Encyclopedia text of 2007 on automotive fuses: blade sizes, ceramic fuse colours"
)
TRADE_ARTICLE_MAXI = Source("Trade article, medium and maxi blade sizes and colours")
BLADE_COLOUR_GUIDE = Source("Selection guide, medium blade fuse colours by rating")
GLASS_BY_RATING = Source("Maker datasheet, glass fuses whose length tells the rating")
GLASS_SIZES = Source(
    "Reference page on glass fuses, diameter and length of the AG family"
)
MEDIUM_MAXI_DATASHEETS = Source("Maker datasheets, medium and maxi blade fuse")
MEDIUM_DATASHEET = Source("Maker datasheet, medium blade fuse")
MINI_DATASHEET = Source("Maker datasheet, mini blade fuse, 32 V")
MEDIUM_COLOUR_ROWS = Source("Maker datasheet, medium blade fuse, colour column")
MINI_READINGS = Source("Trade journal of 2017, readings on mini blade fuses")
RELAY_TERMINALS = Source("Trade article on relay terminals, layouts and tab widths")
RELAY_RATINGS = Source("Trade article on relay ratings and coil current")

AWG_FORMULA = Source("Reference page, diameter formula of the American wire gauge")

IEC_60757 = Source("GOST 28763-90, which is IEC 757-83, table of letter codes")
THREE_LETTER_COURSE = Source("Technician course, wire colours in service manuals")
GERMAN_COLOURS_A = Source("Page on DIN 72551 wire colours and their uses")
GERMAN_COLOURS_B = Source("Second page on German wire colours and their uses")
GERMAN_COLOURS_C = Source("Mailing list, DIN wire colours in English")
