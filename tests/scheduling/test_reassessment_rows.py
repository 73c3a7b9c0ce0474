"""When she is seen again: reassessment_independent.toml, written before the rule was read.

Each row is also asked what must hold of all: the next day, after a clean assessment, and with one
symptom more.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from coach.scheduling.dates import TERM_DAYS, Ending, PregnancyDates
from coach.scheduling.reassessment import Due, Found, History, due, policy

TODAY = date(2026, 12, 3)
TABLE: dict[str, dict[str, Any]] = tomllib.loads(
    (Path(__file__).parent / "reassessment_independent.toml").read_text("utf-8")
)
KEYS = {
    "she", "last", "felt", "found", "signs", "came", "allowed", "away", "own", "by", "why",
}  # fmt: skip
ROWS = pytest.mark.parametrize("row", TABLE.values(), ids=[*TABLE])


def day(number: int | None) -> date | None:
    return None if number is None else TODAY + timedelta(days=number)


def sure_day(number: int) -> date:
    return TODAY + timedelta(days=number)


def pregnancies(she: str) -> tuple[PregnancyDates, ...]:
    """ "20 weeks running, 100 weeks after" as dates; ValueError for anything else."""
    return () if she == "not known" else tuple(map(_pregnancy, she.split(", ")))


def _pregnancy(text: str) -> PregnancyDates:
    if hit := re.fullmatch(r"(\d+) weeks running", text):
        return PregnancyDates(due=day(TERM_DAYS - 7 * int(hit[1])))
    if hit := re.fullmatch(r"due (-?\d+)", text):
        return PregnancyDates(due=day(int(hit[1])))
    if hit := re.fullmatch(r"(\d+) weeks after( a loss)?", text):
        ending = Ending.LOSS if hit[2] else Ending.BIRTH
        return PregnancyDates(ended=day(-7 * int(hit[1])), ending=ending)
    raise ValueError(f"nowhere: {text!r}")


def history(row: dict[str, Any]) -> History:
    away = row.get("away", (None, None))
    found = [
        Found(code, code, symptom, *map(sure_day, row[key]))
        for key, code, symptom in (("felt", "heaviness", True), ("found", "doming", False))
        if key in row
    ]
    return History(
        pregnancies=pregnancies(row["she"]),
        last=day(row.get("last")),
        go_ahead_on=day(row.get("allowed")),
        signs_answered=tuple(map(sure_day, row.get("signs", ()))),
        away_from=day(away[0]),
        back_on=day(away[1]),
        findings=tuple(found),
        every_weeks=row.get("own"),
        since=day(row.get("came")),
    )


def wanted(known: History, today: date = TODAY) -> Due | None:
    return due(known, today=today, rules=policy())


def by(found: Due | None) -> date:
    return found.by if found else date.max


@ROWS
def test_by_when_and_why(row: dict[str, Any]) -> None:
    found = wanted(history(row))
    assert (found and (found.by - TODAY).days) == row.get("by")
    assert sorted(one.kind for one in (found.reasons if found else ())) == sorted(
        row.get("why", [])
    )


@ROWS
def test_the_reasons_are_in_words_and_say_where_they_are_from(row: dict[str, Any]) -> None:
    found = wanted(history(row))
    reasons = found.reasons if found else ()
    assert [one.kind for one in reasons if not (one.reason.strip() and one.source)] == []


@ROWS
def test_what_is_unmet_today_is_on_tomorrow_s_list(row: dict[str, Any]) -> None:
    known = history(row)
    today = wanted(known)
    if today and today.by <= TODAY and not any(one.due for one in known.pregnancies):
        for later in (1, 2, 30):
            assert by(wanted(known, sure_day(later))) <= today.by


@ROWS
def test_seen_today_with_nothing_found_the_next_one_never_comes_sooner(row: dict[str, Any]) -> None:
    known = history(row)
    clean = replace(known, last=TODAY, findings=())
    assert by(wanted(clean)) >= by(wanted(known))
    assert by(wanted(clean)) > TODAY


@ROWS
@pytest.mark.parametrize("symptom", [True, False])
@pytest.mark.parametrize("first", [-400, -8, 0])
def test_one_thing_more_found_never_pushes_it_back(
    row: dict[str, Any], symptom: bool, first: int
) -> None:
    known = history(row)
    more = Found("pain", "pelvic pain", symptom, sure_day(first), TODAY)
    assert by(wanted(replace(known, findings=(*known.findings, more)))) <= by(wanted(known))


def test_the_table_is_long_enough_and_says_nothing_unknown() -> None:
    assert len(TABLE) >= 40
    assert {key for row in TABLE.values() for key in row} == KEYS
    with pytest.raises(ValueError, match="nowhere"):
        pregnancies("some weeks after")
