"""Who is to be reassessed, from stored rows. The rules themselves: tests/scheduling."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clients.actions import record_warning_sign, set_interval
from clients.models import Client, MeasuringPolicy
from coach.diary.queries import (
    Do,
    Reassessment,
    diary_page,
    reassessment_of,
    reassessments,
)
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice
from coach.scheduling.values import GoAheadWord
from tests import factories_diary as made

TODAY = date(2026, 12, 3)


@pytest.fixture(autouse=True)
def _galway(practice: Practice) -> None:
    """Every test has a practice."""


def late() -> Client:
    """Passed 12 weeks on 24 November, last measured at 8 weeks."""
    client = made.afterwards("Łucja Brzoza", date(2026, 9, 1))
    made.assessed(client, date(2026, 10, 27))
    return client


def the_one(within_days: int | None = None) -> Reassessment:
    (one,) = reassessments(TODAY, within_days=within_days)
    return one


def kinds(one: Reassessment) -> list[str]:
    return [finding.kind for finding in one.reasons]


def test_a_client_who_passed_into_another_stage_is_told_with_day_and_reason() -> None:
    late()
    one = the_one()
    assert (one.name, one.quiet, one.by, one.overdue_days) == (
        "Łucja Brzoza",
        False,
        date(2026, 11, 24),
        9,
    )
    assert [finding.reason for finding in one.reasons] == [
        "Every 4 weeks (common practice); last measured on 27 October",
        "Passed 12 weeks on 24 November; last measured at 8 weeks",
    ]


def test_the_earliest_day_stands_first_and_one_to_come_is_not_late() -> None:
    late()
    made.assessed(made.pregnant("Orla Kinsale", date(2027, 1, 21)), date(2026, 11, 12))
    made.assessed(made.afterwards("Ines Prado", date(2026, 7, 1)), date(2026, 10, 20))
    assert [(one.name, one.by, one.overdue_days) for one in reassessments(TODAY)] == [
        ("Łucja Brzoza", date(2026, 11, 24), 9),
        ("Ines Prado", date(2026, 12, 1), 2),
        ("Orla Kinsale", date(2026, 12, 10), 0),
    ]


def test_only_clients_who_are_coached_now_are_in_it() -> None:
    clients = [
        made.afterwards(standing.title(), date(2026, 7, 1), standing=standing)
        for standing in ("active", "paused", "former")
    ]
    assert [one.name for one in reassessments(TODAY)] == ["Active"]
    assert [len(reassessment_of(one.pk, TODAY).found) for one in clients] == [1, 0, 0]


@pytest.mark.parametrize(("last", "is_in"), [(date(2026, 11, 5), True), (date(2026, 11, 6), False)])
def test_two_weeks_ahead_are_in_it(last: date, is_in: bool) -> None:
    made.assessed(made.afterwards("Orla Kinsale", date(2026, 8, 1)), last)
    assert [one.by for one in reassessments(TODAY)] == ([date(2026, 12, 17)] if is_in else [])
    assert len(reassessments(TODAY, within_days=None)) == 1


@pytest.mark.parametrize(
    ("zone", "by"),
    [
        ("Europe/Dublin", date(2026, 12, 14)),
        ("Australia/Sydney", date(2026, 12, 15)),
        ("America/New_York", date(2026, 12, 14)),
    ],
)
def test_a_first_one_is_wanted_two_weeks_from_the_day_she_came(zone: str, by: date) -> None:
    at = datetime(2026, 11, 30, 20, tzinfo=UTC)
    made.afterwards("Ines Prado", date(2026, 7, 1), created_at=at, time_zone=zone)
    one = the_one()
    assert (one.by, one.first, one.do, kinds(one)) == (by, True, Do.ASSESS, ["first"])


def test_a_first_one_is_wanted_two_weeks_from_her_go_ahead_of_these_weeks() -> None:
    client = made.afterwards("Ines Prado", date(2026, 7, 1))
    made.letter(client, date(2026, 11, 20), known_on=date(2026, 11, 25))
    assert set(client.spans.values_list("word", flat=True)) >= {GoAheadWord.YES}
    assert the_one().by == date(2026, 12, 9)


def test_a_go_ahead_of_earlier_weeks_does_not_count() -> None:
    client = made.pregnant("Ines Prado", date(2026, 10, 20))
    made.letter(client, date(2026, 11, 2), until_birth=True)
    client.pregnancies.update(ended=date(2026, 10, 10), ending="birth")
    client.spans.all().delete()
    client.spans.create(first=date(2026, 9, 1), last=date(2026, 10, 9), word=GoAheadWord.YES)
    client.spans.create(first=date(2026, 10, 10), word=GoAheadWord.WAITING)
    one = the_one()
    assert (one.by, "the day she came" in one.reasons[0].reason) == (date(2026, 11, 21), True)


def test_whoever_is_past_her_date_is_to_be_asked_and_not_measured() -> None:
    made.pregnant("Orla Kinsale", date(2026, 12, 2))
    made.pregnant("Paused", date(2026, 12, 2), standing="paused")
    page = diary_page(TODAY)
    assert (page.now, page.soon) == ((), ())
    assert [one.name for one in page.ask] == ["Orla Kinsale"]


# What was found


def test_a_symptom_found_moves_the_next_one_forward() -> None:
    client = made.afterwards("Ines Prado", date(2026, 7, 1))
    made.assessed(client, date(2026, 12, 1), heaviness="no")
    assert the_one().by == date(2026, 12, 30)
    made.assessed(client, date(2026, 12, 2), heaviness="yes")
    one = the_one()
    assert (one.by, kinds(one)) == (date(2026, 12, 9), ["symptom"])


def test_last_month_s_no_stands_with_its_day_where_the_width_alone_was_touched() -> None:
    client = made.afterwards("Ines Prado", date(2026, 7, 1))
    made.assessed(client, date(2026, 11, 3), heaviness="no")
    made.assessed(client, date(2026, 12, 3), width_navel_rest=19)
    assert the_one().by == date(2026, 12, 30)


def test_last_month_s_yes_is_still_open_where_the_width_alone_was_touched() -> None:
    """Not asked is never no."""
    client = made.afterwards("Ines Prado", date(2026, 7, 1))
    made.assessed(client, date(2026, 11, 3), heaviness="yes")
    made.assessed(client, date(2026, 12, 3), width_navel_rest=19)
    one = the_one()
    assert (one.by, kinds(one)) == (date(2026, 12, 10), ["symptom"])


def test_one_never_finished_counts_for_what_was_found_and_puts_nothing_off() -> None:
    client = made.afterwards("Ines Prado", date(2026, 7, 1))
    made.assessed(client, date(2026, 10, 20))
    before = the_one()
    made.assessed(client, date(2026, 12, 1), finished=False, leaking="yes")
    one = the_one()
    assert (before.by, one.by) == (date(2026, 12, 1), date(2026, 12, 1))
    assert (kinds(one), [each.finding.kind for each in one.also]) == (["interval"], ["symptom"])


# Signs


def signed(client: Client) -> int:
    sign = record_warning_sign(
        by=SYSTEM, client=client, code="dizzy", happened_on=date(2026, 11, 27)
    )
    return sign.pk


def test_on_hold_there_is_nothing_to_start_and_somebody_to_write_to() -> None:
    client = late()
    signed(client)
    one = the_one()
    assert (one.do, one.verb, one.action, one.url) == (
        Do.WRITE, "Write to", "write to her", f"/clients/{client.pk}/",
    )  # fmt: skip
    assert kinds(one) == ["on-hold", "interval", "stage"]
    Client.objects.update(email="lucja@example.org")
    assert the_one().url == "mailto:lucja@example.org"
    assert reassessment_of(client.pk, TODAY).found[0].do is Do.WRITE


def test_not_on_hold_there_is_something_to_start() -> None:
    client = late()
    one = the_one()
    assert (one.do, one.verb, one.action, one.url) == (
        Do.REASSESS, "Reassess", "start", f"/clients/{client.pk}/assess/",
    )  # fmt: skip


def test_an_answered_sign_asks_within_a_week_of_the_day_its_answer_was_known() -> None:
    client = made.afterwards("Ines Prado", date(2026, 7, 1))
    made.assessed(client, date(2026, 11, 20))
    made.letter(client, date(2026, 11, 30), known_on=date(2026, 12, 2), answers=(signed(client),))
    one = the_one()
    assert (one.by, one.do, kinds(one)) == (date(2026, 12, 9), Do.REASSESS, ["sign"])


@pytest.mark.parametrize("values", [{"known_by": "client"}, {"word": "against"}])
def test_what_lifts_nothing_answers_nothing(values: dict[str, Any]) -> None:
    client = made.afterwards("Ines Prado", date(2026, 7, 1))
    made.assessed(client, date(2026, 11, 20))
    row = made.letter(client, date(2026, 11, 30), answers=(signed(client),))
    for name, value in values.items():
        setattr(row, name, value)
    row.save()
    assert "sign" not in kinds(the_one())


@pytest.mark.parametrize("which", ["the letter", "the sign"])
def test_what_was_recorded_by_mistake_asks_nothing(which: str) -> None:
    client = made.afterwards("Ines Prado", date(2026, 7, 1))
    made.assessed(client, date(2026, 11, 20))
    row = made.letter(client, date(2026, 11, 30), answers=(signed(client),))
    wrong = row if which == "the letter" else client.signs.get()
    wrong.withdrawn_on = TODAY
    wrong.save()
    assert "sign" not in kinds(the_one())


# What the practice asks, and what was decided for her


def test_the_practice_s_own_numbers_are_followed_from_their_day_on() -> None:
    made.assessed(made.afterwards("Ines Prado", date(2026, 7, 1)), date(2026, 11, 20))
    MeasuringPolicy.objects.create(
        begins=date(2026, 12, 3), values={"reassessment": {"every-w12-26": 3}}
    )
    days = [reassessments(day, within_days=None)[0].by for day in (date(2026, 12, 2), TODAY)]
    assert days == [date(2026, 12, 30), date(2026, 12, 11)]
    assert "this practice’s own" in the_one().reasons[0].reason


def test_an_interval_decided_for_her_is_followed() -> None:
    client = made.afterwards("Ines Prado", date(2026, 7, 1))
    made.assessed(client, date(2026, 11, 20))
    set_interval(by=SYSTEM, client=client, every_weeks=5)
    assert (the_one().by, "decided for her" in the_one().reasons[0].reason) == (
        date(2026, 12, 25),
        True,
    )


# The page


def test_the_page_parts_those_of_today_from_those_to_come() -> None:
    for name, last in (("Late", 20), ("Today", 22), ("Tomorrow", 23)):
        made.assessed(made.afterwards(name, date(2026, 7, 1)), date(2026, 10, last))
    page = diary_page(TODAY)
    assert [one.name for one in page.now] == ["Late", "Today"]
    assert [one.name for one in page.soon] == ["Tomorrow"]


def test_the_weeks_count_whoever_is_late_in_the_present_one() -> None:
    """3 December 2026 is a Thursday; 12 weeks end on Sunday 21 February."""
    for last in (date(2026, 9, 1), date(2026, 10, 25), date(2026, 10, 26), date(2026, 12, 3)):
        made.assessed(made.afterwards(f"Last {last}", date(2026, 7, 20)), last)
    weeks = diary_page(TODAY).weeks
    assert [week.begins for week in weeks][::11] == [date(2026, 11, 30), date(2027, 2, 15)]
    assert {week.begins: week.number for week in weeks if week.number} == {
        date(2026, 11, 30): 2,  # since October, and Sunday 6 December
        date(2026, 12, 7): 1,
        date(2027, 1, 11): 1,
    }
    assert [week.present for week in weeks] == [True] + [False] * 11
    assert (diary_page(TODAY).in_all, weeks[0].share, weeks[1].share) == (4, 100, 50)


def test_thirty_clients_cost_the_queries_of_one() -> None:
    def queries(read: Any) -> int:
        with CaptureQueriesContext(connection) as captured:
            read(TODAY)
        return len(captured)

    def add() -> None:
        client = late()
        made.letter(client, date(2026, 11, 30), answers=(signed(client),))
        made.pregnant("Never assessed", date(2027, 4, 1))

    add()
    one = [queries(reassessments), queries(diary_page)]
    for _ in range(29):
        add()
    assert [queries(reassessments), queries(diary_page)] == one
    assert len(reassessments(TODAY)) == 60
