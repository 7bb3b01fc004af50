"""Hands the pages to the spooler of the system by its own command, and hears of it.

Qt says nothing of a queue that is gone or takes no jobs, and holds every thread of
Python while a print server does not answer. The command lp (IEEE Std 1003.1, "lp")
says in words what is wrong, and can be ended.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable

from PySide6.QtPrintSupport import QPrinter

from blockmap.window.page_view import page_sizes_mm

__all__ = ["spool", "spool_command"]

LOOK_S = 0.2
_PAPER = {(210, 297): "A4", (216, 279): "Letter"}
_SIDES = {
    QPrinter.DuplexMode.DuplexNone: "one-sided",
    QPrinter.DuplexMode.DuplexLongSide: "two-sided-long-edge",
    QPrinter.DuplexMode.DuplexShortSide: "two-sided-short-edge",
}
"""Qt's words and those of RFC 8011, 5.2.8."""


def spool_command(printer: QPrinter, data: bytes) -> list[str] | None:
    """Return the command that prints a PDF as was chosen, None where there is none."""
    lp = shutil.which("lp")
    native = printer.outputFormat() is QPrinter.OutputFormat.NativeFormat
    if os.name != "posix" or lp is None or not native or not printer.printerName():
        return None
    wide, high = page_sizes_mm(data)[0]
    paper = _PAPER.get((round(wide), round(high)), f"Custom.{wide:g}x{high:g}mm")
    command = [lp, "-d", printer.printerName(), "-n", str(printer.copyCount())]
    command += ["-o", "print-scaling=none", "-o", f"media={paper}"]
    if printer.duplex() in _SIDES:
        command += ["-o", f"sides={_SIDES[printer.duplex()]}"]
    if printer.colorMode() is QPrinter.ColorMode.GrayScale:
        command += ["-o", "print-color-mode=monochrome"]
    if printer.printRange() is QPrinter.PrintRange.PageRange:
        command += ["-P", f"{printer.fromPage()}-{printer.toPage()}"]
    return [*command, "--", "-"]


def spool(command: list[str], data: bytes, go_on: Callable[[], None]) -> str:
    """Hand the pages over; return why they were not taken, "" when they were.

    go_on is called now and then, and raises to stop: the command is ended then.
    """
    pipe = subprocess.PIPE
    pages: bytes | None = data
    with subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=pipe) as process:
        try:
            while True:
                go_on()
                try:
                    _said, wrong = process.communicate(pages, timeout=LOOK_S)
                    break
                except subprocess.TimeoutExpired:
                    pages = None  # they are on their way
        except BaseException:
            process.kill()
            raise
    if process.returncode == 0:
        return ""
    words = wrong.decode(errors="replace").strip().splitlines()
    last = words[-1].removeprefix(f"{command[0]}: ")[:300] if words else ""
    return last or f"lp ended with {process.returncode}"
