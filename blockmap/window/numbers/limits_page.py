"""The limits of this map: one field each, with the default and its source beside."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QSizePolicy

from blockmap.analysis.numbers.limits import limits_of
from blockmap.model.edits import limit_text, set_limit
from blockmap.reference.limit_rows import LIMIT_ROWS, LimitRow
from blockmap.reference.sources import Status
from blockmap.window.inspector.fields import TextField
from blockmap.window.inspector.form import FormGroup, FormPage
from blockmap.window.numbers.wording import figure_word, tr_number
from blockmap.window.session import Session

__all__ = ["LimitsPage"]


class _LimitsSubject:
    """What the fields read and write: the limits of the open map."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def value(self, path: str) -> str | None:
        """Return a limit as it is typed; empty for the default."""
        return limit_text(path, getattr(self._session.document.limits, path))

    def write(self, path: str, text: str, gesture: object | None = None) -> str | None:
        """Set a limit in one undo step; return the sentence of a refusal."""
        name = figure_word(LIMIT_ROWS[path].label)
        title = tr_number("Set limit “%1”").replace("%1", name)
        return self._session.carry_out(title, set_limit, path, text, gesture=gesture)


class LimitsPage(FormPage):
    """Every limit of `LIMIT_ROWS`; origin_wanted carries the key of a limit."""

    origin_wanted = Signal(str)

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        group = FormGroup(
            tr_number("Limits of this map; an empty field keeps the default")
        )
        self._origins: dict[str, QLabel] = {}
        for key, row in LIMIT_ROWS.items():
            group.add(_field(key, row), wide=True)
            origin = QLabel()
            origin.setWordWrap(True)
            origin.setSizePolicy(
                QSizePolicy.Policy.Preferred, QSizePolicy.Policy.MinimumExpanding
            )
            origin.setTextInteractionFlags(
                Qt.TextInteractionFlag.LinksAccessibleByMouse
                | Qt.TextInteractionFlag.LinksAccessibleByKeyboard
            )
            origin.linkActivated.connect(self.origin_wanted)
            self._origins[key] = origin
            group.add(origin)
        self.add_group(group)
        self.finish()
        session.changed.connect(self._changed)
        self.refresh()

    def field(self, key: str) -> TextField:
        """Return the field of a limit."""
        found = next(field for field in self.fields if field.path == key)
        assert isinstance(found, TextField)
        return found

    def refresh(self) -> None:
        """Show the limits as they are now."""
        subject = _LimitsSubject(self._session)
        limits = limits_of(self._session.document)
        for field in self.fields:
            field.show_subject(subject, fresh=False)
            mine = getattr(limits, field.path) is not None
            self._origins[field.path].setText(_origin(field.path, mine))

    def _changed(self, change: object) -> None:
        if getattr(change, "limits", True):
            self.refresh()


def _unit(row: LimitRow) -> str:
    return "%" if row.share else row.default.unit


def _field(key: str, row: LimitRow) -> TextField:
    unit = _unit(row)
    label = figure_word(row.label)
    return TextField(
        key,
        f"{label} ({unit})" if unit else label,
        figure_word(row.help),
        hint=limit_text(key, row.default.value),
        numeric=True,
    )


def _origin(key: str, mine: bool) -> str:
    """Return the line under a limit: default, how it is known, its source as a link."""
    row = LIMIT_ROWS[key]
    default = f"{limit_text(key, row.default.value)} {_unit(row)}".rstrip()
    said = tr_number("Default %1").replace("%1", default)
    if row.default.sources:
        said += (
            f", {tr_number(row.default.status.value)}: {row.default.sources[0].title}"
        )
    elif row.default.status is Status.COMMON_PRACTICE:
        said += f": {tr_number('common practice, no source')}"
    else:
        said += f": {tr_number(row.default.status.value)}"
    said = said.replace("&", "&amp;").replace("<", "&lt;")
    link = f'<a href="{key}">{tr_number("where from?")}</a>'
    own = f"<b>{tr_number('Set by you.')}</b> " if mine else ""
    return f"{own}{said} {link}"
