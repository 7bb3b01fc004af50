"""The command that names suspects and the next reading."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from blockmap import __main__
from blockmap.files.store import load, save
from blockmap.model.document import Reading
from blockmap.resources import layout

DIM = Reading(point="radio", seen="dim", states=("RUN",))


def ran(
    capfd: pytest.CaptureFixture[str], *arguments: str | Path
) -> tuple[int, str, str]:
    capfd.readouterr()
    code = __main__.main([str(argument) for argument in arguments])
    out, err = capfd.readouterr()
    return code, out, err


@pytest.fixture
def dim_radio(tmp_path: Path) -> Path:
    document = load(layout("demo")).document
    path = tmp_path / "radio.blockmap.yaml"
    wrong = Reading(point="F99.b1", value=12.0)
    save(path, replace(document, readings={"a": DIM, "b": wrong}))
    return path


def test_json_has_ranked_suspects_and_the_next_reading(
    dim_radio: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    code, out, _ = ran(capfd, "isolate", dim_radio, "--json")
    assert code == 0
    told: dict[str, Any] = json.loads(out)
    chances = [suspect["probability"] for suspect in told["suspects"]]
    assert chances == sorted(chances, reverse=True)
    assert sum(chances) <= 1.0001
    first = told["suspects"][0]
    # The map notes the load contact of the radio's fuse as spread.
    assert first["element"] == "F5.load"
    assert first["fault"] == "added resistance"
    assert "radio: dim" in first["why"]
    following = told["next"]
    for key in ("point", "state", "expected_v", "expected", "why"):
        assert key in following
    assert told["unused"][0]["reading"] == "b"


def test_the_text_says_where_to_measure_and_warns(
    dim_radio: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    code, out, err = ran(capfd, "isolate", dim_radio)
    assert code == 0
    assert "load contact of F5, added resistance" in out
    assert "Next" in out
    assert "reading b is left out" in err


@pytest.mark.parametrize(
    ("stem", "first", "second"),
    [("demo", "F11.feed", "F11.load"), ("saloon-ceramic-row", "1.feed", "1.load")],
)
def test_the_shipped_readings_end_at_both_contacts(
    stem: str, first: str, second: str, capfd: pytest.CaptureFixture[str]
) -> None:
    # Source: stories T2 and T3 of tests/data/stories.json.
    code, out, _ = ran(capfd, "isolate", layout(stem), "--json")
    assert code == 0
    told = json.loads(out)
    assert told["suspects"][0]["element"] == first
    assert told["suspects"][0]["with"] == second
    assert told["suspects"][0]["probability"] > 0.95
    assert told["contradicted"] == []
    # Nothing is left to find out: what is next proves the repair.
    assert "after the repair" in told["next"]["why"]


def test_a_map_without_readings_still_has_a_next_reading(
    capfd: pytest.CaptureFixture[str],
) -> None:
    code, out, _ = ran(capfd, "isolate", layout("van-two-columns"), "--json")
    assert code == 0
    assert json.loads(out)["next"]["point"]


def test_after_a_repair_it_names_what_is_still_to_be_proved(
    dim_radio: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    document = load(dim_radio).document
    save(dim_radio, replace(document, readings={"a": replace(DIM, aside=True)}))
    code, out, err = ran(capfd, "isolate", dim_radio)
    assert code == 0
    assert out.startswith("Nothing has been read since the repair. Still to prove: ra")
    assert "Suspects" not in out
    assert "Before the repair it was amiss: radio: dim (RUN)" in out
    assert "a is left out: it was taken before a repair and is set aside" in err
