"""Numbers, lengths and prices as people type them, and as files and screens show them.

Files always use a decimal dot; what a person types may use a comma, a fraction or
inches. A price keeps its currency as it was written; none is converted. Nothing here
rounds a stored value.
"""

from __future__ import annotations

import math
import re
from decimal import Decimal

from blockmap.model.errors import BadValue

__all__ = [
    "MM_PER_INCH",
    "number_text",
    "price_text",
    "read_length_mm",
    "read_number",
    "read_price",
]

MM_PER_INCH = 25.4
"""Exact by definition (international yard and pound agreement, 1959)."""

_PLAIN = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d{1,3})?")
_LENGTH = re.compile(
    r"(?P<number>[^a-zA-Z\"″]+?)\s*(?P<unit>mm|cm|m|in|inch|inches|\"|″)?"
)
_FRACTION = re.compile(
    r"(?P<sign>[+-]?)(?:(?P<whole>\d+)[\s-]+)?(?P<top>\d+)/(?P<bottom>\d+)"
)
_PRICE = re.compile(
    r"(?P<before>[^\d\s.,+-]*)\s*(?P<number>[+-]?[\d.,]+)\s*(?P<after>[^\d.,+-]*)"
)
_UNIT_MM = {
    None: 1.0,
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "in": MM_PER_INCH,
    "inch": MM_PER_INCH,
    "inches": MM_PER_INCH,
    '"': MM_PER_INCH,
    "″": MM_PER_INCH,
}


def read_number(text: str, *, typed: bool = False) -> float:
    """Return the finite number that text says.

    typed allows a decimal comma and fractions such as 1-1/4, as a person types them.
    Raises BadValue.
    """
    cleaned = text.strip()
    if typed:
        fraction = _FRACTION.fullmatch(cleaned)
        if fraction and len(cleaned) <= 20 and int(fraction["bottom"]):
            value = int(fraction["whole"] or 0) + int(fraction["top"]) / int(
                fraction["bottom"]
            )
            return -value if fraction["sign"] == "-" else value
        if cleaned.count(",") == 1 and "." not in cleaned:
            cleaned = cleaned.replace(",", ".")
    if len(cleaned) > 400 or not _PLAIN.fullmatch(cleaned):
        raise BadValue(f"“{_shown(text)}” is not a number; write one such as 7.5")
    value = float(cleaned)
    if not math.isfinite(value):
        raise BadValue(f"“{_shown(text)}” is too large a number")
    return value


def read_length_mm(text: str) -> float:
    """Return a typed length in millimetres: '9.5', '9,5 mm', '3/8 in', '1.2 cm'.

    Raises BadValue.
    """
    match = _LENGTH.fullmatch(text.strip())
    if not match:
        raise BadValue(
            f"“{_shown(text)}” is not a length; write millimetres, or a unit such as "
            "3/8 in"
        )
    value = read_number(match["number"], typed=True) * _UNIT_MM[match["unit"]]
    return round(value, 9)  # 3/8 in is 9.525, without the dust of floating point


def number_text(value: float) -> str:
    """Return the shortest text that reads back as the same number, without exponent.

    Whole numbers carry no decimal point: 20, 7.5, 0.3.
    """
    if value == int(value) and abs(value) < 1e15:
        return str(int(value))
    text = repr(value)
    return format(Decimal(text), "f") if "e" in text else text


def read_price(text: str) -> tuple[float, str]:
    """Return number and currency of a typed price: '12,50 EUR', '£3', '4'.

    The currency is '' where none is written. Raises BadValue.
    """
    match = _PRICE.fullmatch(" ".join(text.split())) if len(text) <= 100 else None
    if match is None or (match["before"] and match["after"]):
        raise BadValue(f"“{_shown(text)}” is no price; write one such as 12.50 EUR")
    currency = (match["before"] or match["after"]).strip()
    return read_number(match["number"], typed=True), currency


def price_text(price: float | None, currency: str) -> str:
    """Return a price with two decimals or more and its currency; '' for none."""
    if price is None:
        return ""
    number = f"{price:.2f}"
    if float(number) != price:
        number = number_text(price)
    return f"{number} {currency}".rstrip()


def _shown(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "…"
