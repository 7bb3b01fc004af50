"""Says a test in words: where, in which view and key state, what to expect, and why."""

from __future__ import annotations

from dataclasses import dataclass

from blockmap.analysis.isolation.assumptions import Access
from blockmap.analysis.isolation.belief import Belief
from blockmap.analysis.isolation.faults import Fault, fault_words
from blockmap.analysis.isolation.network import PROTECTORS, Point, State
from blockmap.analysis.isolation.next_reading import Choice, Shown
from blockmap.analysis.isolation.spoken import key_said, load_said
from blockmap.analysis.isolation.trial import Trial
from blockmap.model.geometry import View
from blockmap.reference.cautions import caution_named

__all__ = ["Answer", "NextReading", "told"]


@dataclass(frozen=True, slots=True)
class Answer:
    """One thing the test may show, with what it leaves and what it rules out."""

    shows: str
    chance: float
    leaves: tuple[str, ...]
    rules_out: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NextReading:
    """One proposed test.

    ``point`` and ``against`` are names of points, ``place`` the cavity and contact to
    show in ``view``. ``expected_v`` is what a sound car shows, None where no meter is
    used. ``said`` is what a person is told the place is called, or both ends of it.
    ``beside`` is the cavity and contact of the other probe, ``expects`` what the
    suspects and a sound car show, in volts from the least to the most.
    ``bits`` is the doubt it is expected to take away, ``minutes`` its work.
    """

    kind: str
    point: str
    against: str
    state: str
    states: tuple[str, ...]
    loads_on: tuple[str, ...]
    out: tuple[str, ...]
    place: tuple[str, str]
    view: View
    access: str
    expected_v: float | None
    expected: str
    answers: tuple[Answer, ...]
    why: str
    warnings: tuple[str, ...]
    bits: float
    minutes: float
    do: str
    said: str
    beside: tuple[str, str] = ("", "")
    expects: tuple[tuple[float, float], ...] = ()


def told(choice: Choice, belief: Belief) -> NextReading:
    """Return a choice in words."""
    trial = choice.trial
    network = belief.network
    lamps = {name for name, at in network.loads.items() if at.with_feed}
    on = tuple(sorted(trial.state.on - lamps))
    state = _state(trial, belief, tuple(n for n in on if n != trial.load))
    keyed = ", ".join(map(key_said, state.split(", ")))
    point, against, place, access = _where(trial, belief)
    metered = trial.kind in ("volts", "drop")
    answers = _answers(choice, belief)
    return NextReading(
        kind=trial.kind,
        point=point,
        against=against,
        state=state,
        states=tuple(sorted(trial.state.words)),
        loads_on=on,
        out=trial.out,
        place=place,
        view=View.REAR if access == Access.REAR else View.FRONT,
        access=access,
        expected_v=choice.sound if metered else None,
        expected=_expected(choice),
        answers=answers,
        why=_why(choice, answers),
        warnings=_warnings(trial, belief, access),
        bits=choice.bits,
        minutes=trial.minutes,
        do=_do(trial, belief, keyed),
        said=("lamp in place of " if trial.kind == "in place" else "")
        + " to ".join(_ends(trial, belief)),
        beside=_beside(trial, place),
        expects=_expects(choice) if metered else (),
    )


def _state(trial: Trial, belief: Belief, on: tuple[str, ...]) -> str:
    """Return the state in words: key, loads that are on, what is out or unplugged."""
    network = belief.network
    below = trial.element if trial.kind == "in place" else -1
    fed = {at.name for at in network.loads_below(below)} if below >= 0 else set()
    if len(fed) > 2 and fed <= trial.state.on:
        said = State(trial.state.words).text() if trial.state.words else ""
        state = f"{said}, all its loads on" if said else "all its loads on"
    elif fed and not fed & trial.state.on:
        state = f"{State(trial.state.words).text()}, all its loads off"
    else:
        state = State(trial.state.words, frozenset(on)).text()
    for name in trial.out:
        element = network.elements[network.by_name[name]]
        gone = "out" if element.kind in PROTECTORS else "unplugged"
        state += f", {element.words} {gone}"
    return state


def _where(trial: Trial, belief: Belief) -> tuple[str, str, tuple[str, str], str]:
    network = belief.network
    if trial.kind == "load":
        at = network.loads[trial.load]
        return trial.load, "", (at.cavity, ""), Access.FRONT
    if trial.point is None:
        element = network.elements[trial.element]
        rear = trial.kind == "looked" and element.kind != "fuse"
        place = (element.cavity, element.contact)
        return element.name, "", place, Access.REAR if rear else Access.FRONT
    point, against = trial.point, trial.against
    work = network.assumed.work
    ends: list[Point] = [point] if against is None else [point, against]
    access = max(ends, key=lambda each: work.minutes(each.access)).access
    shown = next((end for end in ends if end.cavity), point)
    place = (shown.cavity, shown.contact)
    return point.name, against.name if against else "ground", place, access


def _beside(trial: Trial, place: tuple[str, str]) -> tuple[str, str]:
    """Return where the other probe goes, where that is a place of its own."""
    ends = [end for end in (trial.point, trial.against) if end is not None]
    others = [(e.cavity, e.contact) for e in ends if e.cavity]
    return next((each for each in others if each != place), ("", ""))


def _expects(choice: Choice) -> tuple[tuple[float, float], ...]:
    """Return from what to what each likely suspect shows, and the sound car."""
    bands = [(each.low, each.high) for each in choice.answers if each.chance > 0.01]
    ends = [sorted(map(abs, band)) for band in (*bands, (choice.sound, choice.sound))]
    return tuple((low, high) for low, high in ends)


