"""A snooze, an interval of her own, a pause, and what waits after a loss: kept, and listed."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clients.actions import (
    Refused,
    add_pregnancy,
    end_snooze,
    record_warning_sign,
    resume,
    set_interval,
    set_standing,
    snooze,
)
from clients.models import (
    Assessment,
    Clearance,
    Client,
    MeasuringPolicy,
    Pregnancy,
    Rhythm,
    Standing,
)
from clients.rules.pregnancies import PregnancyFacts
from coach import clock
from coach.diary.queries import diary_page, reassessments
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice
from tests import factories_diary as made

TODAY = date(2026, 12, 3)
UNTIL = date(2026, 12, 20)


@pytest.fixture(autouse=True)
def _galway(practice: Practice) -> None:
    """Every test has a practice."""


@pytest.fixture
def ines(practice: Practice) -> Client:
    """Wanted since 1 December, every 6 weeks."""
    client = made.afterwards("Ines Prado", date(2026, 7, 1))
    made.assessed(client, date(2026, 10, 20))
    return client


def listed(today: date = TODAY) -> list[str]:
    return [one.name for one in reassessments(today)]


def asleep(today: date = TODAY) -> list[str]:
    return [one.name for one in diary_page(today).snoozed]


def rested(client: Client) -> Client:
    snooze(by=SYSTEM, client=client, until=UNTIL, reason=" On holiday ")
    return client


# Kept


def test_a_snooze_is_kept_with_its_reason_in_one_entry(ines: Client) -> None:
    rested(ines)
    row = Rhythm.objects.get()
    assert (row.snoozed_until, row.snooze_reason) == (UNTIL, "On holiday")
    entry = AuditEntry.objects.get()
    assert (entry.verb, entry.fields) == ("snoozed", ["snooze_reason", "snoozed_until"])
    assert "holiday" not in str(entry.__dict__)


@pytest.mark.parametrize(
    ("until", "reason", "fields"),
    [
        (TODAY, "On holiday", {"until"}),
        (TODAY - timedelta(days=1), "On holiday", {"until"}),
        (TODAY + timedelta(days=367), "On holiday", {"until"}),
        (UNTIL, " ", {"reason"}),
        (UNTIL, "x" * 301, {"reason"}),
        (TODAY, "", {"until", "reason"}),
    ],
)
def test_a_snooze_without_a_reason_or_a_coming_day_is_refused(
    ines: Client, until: date, reason: str, fields: set[str]
) -> None:
    with pytest.raises(Refused) as refused:
        snooze(by=SYSTEM, client=ines, until=until, reason=reason)
    assert {one.field for one in refused.value.problems} == fields
    assert not Rhythm.objects.exists()


def test_the_longest_snooze_is_a_year(ines: Client) -> None:
    snooze(by=SYSTEM, client=ines, until=TODAY + timedelta(days=366), reason="Abroad")
    assert listed() == []


def test_an_interval_is_kept_and_taken_back(ines: Client) -> None:
    for weeks in (9, None):
        set_interval(by=SYSTEM, client=ines, every_weeks=weeks)
        assert Rhythm.objects.get().every_weeks == weeks
    assert [entry.fields for entry in AuditEntry.objects.order_by("pk")] == [["every_weeks"]] * 2


@pytest.mark.parametrize("weeks", [0, 1, 105])
def test_an_interval_that_cannot_be_is_refused(ines: Client, weeks: int) -> None:
    with pytest.raises(Refused, match="From 2 to 104 weeks"):
        set_interval(by=SYSTEM, client=ines, every_weeks=weeks)


def test_the_least_interval_is_the_practice_s(ines: Client) -> None:
    values = {"reassessment": {"least_weeks": 3}}
    MeasuringPolicy.objects.create(begins=date(2026, 1, 1), values=values)
    with pytest.raises(Refused, match="From 3 to 104 weeks"):
        set_interval(by=SYSTEM, client=ines, every_weeks=2)


# Listed, or not


def test_snoozed_she_is_not_listed_before_that_day_and_then_she_is(ines: Client) -> None:
    rested(ines)
    assert (listed(), asleep()) == ([], ["Ines Prado"])
    assert (listed(UNTIL - timedelta(days=1)), listed(UNTIL)) == ([], ["Ines Prado"])
    assert asleep(UNTIL) == []


def test_a_snooze_moves_her_week_and_takes_nobody_out_of_the_weeks(ines: Client) -> None:
    rested(ines)
    weeks = {week.begins: week.number for week in diary_page(TODAY).weeks if week.number}
    assert weeks == {date(2026, 12, 14): 1}


def test_ended_she_is_listed_at_once(ines: Client) -> None:
    rested(ines)
    end_snooze(by=SYSTEM, client=ines)
    assert (listed(), asleep()) == (["Ines Prado"], [])


def test_a_hold_is_not_slept_over(ines: Client) -> None:
    record_warning_sign(by=SYSTEM, client=ines, code="dizzy", happened_on=date(2026, 12, 1))
    rested(ines)
    assert (listed(), asleep()) == (["Ines Prado"], [])


def test_what_was_known_is_slept_over(ines: Client) -> None:
    made.assessed(ines, TODAY, leaking="yes")
    rested(ines)
    assert (listed(), asleep()) == ([], ["Ines Prado"])


@pytest.mark.parametrize("finished", [True, False])
def test_a_symptom_told_later_that_day_is_not(ines: Client, finished: bool) -> None:
    rested(ines)
    at = clock.now() + timedelta(hours=3)
    made.assessed(ines, TODAY, at=at, finished=finished, leaking="yes")
    (one,) = reassessments(TODAY)
    assert (one.snooze and one.snooze.overtaken, asleep()) == (True, [])


def test_a_symptom_told_on_a_later_day_is_not(ines: Client) -> None:
    rested(ines)
    made.assessed(ines, date(2026, 12, 8), leaking="yes")
    assert listed(date(2026, 12, 10)) == ["Ines Prado"]


def test_a_clean_assessment_later_wakes_nobody(ines: Client) -> None:
    rested(ines)
    made.assessed(ines, TODAY, at=clock.now() + timedelta(hours=3), leaking="no")
    assert listed() == []


def test_a_new_interval_does_not_make_what_was_told_since_older(
    ines: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    rested(ines)
    at = clock.now() + timedelta(hours=3)
    made.assessed(ines, TODAY, at=at, leaking="yes")
    monkeypatch.setattr(clock, "now", lambda: at + timedelta(hours=3))
    set_interval(by=SYSTEM, client=ines, every_weeks=9)
    assert listed() == ["Ines Prado"]
    ines.refresh_from_db()
    assert ines.changed_at == at + timedelta(hours=3)


def test_snoozed_again_what_was_told_until_then_is_slept_over(
    ines: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    rested(ines)
    at = clock.now() + timedelta(hours=3)
    made.assessed(ines, TODAY, at=at, leaking="yes")
    monkeypatch.setattr(clock, "now", lambda: at + timedelta(hours=3))
    rested(ines)
    assert listed() == []


@pytest.mark.parametrize(("hours", "wakes"), [(-3, False), (3, True)])
def test_a_sign_answered_since_is_not_slept_over(ines: Client, hours: int, wakes: bool) -> None:
    sign = record_warning_sign(by=SYSTEM, client=ines, code="dizzy", happened_on=date(2026, 12, 1))
    made.letter(ines, date(2026, 12, 2), answers=(sign.pk,))
    rested(ines)
    Clearance.objects.update(created_at=clock.now() + timedelta(hours=hours))
    assert listed() == (["Ines Prado"] if wakes else [])


@pytest.mark.parametrize("zone", ["Europe/Dublin", "Australia/Sydney", "America/New_York"])
def test_a_coming_day_is_one_that_has_begun_nowhere(ines: Client, zone: str) -> None:
    """Nine in the morning by UTC is 3 December in all three."""
    Client.objects.update(time_zone=zone)
    ines.refresh_from_db()
    with pytest.raises(Refused):
        snooze(by=SYSTEM, client=ines, until=TODAY, reason="On holiday")
    snooze(by=SYSTEM, client=ines, until=TODAY + timedelta(days=1), reason="On holiday")
    assert (listed(), listed(TODAY + timedelta(days=1))) == ([], ["Ines Prado"])


# Away and back


def days_away() -> tuple[date | None, date | None]:
    row = Rhythm.objects.get()
    return row.away_from, row.back_on


def test_a_pause_keeps_its_days_and_her_standing_is_still_one_entry(
    ines: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    set_standing(by=SYSTEM, client=ines, standing=Standing.PAUSED)
    assert (days_away(), listed()) == ((TODAY, None), [])
    set_standing(by=SYSTEM, client=ines, standing=Standing.PAUSED)
    monkeypatch.setenv("COACH_TODAY", "2026-12-10")
    set_standing(by=SYSTEM, client=ines, standing=Standing.FORMER)
    assert days_away() == (TODAY, None)
    monkeypatch.setenv("COACH_TODAY", "2026-12-30")
    set_standing(by=SYSTEM, client=ines, standing=Standing.ACTIVE)
    assert days_away() == (TODAY, date(2026, 12, 30))
    entries = AuditEntry.objects.order_by("pk").values_list("verb", "fields")
    assert list(entries) == [
        ("changed", ["standing"]), ("changed", []), ("changed", ["standing"]),
        ("changed", ["standing"]),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("back", "kinds"),
    [
        ("2026-12-24", ["interval", "back"]),
        ("2026-12-23", ["interval"]),
    ],
)
def test_back_after_three_weeks_she_is_wanted_within_a_week(
    ines: Client, back: str, kinds: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    set_standing(by=SYSTEM, client=ines, standing=Standing.PAUSED)
    monkeypatch.setenv("COACH_TODAY", back)
    set_standing(by=SYSTEM, client=ines, standing=Standing.ACTIVE)
    (one,) = reassessments(date(2026, 12, 31))
    assert [finding.kind for finding in one.reasons if finding.kind != "stage"] == kinds


# After a loss


@pytest.fixture
def tove(practice: Practice) -> Client:
    """Quiet, after a loss on 10 October; six weeks are over on 21 November."""
    client = made.afterwards("Tove Rask", date(2026, 10, 10), "loss", quiet=True)
    made.assessed(client, date(2026, 9, 1))
    return client


def waiting() -> list[str]:
    return [one.name for one in diary_page(TODAY).waiting]


def test_after_a_loss_nothing_is_asked_until_it_is_resumed(tove: Client) -> None:
    assert (listed(), waiting()) == ([], ["Tove Rask"])
    resume(by=SYSTEM, client=tove)
    assert (listed(), waiting()) == (["Tove Rask"], [])
    entry = AuditEntry.objects.get()
    assert (entry.verb, entry.fields) == ("resumed", ["resumed_on"])


def test_resumed_before_another_loss_it_waits_again(tove: Client) -> None:
    resume(by=SYSTEM, client=tove)
    Rhythm.objects.update(resumed_on=date(2026, 10, 9))
    assert (listed(), waiting()) == ([], ["Tove Rask"])


def test_quiet_for_another_reason_or_after_a_loss_and_not_quiet_she_is_listed(
    tove: Client,
) -> None:
    Client.objects.update(quiet=False)
    assert (listed(), waiting()) == (["Tove Rask"], [])
    Client.objects.update(quiet=True)
    Pregnancy.objects.update(ending="birth")
    assert (listed(), waiting()) == (["Tove Rask"], [])


def test_a_pregnancy_after_it_asks_by_itself(tove: Client) -> None:
    facts = PregnancyFacts(due=date(2027, 8, 20), dated_by="scan")
    add_pregnancy(by=SYSTEM, client=tove, facts=facts)
    assert (waiting(), len(reassessments(TODAY, within_days=None))) == ([], 1)


def test_paused_she_waits_for_nothing(tove: Client) -> None:
    set_standing(by=SYSTEM, client=tove, standing=Standing.PAUSED)
    assert (listed(), waiting()) == ([], [])


def test_thirty_snoozed_cost_the_queries_of_one(ines: Client, tove: Client) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as captured:
            diary_page(TODAY)
        return len(captured)

    def add(n: int) -> None:
        client = made.afterwards(f"Client {n}", date(2026, 7, 1))
        made.assessed(client, date(2026, 10, 20), leaking="yes")
        rested(client)
        made.afterwards(f"Quiet {n}", date(2026, 10, 10), "loss", quiet=True)

    rested(ines)
    one: Any = queries()
    for n in range(29):
        add(n)
    assert queries() == one
    assert (len(asleep()), len(waiting()), Assessment.objects.count()) == (30, 30, 31)
