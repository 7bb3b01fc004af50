"""Prints every timing of the program as a ratio; run as python -m tests.benchmarks.

Each line names what was measured, the time, the bare lower bound of the same run, the
ratio and the aim. Times are of the processor, not of the clock, so that other work on
the machine counts as little as it can. The first-frame timings start fresh processes.
"""

from __future__ import annotations

import os
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from blockmap.resources import layout
from tests.benchmarks.checking import checking
from tests.benchmarks.synthetic import synthetic_map
from tests.starts import BARE, REAL, first_frame


def median_ms(
    run: Callable[[], object],
    times: int = 9,
    clock: Callable[[], float] = time.process_time,
) -> float:
    """Return the median time of a call in milliseconds, after one to warm up."""
    run()
    taken = []
    for _ in range(times):
        start = clock()
        run()
        taken.append((clock() - start) * 1000)
    return statistics.median(taken)


def line(what: str, ours_ms: float, bare_ms: float | None, aim: str) -> None:
    """Print one row of the report."""
    if bare_ms is None:
        print(f"{what:48} {ours_ms:8.2f} ms{'':25} aim {aim}")
        return
    ratio = ours_ms / bare_ms
    print(
        f"{what:48} {ours_ms:8.2f} ms  bare {bare_ms:8.2f} ms  ×{ratio:5.2f}  aim {aim}"
    )


def starting() -> None:
    """Compare the start to the first frame with that of an empty window."""
    with tempfile.TemporaryDirectory() as folder:

        def took_ms(code: str, *arguments: str) -> float:
            starts = [first_frame(code, Path(folder), *arguments) for _ in range(10)]
            return statistics.median(took for took, _modules in starts[1:])

        bare = took_ms(BARE)
        line("start page, to the first frame", took_ms(REAL), bare, "×2")
        demo = took_ms(REAL, str(layout("demo")))
        line("demo map, to the first frame", demo, bare, "×2")


def loading() -> None:
    """Compare reading a map of 500 cavities with the bare C YAML loader."""
    import yaml

    from blockmap.files.map_reader import read_map
    from blockmap.files.map_writer import map_text

    data = map_text(synthetic_map(500)).encode()
    bare = median_ms(lambda: yaml.load(data, Loader=yaml.CSafeLoader))
    line("read a map of 500 cavities", median_ms(lambda: read_map(data)), bare, "×1.5")
    document = read_map(data).document
    line("write a map of 500 cavities", median_ms(lambda: map_text(document)), None, "")


def window() -> None:
    """Time one repaint and one edit of a map of 500 cavities."""
    from blockmap.model.edits import set_texts
    from blockmap.window import garbage
    from blockmap.window.application import prepare
    from blockmap.window.main_window import MainWindow
    from blockmap.window.settings import Settings
    from blockmap.window.theme import set_appearance

    application = prepare()
    set_appearance("light")
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        shown = MainWindow(Settings(place / "config", place / "state"))
        shown.map_file.start(synthetic_map(500))
        shown.resize(1280, 800)
        shown.show()
        while not shown.after_frame.done:
            application.processEvents()
        garbage.begin(application)
        viewport = shown.figure.viewport()
        shown.figure.settle()

        def paint() -> None:
            shown.figure.backing.spoil()
            viewport.grab()

        repaint = median_ms(paint, 30)
        line("repaint, 500 cavities in view", repaint, None, "16 ms")
        ids = list(shown.session.document.cavities)
        count = iter(range(10**6))

        def edit() -> None:
            number = next(count)
            text = str(5 + number % 20)
            shown.session.edit("Set", set_texts, [ids[number % 500]], "rating_a", text)
            application.processEvents()

        took = median_ms(edit, 30, time.thread_time)
        line("one edit and its painting, 500 cavities", took, None, "16 ms")
        shown.session.mark_saved()
        shown.close()


def sheets() -> None:
    """Compare a labels sheet of 60 cavities with the same on a bare canvas."""
    from reportlab.lib.colors import HexColor
    from reportlab.lib.units import mm
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    from blockmap.drawing.palette import PRINT
    from blockmap.drawing.primitives import Face, Text
    from blockmap.drawing.primitives import Path as Outline
    from blockmap.drawing.typeface import cap_to_em, font_file
    from blockmap.sheets.catalogue import SHEETS, SheetOptions
    from blockmap.sheets.pdf import pdf_bytes

    document = synthetic_map(60)
    kind = next(kind for kind in SHEETS if kind.name == "labels")
    sheet = kind.compose(document, SheetOptions())

    for face in Face:
        pdfmetrics.registerFont(TTFont(face.name, str(font_file(face))))

    def bare() -> bytes:
        """Set the same outlines, colours and texts, with the same fonts."""
        canvas = Canvas("bare.pdf", invariant=1)
        for page in sheet.pages:
            canvas.scale(mm, -mm)
            for part in page.primitives:
                if isinstance(part, Outline):
                    path = canvas.beginPath()
                    path.moveTo(*part.points[0])
                    for point in part.points[1:]:
                        path.lineTo(*point)
                    canvas.setFillColor(HexColor(PRINT.resolve(part.fill or "ink")))
                    canvas.setStrokeColor(HexColor(PRINT.resolve(part.stroke or "ink")))
                    canvas.setLineWidth(part.width_mm)
                    canvas.drawPath(path, bool(part.stroke), bool(part.fill))
                elif isinstance(part, Text):
                    canvas.setFont(part.face.name, part.cap_mm * cap_to_em(part.face))
                    canvas.drawString(part.at[0], part.at[1], part.text)
            canvas.showPage()
        data: bytes = canvas.getpdfdata()  # type: ignore[no-untyped-call]
        return data

    def ours() -> bytes:
        return pdf_bytes(kind.compose(document, SheetOptions()), "Benchmark")

    line("labels sheet of 60 cavities", median_ms(ours, 5), median_ms(bare, 5), "×3")


def main() -> None:
    """Print the whole report."""
    for part in (loading, sheets, window, starting):
        part()
    checking(median_ms, line)


if __name__ == "__main__":
    main()
