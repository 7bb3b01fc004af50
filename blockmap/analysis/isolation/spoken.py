"""Says in the words of the trade what a contact or a part of the circuit is called.

Short names, such as F11.feed and F11.b1, are what a file holds and what a person may
type. These are the words that are read to the person. No short name is read from them.
"""

from __future__ import annotations

from blockmap.reference.trade_words import KEY_STATES

__all__ = ["contact_said", "key_said", "load_said", "part_said", "wire_said"]

_PLUGGED = ("fuse", "breaker", "flasher", "link", "relay")


def contact_said(place: str, contact: str) -> str:
    """Return a contact, or a fuse's own test point, such as 'feed contact of F11'.

    'feed end of fuse F11' is the fuse itself at its feed contact.
    """
    if contact in ("feed", "load"):
        return f"{contact} contact of {place}"
    if contact == "load 2":
        return f"second load contact of {place}"
    if contact in ("b1", "b2"):
        return f"{'feed' if contact == 'b1' else 'load'} end of fuse {place}"
    if contact == "pin":
        return f"terminal {place}"
    return f"terminal {contact} of {place}"


def key_said(word: str) -> str:
    """Return a key or switch state so that OFF is not taken for the load's own."""
    return f"key {word}" if word in KEY_STATES[1:] else word


def load_said(name: str) -> str:
    """Return the name of a load, marked where a comma would part it in a sentence."""
    return f"“{name}”" if "," in name else name


def part_said(place: str, kind: str, contact: str = "") -> str:
    """Return what is plugged into a place, such as 'fuse F11' or 'coil of R1'.

    ``contact`` tells one of several ways through it, as of a relay.
    """
    if kind not in _PLUGGED:
        return f"{kind} of {place}"
    return f"{kind} {place}" + (f", terminal {contact}" if contact else "")


def wire_said(near: tuple[str, str], far: tuple[str, str] | None = None) -> str:
    """Return a wire by the contacts at its ends, such as 'load wire of F11'."""
    if far is not None:
        return f"wire from {contact_said(*near)} to {contact_said(*far)}"
    place, contact = near
    if contact in ("feed", "load"):
        return f"{contact} wire of {place}"
    return f"wire at {contact_said(place, contact)}"
