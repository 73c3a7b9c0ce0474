"""The health questions asked on a call: what is asked, kept, said at once, and refused."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client as Browser

from clients import queries
from clients.models import Client, Condition, Screening, WarningSign
from clients.rules.screening import questions_for
from coach.practice.models import AuditEntry
from tests import factories
from tests.clients.pages import read, too_much
from tests.factories_clearance import clearance

TODAY = date(2026, 12, 3)


def days(n: int) -> date:
    return TODAY + timedelta(days=n)


@pytest.fixture
def meret(practice: Any) -> Client:
    """28 weeks and 4 days, with a letter and no answers yet."""
    client = factories.client("Meret A.", emergency_number="112", trains_at="8 Quay Street")
    factories.pregnancy(client, due=days(80), dated_by="scan", known_on=days(-60))
    clearance(client, days(-9))
    return client


def page(client: Client) -> str:
    return f"/clients/{client.pk}/questions/"


def noes(phase: str = "pregnant") -> dict[str, str]:
    return {f"q-{one.code}": "no" for one in questions_for(phase)}


def send(browser: Browser, client: Client, phase: str = "pregnant", **changed: str) -> Any:
    """Every question answered no but for `changed`, by code; "" leaves one open."""
    own = {f"q-{code.replace('_', '-')}": answer for code, answer in changed.items()}
    sent = {"answered_on": TODAY.isoformat(), **noes(phase), **own}
    return browser.post(page(client), {k: v for k, v in sent.items() if v}, follow=True)


def word(client: Client) -> str:
    return str(queries.go_ahead_now(client).word)


# What is asked


def test_every_question_of_her_phase_is_asked_once_and_nothing_is_chosen(
    browser: Browser, meret: Client
) -> None:
    answer = browser.get(page(meret))
    form = answer.context["form"]
    asked = [name for name in form.fields if name.startswith("q-")]
    assert asked == [f"q-{one.code}" for one in questions_for("pregnant")]
    assert {form[name].value() for name in asked} == {None}
    assert form["answered_on"].value() == TODAY
    text = answer.content.decode()
    assert text.count('type="radio"') == 3 * len(asked)
    assert "checked" not in text


def test_emergencies_come_first_with_the_number_of_the_place_where_she_is(
    browser: Browser, meret: Client
) -> None:
    answer = browser.get(page(meret))
    groups = answer.context["form"].groups
    assert [group.name for group in groups] == ["emergency", "sign", "condition"]
    assert "A yes: the local emergency number first, 112" in read(answer)
    Client.objects.update(away_until=days(3), away_emergency_number="15", away_at="Lyon")
    assert "the local emergency number first, 15" in read(browser.get(page(meret)))
    Client.objects.update(away_emergency_number="")
    assert "it is not known here, ask her" in read(browser.get(page(meret)))


def test_each_question_has_its_sources_under_its_own_number(
    browser: Browser, meret: Client
) -> None:
    """The identities of the published lists: ACOG CO 804, the Canadian guideline and the rest."""
    groups = browser.get(page(meret)).context["form"].groups
    told = {
        int(question.label.partition(".")[0]): source
        for group in groups
        for question, source in zip(group.questions, group.sources, strict=True)
    }
    wanted = questions_for("pregnant")
    assert told == {number: one.source for number, one in enumerate(wanted, 1)}
    firsts = [group.first for group in groups]
    assert firsts == [1, *(group.first for group in groups[1:])]
    assert [int(group.questions[0].label.partition(".")[0]) for group in groups] == firsts


@pytest.mark.parametrize(
    ("pregnancies", "phase"),
    [
        ([{"due": days(80)}], "pregnant"),
        ([{"due": days(-5)}], "pregnant"),
        ([{"due": days(-30), "ended": days(-30), "ending": "birth"}], "after"),
        ([{"due": days(200), "ended": days(-3), "ending": "loss"}], "after"),
        ([], "pregnant"),
        ([{}], "pregnant"),
    ],
)
def test_the_set_is_that_of_her_phase_and_the_longer_one_where_it_is_not_known(
    browser: Browser, practice: Any, pregnancies: list[dict[str, Any]], phase: str
) -> None:
    client = factories.client()
    for one in pregnancies:
        factories.pregnancy(client, **one)
    shown = browser.get(page(client)).context["form"].questions
    assert list(shown) == questions_for(phase)


@pytest.mark.parametrize("phase", ["pregnant", "after"])
def test_a_quiet_client_is_asked_the_same_in_other_words(
    browser: Browser, practice: Any, phase: str
) -> None:
    client = factories.client(quiet=True)
    over = {"ended": days(-60), "ending": "birth"} if phase == "after" else {}
    factories.pregnancy(client, due=days(80), **over)
    answer = browser.get(page(client))
    assert list(answer.context["form"].questions) == questions_for(phase)
    assert too_much(answer) == []
    assert too_much(send(browser, client, phase, heart="yes")) == []


# What is kept


def test_all_answered_no_and_a_letter_is_a_yes(browser: Browser, meret: Client) -> None:
    assert word(meret) == "waiting"
    answer = send(browser, meret)
    row = Screening.objects.get()
    assert (row.phase, row.how, row.complete, row.answered_on) == ("pregnant", "call", True, TODAY)
    assert answer.redirect_chain == [(f"/clients/{meret.pk}/", 302)]
    assert "Kept: every question has its answer." in read(answer)
    assert word(meret) == "yes"
    entries = AuditEntry.objects.filter(verb="recorded", subject_kind="clients.screening")
    assert entries.count() == 1


def test_what_is_left_open_stays_open_and_the_word_waits(browser: Browser, meret: Client) -> None:
    answer = send(browser, meret, smoking="", heart="")
    assert "Kept, not finished: 2 without an answer." in read(answer)
    row = Screening.objects.get()
    assert (row.complete, "heart" in row.answers, word(meret)) == (False, False, "waiting")


def test_a_yes_on_a_form_with_open_questions_acts_all_the_same(
    browser: Browser, meret: Client
) -> None:
    answer = browser.post(
        page(meret), {"answered_on": TODAY.isoformat(), "q-heart": "yes"}, follow=True
    )
    text = read(answer)
    assert "Kept, not finished" in text
    assert "Stop: no exercise now." in text
    assert (Condition.objects.get().code, word(meret)) == ("heart", "on hold")


SAID = [
    ({"heart": "yes"}, "on hold", "Stop: no exercise now. She is on hold."),
    ({"heart": "unsure"}, "waiting", "An answer wants a clinician: until one answers it,"),
    ({"anaemia": "yes"}, "waiting", "An answer wants a clinician: until one answers it,"),
]


@pytest.mark.parametrize(("said", "then", "sentence"), SAID)
def test_an_answer_acts_at_once_and_is_said(
    browser: Browser, meret: Client, said: dict[str, str], then: str, sentence: str
) -> None:
    answer = send(browser, meret, **said)
    assert (word(meret), sentence in read(answer)) == (then, True)


@pytest.mark.parametrize(
    ("due", "then", "sentence"),
    [
        (days(105), "yes", "Kept: every question has its answer."),  # 25w0d
        (days(99), "yes", "Kept: every question has its answer."),  # 25w6d
        (days(98), "on hold", "Stop: no exercise now."),  # 26w0d
    ],
)
def test_what_begins_at_a_week_is_said_by_her_week(
    browser: Browser, practice: Any, due: date, then: str, sentence: str
) -> None:
    """A low placenta: from 26 weeks by the older ACOG/ACSM list, from 28 by the Canadian one."""
    client = factories.client()
    factories.pregnancy(client, due=due, known_on=days(-60))
    clearance(client, days(-9))
    answer = send(browser, client, praevia="yes")
    assert (word(client), sentence in read(answer)) == (then, True)


def test_a_yes_to_a_sign_leads_to_what_to_do_now_the_emergency_first(
    browser: Browser, meret: Client
) -> None:
    answer = send(browser, meret, dizzy="yes", seizure="yes")
    kept = {row.code: row.pk for row in WarningSign.objects.all()}
    assert answer.redirect_chain == [(f"/clients/{meret.pk}/signs/{kept['seizure']}/", 302)]
    assert "Call the local emergency number now: 112" in read(answer)
    assert word(meret) == "on hold"


def test_a_sign_that_was_there_already_leads_to_it(browser: Browser, meret: Client) -> None:
    send(browser, meret, dizzy="yes")
    answer = send(browser, meret, dizzy="yes")
    row = WarningSign.objects.get()
    assert answer.redirect_chain == [(f"/clients/{meret.pk}/signs/{row.pk}/", 302)]


def test_what_was_asked_is_kept_also_where_her_phase_changed_meanwhile(
    browser: Browser, meret: Client
) -> None:
    shown = browser.get(page(meret)).context["asked"]
    meret.pregnancies.update(ended=days(-1), ending="birth")
    sent = {"answered_on": TODAY.isoformat(), "asked": shown, **noes(), "q-growth": "yes"}
    browser.post(page(meret), sent)
    row = Screening.objects.get()
    assert (row.phase, row.complete, row.answers["growth"]["answer"]) == ("pregnant", True, "yes")


# What is refused


WRONG = [
    ({"answered_on": ""}, "answered_on", "Write that day."),
    ({"answered_on": "2026-12-05"}, "answered_on", "That day has not come yet."),
    ({"answered_on": "31/02/2026"}, "answered_on", "Write a day that there is, like 21/02/2027."),
    ({"q-dizzy": "perhaps"}, "q-dizzy", None),
]


@pytest.mark.parametrize(("changed", "field", "sentence"), WRONG)
def test_what_is_wrong_stands_beside_its_field_and_every_answer_stays(
    browser: Browser, meret: Client, changed: dict[str, str], field: str, sentence: str | None
) -> None:
    sent = {"answered_on": TODAY.isoformat(), **noes(), "q-heart": "yes", **changed}
    answer = browser.post(page(meret), sent)
    form = answer.context["form"]
    assert (answer.status_code, list(form.errors)) == (422, [field])
    assert sentence in {None, form.errors[field][0]}
    assert form["q-heart"].value() == "yes"
    assert answer.content.decode().count(" checked") == len(noes()) - (field == "q-dizzy")
    assert (Screening.objects.count(), Condition.objects.count()) == (0, 0)


def test_not_one_answer_is_refused(browser: Browser, meret: Client) -> None:
    answer = browser.post(page(meret), {"answered_on": TODAY.isoformat()})
    assert answer.context["form"].non_field_errors() == ["Not one question has its answer."]
    assert Screening.objects.count() == 0


@pytest.mark.parametrize(
    ("role", "status"),
    [("owner", 200), ("covering coach", 403), ("assistant", 403), ("bookkeeper", 403)],
)
def test_only_who_may_change_health_asks(
    people: Any, signed_in: Any, meret: Client, role: str, status: int
) -> None:
    browser = signed_in(people[role])
    assert browser.get(page(meret)).status_code == status
    assert send(browser, meret).status_code == status
    assert Screening.objects.count() == (status == 200)
