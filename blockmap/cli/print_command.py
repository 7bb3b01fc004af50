"""The command that writes a sheet of a map as PDF."""

from __future__ import annotations

from pathlib import Path

import click

from blockmap.cli.given_map import read_given_map
from blockmap.cli.streams import (
    OUTPUT_HELP,
    STANDARD,
    say,
    write_output,
)
from blockmap.files.shown import shown_name, shown_text
from blockmap.model.document import Map
from blockmap.model.geometry import View
from blockmap.model.schema import close_match

__all__ = ["print_command"]


class _PrintCommand(click.Command):
    """A command whose help lists the sheets there are."""

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        from blockmap.sheets.catalogue import SHEETS

        with formatter.section("Sheets"):
            formatter.write_dl([(sheet.name, sheet.help) for sheet in SHEETS])
        super().format_epilog(ctx, formatter)


@click.command("print", cls=_PrintCommand)
@click.argument("sheet")
@click.argument("file")
@click.option("-o", "--output", required=True, help=OUTPUT_HELP)
@click.option(
    "--view",
    type=click.Choice([view.value for view in View]),
    default=View.FRONT.value,
    show_default=True,
    help="side from which the block is seen",
)
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"], case_sensitive=False),
    default="a4",
    show_default=True,
    help="paper size",
)
@click.option("--block", help="key of the block, where the map has several")
@click.option(
    "--card",
    "card_form",
    type=click.Choice(["fold", "a6", "3x5"], case_sensitive=False),
    default="fold",
    show_default=True,
    help="form of the card",
)
@click.option(
    "--correct-x",
    type=float,
    default=1.0,
    help="printer correction across: 100 divided by what the ruler measures in mm",
)
@click.option(
    "--correct-y", type=float, default=1.0, help="printer correction down the page"
)
def print_command(
    sheet: str,
    file: str,
    output: str,
    view: str,
    paper: str,
    block: str | None,
    card_form: str,
    correct_x: float,
    correct_y: float,
) -> int:
    """Write a sheet as PDF at true size.

    Print it without scaling. What did not fit is named on standard error.
    """
    from blockmap.sheets.catalogue import SHEETS, SheetOptions, sheet_named
    from blockmap.sheets.pdf import pdf_bytes

    kind = sheet_named(sheet)
    if kind is None:
        names = ", ".join(one.name for one in SHEETS)
        raise click.UsageError(f"“{shown_text(sheet)}” is no sheet; there are {names}")
    document = read_given_map(file).document
    if "block" in kind.uses:
        block = _chosen_block(document, block)
    options = SheetOptions(
        block=block,
        view=View(view),
        paper=paper,
        form=card_form,
        correction=(correct_x, correct_y),
        map_file=None if file == STANDARD else Path(file),
    )
    try:
        made = kind.compose(document, options)
    except ValueError as problem:
        raise click.UsageError(str(problem)) from None
    for note in made.notes:
        say(f"{shown_name(file)}: note: {shown_text(note, 500)}")
    title = f"{document.car.name or 'blockmap'}: {kind.title}"
    write_output(output, pdf_bytes(made, title), never=(file,))
    return 0


def _chosen_block(document: Map, block: str | None) -> str:
    """Return the block to print: the one asked for, else the first."""
    keys = tuple(document.blocks)
    if not keys:
        raise click.UsageError("the map has no block yet; draw one before printing")
    if block is None:
        if len(keys) > 1:
            said = ", ".join(keys[1:])
            say(f"note: this is the block {keys[0]}; --block prints another: {said}")
        return keys[0]
    if block not in keys:
        raise click.UsageError(
            f"the map has no block “{shown_text(block)}”{close_match(block, keys)}; "
            f"it has {', '.join(keys)}"
        )
    return block
