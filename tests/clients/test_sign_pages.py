"""A warning sign on its pages: the list, a tap, and what to do."""

from __future__ import annotations

from datetime import UTC, date, datetime
from html.parser import HTMLParser
from typing import Any

import pytest
from django.test import Client as Browser

from clients.models import Client, Intake, WarningSign
from clients.rules.warning_signs import warning_signs
from coach.practice.models import AuditEntry
from tests import factories
from tests.clients.pages import read
from tests.factories_clearance import clearance, sign

EMERGENCY = "Call the local emergency number now"


@pytest.fixture
def meret(practice: Any) -> Client:
    client = factories.client("Meret A.", phone="+353 86 123")
    factories.pregnancy(client, due=date(2027, 2, 21))
    return client


class Buttons(HTMLParser):
    """The buttons of a page in their order: (value, disabled)."""

    def __init__(self, source: str) -> None:
        super().__init__()
        self.found: list[tuple[str, bool]] = []
        self.feed(source.partition("<main")[2].partition("</main>")[0])

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "button":
            given = dict(attrs)
            self.found.append((given.get("value") or "", "disabled" in given))


def test_every_sign_of_her_stage_is_a_button_emergencies_first(
    browser: Browser, meret: Client
) -> None:
    answer = browser.get(f"/clients/{meret.pk}/signs/add/")
    buttons = Buttons(answer.content.decode()).found
    wanted = [one for one in warning_signs().values() if "pregnant" in one.stages]
    assert [value for value, _ in buttons[1:]] == [one.code for one in wanted]
    urgent = [warning_signs()[value].emergency for value, _ in buttons[1:]]
    assert urgent == sorted(urgent, reverse=True)
    assert urgent[0]


def test_enter_in_a_field_sends_no_sign(browser: Browser, meret: Client) -> None:
    """HTML, 4.10.22.2: a form whose first button is disabled is not sent by Enter."""
    answer = browser.get(f"/clients/{meret.pk}/signs/add/")
    assert Buttons(answer.content.decode()).found[0] == ("", True)


def test_movement_is_not_asked_after_the_end(browser: Browser, practice: Any) -> None:
    """CDC urgent maternal warning signs: movements are a sign of a running pregnancy alone."""
    client = factories.client()
    factories.pregnancy(client, due=date(2026, 9, 1), ended=date(2026, 9, 1), ending="birth")
    source = browser.get(f"/clients/{client.pk}/signs/add/").content.decode()
    values = [value for value, _ in Buttons(source).found]
    assert ("movement" in values, "heavy-blood" in values) == (False, True)


def test_one_tap_records_it_for_today_and_says_what_to_do(browser: Browser, meret: Client) -> None:
    clearance(meret, date(2026, 12, 1))
    answer = browser.post(f"/clients/{meret.pk}/signs/add/", {"code": "dizzy"}, follow=True)
    row = WarningSign.objects.get()
    assert (row.code, row.happened_on, row.known_on, row.text) == (
        "dizzy", date(2026, 12, 3), date(2026, 12, 3), "",
    )  # fmt: skip
    assert answer.redirect_chain == [(f"/clients/{meret.pk}/signs/{row.pk}/", 302)]
    text = read(answer)
    assert [words for words in ("Stop.", "Refer her.", "On hold.") if words not in text] == []
    assert "Meret A. is on hold until a clinician has answered this sign by name." in text
    assert EMERGENCY not in text
    assert "On hold Since today" in read(browser.get(f"/clients/{meret.pk}/"))


def test_an_emergency_says_its_number_before_anything_else(browser: Browser, meret: Client) -> None:
    answer = browser.post(f"/clients/{meret.pk}/signs/add/", {"code": "breath"}, follow=True)
    text = read(answer)
    assert 0 < text.index(EMERGENCY) < text.index("Stop.")
    assert "ACOG Committee Opinion 804 (2020)" in text


def test_an_earlier_day_and_a_note_are_kept(browser: Browser, meret: Client) -> None:
    sent = {"code": "dizzy", "happened_on": "2026-11-30", "text": "on the stairs"}
    answer = browser.post(f"/clients/{meret.pk}/signs/add/", sent, follow=True)
    row = WarningSign.objects.get()
    assert (row.happened_on, row.known_on) == (date(2026, 11, 30), date(2026, 12, 3))
    assert "Dizzy or faint (on the stairs)" in read(answer)
    assert "Happened on Monday 30 November" in read(answer)


def test_a_second_tap_on_the_same_sign_leads_to_the_first(browser: Browser, meret: Client) -> None:
    page = f"/clients/{meret.pk}/signs/add/"
    places = [browser.post(page, {"code": code})["Location"] for code in ("dizzy", "dizzy", "leg")]
    rows = list(WarningSign.objects.values_list("code", flat=True))
    assert (places[0] == places[1], places[1] == places[2], rows) == (True, False, ["dizzy", "leg"])


