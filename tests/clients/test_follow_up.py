"""After a warning sign: the follow-up of the next day, and a sign that was tapped by mistake."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clients import actions, queries
from clients.models import Client, Intake, WarningSign
from coach import clock
from coach.practice.audit import SYSTEM, Actor
from coach.practice.models import AuditEntry, User
from coach.practice.permissions import Role
from coach.scheduling.values import GoAheadWord
from tests import factories, factories_clearance

TODAY = date(2026, 12, 3)
TOLD = {
    "advised_by": "Dr Imelda Roe",
    "advice": "rest until Monday",
    "graded_return": "walks first",
}


def d(days: int) -> date:
    return TODAY + timedelta(days=days)


@pytest.fixture
def meret(practice: Any) -> Client:
    client = factories.client("Meret A.")
    factories.pregnancy(client, due=d(80))
    return client


def record(client: Client, days: int = 0) -> WarningSign:
    return actions.record_warning_sign(by=SYSTEM, client=client, code="dizzy", happened_on=d(days))


def open_on(day: date) -> list[tuple[str, date]]:
    return [(one.client.name, one.by) for one in queries.open_follow_ups(day)]


def trail() -> list[tuple[str, list[str], str]]:
    return [(one.verb, one.fields, one.reason) for one in AuditEntry.objects.order_by("pk")]


def test_it_is_wanted_from_the_next_day_until_it_is_closed(meret: Client) -> None:
    sign = record(meret, -5)
    assert [open_on(d(n)) for n in (0, 1, 9)] == [[], [("Meret A.", d(1))], [("Meret A.", d(1))]]
    actions.close_follow_up(by=SYSTEM, sign=sign, **TOLD)
    assert open_on(d(9)) == []
    row = WarningSign.objects.get()
    assert (row.followed_up_on, row.advised_by, row.advice, row.graded_return) == (
        TODAY, *TOLD.values(),
    )  # fmt: skip
    assert trail()[1:] == [
        ("followed up", ["advice", "advised_by", "followed_up_on", "graded_return"], "")
    ]


def test_closing_it_lifts_nothing_and_an_answer_does_not_close_it(meret: Client) -> None:
    sign = factories_clearance.sign(meret, d(-3))
    actions.close_follow_up(by=SYSTEM, sign=sign, **TOLD)
    assert queries.go_ahead_now(meret).word is GoAheadWord.ON_HOLD
    second = factories_clearance.sign(meret, d(-2))
    factories_clearance.clearance(meret, d(-1), answers=(sign.pk, second.pk))
    assert queries.unanswered_signs(meret, on=TODAY) == []
    assert open_on(TODAY) == [("Meret A.", d(-1))]


@pytest.mark.parametrize("missing", TOLD)
def test_who_advised_what_and_how_she_goes_back_are_all_wanted(meret: Client, missing: str) -> None:
    sign = record(meret)
    with pytest.raises(actions.Refused) as refused:
        actions.close_follow_up(by=SYSTEM, sign=sign, **{**TOLD, missing: "  "})
    assert [one.field for one in refused.value.problems] == [missing]
    assert (WarningSign.objects.get().followed_up_on, len(trail())) == (None, 1)


def test_it_is_closed_once(meret: Client) -> None:
    sign = record(meret)
    actions.close_follow_up(by=SYSTEM, sign=sign, **TOLD)
    with pytest.raises(actions.Refused, match="nothing to follow up"):
        actions.close_follow_up(by=SYSTEM, sign=sign, **{**TOLD, "advice": "another"})
    assert WarningSign.objects.get().advice == TOLD["advice"]


def test_the_list_costs_the_same_for_one_and_for_thirty(meret: Client) -> None:
    def cost() -> int:
        with CaptureQueriesContext(connection) as captured:
            found = queries.open_follow_ups(d(1))
        assert len(found) == WarningSign.objects.count()
        return len(captured)

    record(meret)
    one = cost()
    for _ in range(29):
        record(factories.client())
    assert (one, cost()) == (1, 1)


def test_one_tapped_by_mistake_stays_in_the_history_and_counts_no_more(
    owner: User, meret: Client
) -> None:
    sign = record(meret)
    before = queries.go_ahead_now(meret).word
    actions.withdraw_warning_sign(by=Actor(owner), sign=sign, reason=" another client’s ")
    row = queries.signs_of(meret)[0]
    assert (row.withdrawn_on, row.withdrawn_reason) == (TODAY, "another client’s")
    assert (before, queries.go_ahead_now(meret).word) == (GoAheadWord.ON_HOLD, GoAheadWord.WAITING)
    assert (open_on(d(1)), queries.spans_as_the_facts_say()) == ([], [])
    fields = ["withdrawn_on", "withdrawn_reason"]
    assert trail()[1:] == [("withdrew", fields, "another client’s")]


def test_only_the_owner_takes_one_back(practice: Any, meret: Client) -> None:
    sign = record(meret)
    helpers = [factories.person(role) for role in Role if role != Role.OWNER]
    for user in (*helpers, None):
        with pytest.raises(actions.Refused, match="Only the owner"):
            actions.withdraw_warning_sign(by=Actor(user), sign=sign, reason="mistake")
    assert WarningSign.objects.get().withdrawn_on is None


def test_not_one_that_she_wrote_in_a_form(owner: User, meret: Client) -> None:
    sign = record(meret)
    form = Intake.objects.create(client=meret, expires_at=clock.now())
    WarningSign.objects.update(intake=form)
    with pytest.raises(actions.Refused, match="wrote it herself"):
        actions.withdraw_warning_sign(by=Actor(owner), sign=sign, reason="mistake")


def test_only_on_the_day_it_was_recorded(
    owner: User, meret: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    sign = record(meret)
    monkeypatch.setenv("COACH_TODAY", d(1).isoformat())
    with pytest.raises(actions.Refused, match="on an earlier day"):
        actions.withdraw_warning_sign(by=Actor(owner), sign=sign, reason="mistake")
    assert queries.go_ahead_now(meret).word is GoAheadWord.ON_HOLD


def test_with_a_reason_and_once(owner: User, meret: Client) -> None:
    sign = record(meret)
    with pytest.raises(actions.Refused, match="Say what was wrong"):
        actions.withdraw_warning_sign(by=Actor(owner), sign=sign, reason=" ")
    actions.withdraw_warning_sign(by=Actor(owner), sign=sign, reason="mistake")
    with pytest.raises(actions.Refused, match="withdrawn already"):
        actions.withdraw_warning_sign(by=Actor(owner), sign=sign, reason="again")
