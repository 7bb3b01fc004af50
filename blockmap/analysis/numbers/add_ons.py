"""Says how many amps an added circuit may draw at a tab or behind a fuse.

What is left is bounded by the fuse above it, its share for long use, and the contact.
A tab straight off a strip has no fuse: nothing may be added there without one close
to it.
"""

from __future__ import annotations

from dataclasses import dataclass

from blockmap.analysis.numbers.figure import (
    Figure,
    exact,
    from_reference,
    shown,
    weakest,
)
from blockmap.analysis.numbers.limits import DEFAULT_LIMITS, Limits
from blockmap.analysis.numbers.load_current import LoadSum
from blockmap.model.document import Cavity
from blockmap.reference.sources import Status
from blockmap.reference.terminal_capacity import terminal_capacity

__all__ = ["NOT_FUSED", "AddOnRoom", "room_at"]

NOT_FUSED = "not fused: fit a fuse close to it before anything is connected"


@dataclass(frozen=True, slots=True)
class AddOnRoom:
    """What a tab may still feed: ``left`` in amps, None with ``why`` when unknown.

    ``fuse`` is the cavity that protects it, None when nothing does.
    """

    fuse: Cavity | None
    left: Figure | None
    why: str = ""


def room_at(
    tab: Cavity,
    fuse: Cavity | None,
    loads: LoadSum | None,
    limits: Limits = DEFAULT_LIMITS,
) -> AddOnRoom:
    """Return the amps an added continuous load at a tab may draw.

    fuse is what protects the tab and loads everything on that fuse already, add-ons
    at the tab included. The amps are its rating for long use less the continuous
    load, at most its rating less all that runs at once and what the contact bears,
    never below nothing.
    """
    if fuse is None:
        return AddOnRoom(None, None, NOT_FUSED)
    if fuse.rating_a is None:
        return AddOnRoom(fuse, None, f"{fuse.designation} has no rating")
    if loads is not None and loads.unknown:
        names = ", ".join(loads.unknown)
        return AddOnRoom(fuse, None, f"no current is known of {names}")
    share = limits.figure("continuous_share")
    rating = exact(f"Rating of {fuse.designation}", fuse.rating_a, "A")
    used_a = loads.continuous.value if loads else 0.0
    value = fuse.rating_a * share.value - used_a
    said = f"{rating.text} × {shown(share.value)} − {shown(used_a)} A"
    inputs = (rating, share) if loads is None else (rating, share, loads.continuous)
    if loads is not None and fuse.rating_a - loads.running.value < value:
        value = fuse.rating_a - loads.running.value
        said = f"{rating.text} − {loads.running.text} running at once"
        inputs = (rating, loads.running)
    value = max(0.0, value)
    said += f" = {shown(value)} A"
    contact = terminal_capacity(tab.contact(tab.main_contact).terminal, tab.form)
    if contact is not None and contact.value < value:
        value = contact.value
        inputs = (*inputs, from_reference("Contact", contact))
        said += f", the contact bears {shown(value)} A"
    left = Figure(
        f"Left at {tab.designation}",
        value,
        "A",
        value,
        value,
        said,
        (),
        weakest((Status.DERIVED, *(each.status for each in inputs))),
        share.sources,
        share.note,
        inputs,
    )
    return AddOnRoom(fuse, left, "" if value else "the fuse has no room left")
