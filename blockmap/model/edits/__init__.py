"""Every change of a map, as a function from map to map.

listing.py makes cavities of pasted rows, placing.py puts cavities where they are,
tagging.py says what they are, parts.py makes and changes blocks, strips and the car,
behind.py keeps damage, repairs and the log, photos.py the photos of damage,
families.py the terminal families, readings.py the readings notebook, judging.py
limits and what is accepted, assuming.py the work and odds of the fault search.
Each function returns a new map that shares what it did not touch, or raises
EditRefused with a sentence for the user. An edit that changes nothing returns the very
map it was given.
"""

from blockmap.model.edits.assuming import forget_assumed, set_odds, set_work
from blockmap.model.edits.behind import (
    add_log,
    add_repair,
    advance_repair,
    remove_repair,
    set_condition,
    set_conditions,
    set_repair_text,
)
from blockmap.model.edits.families import (
    assign_family,
    copy_family,
    remove_family,
    set_family,
    set_family_text,
)
from blockmap.model.edits.judging import (
    accept_finding,
    limit_text,
    set_limit,
    withdraw_acceptance,
)
from blockmap.model.edits.listing import add_rows
from blockmap.model.edits.parts import (
    add_block,
    add_strip,
    remove_block,
    remove_strip,
    set_block_text,
    set_car_text,
    set_outline,
    set_strip,
)
from blockmap.model.edits.photos import (
    add_photos,
    change_photo,
    note_photo,
    remove_photo,
)
from blockmap.model.edits.placing import (
    Direction,
    Edge,
    Grid,
    add_cavities,
    add_grid,
    align_cavities,
    arrange_cavities,
    delete_cavities,
    distribute_cavities,
    duplicate_cavities,
    grid_cavities,
    move_cavities,
    new_cavity,
    resize_cavities,
    turn_cavities,
)
from blockmap.model.edits.readings import (
    add_reading,
    note_again,
    reading_text,
    remove_reading,
    same_test,
    set_aside,
    set_reading_text,
    states_named,
    weigh_again,
)
from blockmap.model.edits.tagging import (
    CellEdit,
    paste_rows,
    set_cells,
    set_evidence,
    set_property,
    set_texts,
)

__all__ = [
    "CellEdit",
    "Direction",
    "Edge",
    "Grid",
    "accept_finding",
    "add_block",
    "add_cavities",
    "add_grid",
    "add_log",
    "add_photos",
    "add_reading",
    "add_repair",
    "add_rows",
    "add_strip",
    "advance_repair",
    "align_cavities",
    "arrange_cavities",
    "assign_family",
    "change_photo",
    "copy_family",
    "delete_cavities",
    "distribute_cavities",
    "duplicate_cavities",
    "forget_assumed",
    "grid_cavities",
    "limit_text",
    "move_cavities",
    "new_cavity",
    "note_again",
    "note_photo",
    "paste_rows",
    "reading_text",
    "remove_block",
    "remove_family",
    "remove_photo",
    "remove_reading",
    "remove_repair",
    "remove_strip",
    "resize_cavities",
    "same_test",
    "set_aside",
    "set_block_text",
    "set_car_text",
    "set_cells",
    "set_condition",
    "set_conditions",
    "set_evidence",
    "set_family",
    "set_family_text",
    "set_limit",
    "set_odds",
    "set_outline",
    "set_property",
    "set_reading_text",
    "set_repair_text",
    "set_strip",
    "set_texts",
    "set_work",
    "states_named",
    "turn_cavities",
    "weigh_again",
    "withdraw_acceptance",
]
