"""Rules about what a feed must carry: strips, links and tabs for added circuits.

The amps come from the figures of the map. Nothing here judges a cavity by itself.
"""

from __future__ import annotations

from collections.abc import Iterator

from blockmap.analysis.finding import Finding, Level, why_with
from blockmap.analysis.numbers.add_ons import AddOnRoom
from blockmap.analysis.numbers.cavity_figures import CavityFigures
from blockmap.analysis.numbers.figure import Comparison
from blockmap.analysis.numbers.limits import Limits
from blockmap.analysis.numbers.map_figures import StripFigures
from blockmap.model.document import Cavity, Strip
from blockmap.model.ids import key_of

__all__ = ["add_ons", "link_and_wire", "strip_supply"]


def link_and_wire(
    cavity: Cavity, figures: CavityFigures, limits: Limits
) -> Iterator[Finding]:
    """Find a fusible link that is too thick or too thin for its wire."""
    del limits
    link = figures.link
    if link is None or link.verdict == "right":
        return
    thick = link.verdict == "too thick"
    yield Finding(
        code="link-too-thick" if thick else "link-too-thin",
        level=Level.ADVICE if thick else Level.INFORMATION,
        objects=(cavity.id,),
        what=f"{cavity.designation}: the link is {link.steps.text} thinner than its "
        f"wire, {link.wanted.text} are usual",
        why=why_with(
            "the wire may burn before the link melts"
            if thick
            else "the link may melt without a fault",
            link.steps,
            link.wanted,
        ),
        todo="fit the link that the service manual gives; plain wire is no link",
        figures=(link.steps, link.wanted),
    )


def add_ons(
    tab: Cavity, room: AddOnRoom, on_fuse: Comparison | None
) -> Iterator[Finding]:
    """Find what is added at a tab without a fuse, or beyond what its fuse carries.

    on_fuse is the continuous load of the fuse that protects it beside its share.
    """
    used = bool(tab.loads) or bool(tab.contact(tab.main_contact).wires)
    if room.fuse is None:
        if used:
            yield Finding(
                code="tab-not-fused",
                level=Level.ADVICE,
                objects=(tab.id,),
                what=f"{tab.designation} feeds something, and no fuse stands before it",
                why="an added wire needs a fuse close to its supply; by this map "
                "nothing protects the tab",
                todo="fit a fuse close to the tab, or say what feeds the tab",
            )
        return
    if not tab.loads or on_fuse is None or on_fuse.holds:
        return
    yield Finding(
        code="add-on-above-fuse",
        level=Level.ADVICE,
        objects=(tab.id, room.fuse.id),
        what=f"{tab.designation}: with what is added here {room.fuse.designation} "
        f"carries {on_fuse.figure.text} all the time, {on_fuse.limit.text} are its "
        "share",
        why=why_with("an add-on takes its room from the fuse above it", on_fuse.limit),
        todo="move the added load to a fuse of its own",
        figures=(on_fuse.figure, on_fuse.limit),
    )


def strip_supply(strip: Strip, figures: StripFigures) -> Iterator[Finding]:
    """Find strips that draw more than their supply wire bears."""
    held = figures.supply
    if held is None or held.holds or figures.loads is None:
        return
    long = Comparison("Strip and supply wire", figures.loads.continuous, held.limit)
    always = not long.holds
    figure = long.figure if always else held.figure
    when = "all the time" if always else "when everything runs at once"
    yield Finding(
        code="strip-above-supply" if always else "strip-perhaps-above-supply",
        level=Level.ADVICE if always else Level.INFORMATION,
        objects=(strip.id,),
        what=f"Strip {strip.name or key_of(strip.id)} draws {figure.text} {when}; its "
        f"supply wire of {strip.supply_gauge} bears {held.limit.text}",
        why=why_with("the supply wire carries what hangs on the strip", held.limit),
        todo="measure the current at the supply, and move loads to another supply",
        figures=(figure, held.limit),
    )
