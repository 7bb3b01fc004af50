"""Joins the checker with list, figure, numbers and the counts at the bottom."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QLabel, QWidget

if TYPE_CHECKING:
    from blockmap.analysis.findings import Finding
    from blockmap.window.findings_panel import FindingsPanel
    from blockmap.window.main_window import MainWindow
    from blockmap.window.numbers.calculator import Calculator
    from blockmap.window.numbers.tables import TablesWindow

__all__ = ["FindingsLink"]


class FindingsLink(QObject):
    """Shows what the checks found, everywhere it is shown; counts is a label."""

    def __init__(self, window: MainWindow, counts: QLabel) -> None:
        super().__init__(window)
        self._window, self._counts = window, counts
        self._calculator: Calculator | None = None
        self._tables: TablesWindow | None = None
        window.checker.checked.connect(self._show)
        self._mark(window.checker.latest)  # what was found before there was a link

    def join(self, pane: FindingsPanel) -> None:
        """Join the list with the rest, once it is made."""
        pane.counted.connect(self._count)
        pane.origin_wanted.connect(self._show_origin)
        pane.show_findings(self._window.checker.latest)

    def _show(self, found: tuple[Finding, ...]) -> None:
        self._window.findings.show_findings(found)
        self._mark(found)

    def _mark(self, found: tuple[Finding, ...]) -> None:
        """Give the cavities on the figure the gravest level of what was found there."""
        levels: dict[str, str] = {}
        for finding in reversed(found):
            if str(finding.level) != "information" and finding.accepted is None:
                levels |= dict.fromkeys(finding.objects, str(finding.level))
        self._window.figure.set_findings(levels)

    def _count(self, errors: int, advice: int, information: int) -> None:
        text = self.tr("%1 errors, %2 advice, %3 information")
        if errors == 1:
            text = self.tr("%1 error, %2 advice, %3 information")
        for number, count in enumerate((errors, advice, information), 1):
            text = text.replace(f"%{number}", str(count))
        self._counts.setText(text)
        title = self.tr("Findings")
        total = errors + advice + information
        self._window.panes.docks["findings"].setWindowTitle(
            f"{title} ({total})" if total else title
        )

    def _show_origin(self, finding: Finding) -> None:
        window = self._window
        cavities = window.session.document.cavities
        ids = [i for i in finding.objects if i in cavities]
        if ids and not set(ids) & set(window.selection.ids):
            window.selection.select(ids)
        window.panes.bring("numbers")
        window.numbers.show_origin(finding.what, "", finding.figures)

    def show_calculator(self) -> Calculator:
        """Show the calculator in front, made when it is first asked for."""
        from blockmap.window.numbers.calculator import Calculator

        if self._calculator is None:
            self._calculator = Calculator(self._window.session, self._window)
        _bring(self._calculator)
        return self._calculator

    def show_tables(self) -> TablesWindow:
        """Show the published tables in front, made when they are first asked for."""
        from blockmap.window.numbers.tables import TablesWindow

        if self._tables is None:
            self._tables = TablesWindow(self._window)
        _bring(self._tables)
        return self._tables


def _bring(window: QWidget) -> None:
    window.show()
    window.raise_()
    window.activateWindow()
