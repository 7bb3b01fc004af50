"""Composes YAML text into a tree of texts with places, and refuses what a map never
needs.

Every scalar stays text: the schema says what it means. Refused are aliases, anchors,
merge keys, tags, more than one document, deep nesting, very many values, and keys that
stand twice. It goes on after a refusal where it can, so that all are reported at once.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from blockmap.files.shown import shown_text
from blockmap.model.errors import Problem

__all__ = [
    "MOST_DEPTH",
    "MOST_PROBLEMS",
    "MOST_VALUES",
    "Broken",
    "Composed",
    "Entry",
    "Mapping",
    "Node",
    "Place",
    "Scalar",
    "Sequence",
    "TooManyProblems",
    "compose",
    "problem_list",
]

MOST_DEPTH = 64
"""Deepest nesting; a map needs 9."""

MOST_VALUES = 400_000
"""Most values in one file: 8,000 described cavities, 20,000 bare ones, stay below.

A file with more is refused after about a second, whatever it holds.
"""

MOST_PROBLEMS = 100
"""After so many problems the reading stops: the rest follows from the first."""


class Place(NamedTuple):
    """Line and column, counted from 1."""

    line: int
    column: int


@dataclass(slots=True)
class Scalar:
    """One text; plain tells that it stood without quotes."""

    text: str
    mark: Any
    plain: bool = True


@dataclass(slots=True)
class Mapping:
    """Keys with values, in the order of the file."""

    entries: dict[str, Entry]
    mark: Any


@dataclass(slots=True)
class Sequence:
    """A list."""

    items: list[Node]
    mark: Any


@dataclass(slots=True)
class Broken:
    """Stands where something was refused, so that nothing more is said about it."""

    mark: Any


Node = Scalar | Mapping | Sequence | Broken


class Entry(NamedTuple):
    """The place of a key, and its value."""

    mark: Any
    value: Node


def place_of(mark: Any) -> Place:
    """Return the place of a YAML mark."""
    return Place(mark.line + 1, mark.column + 1)


class TooManyProblems(Exception):
    """Ends the reading once MOST_PROBLEMS are found."""


@dataclass(slots=True)
class ProblemList:
    """The problems found in one file so far."""

    file: str
    found: list[Problem] = field(default_factory=list)

    def add(self, mark: Any, what: str, todo: str = "") -> None:
        """Note a problem at a mark; raise TooManyProblems when there are enough."""
        line, column = place_of(mark) if mark else (0, 0)
        self.found.append(Problem(self.file, line, column, what, todo))
        if len(self.found) >= MOST_PROBLEMS:
            self.found.append(
                Problem(
                    self.file,
                    line,
                    column,
                    f"reading stopped here after {MOST_PROBLEMS} problems",
                    "mend the first ones and try again",
                )
            )
            raise TooManyProblems


def problem_list(file: str) -> ProblemList:
    """Return an empty list for a file of this name."""
    return ProblemList(file)


@dataclass(slots=True)
class Composed:
    """What a text holds: the tree, and whether it ended with YAML's end mark.

    root is None when the text could not be read to its end, or holds nothing.
    comments counts the comments, and first_comment is the line of the first.
    """

    root: Node | None = None
    ended: bool = False
    first_comment: int = 0


def compose(text: str, problems: ProblemList) -> Composed:
    """Return the tree of a text, adding to the problems. Raises TooManyProblems."""
    import yaml

    composer = _Composer(problems, yaml)
    result = Composed()
    try:
        result.root, result.ended = composer.document(_event_source(text, yaml))
    except yaml.MarkedYAMLError as error:
        _add_syntax_error(problems, error, text)
    except yaml.YAMLError as error:  # pragma: no cover - characters are checked before
        problems.add(None, f"this is not YAML: {error}")
    except _Unreadable:
        pass
    else:
        result.first_comment = _first_comment(text, yaml)
    return result


def _event_source(text: str, yaml: Any) -> Callable[[], Any]:
    """Return get_event of the C parser, or of the Python one where C is missing."""
    kind = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    parser = kind(text)  # only its events are used: nothing is constructed
    get: Callable[[], Any] = parser.get_event
    return get


class _Unreadable(Exception):
    """Ends the composing of a text whose problem is already noted."""


class _Composer:
    def __init__(self, problems: ProblemList, yaml: Any) -> None:
        self.problems = problems
        self.yaml = yaml

    def document(self, get: Callable[[], Any]) -> tuple[Node | None, bool]:
        yaml = self.yaml
        get()  # the start of the stream
        start = get()
        if isinstance(start, yaml.StreamEndEvent):
            return None, False
        if start.tags:
            self.problems.add(start.start_mark, "tags have no use in a map", "")
        root, end = self._tree(get)
        following = get()
        if not isinstance(following, yaml.StreamEndEvent):
            self.problems.add(
                following.start_mark,
                "a second document starts here",
                "keep one map a file",
            )
        return root, bool(end.explicit)

    def _tree(self, get: Callable[[], Any]) -> tuple[Node, Any]:
        """Compose events up to the end of the document, without recursion."""
        yaml = self.yaml
        scalar_event, alias_event = yaml.ScalarEvent, yaml.AliasEvent
        map_start, map_end = yaml.MappingStartEvent, yaml.MappingEndEvent
        list_start, list_end = yaml.SequenceStartEvent, yaml.SequenceEndEvent
        top = Sequence([], None)
        holder: Mapping | Sequence = top
        key: Any = None  # the scalar event of the key whose value comes next
        stack: list[tuple[Mapping | Sequence, Any]] = []
        values = 0
        node: Node
        while True:
            event = get()
            kind = type(event)
            values += 1
            if kind is scalar_event:
                if event.anchor is not None or event.tag is not None:
                    self._refuse_properties(event)
                if key is None and type(holder) is Mapping:
                    key = event
                    continue
                style = event.style
                node = Scalar(event.value, event.start_mark, not style or style == ":")
            elif kind is map_start or kind is list_start:
                if event.anchor is not None or event.tag is not None:
                    self._refuse_properties(event)
                self._check_start(event, holder, key, stack)
                stack.append((holder, key))
                holder = (
                    Mapping({}, event.start_mark)
                    if kind is map_start
                    else Sequence([], event.start_mark)
                )
                key = None
                continue
            elif kind is map_end or kind is list_end:
                node = holder
                holder, key = stack.pop()
            elif kind is alias_event:
                self.problems.add(
                    event.start_mark,
                    f"“*{shown_text(event.anchor)}” repeats another part",
                    "write the values out",
                )
                if key is None and type(holder) is Mapping:
                    raise _Unreadable
                node = Broken(event.start_mark)
            else:
                return top.items[0], event
            if values > MOST_VALUES:
                self.problems.add(
                    event.start_mark, f"more than {MOST_VALUES:,} values in one file"
                )
                raise _Unreadable
            if type(holder) is Mapping:
                self._put(holder, key, node)
                key = None
            else:
                holder.items.append(node)  # type: ignore[union-attr]

    def _put(self, holder: Mapping, key: Any, node: Node) -> None:
        name = key.value
        earlier = holder.entries.get(name)
        if earlier is not None:
            self.problems.add(
                key.start_mark,
                f"“{shown_text(name)}” stands twice here; the first is on line "
                f"{earlier.mark.line + 1}",
                "remove one or give it another name",
            )
        elif name == "<<" and not key.style:
            self.problems.add(
                key.start_mark,
                "“<<” takes over another part",
                "write the values out",
            )
        else:
            holder.entries[name] = Entry(key.start_mark, node)

    def _check_start(self, event: Any, holder: Any, key: Any, stack: Any) -> None:
        if len(stack) >= MOST_DEPTH:
            self.problems.add(
                event.start_mark, f"nested deeper than {MOST_DEPTH} levels"
            )
            raise _Unreadable
        if key is None and type(holder) is Mapping:
            self.problems.add(
                event.start_mark,
                "a key must be one word, not a list or a group",
                "quote the text if it starts with a bracket or a brace",
            )
            raise _Unreadable

    def _refuse_properties(self, event: Any) -> None:
        if event.anchor is not None:
            self.problems.add(
                event.start_mark,
                f"“&{shown_text(event.anchor)}” names a part to be repeated",
                "write the values out",
            )
        if event.tag is not None:
            self.problems.add(
                event.start_mark,
                f"the tag “{shown_text(event.tag)}” has no use in a map",
                "remove it, or quote a text that starts with an exclamation mark",
            )


def _add_syntax_error(problems: ProblemList, error: Any, text: str) -> None:
    mark = error.problem_mark or error.context_mark
    what = f"this is not YAML: {error.problem or error.context}"
    if error.context and error.context_mark and error.problem:
        what += f", {error.context} that starts on line {error.context_mark.line + 1}"
    todo = "put texts with a colon, a bracket or a # in double quotes"
    lines = text.splitlines()
    if mark and mark.line < len(lines) and "\t" in lines[mark.line]:
        todo = "indent with spaces, not with tabs"
    problems.add(mark, what, todo)


def _first_comment(text: str, yaml: Any) -> int:
    """Return the line of the first comment, 0 when there is none.

    The parser drops comments, so every # that could start one is looked up among the
    places of the scalars.
    """
    maybe = _next_sign(text, 0)
    if maybe < 0:
        return 0
    starts: list[int] = []
    ends: list[int] = []
    get = _event_source(text, yaml)
    while not isinstance(event := get(), yaml.StreamEndEvent):
        if isinstance(event, yaml.ScalarEvent):
            starts.append(event.start_mark.index)
            ends.append(event.end_mark.index)
    while maybe >= 0:
        before = bisect_right(starts, maybe) - 1
        if before < 0 or maybe >= ends[before]:
            return text.count("\n", 0, maybe) + 1
        maybe = _next_sign(text, maybe + 1)
    return 0


def _next_sign(text: str, start: int) -> int:
    """Return where the next # stands that could start a comment, -1 when none does."""
    found = text.find("#", start)
    while found > 0 and text[found - 1] not in " \t\r\n":
        found = text.find("#", found + 1)
    return found
