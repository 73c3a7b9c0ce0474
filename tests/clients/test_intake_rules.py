"""The pure rules of the form: what stays said, how datings compare, what the data must be."""

from __future__ import annotations

import tomllib
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from clients.rules import consents
from clients.rules.consents import purposes, read_purposes
from clients.rules.intake import (
    LinkState,
    Said,
    Step,
    graver,
    gravest,
    phase_of,
    state_of,
    steps_for,
    with_changed,
    with_said,
)
from clients.rules.intake_health import asked_in, counted, in_words
from clients.rules.intake_review import told_otherwise
from clients.rules.intake_words import PLAIN, QUIET, step_title
from clients.rules.pregnancies import PregnancyFacts
from clients.rules.redating import Redating
from clients.rules.words import says_too_much
from coach.scheduling.dates import due_from_last_period

NOON = datetime(2026, 12, 3, 12, tzinfo=UTC)
TODAY = date(2026, 12, 3)


def saying(draft: dict[str, Any], *said: Said, days: int = 0) -> dict[str, Any]:
    later = timedelta(days=days)
    return with_said(draft, said, now=NOON + later, today=TODAY + later)


def test_what_was_said_first_keeps_its_day() -> None:
    draft = saying(saying({}, Said("blood", "yes", "stop")), Said("blood", "yes", "stop"), days=4)
    assert draft["said"]["blood"]["on"] == "2026-12-03"


def test_a_yes_takes_the_place_of_not_knowing_and_not_the_other_way_round() -> None:
    draft = saying(saying({}, Said("heart", "unsure", "hold")), Said("heart", "yes", "stop"))
    draft = saying(draft, Said("heart", "unsure", "hold"), days=1)
    assert (draft["said"]["heart"]["answer"], gravest(draft)) == ("yes", "stop")


def test_a_change_is_noted_once_and_takes_nothing_away() -> None:
    draft = saying({}, Said("blood", "yes", "stop"))
    draft = with_changed(draft, {"blood": "no"}, now=NOON)
    draft = with_changed(draft, {"blood": "no"}, now=NOON + timedelta(hours=1))
    assert draft["was_yes"] == {
        "blood": {"said_at": NOON.isoformat(), "changed_at": NOON.isoformat()}
    }
    assert gravest(draft) == "stop"


def test_what_begins_at_a_later_week_is_no_alarm_yet() -> None:
    assert gravest(saying({}, Said("twins", "yes", "note"))) == ""


@pytest.mark.parametrize(
    ("one", "two", "found"), [("", "hold", "hold"), ("minor", "stop", "stop"), ("", "", "")]
)
def test_the_graver_of_two(one: str, two: str, found: str) -> None:
    assert (graver(one, two), graver(two, one)) == (found, found)


@pytest.mark.parametrize(
    ("situation", "recorded", "phase"),
    [
        ("carrying", "after", "pregnant"),
        ("delivered", "pregnant", "after"),
        ("lost", "", "after"),
        ("tell", "pregnant", "pregnant"),
        ("tell", "", ""),
        ("neither", "pregnant", ""),
        ("", "after", "after"),
    ],
)
def test_her_own_word_says_which_questions_are_hers(
    situation: str, recorded: str, phase: str
) -> None:
    assert phase_of({"steps": {"now": {"situation": situation}}}, recorded) == phase


def test_where_the_phase_is_not_known_the_questions_of_both_are_asked() -> None:
    for step in (Step.SIGNS, Step.HEALTH):
        both = set(asked_in(step, "pregnant")) | set(asked_in(step, "after"))
        assert set(asked_in(step, "")) == both


@pytest.mark.parametrize(
    ("typed", "twins", "triplets"), [("1", "no", "no"), ("2", "yes", "no"), ("3", "no", "yes")]
)
def test_the_number_expected_answers_two_questions(typed: str, twins: str, triplets: str) -> None:
    assert counted({"how_many": typed}) == {"twins": twins, "triplets": triplets}


@pytest.mark.parametrize("typed", ["", "two", "-1", "²"])
def test_no_number_answers_nothing(typed: str) -> None:
    assert counted({"how_many": typed}) == {}


def test_every_question_is_put_to_her_and_quiet_ones_say_nothing_too_much() -> None:
    asked = [one for step in (Step.SIGNS, Step.HEALTH) for one in asked_in(step, "").values()]
    words = [in_words(one, quiet=quiet) for one in asked for quiet in (False, True)]
    about_her = {"she", "her", "herself", "hers"}
    assert [one for one in words if about_her & set(one.casefold().split())] == []
    assert [one for one in words[1::2] if says_too_much(one)] == []


def test_the_quiet_words_of_the_form_say_nothing_too_much() -> None:
    said = [str(getattr(QUIET, name)) for name in QUIET.__slots__]  # type: ignore[attr-defined]  # a dataclass with slots
    said += [step_title(step, True) for step in Step]
    assert [words for words in said if says_too_much(words)] == []
    assert [code for code, _ in QUIET.situations] == [code for code, _ in PLAIN.situations]


