"""What a client's page says, over all that can be recorded; her time and her number."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clients.rules.contact import dialled
from clients.rules.pregnancies import PregnancyFacts
from clients.rules.profile import Record, local_time, profile_of
from clients.rules.roster import Person, line_of
from clients.rules.words import NEVER_IF_QUIET
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
)


@given(facts=st.lists(FACTS, max_size=3), sees_health=st.booleans())
def test_whatever_is_recorded_a_quiet_page_and_line_keep_to_their_words(
    facts: list[PregnancyFacts], sees_health: bool
) -> None:
    records = [Record(n, one) for n, one in enumerate(facts)]
    profile = profile_of(records, TODAY, quiet=True, sees_health=sees_health)
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
    assert (line.stage, line.asks) == (profile.stage, bool(profile.asks))
    assert (line.short == "–") == (line.stage is Stage.UNKNOWN)


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