@pytest.mark.parametrize(
    ("sent", "field", "sentence"),
    [
        ({}, "code", "Tap one of the signs."),
        ({"code": "hiccups"}, "code", "That is none of the signs."),
        ({"code": "heavy-blood"}, "code", "That is none of the signs."),
        ({"code": "other"}, "text", "Say what it is."),
        ({"code": "dizzy", "happened_on": "2026-12-09"}, "happened_on",
         "That day has not come yet."),
        ({"code": "dizzy", "happened_on": "soon"}, "happened_on",
         "Write a day that there is, like 21/02/2027."),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_and_nothing_is_kept(
    browser: Browser, meret: Client, sent: dict[str, str], field: str, sentence: str
) -> None:
    page = f"/clients/{meret.pk}/signs/add/"
    answer = browser.post(page, {"text": "" if field == "text" else "she rang", **sent})
    assert (answer.status_code, answer.context["form"].errors) == (422, {field: [sentence]})
    assert '<details class="days" open>' in answer.content.decode()
    assert ("she rang" in answer.content.decode()) == (field != "text")
    assert WarningSign.objects.count() == 0


def test_the_page_of_an_answered_sign_says_so(browser: Browser, meret: Client) -> None:
    row = sign(meret, date(2026, 12, 1))
    clearance(meret, date(2026, 12, 2), answers=(row.pk,))
    text = read(browser.get(f"/clients/{meret.pk}/signs/{row.pk}/"))
    assert ("A clinician has answered this sign." in text, "is on hold" in text) == (True, False)


def test_a_sign_is_found_under_its_own_client_only(browser: Browser, meret: Client) -> None:
    row = sign(meret, date(2026, 12, 1))
    other = factories.client("Tal R.")
    assert browser.get(f"/clients/{other.pk}/signs/{row.pk}/").status_code == 404


def test_each_look_at_a_sign_is_in_the_trail(browser: Browser, owner: Any, meret: Client) -> None:
    row = sign(meret, date(2026, 12, 1))
    browser.get(f"/clients/{meret.pk}/signs/{row.pk}/")
    entry = AuditEntry.objects.latest("pk")
    assert (entry.actor, entry.verb, entry.subject_kind, entry.subject_id) == (
        owner, "looked at", "clients.warningsign", str(row.pk),
    )  # fmt: skip


PLACE: dict[str, Any] = {"trains_at": "7 Orchard Row, Oranmore", "emergency_number": "112"}
AWAY: dict[str, Any] = {
    "away_at": "Pension Adler",
    "away_emergency_number": "144",
    "away_until": date(2026, 12, 9),
}


def of(code: str, **place: Any) -> str:
    """The address of the page of a sign of today."""
    client = factories.client("Tal R.", **place)
    factories.pregnancy(client, due=date(2027, 2, 21))
    return f"/clients/{client.pk}/signs/{sign(client, date(2026, 12, 3), code=code).pk}/"


AT_ONCE = [
    # place, emergency                what the page says at once
    (PLACE, "Call the local emergency number now: 112 She is at 7 Orchard Row, Oranmore. Stop."),
    ({**PLACE, **AWAY}, "Call the local emergency number now: 144 She is at Pension Adler. Stop."),
    ({}, "the one of the place where she is. It is not known: ask her. "
         "Where she is is not known: ask her. Stop."),
    ({**PLACE, **AWAY, "away_emergency_number": ""},
     "It is not known: ask her. She is at Pension Adler. Stop."),
]  # fmt: skip


@pytest.mark.parametrize(("place", "said"), AT_ONCE)
def test_an_emergency_names_the_number_and_the_address_of_where_she_is_now(
    browser: Browser, practice: Any, place: dict[str, Any], said: str
) -> None:
    assert said in read(browser.get(of("breath", **place)))


@pytest.mark.parametrize(
    ("place", "said"),
    [(PLACE, "she calls the local emergency number, 112."),
     ({}, "she calls the local emergency number: it is not known here, ask her.")],
)  # fmt: skip
def test_another_sign_names_it_for_when_it_gets_worse(
    browser: Browser, practice: Any, place: dict[str, Any], said: str
) -> None:
    assert said in read(browser.get(of("dizzy", **place)))


DAYS = [
    # sent                                            happened, known
    ({}, (3, 3)),
    ({"happened": "yesterday"}, (2, 3)),
    ({"happened": "yesterday", "known": "yesterday"}, (2, 2)),
    ({"happened": "other", "happened_on": "2026-12-01"}, (1, 3)),
    ({"happened": "other", "happened_on": "2026-12-01", "known": "other",
      "known_on": "2026-12-02"}, (1, 2)),
    ({"happened": "today", "happened_on": "2026-12-01"}, (1, 3)),
]  # fmt: skip


@pytest.mark.parametrize(("sent", "kept"), DAYS)
def test_when_it_happened_and_when_it_was_learned_are_two_days(
    browser: Browser, meret: Client, sent: dict[str, str], kept: tuple[int, int]
) -> None:
    browser.post(f"/clients/{meret.pk}/signs/add/", {"code": "dizzy", **sent})
    row = WarningSign.objects.get()
    assert (row.happened_on.day, row.known_on.day) == kept


@pytest.mark.parametrize(
    ("sent", "field", "sentence"),
    [({"happened": "other"}, "happened_on", "Write that day."),
     ({"known": "other"}, "known_on", "Write that day."),
     ({"known": "yesterday"}, "known_on", "That is before it happened.")],
)  # fmt: skip
def test_days_that_cannot_be_are_said_beside_the_field(
    browser: Browser, meret: Client, sent: dict[str, str], field: str, sentence: str
) -> None:
    answer = browser.post(f"/clients/{meret.pk}/signs/add/", {"code": "dizzy", **sent})
    assert (answer.status_code, answer.context["form"].errors) == (422, {field: [sentence]})
    assert WarningSign.objects.count() == 0


def test_no_day_of_the_form_answers_for_a_symptom(browser: Browser, meret: Client) -> None:
    """Only the two days are chosen beforehand, and no sign is."""
    source = browser.get(f"/clients/{meret.pk}/signs/add/").content.decode()
    assert (source.count(" checked"), 'name="code" value' in source) == (2, True)
    assert 'type="hidden" name="code"' not in source


FOLLOWED = {"advised_by": "Dr Roe", "advice": "rest", "graded_return": "walks first"}


def test_the_follow_up_is_closed_with_who_advised_what_and_lifts_nothing(
    browser: Browser, meret: Client
) -> None:
    row = sign(meret, date(2026, 12, 2))
    page = f"/clients/{meret.pk}/signs/{row.pk}/"
    assert "The next day not followed up yet" in read(browser.get(page))
    text = read(browser.post(f"{page}follow-up/", FOLLOWED, follow=True))
    assert "followed up on Thursday 3 December Who advised her Dr Roe What rest" in text
    assert "is on hold until a clinician has answered this sign by name" in text
    assert "Close the follow-up" not in text


@pytest.mark.parametrize("missing", FOLLOWED)
def test_a_follow_up_wants_all_three_and_keeps_what_was_typed(
    browser: Browser, meret: Client, missing: str
) -> None:
    row = sign(meret, date(2026, 12, 2))
    sent = {**FOLLOWED, missing: ""}
    answer = browser.post(f"/clients/{meret.pk}/signs/{row.pk}/follow-up/", sent)
    assert (answer.status_code, list(answer.context["form"].errors)) == (422, [missing])
    assert [one for one in sent.values() if one not in answer.content.decode()] == []
    assert WarningSign.objects.get().followed_up_on is None


def test_a_mis_tap_is_withdrawn_today_and_stays_in_the_history(
    browser: Browser, meret: Client
) -> None:
    browser.post(f"/clients/{meret.pk}/signs/add/", {"code": "dizzy"})
    page = f"/clients/{meret.pk}/signs/{WarningSign.objects.get().pk}/"
    assert "Withdraw it today" in read(browser.get(page))
    text = read(browser.post(f"{page}withdraw/", {"reason": "meant Tal"}, follow=True))
    assert "Recorded by mistake, withdrawn on 3 December 2026: meant Tal" in text
    assert "On hold" not in text
    assert "Recorded by mistake" in read(browser.get(page))


def test_from_the_next_day_on_only_a_clinician_answers_it(
    browser: Browser, meret: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    browser.post(f"/clients/{meret.pk}/signs/add/", {"code": "dizzy"})
    page = f"/clients/{meret.pk}/signs/{WarningSign.objects.get().pk}/"
    monkeypatch.setenv("COACH_TODAY", "2026-12-04")
    assert "Withdraw it today" not in read(browser.get(page))
    answer = browser.post(f"{page}withdraw/", {"reason": "meant Tal"})
    assert (answer.status_code, WarningSign.objects.get().withdrawn_on) == (422, None)
    assert "only a clinician answers it now" in read(answer)


def test_what_she_wrote_in_a_form_is_never_a_mis_tap(browser: Browser, meret: Client) -> None:
    form = Intake.objects.create(client=meret, expires_at=datetime(2026, 12, 9, tzinfo=UTC))
    row = sign(meret, date(2026, 12, 3), intake=form)
    page = f"/clients/{meret.pk}/signs/{row.pk}/"
    assert "Withdraw it today" not in read(browser.get(page))
    assert browser.post(f"{page}withdraw/", {"reason": "x"}).status_code == 422


def test_the_answer_leads_to_the_clearance_form_with_nothing_chosen(
    browser: Browser, meret: Client
) -> None:
    row = sign(meret, date(2026, 12, 3))
    source = browser.get(f"/clients/{meret.pk}/signs/{row.pk}/").content.decode()
    assert f'href="/clients/{meret.pk}/clearance/add/"' in source