LAST_PERIOD = date(2025, 1, 1)
ON_RECORD = PregnancyFacts(due=due_from_last_period(LAST_PERIOD), dated_by="last-period")


def warned(apart: int, age_days: int | None, dated_by: str = "scan") -> Redating:
    assert ON_RECORD.due
    told = PregnancyFacts(due=ON_RECORD.due + timedelta(days=apart), dated_by=dated_by)
    scan = LAST_PERIOD + timedelta(days=age_days) if age_days is not None else None
    return told_otherwise(ON_RECORD, told, scan)


@pytest.mark.parametrize(
    ("age_days", "limit"),
    [(62, 5), (63, 7), (97, 7), (98, 7), (111, 7), (112, 10), (153, 10), (154, 14), (195, 14),
     (196, 21)],
)  # fmt: skip
def test_more_than_the_limit_of_the_scans_day_is_for_the_clinician(
    age_days: int, limit: int
) -> None:
    """ACOG Committee Opinion 700 (2017), table 1, the first and last day of each row."""
    for sign in (1, -1):
        assert not warned(sign * limit, age_days).clinicians
        beyond = warned(sign * (limit + 1), age_days)
        assert (beyond.clinicians, "send her there" in beyond.sentence) == (True, True)


def test_where_the_scans_day_is_not_known_the_strictest_limit_counts() -> None:
    assert not warned(5, None).clinicians
    assert warned(6, None).clinicians
    assert "more than the allowed 5 days (the strictest" in warned(6, None).sentence


def test_a_transfer_is_not_redated_by_a_scan() -> None:
    stored = PregnancyFacts(due=ON_RECORD.due, dated_by="transfer-5")
    told = PregnancyFacts(due=date(2025, 10, 9), dated_by="scan")
    found = told_otherwise(stored, told, None)
    assert (found.clinicians, "by transfer" in found.sentence) == (True, True)


@pytest.mark.parametrize("dated_by", ["clinician", "conception", "transfer-5"])
def test_what_has_no_published_limit_is_for_the_clinician(dated_by: str) -> None:
    found = warned(1, None, dated_by)
    assert (found.sentence, found.clinicians) == (
        "1 day apart. Ask her clinician which one holds.", True,
    )  # fmt: skip


def state(**values: Any) -> LinkState:
    none = dict.fromkeys(("mailed_at", "opened_at", "withdrawn_at", "sent_at", "reviewed_at"), None)
    usual = {"now": NOON, "expires_at": NOON + timedelta(days=14), "started": False}
    return state_of(**{**usual, **none, **values})


def test_a_state_is_the_last_thing_that_happened() -> None:
    assert [
        state(),
        state(opened_at=NOON),
        state(opened_at=NOON, started=True),
        state(expires_at=NOON),
        state(withdrawn_at=NOON, expires_at=NOON),
        state(sent_at=NOON, expires_at=NOON),
        state(sent_at=NOON, reviewed_at=NOON),
    ] == ["made", "opened", "started", "run out", "withdrawn", "sent", "reviewed"]


def test_only_who_is_carrying_has_the_screen_of_dates() -> None:
    assert Step.DATES in steps_for({"steps": {"now": {"situation": "carrying"}}})
    assert Step.DATES not in steps_for({"steps": {"now": {"situation": "tell"}}})


def data() -> dict[str, Any]:
    path = Path(consents.__file__).parent.parent / "data" / "consents.toml"
    return tomllib.loads(path.read_text())


def test_each_purpose_is_asked_by_itself_and_only_keeping_is_needed() -> None:
    """GDPR Article 7(4): what a service does not need is not made its condition."""
    assert {code: one.needed for code, one in purposes().items()} == {
        "health": True, "clinician": False, "email": False, "recording": False,
    }  # fmt: skip
    assert "Strand Row Movement" in purposes()["health"].words("Strand Row Movement")


def test_an_earlier_version_can_still_be_read() -> None:
    rows = data()
    rows["purpose"][0]["text"].append({"version": "2", "words": "Other words."})
    one = read_purposes(rows)["health"]
    assert (one.version, one.words("X")) == ("2", "Other words.")
    assert one.words("X", "1").startswith("I agree that X keeps")


@pytest.mark.parametrize("wrong", ["title", "text", "code", "words"])
def test_data_that_are_not_sound_stop_the_start(wrong: str) -> None:
    rows = data()
    first, second = rows["purpose"][:2]
    if wrong == "title":
        first["title"] = ""
    elif wrong == "text":
        first["text"].append(dict(first["text"][0]))
    elif wrong == "code":
        second["code"] = first["code"]
    else:
        first["text"][0]["words"] = "I agree that my baby is named."
    with pytest.raises(ValueError, match="is not sound"):
        read_purposes(rows)
