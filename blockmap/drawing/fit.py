"""Fits words into a box: the longest wording that stays legible, in few lines.

It never shrinks below the least height it is given and never cuts a word off; when
nothing fits it says so with None.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from blockmap.drawing.primitives import Anchor, Face, Text
from blockmap.drawing.typeface import text_width_mm
from blockmap.model.geometry import Point

__all__ = ["LINE_PITCH", "Fitted", "fit_text", "line_breaks", "narrowest"]

LINE_PITCH = 1.5
"""Distance from baseline to baseline in heights of a capital."""


@dataclass(frozen=True, slots=True)
class Fitted:
    """Lines of text at one size."""

    lines: tuple[str, ...]
    cap_mm: float
    face: Face
    width_mm: float

    @property
    def height_mm(self) -> float:
        """From the top of the first capitals to the last baseline."""
        return stack_height(len(self.lines), self.cap_mm)

    def texts(
        self, at: Point, anchor: Anchor = "middle", ink: str = "ink"
    ) -> tuple[Text, ...]:
        """Return the lines as primitives, the stack centred vertically on ``at``."""
        x, y = at
        first = y - self.height_mm / 2 + self.cap_mm
        pitch = LINE_PITCH * self.cap_mm
        return tuple(
            Text(
                line,
                Point(x, first + number * pitch),
                self.cap_mm,
                self.face,
                anchor,
                ink,
            )
            for number, line in enumerate(self.lines)
        )


def stack_height(lines: int, cap_mm: float) -> float:
    """Return the height of a stack of lines from first capitals to last baseline."""
    return cap_mm * (1 + LINE_PITCH * (lines - 1))


@lru_cache(maxsize=4096)
def line_breaks(text: str, lines: int) -> tuple[tuple[str, ...], ...]:
    """Return every way to break a text into this many lines at most.

    Breaks fall at spaces and after hyphens, slashes and commas. A text of more than
    twelve words is only filled evenly, not tried in every way.
    """
    words = re.findall(r"[^\s\-/,]*[-/,]+|[^\s\-/,]+", text)
    glued = [
        word + (" " if text[end : end + 1].isspace() else "")
        for word, end in _ends(text, words)
    ]
    found: list[tuple[str, ...]] = [(" ".join(text.split()),)]
    if lines >= 2 and len(glued) > 1:
        places = range(1, len(glued))
        if len(glued) > 12:
            places = range(len(glued) // 2, len(glued) // 2 + 2)
        for place in places:
            head = "".join(glued[:place]).strip()
            tail = "".join(glued[place:]).strip()
            found += [(head, *rest) for rest in line_breaks(tail, lines - 1)]
    return tuple(found)


def _ends(text: str, words: Sequence[str]) -> list[tuple[str, int]]:
    found, at = [], 0
    for word in words:
        at = text.index(word, at) + len(word)
        found.append((word, at))
    return found


def _splits_a_compound(lines: Sequence[str]) -> bool:
    """Tell whether a line ends inside a word such as in-line, or between A/ and C."""
    return any(
        _INSIDE_WORD.search(line) is not None
        or (_SINGLE.search(line) is not None and len(after.split("/")[0]) < 2)
        for line, after in pairwise(lines)
    )


_INSIDE_WORD = re.compile(r"[a-zà-ÿ]-$")
_SINGLE = re.compile(r"(^|[\W_])\w/$")


def fit_text(
    candidates: Sequence[str],
    width_mm: float,
    height_mm: float,
    least_cap_mm: float,
    most_cap_mm: float,
    face: Face = Face.REGULAR,
    lines: int = 2,
) -> Fitted | None:
    """Return the first candidate that is legible in the box, as large as it can be.

    Candidates are given in the order in which they are wished, the longest first.
    ``lines`` is the most lines to break into. A compound word such as "in-line" is
    broken only when the text fits in no other way. None when none fits at
    ``least_cap_mm``. Sizes are heights of capitals in millimetres.
    """
    most_cap_mm = max(most_cap_mm, least_cap_mm)
    for text in candidates:
        for ways in _ways(text, face, lines):
            best: Fitted | None = None
            for broken, widest in ways:
                cap_mm = min(most_cap_mm, height_mm / stack_height(len(broken), 1.0))
                if widest:
                    cap_mm = min(cap_mm, width_mm / widest)
                if cap_mm < least_cap_mm - 1e-9:
                    continue
                if best is None or cap_mm > best.cap_mm + 1e-9:
                    best = Fitted(broken, cap_mm, face, widest * cap_mm)
            if best:
                return best
    return None


@lru_cache(maxsize=4096)
def narrowest(text: str, face: Face, lines: int) -> float:
    """Return the least width of a text in so many lines, for capitals of height 1."""
    return min(
        (widest for ways in _ways(text, face, lines) for _, widest in ways), default=0.0
    )


_Ways = tuple[tuple[tuple[str, ...], float], ...]
"""Lines of a text with the width of the widest, for capitals of height 1."""


@lru_cache(maxsize=4096)
def _ways(text: str, face: Face, lines: int) -> tuple[_Ways, ...]:
    """Return the ways to set a text: those that keep its words whole, then the rest."""
    if not text.strip():
        return ()
    kept: tuple[list[tuple[tuple[str, ...], float]], ...] = ([], [])
    for broken in line_breaks(text, lines):
        widest = max(text_width_mm(line, face, 1.0) for line in broken)
        kept[_splits_a_compound(broken)].append((broken, widest))
    return tuple(tuple(ways) for ways in kept)
