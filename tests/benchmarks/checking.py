"""Times checking a map of 500 cavities: from the start, and again after one edit."""

from __future__ import annotations

from collections.abc import Callable

from blockmap.analysis.findings import checked
from blockmap.model.document import Map
from blockmap.model.edits import set_texts
from tests.benchmarks.synthetic import fed_map

__all__ = ["checking"]

EDITS = (
    ("rating", "rating_a", ("5", "7.5", "10", "15")),
    ("loads", "loads", ("fan 12 A", "fan 9 A")),
    ("wires", "wires", ("brown 16 AWG", "brown 14 AWG")),
    ("designation", "own", ("X1", "X2", "X3")),
    ("place", "x_mm", ("15", "16")),
)


def checking(
    median_ms: Callable[..., float],
    line: Callable[[str, float, float | None, str], None],
) -> None:
    """Print the time of a whole check, and of one after each sort of edit.

    Measured is `checked(after, before)`, figures included, on one thread and without
    a window: this is what the worker thread does for each edit.
    """
    document = fed_map(500)
    whole = median_ms(lambda: checked(document))
    line("check a map of 500 cavities from the start", whole, None, "off the thread")
    before = checked(document)
    ids = list(document.cavities)
    for name, key, texts in EDITS:
        count = iter(range(10**6))

        def edited(
            key: str = key, texts: tuple[str, ...] = texts, count: object = count
        ) -> Map:
            number = next(count)  # type: ignore[call-overload]
            id_ = ids[number * 7 % 500]
            return set_texts(document, [id_], key, texts[number % len(texts)])

        waiting = [edited() for _ in range(60)]
        again = iter(waiting)
        taken = median_ms(lambda again=again: checked(next(again), before), 40)
        line(f"check again after an edit of one {name}", taken, whole, "16 ms")
