"""Totals of questionnaires: what is taken, which word, and tables that are refused."""

from __future__ import annotations

import copy
import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clients.rules.assessment import Catalogue, Measured, problems, read
from clients.rules.measured_words import number_measures
from clients.rules.measuring import default_sites
from clients.rules.totals import read_totals, totals
from tests.conftest import TODAY

KNOWN = Catalogue(default_sites())
DATA = tomllib.loads(Path("clients/data/totals.toml").read_text())


@pytest.mark.parametrize(
    ("code", "typed", "words"),
    [
        ("iciq", "22", "A total from 0 to 21."),
        ("iciq", "-1", "A total from 0 to 21."),
        ("iciq", "7.5", "A whole number."),
        ("severity3", "5", "No answers come to that: 0, 1, 2, 3, 4, 6, 8."),
        ("severity3", "9", "A total from 0 to 8."),
        ("severity4", "10", "No answers come to that: 0, 1, 2, 3, 4, 6, 8, 9, 12."),
        ("pfdi", "75.25", "At most 1 decimal."),
        ("pgq", "100.1", "A total from 0 to 100."),
        ("pgq", "forty", "Write a number."),
        ("pgq", "nan", "Write a number."),
        ("pgq", "1e400", "Write a number."),
    ],
)
def test_what_cannot_be_a_total_is_refused_in_a_sentence(code: str, typed: str, words: str) -> None:
    with pytest.raises(ValueError, match=r"\w") as refused:
        read(f"total-{code}", typed, KNOWN)
    assert str(refused.value) == words


@pytest.mark.parametrize(
    ("code", "typed", "kept"),
    [("iciq", "13", 13), ("pfdi", "75,5", 75.5), ("pgq", "40.0", 40), ("severity4", "12", 12)],
)
def test_what_is_taken(code: str, typed: str, kept: float) -> None:
    found = read(f"total-{code}", typed, KNOWN)
    assert (found, type(found)) == (kept, type(kept))


def test_an_empty_total_was_not_asked_and_an_unknown_one_is_none_of_ours() -> None:
    assert read("total-iciq", " ", KNOWN) is None
    with pytest.raises(KeyError):
        read("total-mood", "3", KNOWN)


@given(st.sampled_from(sorted(totals())), st.integers(-10, 400))
def test_a_word_goes_with_the_last_band_that_a_total_reaches(code: str, value: int) -> None:
    one = totals()[code]
    reached = [word for least, word in one.bands if value >= least]
    assert one.band(Decimal(value)) == (reached[-1] if reached else "")


def test_an_assessment_may_hold_a_total_alone() -> None:
    one = Measured(1, TODAY, {"total-iciq": 13}, "Una", "coach")
    assert problems(one, today=TODAY) == []
    assert list(number_measures(one, KNOWN)) == ["ICIQ-UI SF 13 (severe)"]


def test_a_total_without_published_levels_is_said_without_a_word() -> None:
    one = Measured(1, TODAY, {"total-pfdi": 75.5, "total-pgq": 40}, "Una", "coach")
    assert list(number_measures(one, KNOWN)) == ["PFDI-20 75.5", "Pelvic Girdle Questionnaire 40"]


BROKEN: list[dict[str, Any]] = [
    {"code": "a-b"},
    {"code": ""},
    {"name": ""},
    {"source": ""},
    {"better": "up"},
    {"digits": 2},
    {"least": 21},
    {"bands": [[6, "moderate"], [1, "slight"]]},
    {"bands": [[22, "beyond"]]},
]


@pytest.mark.parametrize("changed", BROKEN, ids=str)
def test_a_broken_table_is_refused_with_the_row_named(changed: dict[str, Any]) -> None:
    data = copy.deepcopy(DATA)
    data["total"][0] |= changed
    with pytest.raises(ValueError, match="is not sound") as refused:
        read_totals(data)
    assert repr(data["total"][0]["code"]) in str(refused.value)


def test_a_code_twice_is_refused() -> None:
    with pytest.raises(ValueError, match="'iciq' is not sound"):
        read_totals({"total": [DATA["total"][0], DATA["total"][0]]})
