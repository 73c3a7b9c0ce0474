"""What a client's page says, over all that can be recorded; her time and her number."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clients.rules.contact import dialled
from clients.rules.pregnancies import PregnancyFacts
from clients.rules.profile import AT_FORTY_WEEKS, Record, local_time, profile_of
from clients.rules.roster import Person, line_of
from clients.rules.words import NEVER_IF_QUIET
from coach.scheduling.trimesters import SCHEMES
from coach.scheduling.values import Stage

TODAY = date(2026, 12, 3)
PERSON = Person(1, "Ines P.", "", "", "active", datetime(2026, 1, 1, tzinfo=UTC))
DAYS = st.none() | st.integers(-900, 400).map(lambda n: TODAY + timedelta(days=n))
FACTS = st.builds(
    PregnancyFacts,
    due=DAYS,
    dated_by=st.sampled_from(["", "scan", "clinician"]),
    expected=st.integers(1, 3),
    ended=DAYS,
    ending=st.sampled_from(["", "birth", "loss"]),
    birth_mode=st.sampled_from(["", "caesarean"]),
    born=st.none() | st.integers(1, 3),
    tear=st.sampled_from(["", "none", "third"]),
    wound=st.sampled_from(["", "sore since the birth"]),
    gestation=st.sampled_from(["", "9w0d"]),
    surgical=st.sampled_from(["", "yes"]),
)
NAMED = {n: ["a low placenta", "told before the baby came"] for n in range(3)}


@given(facts=st.lists(FACTS, max_size=3), sees_health=st.booleans())
def test_whatever_is_recorded_a_quiet_page_and_line_keep_to_their_words(
    facts: list[PregnancyFacts], sees_health: bool
) -> None:
    records = [Record(n, one) for n, one in enumerate(facts)]
    profile = profile_of(records, TODAY, quiet=True, sees_health=sees_health, conditions=NAMED)
    line = line_of(PERSON, [one.dates for one in facts], TODAY, quiet=True)
    said = (profile.where, profile.asks, profile.facts, profile.told, line.note)
    text = str([*said[:3], [(one.title, one.notes) for one in profile.told], line.note]).lower()
    assert [word for word in NEVER_IF_QUIET if word in text] == []


@given(facts=st.lists(FACTS, max_size=3), quiet=st.booleans())
def test_the_line_and_the_page_agree_on_the_stage_and_on_whom_to_ask(
    facts: list[PregnancyFacts], quiet: bool
) -> None:
    records = [Record(n, one) for n, one in enumerate(facts)]
    profile = profile_of(records, TODAY, quiet=quiet, sees_health=True)
    line = line_of(PERSON, [one.dates for one in facts], TODAY, quiet=quiet)
    today = any(one.due == TODAY and not one.dates.over for one in facts)
    assert line.stage == profile.stage
    assert line.asks == bool(profile.asks) or (today and profile.asks == AT_FORTY_WEEKS)
    assert (line.short == "–") == (line.stage is Stage.UNKNOWN)


ASKS = [
    # due in days, ended   asks
    (1, None, ""),
    (0, None, AT_FORTY_WEEKS),
    (0, TODAY, ""),
    (-1, None, "Past the due date, nothing recorded: ask how she is"),
    (-13, None, "Past the due date, nothing recorded: ask how she is"),
    (-14, None, "Past the due date, nothing recorded: ask how she is"),
]


@pytest.mark.parametrize(("due", "ended", "asks"), ASKS)
def test_from_40_weeks_on_the_page_asks_while_no_end_is_recorded(
    due: int, ended: date | None, asks: str
) -> None:
    facts = PregnancyFacts(
        due=TODAY + timedelta(days=due), ended=ended, ending="birth" if ended else ""
    )
    assert profile_of([Record(1, facts)], TODAY, quiet=False, sees_health=True).asks == asks


def told(facts: PregnancyFacts, **values: Any) -> tuple[str, ...]:
    profile = profile_of([Record(1, facts)], TODAY, quiet=False, sees_health=True, **values)
    return profile.told[0].notes


DUE = date(2026, 9, 20)
# ACOG Committee Opinion 579 (2013, reaffirmed): early term from 37w0d, full term from 39w0d, late
# term from 41w0d, postterm from 42w0d; preterm before 37w0d as textbooks have it.
BANDS = [
    (date(2026, 8, 29), "at 36w6d, preterm"),
    (date(2026, 8, 30), "at 37w0d, early term"),
    (date(2026, 9, 12), "at 38w6d, early term"),
    (date(2026, 9, 13), "at 39w0d, full term"),
    (date(2026, 9, 27), "at 41w0d, late term"),
    (date(2026, 10, 4), "at 42w0d, postterm"),
]


@pytest.mark.parametrize(("ended", "said"), BANDS)
def test_a_birth_is_told_with_its_age_and_its_band(ended: date, said: str) -> None:
    notes = told(PregnancyFacts(due=DUE, ended=ended, ending="birth"))
    assert notes[0].endswith(said)


HOW_IT_WENT = [
    (PregnancyFacts(due=DUE, ended=DUE, ending="birth", tear="second", wound="heals well", born=1),
     ("tear: second degree", "wound: heals well")),
    (PregnancyFacts(due=DUE, ended=DUE, ending="birth", tear="none", expected=2, born=2),
     ("2 babies expected, 2 born", "no tear")),
    (PregnancyFacts(due=DUE, ended=DUE, ending="birth", born=2), ("2 babies",)),
]  # fmt: skip


@pytest.mark.parametrize(("facts", "notes"), HOW_IT_WENT)
def test_a_birth_is_told_with_how_it_went(facts: PregnancyFacts, notes: tuple[str, ...]) -> None:
    assert told(facts)[2:] == notes


LOSSES = [
    (None, "9w0d", "yes", ("Friday 20 November 2026, at 9w0d as told", "with surgery")),
    (date(2027, 7, 9), "", "no", ("Friday 20 November 2026, at 7w0d",
                                  "due Friday 9 July 2027", "without surgery")),
    (date(2027, 7, 9), "9w0d", "", ("Friday 20 November 2026, at 7w0d, 9w0d as told",
                                    "due Friday 9 July 2027")),
    (None, "", "", ("Friday 20 November 2026",)),
]  # fmt: skip


@pytest.mark.parametrize(("due", "gestation", "surgical", "notes"), LOSSES)
def test_a_loss_is_told_with_its_weeks_and_no_band(
    due: date | None, gestation: str, surgical: str, notes: tuple[str, ...]
) -> None:
    facts = PregnancyFacts(
        due=due, ended=date(2026, 11, 20), ending="loss", gestation=gestation, surgical=surgical
    )
    assert told(facts) == notes


def test_a_running_one_is_told_with_how_many_are_expected_and_what_was_named() -> None:
    facts = PregnancyFacts(due=date(2027, 2, 21), dated_by="scan", expected=2)
    assert told(facts, conditions={1: ["a low placenta", "anaemia"], 2: ["of another"]}) == (
        "due Sunday 21 February 2027, by scan", "2 babies expected",
        "named: a low placenta, anaemia",
    )  # fmt: skip


SCHEME_DAYS = [
    # 27w0d: coding says second trimester (28w0d cuts), the manual third (25w0d cuts)
    ("coding", "27 weeks, trimester 2"),
    ("manual", "27 weeks, trimester 3"),
]


@pytest.mark.parametrize(("scheme", "where"), SCHEME_DAYS)
def test_the_trimester_is_cut_as_the_practice_has_chosen(scheme: str, where: str) -> None:
    facts = PregnancyFacts(due=TODAY + timedelta(days=91))
    found = profile_of(
        [Record(1, facts)], TODAY, quiet=False, sees_health=True, scheme=SCHEMES[scheme]
    )
    assert found.where == where


TIMES = [
    # now (UTC)                  her zone               said to a coach in Dublin
    ("2026-12-03T09:00", "Asia/Tokyo", "it is 18:00 where she is"),
    ("2026-12-03T19:30", "Asia/Tokyo", "it is 04:30 on Friday where she is"),
    ("2026-12-03T03:00", "America/New_York", "it is 22:00 on Wednesday where she is"),
    ("2026-12-03T09:00", "Europe/Lisbon", ""),
    # summer time ends in Europe on 25 October 2026 and in New York on 1 November
    ("2026-10-24T12:00", "America/New_York", "it is 08:00 where she is"),
    ("2026-10-26T12:00", "America/New_York", "it is 08:00 where she is"),
    ("2026-11-02T12:00", "America/New_York", "it is 07:00 where she is"),
]


@pytest.mark.parametrize(("now", "zone", "said"), TIMES)
def test_her_local_time(now: str, zone: str, said: str) -> None:
    moment = datetime.fromisoformat(now).replace(tzinfo=UTC)
    assert local_time(moment, zone, "Europe/Dublin") == said


NUMBERS = [
    # typed                   dialled, as RFC 3966 writes a global number
    ("+353 86 123 4567", "+353861234567"),
    ("+353 (0)86 123-4567", "+353861234567"),
    (" +1 (212) 555.0100", "+12125550100"),
    ("086 123 4567", "0861234567"),
    ("", ""),
]


@pytest.mark.parametrize(("typed", "number"), NUMBERS)
def test_a_number_as_a_telephone_takes_it(typed: str, number: str) -> None:
    assert dialled(typed) == number
