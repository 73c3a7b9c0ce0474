"""The pages of letters to clinicians, and what each says of a quiet client."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from clients.models import Client, LetterOut
from clients.rules.letter_words import ASKS
from clients.rules.letters import NO_CONSENT
from clients.rules.words import NEVER_IF_QUIET
from coach.practice import files
from coach.practice.models import AuditEntry, Practice, User
from tests import factories
from tests import factories_clearance as health
from tests.clients.everywhere import main_of, pdf_text
from tests.clients.letters import OFFERS, TODAY, consent, letter
from tests.clients.pages import read

ASK = {"reply_to": "una@example.org", "offers": OFFERS, "by_herself": "on"}
REFER = {"reply_to": "una@example.org", "seen": "Dizzy twice.", "asks": "Please see her.",
         "by_herself": "on", "done": ["stopped", "told"]}  # fmt: skip


@pytest.fixture
def her(practice: Practice) -> Client:
    client = factories.client("Maeve Ashgrove", birth_date=date(1993, 5, 4))
    factories.pregnancy(client, due=date(2027, 2, 21), dated_by="scan")
    return client


def address(client: Client, *rest: object) -> str:
    return f"/clients/{client.pk}/letters/" + "".join(f"{part}/" for part in rest)


def test_before_the_first_letter_the_page_says_what_one_is(browser: Browser, her: Client) -> None:
    text = read(browser.get(address(her)))
    assert "No letter yet" in text
    assert NO_CONSENT in text


def test_each_letter_has_one_thing_to_do(browser: Browser, her: Client) -> None:
    consent(her)
    made = letter(her)
    went = letter(her, sent_on=date(2026, 11, 27), sent_how="email")
    late = letter(her, sent_on=date(2026, 11, 26), sent_how="post")
    done = letter(her, sent_on=date(2026, 11, 26), answered_on=date(2026, 12, 1))
    page = browser.get(address(her))
    found = [(one.row.pk, str(one.state)) for one in page.context["letters"]]
    assert found == [
        (done.pk, "answered"), (late.pk, "to chase"), (went.pk, "sent"), (made.pk, "not sent"),
    ]  # fmt: skip
    source = page.content.decode()
    for row, step in ((made, "sent"), (late, "asked"), (went, "answered")):
        assert f'class="do" href="{address(her, "out", row.pk, step)}"' in source
    assert f'class="do" href="{address(her, "out", done.pk)}' not in source
    assert "She agreed on 2 November that you write to her clinician." in read(page)


def test_one_letter_and_thirty_cost_the_same(browser: Browser, her: Client) -> None:
    def queries() -> int:
        with CaptureQueriesContext(
            connection,
        ) as found:
            browser.get(address(her))
        return len(found)

    letter(her, sent_on=date(2026, 11, 26), chased=["2026-12-01"])
    once = queries()
    first = LetterOut.objects.get()
    LetterOut.objects.bulk_create(
        LetterOut(client=her, kind="referral", made_on=TODAY, document=first.document)
        for _ in range(29)
    )
    assert (queries(), LetterOut.objects.count()) == (once, 30)


def test_a_request_is_made_from_what_is_recorded(browser: Browser, her: Client) -> None:
    health.sign(her, date(2026, 12, 1), code="dizzy")
    form = browser.get(address(her, "ask"))
    assert "Dizzy or faint, 1 December 2026" in read(form)
    assert form.context["form"]["offers"].value() == ""
    answer = browser.post(address(her, "ask"), {**ASK, "to_kind": "midwife"}, follow=True)
    assert answer.redirect_chain == [(address(her), 302)]
    assert "Request for clearance not sent" in read(answer)
    again = browser.get(address(her, "ask"))
    assert again.context["form"]["offers"].value() == OFFERS


@pytest.mark.poppler
def test_the_pdf_is_handed_out_to_be_printed(browser: Browser, her: Client, owner: User) -> None:
    health.sign(her, date(2026, 12, 1), code="dizzy")
    browser.post(address(her, "ask"), ASK)
    made = LetterOut.objects.get()
    answer = browser.get(address(her, "out", made.pk))
    assert {name: answer.headers[name] for name in (
        "Content-Type", "Content-Disposition", "X-Content-Type-Options", "Cache-Control",
    )} == {
        "Content-Type": "application/pdf",
        "Content-Disposition": 'attachment; filename="clearance-2026-12-03.pdf"',
        "X-Content-Type-Options": "nosniff",
        "Cache-Control": "no-store",
    }  # fmt: skip
    text = " ".join(pdf_text(answer.content).split())
    assert ("Dizzy or faint, 1 December 2026" in text, "una@example.org" in text) == (True, True)
    seen = AuditEntry.objects.filter(verb="looked at", subject_kind="clients.letterout").get()
    assert (seen.actor, seen.subject_id, seen.fields) == (owner, str(made.pk), ["document"])


@pytest.mark.poppler
def test_a_referral_is_about_the_signs_that_are_ticked(browser: Browser, her: Client) -> None:
    open_one = health.sign(her, date(2026, 12, 1), code="dizzy")
    answered = health.sign(her, date(2026, 11, 1), code="headache")
    health.clearance(her, date(2026, 11, 2), answers=(answered.pk,))
    form = browser.get(address(her, "refer")).context["form"]
    assert [pk for pk, _ in form.fields["signs"].choices] == [str(open_one.pk), str(answered.pk)]
    assert (form["signs"].value(), form["asks"].value()) == ([str(open_one.pk)], ASKS)
    browser.post(address(her, "refer"), {**REFER, "signs": [str(open_one.pk)]})
    text = " ".join(pdf_text(files.read(LetterOut.objects.get().document)).split())
    assert "Dizzy or faint, 1 December 2026 Dizzy twice." in text
    assert "stopped at once. She was told to contact you or her clinic the same day. Her training" \
        " is on hold" in text  # fmt: skip


@pytest.mark.parametrize(
    ("page", "sent", "changed", "field", "sentence"),
    [
        ("ask", ASK, {"reply_to": ""}, "reply_to", "Write an e-mail or postal address."),
        ("ask", ASK, {"offers": " "}, "offers",
         "Say what you offer: a clinician can judge only what she knows of."),
        ("ask", ASK, {"by_herself": ""}, "by_herself",
         "Without her consent it goes no other way: tick this."),
        ("ask", ASK, {"offers": "x" * 901}, "offers", None),
        ("ask", ASK, {"to_kind": "magician"}, "to_kind", None),
        ("refer", REFER, {"seen": ""}, "seen",
         "Say what it is about: tick a sign, or write it here."),
        ("refer", REFER, {"asks": ""}, "asks", "Say what you ask."),
        ("refer", REFER, {"done": ["magic"]}, "done", None),
    ],
)  # fmt: skip
def test_what_is_wrong_stands_beside_its_field_and_nothing_is_kept(
    browser: Browser, her: Client, page: str, sent: dict[str, Any], changed: dict[str, Any],
    field: str, sentence: str | None,
) -> None:  # fmt: skip
    typed = {**sent, "to_name": "Dr Maura Tansey", **changed}
    answer = browser.post(address(her, page), typed)
    form = answer.context["form"]
    assert (answer.status_code, list(form.errors)) == (422, [field])
    assert sentence in {None, form.errors[field][0]}
    assert "Dr Maura Tansey" in answer.content.decode()
    assert LetterOut.objects.count() == 0


def test_sent_chased_and_answered_in_a_form_each(browser: Browser, her: Client) -> None:
    consent(her)
    made = letter(her, made_on=date(2026, 11, 20))
    said = health.clearance(her, date(2026, 12, 1))
    for step, typed in (
        ("sent", {"sent_on": "2026-11-20", "sent_how": "post"}),
        ("asked", {"on": "2026-12-02"}),
        ("answered", {"on": "2026-12-03", "clearance": str(said.pk)}),
    ):
        there = address(her, "out", made.pk, step)
        assert browser.get(there).status_code == 200
        assert browser.post(there, typed)["Location"] == address(her)
    made.refresh_from_db()
    assert (made.sent_on, made.chased, made.answered_on, made.clearance) == (
        date(2026, 11, 20), ["2026-12-02"], TODAY, said,
    )  # fmt: skip


def test_an_answer_without_a_clearance_is_one_too(browser: Browser, her: Client) -> None:
    made = letter(her, sent_on=TODAY)
    browser.post(address(her, "out", made.pk, "answered"), {"on": str(TODAY), "clearance": "none"})
    made.refresh_from_db()
    assert (made.answered_on, made.clearance) == (TODAY, None)


def test_a_step_that_cannot_be_is_told_beside_its_field(browser: Browser, her: Client) -> None:
    made = letter(her)
    there = address(her, "out", made.pk)
    form = browser.get(f"{there}sent/").context["form"]
    assert [code for code, _ in form.fields["sent_how"].choices] == ["herself"]
    for step, typed, field in (
        ("sent", {"sent_on": "2026-12-04", "sent_how": "herself"}, "sent_on"),
        ("sent", {"sent_on": "2026-12-03", "sent_how": "email"}, "sent_how"),
        ("asked", {"on": "2026-12-03"}, "on"),
        ("answered", {"on": "2026-12-03"}, "clearance"),
    ):
        answer = browser.post(f"{there}{step}/", typed)
        assert (answer.status_code, list(answer.context["form"].errors)) == (422, [field])
    made.refresh_from_db()
    assert (made.sent_on, made.answered_on) == (None, None)


def test_one_is_thrown_away_only_while_it_lies_here(browser: Browser, her: Client) -> None:
    went, made = letter(her, sent_on=TODAY), letter(her)
    answer = browser.post(address(her, "out", went.pk, "drop"), follow=True)
    assert "It has gone out: it stays." in read(answer)
    browser.post(address(her, "out", made.pk, "drop"))
    assert LetterOut.objects.get() == went


def test_a_file_that_is_damaged_is_told(browser: Browser, her: Client) -> None:
    made = letter(her)
    files.path_of(made.document).write_bytes(b"age-encryption.org/v1\nnonsense")
    answer = browser.get(address(her, "out", made.pk), follow=True)
    assert "The letter cannot be opened: its file is missing or damaged." in read(answer)


def test_another_client_s_letter_is_not_found_under_her(browser: Browser, her: Client) -> None:
    other = factories.client("Ada Quill")
    made = letter(other)
    for step in ("", "sent/", "asked/", "answered/"):
        assert browser.get(f"{address(her, 'out', made.pk)}{step}").status_code == 404


@pytest.mark.parametrize("role", ["covering coach", "assistant", "bookkeeper", "nobody"])
def test_nobody_else_sees_them(
    people: dict[str, User | None], signed_in: Any, her: Client, role: str
) -> None:
    made, browser = letter(her), signed_in(people[role])
    before = files.path_of(made.document).read_bytes()
    wanted = 302 if role == "nobody" else 403
    for rest in ((), ("ask",), ("refer",), ("out", made.pk), ("out", made.pk, "sent")):
        assert browser.get(address(her, *rest)).status_code == wanted
    assert browser.post(address(her, "out", made.pk, "drop")).status_code == wanted
    assert files.path_of(made.document).read_bytes() == before


@pytest.fixture
def quiet(practice: Practice) -> Client:
    """After a loss, with a caesarean before it, a sign, a condition and texts that say too much."""
    practice.offers = "Pregnancy and postnatal sessions before and after the birth."
    practice.save()
    client = factories.client("Ines Portwood", quiet=True, birth_date=date(1990, 1, 1))
    factories.pregnancy(client, due=date(2024, 5, 1), ended=date(2024, 5, 3), ending="birth",
                        birth_mode="caesarean", born=1, known_on=date(2024, 5, 4))  # fmt: skip
    factories.pregnancy(client, due=date(2027, 5, 1), ended=date(2026, 11, 12), ending="loss",
                        gestation="15w4d", known_on=date(2026, 11, 13))  # fmt: skip
    health.sign(client, date(2026, 12, 1), code="movement", text="the baby moves less")
    client.conditions.create(code="praevia", origin="clinician", text="seen in pregnancy",
                             named_on=date(2026, 11, 1), known_on=date(2026, 11, 1))  # fmt: skip
    return client


def told(text: str) -> list[str]:
    return [word for word in NEVER_IF_QUIET if word in text.casefold()]


def test_the_pages_of_a_quiet_client_say_weeks_and_no_more(browser: Browser, quiet: Client) -> None:
    made = letter(quiet)
    for rest in ((), ("ask",), ("refer",), ("out", made.pk, "sent"), ("out", made.pk, "asked"),
                 ("out", made.pk, "answered")):  # fmt: skip
        answer = browser.get(address(quiet, *rest))
        assert (answer.status_code, told(main_of(answer.content.decode()))) == (200, [])


@pytest.mark.poppler
@pytest.mark.parametrize(("page", "sent"), [("ask", ASK), ("refer", REFER)])
def test_so_do_her_letters(
    browser: Browser, quiet: Client, page: str, sent: dict[str, Any]
) -> None:
    sign = quiet.signs.get()
    assert browser.post(address(quiet, page), {**sent, "signs": [str(sign.pk)]}).status_code == 302
    content = files.read(LetterOut.objects.get().document)
    text = pdf_text(content)
    assert told(text) == []
    assert "3 weeks since" in " ".join(text.split())
    assert told(content.decode("latin-1").split("stream", 1)[0]) == []


def test_what_says_too_much_is_told_beside_its_field(browser: Browser, quiet: Client) -> None:
    answer = browser.post(address(quiet, "ask"), {**ASK, "offers": "After the birth"})
    (sentence,) = answer.context["form"].errors["offers"]
    assert (answer.status_code, told(sentence), LetterOut.objects.count()) == (422, [], 0)
