"""Holds a few generic terminal families: how they lock, come out and are tested.

They are described in words, after what their locks look like, and stand for no
maker's part. Which way a tool goes in and what is opened first is common practice;
strip lengths and amps are common practice too, without a source, and every family
says so. The service manual of the car goes before all of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from blockmap.reference.sources import COMMON_PRACTICE_NOTE
from blockmap.reference.terminal_capacity import AMPS_BY_WIDTH

__all__ = ["GENERIC_FAMILIES", "SORTS", "GenericFamily"]

SORTS: Final = ("female", "male", "tab", "spring clip", "ring lug")
"""What a terminal is, by what it holds on to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GenericFamily:
    """One family; strip_mm and capacity_a are known as ``known`` says."""

    name: str
    sort: str
    lock_first: str
    released_from: str
    tool: str
    leaves_to: str | None
    steps: str
    strip_mm: float | None
    seal: str
    capacity_a: float | None
    grip_test: str
    known: str = (
        f"strip length and capacity: {COMMON_PRACTICE_NOTE}; ask the terminal's maker"
    )
    notes: str = ""


_GRIP = (
    "Before and after: push a clean spare blade in and out by hand. It must drag the "
    "whole way and hold the weight of its wire; compare with a neighbour that is sound."
)
_TUG = "Tug the wire by hand after it clicks: it must not come back."

GENERIC_FAMILIES: tuple[GenericFamily, ...] = (
    GenericFamily(
        name="single female, one tang",
        sort="female",
        lock_first="none, or a comb over the row: lift it first",
        released_from="front",
        tool="flat pick about 1.2 mm wide",
        leaves_to="rear",
        steps=(
            "Push the wire a little towards the front, to take the load off the tang.\n"
            "Slide the pick in at the front beside the blade slot and press the tang "
            "flat.\n"
            "Draw the wire out to the rear; never pull without the pick.\n"
            "Before refitting, bend the tang out again by about 0.5 mm.\n"
            f"Push in from the rear until it clicks. {_TUG}"
        ),
        strip_mm=5.0,
        seal="",
        capacity_a=AMPS_BY_WIDTH[5.2],
        grip_test=_GRIP,
    ),
    GenericFamily(
        name="female, two side locks",
        sort="female",
        lock_first="sliding lock at the rear: move it out about 2 mm",
        released_from="front",
        tool="twin-blade tool, both blades at once",
        leaves_to="rear",
        steps=(
            "Move the sliding lock to its first stop; do not take it off.\n"
            "Push the wire a little towards the front.\n"
            "Slide both blades of the tool in at the front, one each side.\n"
            "Draw the wire out to the rear.\n"
            "Lift both tangs slightly before refitting.\n"
            f"Push in from the rear until both click. {_TUG} Close the sliding lock."
        ),
        strip_mm=5.0,
        seal="",
        capacity_a=AMPS_BY_WIDTH[5.2],
        grip_test=_GRIP,
    ),
    GenericFamily(
        name="sealed female under a lock comb",
        sort="female",
        lock_first="lock comb on top: lift it off the whole row",
        released_from="front",
        tool="flat pick about 1 mm wide",
        leaves_to="rear",
        steps=(
            "Lift the lock comb and lay it aside.\n"
            "Press the plastic finger beside the terminal away from it with the pick.\n"
            "Draw the wire out to the rear with its seal; look for a torn seal.\n"
            "Put the new seal on the wire before the terminal is crimped: the seal is "
            "chosen by gauge.\n"
            f"Push in from the rear until it clicks. {_TUG} Press the comb home: it "
            "does not close over a terminal that is not seated."
        ),
        strip_mm=5.0,
        seal="cable seal",
        capacity_a=None,
        grip_test=_GRIP,
        known=(
            f"strip length: {COMMON_PRACTICE_NOTE}; capacity depends on the blade: "
            "ask the terminal's maker"
        ),
    ),
    GenericFamily(
        name="push-on female 6.3",
        sort="female",
        lock_first="none, or a sleeve: slide it back",
        released_from="rear",
        tool="none: by hand, on the terminal and not on the wire",
        leaves_to="rear",
        steps=(
            "Slide the sleeve back and hold the terminal itself.\n"
            "Rock it along the tab and draw it off to the rear.\n"
            "Clean the tab bright before anything is pushed on again.\n"
            "Push on straight, over the tab and not beside it, to the stop.\n"
            f"{_TUG}"
        ),
        strip_mm=6.0,
        seal="",
        capacity_a=AMPS_BY_WIDTH[6.3],
        grip_test=(
            "It must go on with a firm push and stay on when the block is held up by "
            "that wire."
        ),
    ),
    GenericFamily(
        name="riveted spring clip with tab 6.3",
        sort="spring clip",
        lock_first="none",
        released_from="not released singly",
        tool="none: the clip stays in the block",
        leaves_to=None,
        steps=(
            "Draw the push-on terminal off the tab at the rear.\n"
            "Clean the clip and the fuse's ends bright; pinch the clip so that it "
            "grips.\n"
            "Turn the tab by hand: a tab that turns has a loose rivet.\n"
            "A loose rivet is drilled out and set anew, or the block is changed."
        ),
        strip_mm=None,
        seal="",
        capacity_a=None,
        grip_test="The fuse must not turn in its clips between two fingers.",
        known=f"{COMMON_PRACTICE_NOTE}; capacity is that of the tab and the rivet",
    ),
    GenericFamily(
        name="slide-out contact under a face plate",
        sort="female",
        lock_first="face plate over the group: unclip it",
        released_from="front",
        tool="flat pick about 2 mm wide",
        leaves_to="front",
        steps=(
            "Take the fuses of the group out and unclip the face plate.\n"
            "Press the spring of the contact aside with the pick.\n"
            "Slide the contact out with its wire; slacken the wire from behind "
            "first.\n"
            f"Slide the new one in until it clicks. {_TUG}\n"
            "Clip the face plate on: it does not close over a contact that stands "
            "proud."
        ),
        strip_mm=5.0,
        seal="",
        capacity_a=AMPS_BY_WIDTH[5.2],
        grip_test=_GRIP,
    ),
)
"""The families that ship. A map extends them with its own."""
