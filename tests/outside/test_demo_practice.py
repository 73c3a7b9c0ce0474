"""What the demo holds: every case that a page has to show, and the same each time."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from itertools import pairwise

import pytest

from clients.models import Assessment, Client, Pregnancy
from clients.queries import go_ahead_of, roster, words_on
from clients.rules import roster as rules
from coach.billing.models import Sale
from coach.billing.queries.invoices import invoices
from coach.diary.queries import reassessments
from coach.management import demo_practice
from coach.practice.models import Practice, User
from coach.practice.permissions import Role
from coach.practice.queries import problems
from coach.scheduling.values import Stage
from content.models import FitnessClass, Proposal, Series, State, Upload

pytestmark = pytest.mark.usefixtures("demo")


def test_it_is_a_demo_in_galway() -> None:
    found = Practice.objects.get()
    assert (found.is_demo, found.time_zone, found.currency) == (True, "Europe/Dublin", "EUR")
    assert "Galway" in found.address


def test_the_owner_signs_in_and_every_role_is_there() -> None:
    assert User.objects.get(email=demo_practice.EMAIL).check_password(demo_practice.PASSWORD)
    assert set(User.objects.values_list("role", flat=True)) == set(Role)


def test_its_clients_cover_every_stage_and_three_more_time_zones(today: date) -> None:
    lines = roster(today, standing=rules.EVERYBODY).lines
    assert {line.stage for line in lines} == set(Stage)
    assert 43 <= len(lines) <= 48
    assert len(set(Client.objects.values_list("time_zone", flat=True))) == 4
    assert set(Client.objects.values_list("standing", flat=True)) == {"active", "paused", "former"}


def test_it_has_the_cases_that_rules_are_made_for(today: date) -> None:
    pregnancies = list(Pregnancy.objects.all())
    assert any(one.birth_mode == "caesarean" for one in pregnancies)
    assert any(one.expected == 2 for one in pregnancies)
    assert any(one.ending == "loss" and one.client.quiet for one in pregnancies)
    assert any(one.due and one.due < today and not one.ended for one in pregnancies)
    assert max(Counter(one.client_id for one in pregnancies).values()) == 2


def test_its_classes_are_in_every_state_and_three_series() -> None:
    states = Counter(FitnessClass.objects.values_list("state", flat=True))
    assert set(states) == set(State.values)
    assert states["published"] == 40
    assert 58 <= sum(states.values()) <= 62
    assert Series.objects.count() == 3


def test_its_history_is_half_a_year_at_an_uneven_pace(today: date) -> None:
    days = sorted(Upload.objects.filter(item__state="published").values_list("day", flat=True))
    gaps = Counter((later - earlier).days for earlier, later in pairwise(days))
    assert timedelta(days=165) < today - days[0] < timedelta(days=190)
    assert len(gaps) >= 6
    assert days[-1] < today


def test_next_month_is_proposed(today: date) -> None:
    found = Proposal.objects.get()
    assert (found.month, found.status) == (date(2027, 1, 1), "optimal")
    assert found.slots


def test_its_rows_keep_their_places_in_a_calendar_when_it_is_built_anew(today: date) -> None:
    uids = set(Upload.objects.values_list("uid", flat=True))
    expected = {
        demo_practice.stable_uid(f"upload {title}")
        for title in Upload.objects.values_list("item__title", flat=True)
    }
    assert uids == expected
    assert len(uids) == Upload.objects.count()


def test_its_clearances_are_on_file_run_out_before_the_birth_by_word_and_on_hold(
    today: date,
) -> None:
    words = Counter(str(row.word) for row in words_on(today).values())
    assert words["on hold"] == 2
    assert words["run out"] >= 2
    assert words["yes"] + words["yes, with limits"] > words["waiting"] >= 5
    assert words["yes"] >= 3
    assert words["yes, with limits"] >= 5
    kinds = {
        finding.kind
        for client in Client.objects.all()
        for finding in go_ahead_of(client, on=today).reasons
    }
    assert {
        "sign", "against", "before-end", "her-word", "policy-end", "own-end", "no-screening",
        "screening-old", "hold-answer", "gentle", "caesarean", "not-examined",
    } <= kinds  # fmt: skip


def test_it_has_assessments_to_draw_and_reassessments_due(today: date) -> None:
    counts = Counter(Assessment.objects.values_list("client__name", flat=True))
    assert counts["Honora Finch"] == 4
    assert any(one.overdue_days for one in reassessments(today))


def test_its_money_covers_eighteen_months_and_every_state(today: date) -> None:
    rows = invoices(today)
    assert {str(row.status) for row in rows} >= {"draft", "overdue", "paid", "credited"}
    issued = [row.issued_on for row in rows if row.issued_on]
    assert timedelta(days=520) < today - min(issued) < timedelta(days=560)
    assert any(row.client != row.buyer for row in rows)
    assert {sale.kind for sale in Sale.objects.all()} == {"sessions", "weeks"}


def test_nothing_it_holds_is_wrong() -> None:
    assert problems() == []
