"""What a clinician named, on its pages: kept at once, over when a clinician says so."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client as Browser

from clients import queries
from clients.models import Client, Condition
from clients.rules.screening import CONDITION, questions
from coach.practice.models import AuditEntry
from tests import factories
from tests.clients.answering import screen
from tests.clients.pages import read, too_much
from tests.factories_clearance import clearance, screening

TODAY = date(2026, 12, 3)
NAMED = {
    "code": "preeclampsia",
    "named_on": "2026-12-02",
    "clinician": "Dr Imelda Roe",
    "text": "since Monday",
}


def days(n: int) -> date:
    return TODAY + timedelta(days=n)


@pytest.fixture
def meret(practice: Any) -> Client:
    """28 weeks and 4 days, who may train."""
    client = factories.client("Meret A.")
    factories.pregnancy(client, due=days(80), dated_by="scan", known_on=days(-60))
    clearance(client, days(-9))
    screening(client, days(-9))
    return client


def word(client: Client) -> str:
    return str(queries.go_ahead_now(client).word)


def name(browser: Browser, client: Client, **changed: str) -> Any:
    return browser.post(f"/clients/{client.pk}/named/add/", {**NAMED, **changed}, follow=True)


def offered(browser: Browser, client: Client) -> dict[str, str]:
    form = browser.get(f"/clients/{client.pk}/named/add/").context["form"]
    return dict(form.fields["code"].choices)


def test_nothing_is_chosen_beforehand_but_the_day(browser: Browser, meret: Client) -> None:
    form = browser.get(f"/clients/{meret.pk}/named/add/").context["form"]
    assert {one: form[one].value() for one in form.fields} == {
        "code": None, "named_on": TODAY, "clinician": None, "text": None,
    }  # fmt: skip


@pytest.mark.parametrize("phase", ["pregnant", "after"])
def test_every_condition_of_her_phase_can_be_named_and_no_sign(
    browser: Browser, practice: Any, phase: str
) -> None:
    client = factories.client()
    over = {"ended": days(-60), "ending": "birth"} if phase == "after" else {}
    factories.pregnancy(client, due=days(80), **over)
    wanted = {
        one.code
        for one in questions().values()
        if one.kind == CONDITION and one.asked and phase in one.phases
    }
    assert set(offered(browser, client)) == {"", *wanted}


def test_what_a_clinician_named_acts_from_the_moment_it_is_kept(
    browser: Browser, meret: Client
) -> None:
    assert word(meret) == "yes"
    answer = name(browser, meret)
    row = Condition.objects.get()
    assert (row.code, row.named_on, row.clinician, row.text, row.origin) == (
        "preeclampsia", days(-1), "Dr Imelda Roe", "since Monday", "clinician",
    )  # fmt: skip
    assert answer.redirect_chain == [(f"/clients/{meret.pk}/", 302)]
    text = read(answer)
    assert "Condition: pre-eclampsia (since Monday) · named by Dr Imelda Roe" in text
    assert "On hold until a clinician answers this by name." in text
    assert word(meret) == "on hold"


@pytest.mark.parametrize(("due", "then"), [(days(99), "yes"), (days(98), "on hold")])
def test_what_begins_at_a_week_acts_from_its_week(
    browser: Browser, practice: Any, due: date, then: str
) -> None:
    """A low placenta: from 26 weeks by the older ACOG/ACSM list; 25w6d and 26w0d today."""
    client = factories.client()
    factories.pregnancy(client, due=due, known_on=days(-60))
    clearance(client, days(-9))
    screening(client, days(-9))
    name(browser, client, code="praevia", text="")
    assert word(client) == then


WRONG = [
    ({"code": ""}, "code", "Choose what was named."),
    ({"code": "moon"}, "code", None),
    ({"code": "dizzy"}, "code", None),
    ({"named_on": ""}, "named_on", "Write the day it was named."),
    ({"named_on": "2026-12-05"}, "named_on", "That day has not come yet."),
    ({"clinician": " "}, "clinician", "Write who named it."),
    ({"code": "medical", "text": ""}, "text", "Say what it is."),
]


@pytest.mark.parametrize(("changed", "field", "sentence"), WRONG)
def test_what_is_wrong_stands_beside_its_field_and_what_was_typed_stays(
    browser: Browser, meret: Client, changed: dict[str, str], field: str, sentence: str | None
) -> None:
    answer = name(browser, meret, **changed)
    form = answer.context["form"]
    assert (answer.status_code, list(form.errors)) == (422, [field])
    assert sentence in {None, form.errors[field][0]}
    sent = {**NAMED, **changed}
    assert {one: form[one].value() for one in sent} == sent
    assert (Condition.objects.count(), word(meret)) == (0, "yes")


# Over


def over(browser: Browser, row: Condition, **changed: str) -> Any:
    sent = {"over_on": "2026-12-03", "said_by": "Dr Imelda Roe", **changed}
    return browser.post(f"/clients/{row.client_id}/named/{row.pk}/over/", sent, follow=True)


@pytest.fixture
def named(browser: Browser, meret: Client) -> Condition:
    name(browser, meret)
    return Condition.objects.get()


def test_it_is_over_when_a_clinician_says_so(
    browser: Browser, meret: Client, named: Condition
) -> None:
    page = f"/clients/{meret.pk}/named/{named.pk}/over/"
    assert page in browser.get(f"/clients/{meret.pk}/").content.decode()
    shown = read(browser.get(page))
    assert "pre-eclampsia (since Monday), named on Wednesday 2 December" in shown
    answer = over(browser, named)
    assert "Over since 3 December 2026, as Dr Imelda Roe said" in read(answer)
    assert page not in answer.content.decode()
    named.refresh_from_db()
    assert (named.over_on, named.over_said_by, word(meret)) == (TODAY, "Dr Imelda Roe", "yes")
    assert str(queries.go_ahead_of(meret, on=days(-1), known=TODAY).word) == "on hold"


def test_an_answer_of_hers_is_over_by_a_clinician_too(browser: Browser, meret: Client) -> None:
    screen(meret, days(-1), heart="yes")
    row = Condition.objects.get()
    assert word(meret) == "on hold"
    over(browser, row)
    assert word(meret) == "yes"


@pytest.mark.parametrize(
    ("changed", "field", "sentence"),
    [
        ({"over_on": ""}, "over_on", "Write since when it is over."),
        ({"over_on": "2026-12-05"}, "over_on", "That day has not come yet."),
        ({"over_on": "2026-12-01"}, "over_on", "That is before the day it was named."),
        ({"said_by": ""}, "said_by", "Write which clinician said so."),
    ],
)
def test_an_end_that_cannot_be_is_refused_beside_its_field(
    browser: Browser, meret: Client, named: Condition, changed: dict[str, str], field: str,
    sentence: str,
) -> None:  # fmt: skip
    answer = over(browser, named, **changed)
    assert answer.status_code == 422
    assert dict(answer.context["form"].errors) == {field: [sentence]}
    assert word(meret) == "on hold"


def test_twice_over_is_refused(browser: Browser, named: Condition) -> None:
    over(browser, named)
    answer = over(browser, named)
    assert dict(answer.context["form"].errors) == {
        "over_on": ["That it is over is recorded already."]
    }


def test_it_is_found_under_its_own_client_only(
    browser: Browser, meret: Client, named: Condition
) -> None:
    other = factories.client()
    paths = [(other.pk, named.pk), (meret.pk, 999)]
    assert [browser.get(f"/clients/{pk}/named/{which}/over/").status_code
            for pk, which in paths] == [404, 404]  # fmt: skip


# Who, and in which words


@pytest.mark.parametrize("role", ["covering coach", "assistant", "bookkeeper"])
def test_nobody_else_names_or_ends_one(
    people: Any, signed_in: Any, meret: Client, named: Condition, role: str
) -> None:
    browser = signed_in(people[role])
    assert name(browser, meret).status_code == 403
    assert over(browser, named).status_code == 403
    assert (Condition.objects.count(), Condition.objects.get().over_on) == (1, None)


def test_each_is_in_the_trail_without_its_values(
    browser: Browser, owner: Any, named: Condition
) -> None:
    over(browser, named)
    entries = AuditEntry.objects.filter(subject_kind="clients.condition")
    told = [(one.actor, one.verb) for one in entries.exclude(verb="looked at").order_by("pk")]
    assert told == [(owner, "recorded"), (owner, "recorded the end of")]
    assert "preeclampsia" not in str(list(entries.values("fields", "reason")))


def test_a_quiet_client_s_pages_name_weeks(browser: Browser, meret: Client) -> None:
    Client.objects.update(quiet=True)
    for code in [code for code in offered(browser, meret) if code]:
        name(browser, meret, code=code, text="the baby is small", clinician="Birth centre")
    for row in Condition.objects.all():
        assert too_much(browser.get(f"/clients/{meret.pk}/named/{row.pk}/over/")) == []
    assert too_much(browser.get(f"/clients/{meret.pk}/named/add/")) == []
    assert too_much(browser.get(f"/clients/{meret.pk}/")) == []
