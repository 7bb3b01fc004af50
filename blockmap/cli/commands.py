"""The commands of blockmap, for people and for scripts.

Each one reads, calls the same functions as the window, writes, and returns the exit
code: 0 clean, 1 the check found errors, 2 something given could not be used. What it
has to say goes to standard error, what was asked for to standard output.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from blockmap import __version__
from blockmap.cli.findings_text import finding_line, findings_json
from blockmap.cli.given_map import read_given_map
from blockmap.cli.isolate_command import isolate_command
from blockmap.cli.print_command import print_command
from blockmap.cli.streams import (
    OUTPUT_HELP,
    STANDARD,
    put_bytes,
    put_text,
    read_input,
    say,
    say_refused,
    write_output,
)
from blockmap.files.map_reader import BYTES_LIMIT
from blockmap.files.shown import shown_name, shown_text
from blockmap.model.document import Map
from blockmap.model.errors import BlockmapError, DocumentRefused, StoreFailed
from blockmap.model.schema import close_match
from blockmap.resources import layout_files

if TYPE_CHECKING:
    from blockmap.analysis.findings import Finding

__all__ = ["commands", "run"]

CLEAN, FOUND, UNUSABLE = 0, 1, 2
LAYOUT_ENDING = ".blockmap.yaml"


def run(arguments: Sequence[str]) -> int:
    """Run one command and return its exit code; never ends the process."""
    try:
        result = commands.main(
            list(arguments), prog_name="blockmap", standalone_mode=False
        )
    except click.ClickException as problem:
        problem.show()
        return UNUSABLE
    except click.Abort:
        return 130
    except DocumentRefused as refused:
        say_refused(refused)
        return UNUSABLE
    except BlockmapError as problem:
        say(f"blockmap: error: {problem}")
        return UNUSABLE
    return result if isinstance(result, int) else CLEAN


@click.group(
    context_settings={"help_option_names": ["--help", "-h"], "max_content_width": 88},
    epilog="Exit status: 0 clean, 1 the check found errors, 2 unusable input.",
)
@click.version_option(__version__, "--version", "-V", message="blockmap %(version)s")
def commands() -> None:
    """Maps of fuse panels and connectors: draw, tag, check and print them.

    blockmap [FILE]... opens the window; write ./check for a file that is named like a
    command. The commands below work without a window.
    """


commands.add_command(isolate_command)
commands.add_command(print_command)


def _level_counts(findings: Sequence[Finding]) -> dict[str, int]:
    from blockmap.analysis.findings import Level

    counted = Counter(f.level for f in findings if f.accepted is None)
    counts = {level.value: counted[level] for level in Level}
    return {**counts, "accepted": sum(f.accepted is not None for f in findings)}


@commands.command("check")
@click.argument("file")
@click.option("--json", "as_json", is_flag=True, help="write findings as JSON")
def check_command(file: str, as_json: bool) -> int:
    """Check a map and list what it finds.

    Exit status 1 when anything found has the level error and is not accepted in the
    map.
    """
    from blockmap.analysis.findings import Level, check

    read = read_given_map(file)
    findings = check(read.document)
    counts = _level_counts(findings)
    if as_json:
        put_bytes(findings_json(file, findings, counts, read.notes))
    else:
        name = shown_name(file)
        put_text("".join(finding_line(name, finding) for finding in findings))
        said = ", ".join(
            f"{number} {word}{'s' if word == 'error' and number != 1 else ''}"
            for word, number in counts.items()
            if number or word != "accepted"
        )
        say(f"{name}: {said}")
    return FOUND if counts[Level.ERROR] else CLEAN


@commands.command("table")
@click.argument("file")
@click.option(
    "-o", "--output", default=STANDARD, help=OUTPUT_HELP + ", which is the default"
)
@click.option("--columns", help="keys of the columns to write, parted by commas")
@click.option("--bom", is_flag=True, help="start with a byte order mark")
def table_command(file: str, output: str, columns: str | None, bom: bool) -> int:
    """Write one row a cavity as CSV.

    Cells that a spreadsheet would run as a formula get an apostrophe in front; fill
    takes it away again.
    """
    from blockmap.files.tables import csv_text

    chosen = _columns(columns)
    text = csv_text(read_given_map(file).document, columns=chosen)
    _write_csv(output, text, bom, file)
    return CLEAN


def _write_csv(output: str, text: str, bom: bool, source: str) -> None:
    encoding = "utf-8-sig" if bom else "utf-8"
    write_output(output, text.encode(encoding, "backslashreplace"), never=(source,))


def _columns(text: str | None) -> list[str] | None:
    if text is None:
        return None
    from blockmap.model.columns import COLUMNS, column_for_heading

    found = []
    for word in text.split(","):
        column = column_for_heading(word)
        if column is None:
            known = ", ".join(one.key for one in COLUMNS)
            raise click.UsageError(
                f"“{shown_text(word.strip())}” is no column; there are {known}"
            )
        found.append(column.key)
    return found


@commands.command("fill")
@click.argument("file")
@click.argument("table")
@click.option("-o", "--output", required=True, help="map to write; may be FILE itself")
def fill_command(file: str, table: str, output: str) -> int:
    """Set properties from a table.

    The table is CSV, TSV or parted by semicolons or bars, best with headings. Rows are
    matched by the column designation, and by block where a designation stands in
    several. Empty cells leave what the map says. Nothing is written unless every row
    fits.
    """
    from blockmap.files.delimited import decoded, is_utf8
    from blockmap.files.photos import carry_photos
    from blockmap.files.tables import fill_from_table

    document = read_given_map(file).document
    data, name = read_input(table, BYTES_LIMIT)
    if not is_utf8(data) and not data.startswith((b"\xff\xfe", b"\xfe\xff")):
        say(
            f"{shown_name(name)}: note: not UTF-8, so read as Windows western text; "
            "look at letters with accents"
        )
    filled, notes = fill_from_table(document, decoded(data), name)
    for note in notes:
        say(note)
    _save(output, filled)
    if STANDARD not in (file, output):
        for note in carry_photos(filled, file, output):
            say(note)
    return CLEAN


def _save(output: str, document: Map) -> None:
    from blockmap.files.map_writer import map_text
    from blockmap.files.store import save

    if output == STANDARD:
        put_bytes(map_text(document).encode("utf-8"))
        return
    for note in save(output, document):
        say(note)


@commands.command("parts")
@click.argument("file")
@click.option(
    "-o", "--output", default=STANDARD, help=OUTPUT_HELP + ", which is the default"
)
@click.option("--bom", is_flag=True, help="start with a byte order mark")
def parts_command(file: str, output: str, bom: bool) -> int:
    """Write what the damage asks for, and the fuses to stock, as CSV.

    Equal parts stand on one line. A contact of a strip is not listed: the strip is,
    once.
    """
    from blockmap.sheets.parts_sheet import parts_csv

    text = parts_csv(read_given_map(file).document)
    _write_csv(output, text, bom, file)
    return CLEAN


@commands.command("new")
@click.argument("layout", required=False)
@click.option("-o", "--output", help=OUTPUT_HELP)
@click.option("--list", "listing", is_flag=True, help="list the layouts there are")
@click.option("--force", is_flag=True, help="replace the file if it exists")
def new_command(
    layout: str | None, output: str | None, listing: bool, force: bool
) -> int:
    """Start a map from a layout that ships with blockmap."""
    from blockmap.files.store import load

    layouts = {path.name.removesuffix(LAYOUT_ENDING): path for path in layout_files()}
    if listing:
        put_text("".join(_layout_line(name, path) for name, path in layouts.items()))
        return CLEAN
    if layout is None or output is None:
        raise click.UsageError("name a LAYOUT and a file with -o, or ask for --list")
    if layout not in layouts:
        near = close_match(layout, tuple(layouts))
        raise click.UsageError(
            f"there is no layout “{shown_text(layout)}”{near}; blockmap new --list "
            "names them"
        )
    if output != STANDARD and not force and Path(output).exists():
        raise StoreFailed(
            f"{shown_name(output)}: the file exists; choose another name, or add "
            "--force to replace it"
        )
    _save(output, load(layouts[layout]).document)
    return CLEAN


def _layout_line(name: str, path: Path) -> str:
    from blockmap.files.store import load

    document = load(path).document
    blocks = "; ".join(block.name or key for key, block in document.blocks.items())
    return f"{name:<28} {len(document.cavities):>3} places  {blocks}\n"


@commands.command("format")
def format_command() -> int:
    """Describe the format of map files.

    The text comes from the same table that reads the files.
    """
    from blockmap.files.format_text import format_text

    put_bytes(format_text().encode("utf-8"))
    return CLEAN


@commands.command("doctor")
@click.option(
    "--no-display", is_flag=True, help="look only at what printing to files needs"
)
def doctor_command(no_display: bool) -> int:
    """Name missing system libraries.

    Exit status 2 when no window can open here.
    """
    from blockmap.cli.system_libraries import report, window_problem

    put_text(report(display=not no_display))
    return CLEAN if no_display or window_problem() is None else UNUSABLE
