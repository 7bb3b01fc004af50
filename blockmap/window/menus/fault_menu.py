"""Looking for a fault: next reading, suspects, notebook of readings, survey."""

from __future__ import annotations

from blockmap.window.marked_texts import QT_TRANSLATE_NOOP
from blockmap.window.menus.command import Command, Menu

__all__ = ["FaultMenu"]

COMMANDS = (
    Command(
        name="next_reading",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Next reading"),
        keys=("F12",),
        icon="tool-probe",
        tip=QT_TRANSLATE_NOOP("commands", "Propose where to put the probe next"),
    ),
    Command(
        name="show_next",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "S&how where to probe"),
        keys=("Ctrl+Shift+F12",),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Select the place of the next reading, seen from its side"
        ),
    ),
    Command(
        name="suspects",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Suspects"),
        keys=("Shift+F12",),
        tip=QT_TRANSLATE_NOOP("commands", "Show what may be at fault, by chance"),
    ),
    Command(
        name="readings",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Readings"),
        keys=("Ctrl+F12",),
        icon="reading",
        tip=QT_TRANSLATE_NOOP("commands", "Note what was measured and seen"),
    ),
    Command(
        name="set_readings_aside",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Mended: set the readings aside"),
        icon="repair",
        tip=QT_TRANSLATE_NOOP(
            "commands", "Keep what was read so far as before a repair; weigh it no more"
        ),
    ),
    Command(
        name="survey",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Sur&vey"),
        keys=("F5",),
        icon="view-table",
        tip=QT_TRANSLATE_NOOP(
            "commands", "Note key by key which contact is live in which state"
        ),
        line_before=True,
    ),
    Command(
        name="survey_results",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&What the survey tells"),
        keys=("Ctrl+F5",),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Show feeds, strips offered, and what goes against the map"
        ),
    ),
    Command(
        name="pull_one",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Pull one at a time"),
        keys=("Shift+F5",),
        tip=QT_TRANSLATE_NOOP("commands", "Note what stopped with one fuse out"),
    ),
    Command(
        name="what_works",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "What wor&ks and what is dead"),
        keys=("Ctrl+Shift+T",),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Tick loads by key and see what the dead ones share"
        ),
        line_before=True,
    ),
    Command(
        name="key_off_draw",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Draw with the key off"),
        keys=("Ctrl+Shift+K",),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Add up millivolts across the fuses against the battery"
        ),
    ),
    Command(
        name="short_to_ground",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Short to &ground"),
        keys=("Ctrl+Shift+G",),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Search with a lamp in the fuse's place, branch by branch"
        ),
    ),
    Command(
        name="work_and_odds",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Work and &odds of the search"),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Set what readings cost and how often parts fail"
        ),
        line_before=True,
    ),
)


class FaultMenu(Menu):
    """Looking for a fault: next reading, suspects, notebook of readings, survey."""

    title = QT_TRANSLATE_NOOP("commands", "Faul&t")
    commands = COMMANDS

    def next_reading(self) -> None:
        self._show("next")

    def show_next(self) -> None:
        self._show("next")
        self.window.fault.proposal.show_place()

    def suspects(self) -> None:
        self._show("suspects")

    def readings(self) -> None:
        self._show("readings")

    def set_readings_aside(self) -> None:
        self._show("next")
        self.window.fault.set_all_aside()

    def survey(self) -> None:
        self._survey("grid")

    def survey_results(self) -> None:
        self._survey("results")

    def pull_one(self) -> None:
        self._survey("pulling")

    def _survey(self, page: str) -> None:
        self.window.panes.bring("survey")
        self.window.survey.show_page(page)

    def what_works(self) -> None:
        self.window.fault.jobs.bring("shared")

    def key_off_draw(self) -> None:
        self.window.fault.jobs.bring("draw")

    def short_to_ground(self) -> None:
        self.window.fault.jobs.bring("short")

    def work_and_odds(self) -> None:
        self.window.fault.jobs.bring("work")

    def _show(self, part: str) -> None:
        self.window.panes.bring("fault")
        self.window.fault.show_part(part)
