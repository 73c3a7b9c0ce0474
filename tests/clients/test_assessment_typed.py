"""Single values as they are typed, against what is published: assessment_typed_table.toml."""

from __future__ import annotations

import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from clients.rules.assessment import Measured, problems, read
from clients.rules.totals import totals
from tests.clients.assessment_words import EVERYTHING

TABLE: dict[str, dict[str, Any]] = tomllib.loads(
    (Path(__file__).parent / "assessment_typed_table.toml").read_text("utf-8")
)
TODAY = date(2026, 12, 3)


def rows(which: str) -> list[Any]:
    return [
        pytest.param(code, text, id=f"{code} {text}")
        for code, row in TABLE.items()
        for text in row[which]
    ]


@pytest.mark.parametrize(("code", "text"), rows("kept"))
def test_what_can_be_is_kept_as_it_was_typed(code: str, text: str) -> None:
    assert str(read(code, text, EVERYTHING)) == text


@pytest.mark.parametrize(("code", "text"), rows("refused"))
def test_what_cannot_be_is_refused_with_a_sentence(code: str, text: str) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        read(code, text, EVERYTHING)


@pytest.mark.parametrize(
    ("code", "text"), [row for row in rows("kept") if "total-" in str(row.values[0])]
)
def test_a_total_has_the_published_word_and_no_other(code: str, text: str) -> None:
    one = totals()[code.removeprefix("total-")]
    assert one.band(float(text)) == TABLE[code]["kept"][text]


@pytest.mark.parametrize("code", [*TABLE, "tension", "pulse", "total-pgq", "note"])
def test_nothing_typed_is_not_asked(code: str) -> None:
    assert [read(code, text, EVERYTHING) for text in ("", "  ")] == [None, None]


@pytest.mark.parametrize(
    "code", ["total-epds", "total-phq9", "total-gad7", "borg", "oxford", "width-nowhere-rest"]
)
def test_instruments_of_mood_and_of_others_have_no_field(code: str) -> None:
    """Thoughts of self-harm are a warning sign with its own way; no total of it is kept."""
    with pytest.raises(KeyError):
        read(code, "9", EVERYTHING)


def counted_in_fingers(width: float) -> list[str]:
    one = Measured(
        1, TODAY, {"width-navel-rest": width}, "Una", "coach", method="fingers", position="crook"
    )
    return [found.field for found in problems(one, today=TODAY)]


def test_fingers_are_never_less_than_none_and_never_more_than_a_hand_can_be() -> None:
    """An overlap is seen by ultrasound and not felt: common practice, no source."""
    assert [counted_in_fingers(width) for width in (0, 0.5, 4)] == [[], [], []]
    assert counted_in_fingers(-1) == ["width-navel-rest"]
    assert counted_in_fingers(28) == ["width-navel-rest"]


def test_a_width_below_nothing_is_kept_by_ultrasound() -> None:
    one = Measured(
        1, TODAY, {"width-below20-rest": -5}, "Imelda Roe", "clinician",
        method="ultrasound", position="crook",
    )  # fmt: skip
    assert problems(one, today=TODAY) == []
    assert one.shown("below20") == -5


def test_no_questionnaire_s_word_is_given_where_none_is_published() -> None:
    assert {code for code, one in totals().items() if not one.bands} == {"pfdi", "pgq"}


def test_the_worked_examples_of_the_percent_totals_are_kept() -> None:
    """PGQ 28 of 72 is 38.9, 30 of 75 is 40.0; PFDI-20 25.0 + 12.5 + 37.5 is 75.0."""
    worked = {"total-pgq": [28 / 72 * 100, 30 / 75 * 100], "total-pfdi": [25.0 + 12.5 + 37.5]}
    for code, values in worked.items():
        for value in values:
            assert read(code, f"{value:.1f}", EVERYTHING) == pytest.approx(value, abs=0.05)
