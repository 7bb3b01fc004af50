"""What another map is said to hold that this one does not."""

from __future__ import annotations

from blockmap.model.document import Map, Reading
from blockmap.model.edits import add_reading, set_limit, set_odds, set_work
from blockmap.window.map_words import difference_words


def test_maps_that_differ_are_never_said_to_be_the_same() -> None:
    mine = Map()
    noted = add_reading(mine, Reading(point="battery"))[0]
    for theirs, said in (
        (noted, "The file has other readings."),
        (set_limit(mine, "wire_c", "40"), "The file has other limits."),
        (set_work(mine, "rear_min", "9"), "other work and odds of the search"),
        (set_odds(mine, "fuse", "open", "9"), "other work and odds of the search"),
    ):
        assert said in difference_words(mine, theirs)
    assert difference_words(noted, noted) == "The file says the same as the map here."