def _ends(trial: Trial, belief: Belief) -> tuple[str, ...]:
    """Return what a person is told the place of a test is called, or both its ends."""
    if trial.kind == "load":
        return (load_said(trial.load),)
    if trial.point is None:
        return (belief.network.elements[trial.element].words,)
    ends = (trial.point, trial.against)
    return tuple(point.words for point in ends if point is not None)


def _do(trial: Trial, belief: Belief, state: str) -> str:
    ends = _ends(trial, belief)
    if trial.kind == "volts":
        return f"Measure volts from {ends[0]} to ground, {state}"
    if trial.kind == "drop":
        return f"Measure volts between {' and '.join(ends)}, {state}"
    if trial.kind == "load":
        return f"Try {ends[0]}, {state}: does it work?"
    if trial.kind == "in place":
        lamp_w = belief.network.assumed.lamp_w
        return f"Put a {lamp_w:g} W lamp in the place of {ends[0]}, {state}"
    if belief.network.elements[trial.element].kind in ("fuse", "link"):
        return f"Look at {ends[0]}: is its element whole?"
    return f"Look at {ends[0]} and tug it: is it firm, clean and unmarked?"


def _expected(choice: Choice) -> str:
    kind = choice.trial.kind
    if kind == "volts":
        return f"about {_volts(choice.sound)}"
    if kind == "drop":
        return f"about {_volts(choice.sound)}"
    if kind == "load":
        return "it works" if abs(choice.sound) > 2 else "it stays dead"
    if kind == "in place":
        return _lamp_word(choice.sound)
    return "whole and firm"


def _volts(value: float) -> str:
    return f"{value:.1f} V" if abs(value) >= 0.95 else f"{1000 * value:.0f} mV"


def _lamp_word(share: float) -> str:
    return "dark" if share < 0.2 else "dim" if share < 0.9 else "full bright"


def _shown(choice: Choice, value: float) -> str:
    kind = choice.trial.kind
    if kind in ("volts", "drop"):
        return f"about {_volts(value)}"
    if kind == "in place":
        return _lamp_word(value)
    if kind == "looked":
        return "broken or loose" if value > 0.4 else "whole and firm"
    whole = choice.sound if abs(choice.sound) > 2 else 12.0
    share = value / whole
    return "dead" if share < 0.25 else "dim or slow" if share < 0.86 else "works"


def _named(belief: Belief, fault: Fault) -> str:
    if fault.identity:
        return belief.mix_ups[fault.identity - 1].words
    if fault.element < 0:
        return fault_words(fault.kind)
    elements = belief.network.elements
    name = elements[fault.element].words
    if fault.second >= 0:
        name += f" with {elements[fault.second].words}"
    return f"{name}, {fault_words(fault.kind)}"


def _answers(choice: Choice, belief: Belief) -> tuple[Answer, ...]:
    """Part the likely suspects by what the test shows under each."""
    if not choice.answers:
        return ()
    known = [each for each in choice.answers if each.chance > 0.01]
    ranked = sorted(
        known or choice.answers[:2], key=lambda each: -round(each.middle, 6)
    )
    parted: list[list[Shown]] = []
    for each in ranked:
        gap = max(3 * choice.sigma, 0.08 * abs(each.middle))
        last = parted[-1][-1].middle if parted else 0.0
        same = parted and _shown(choice, last) == _shown(choice, each.middle)
        if parted and (abs(last - each.middle) < gap or same):
            parted[-1].append(each)
        else:
            parted.append([each])
    found = []
    for part in parted:
        chance = sum(each.chance for each in part)
        inside = tuple(_named(belief, each.fault) for each in part)
        outside = tuple(_named(belief, each.fault) for each in ranked)
        gone = tuple(name for name in outside if name not in inside)
        found.append(Answer(_shown_by(choice, part), chance, inside, gone))
    return tuple(found)


def _shown_by(choice: Choice, part: list[Shown]) -> str:
    """Return what the suspects of one part show: a band where their size is open."""
    ends = min(each.low for each in part), max(each.high for each in part)
    low, high = sorted(ends, key=abs)
    if choice.trial.kind in ("volts", "drop"):
        one, other = _volts(low), _volts(high)
        if abs(high - low) > max(3 * choice.sigma, 0.2 * abs(high)) and one != other:
            return f"{one} to {other}"
    chance = sum(each.chance for each in part)
    middle = sum(each.chance * each.middle for each in part) / max(chance, 1e-12)
    return _shown(choice, middle)


def _why(choice: Choice, answers: tuple[Answer, ...]) -> str:
    if choice.bits == 0.0:
        return f"after the repair it proves it: a sound one shows {_expected(choice)}"
    if len(answers) < 2:
        return f"it takes {choice.bits:.1f} bits off the doubt"
    return "; ".join(
        f"{answer.shows} leaves {_few(answer.leaves)}" for answer in answers[:3]
    )


def _few(names: tuple[str, ...]) -> str:
    if len(names) <= 3:
        return " or ".join(names)
    return f"{', '.join(names[:2])} or {len(names) - 2} more"


def _warnings(trial: Trial, belief: Belief, access: str) -> tuple[str, ...]:
    found = []
    if trial.kind in ("volts", "drop"):
        found.append(caution_named("female terminals").text)
    if access == Access.REAR:
        found.append(caution_named("battery").text)
        if trial.kind in ("volts", "drop"):
            found.append(
                "Connect the battery again only when the block hangs clear and "
                "nothing can touch."
            )
    if trial.kind == "in place":
        found.append(caution_named("test lamp").text)
        found.append(caution_named("airbag").text)
    if trial.out and belief.network.loads:
        found.append(caution_named("circuit off").text)
    return tuple(found)
