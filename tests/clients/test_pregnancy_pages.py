"""Adding and changing a pregnancy, and recording how it ended."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser

from clients.models import Client, DueDateChange, Pregnancy
from coach.practice.models import AuditEntry
from tests import factories
from tests.clients.pages import too_much

DUE = date(2027, 2, 21)


@pytest.fixture
def meret(practice: Any) -> Client:
    return factories.client("Meret A.")


@pytest.fixture
def running(meret: Client) -> Pregnancy:
    return factories.pregnancy(meret, due=DUE, dated_by="scan")


def errors(answer: Any) -> dict[str, str]:
    return {name: " ".join(found) for name, found in answer.context["form"].errors.items()}


METHODS = [
    # ACOG Committee Opinion 700 (2017): 280 days; embryos +261 and +263; conception 266, textbook
    ({"dated_by": "clinician", "day": "2027-02-21"}, DUE),
    ({"dated_by": "last-period", "day": "2026-05-17"}, DUE),
    ({"dated_by": "transfer-5", "day": "2026-06-05"}, DUE),
    ({"dated_by": "transfer-3", "day": "2026-06-03"}, DUE),
    ({"dated_by": "conception", "day": "2026-05-31"}, DUE),
    ({"dated_by": "scan", "day": "2026-12-03", "age": "28w4d"}, DUE),
    ({"dated_by": "scan", "day": "2026-12-03", "age": "28+4"}, DUE),
]


@pytest.mark.parametrize(("sent", "due"), METHODS)
def test_each_way_of_knowing_it_gives_the_due_date_and_is_kept(
    browser: Browser, meret: Client, sent: dict[str, str], due: date
) -> None:
    address = f"/clients/{meret.pk}/dates/add/"
    browser.post(address, {"situation": "carrying", "how_many": "2", **sent})
    kept = Pregnancy.objects.get()
    assert (kept.due, kept.dated_by, kept.expected) == (due, sent["dated_by"], 2)


def test_a_second_pregnancy_is_refused_beside_its_field(
    browser: Browser, meret: Client, running: Pregnancy
) -> None:
    sent = {"situation": "carrying", "dated_by": "clinician", "day": "2027-08-01"}
    answer = browser.post(f"/clients/{meret.pk}/dates/add/", sent)
    assert answer.status_code == 422
    assert errors(answer) == {
        "day": "An earlier one has no end recorded: say first how and when that ended."
    }
    assert 'value="2027-08-01"' in answer.content.decode()
    assert Pregnancy.objects.count() == 1


def test_opened_and_kept_again_nothing_changes(
    browser: Browser, meret: Client, running: Pregnancy
) -> None:
    path = f"/clients/{meret.pk}/dates/{running.pk}/"
    text = browser.get(path).content.decode()
    assert "as it stands: 21 February 2027, by scan" in text
    browser.post(path, {"situation": "carrying", "dated_by": "as-it-stands", "how_many": "1"})
    kept = Pregnancy.objects.get()
    assert (kept.due, kept.dated_by, DueDateChange.objects.count()) == (DUE, "scan", 0)
    trail = AuditEntry.objects.order_by("pk").values_list("verb", "subject_kind")
    assert list(trail) == [("looked at", "clients.pregnancy"), ("changed", "clients.pregnancy")]


@pytest.mark.parametrize(("reason", "status"), [("", 422), ("letter of 2 December", 302)])
def test_another_date_asks_why(
    browser: Browser, meret: Client, running: Pregnancy, reason: str, status: int
) -> None:
    sent = {
        "situation": "carrying", "dated_by": "clinician", "day": "2027-02-27", "reason": reason,
    }  # fmt: skip
    answer = browser.post(f"/clients/{meret.pk}/dates/{running.pk}/", sent)
    assert answer.status_code == status
    if not reason:
        assert errors(answer) == {"reason": "Say why the date changes: the earlier one is kept."}
    changes = [(one.old, one.new, one.reason) for one in DueDateChange.objects.all()]
    assert changes == ([(DUE, date(2027, 2, 27), reason)] if reason else [])


OF_A_BIRTH = {"mode": "caesarean", "count": "2", "tear": "second", "wound": " closed, dry "}
OF_A_LOSS = {"weeks": "9+0", "surgery": "yes"}
ENDS = [
    # sent                                        then: ending, and what is known of it
    ({"situation": "delivered", **OF_A_BIRTH},
     ("birth", "caesarean", 2, "second", "closed, dry", "", "", False)),
    ({"situation": "delivered"}, ("birth", "", None, "", "", "", "", False)),
    ({"situation": "lost", **OF_A_LOSS}, ("loss", "", None, "", "", "9w0d", "yes", True)),
    ({"situation": "lost"}, ("loss", "", None, "", "", "", "", True)),
    # what was typed of the other kind of end is not kept
    ({"situation": "lost", **OF_A_BIRTH}, ("loss", "", None, "", "", "", "", True)),
    ({"situation": "delivered", **OF_A_LOSS}, ("birth", "", None, "", "", "", "", False)),
]  # fmt: skip


@pytest.mark.parametrize(("sent", "then"), ENDS)
def test_an_end_is_recorded(
    browser: Browser, meret: Client, running: Pregnancy, sent: dict[str, str], then: Any
) -> None:
    path = f"/clients/{meret.pk}/dates/{running.pk}/end/"
    answer = browser.post(path, {**sent, "ended": "2026-12-02"})
    kept = Pregnancy.objects.select_related("client").get()
    assert (
        kept.ending, kept.birth_mode, kept.born, kept.tear, kept.wound, kept.gestation,
        kept.surgical, kept.client.quiet,
    ) == then  # fmt: skip
    assert (kept.due, kept.dated_by, kept.ended) == (DUE, "scan", date(2026, 12, 2))
    assert answer["Location"] == f"/clients/{meret.pk}/"


WRONG = [
    ({}, "situation", "Choose one"),
    ({"situation": "carrying"}, "situation", "not one of the available"),
    ({"situation": "lost"}, "ended", "Say on which day"),
    ({"situation": "lost", "ended": "2026-12-04"}, "ended", "not come yet"),
    ({"situation": "lost", "ended": "2026-05-30"}, "ended", "after that: check both"),
    (
        {"situation": "delivered", "ended": "2026-12-02", "count": "9"},
        "count",
        "less than or equal",
    ),
    ({"situation": "delivered", "ended": "2026-12-02", "mode": "x"}, "mode", "not one of"),
    ({"situation": "delivered", "ended": "2026-12-02", "tear": "fifth"}, "tear", "not one of"),
    ({"situation": "lost", "ended": "2026-12-02", "weeks": "nine"}, "weeks", "like 9w0d"),
    ({"situation": "lost", "ended": "2026-12-02", "weeks": "46w0d"}, "weeks", "like 9w0d"),
    ({"situation": "lost", "ended": "2026-12-02", "surgery": "x"}, "surgery", "not one of"),
]


@pytest.mark.parametrize(("sent", "field", "words"), WRONG)
def test_a_wrong_end_is_refused_beside_its_field(
    browser: Browser, meret: Client, running: Pregnancy, sent: Any, field: str, words: str
) -> None:
    answer = browser.post(f"/clients/{meret.pk}/dates/{running.pk}/end/", {"x": "1", **sent})
    assert (answer.status_code, list(errors(answer))) == (422, [field])
    assert words in errors(answer)[field]
    kept = Pregnancy.objects.select_related("client").get()
    assert (kept.ending, kept.ended, kept.client.quiet) == ("", None, False)


def test_an_end_recorded_twice_leads_to_where_it_is_changed(
    browser: Browser, meret: Client
) -> None:
    over = factories.pregnancy(meret, due=DUE, ended=date(2026, 12, 1), ending="loss")
    answer = browser.get(f"/clients/{meret.pk}/dates/{over.pk}/end/")
    assert answer["Location"] == f"/clients/{meret.pk}/dates/{over.pk}/"


def test_an_end_can_be_corrected(browser: Browser, meret: Client) -> None:
    over = factories.pregnancy(
        meret, due=DUE, ended=date(2026, 12, 1), ending="birth", birth_mode="vaginal", born=1,
        tear="second", wound="closed",
    )  # fmt: skip
    path = f"/clients/{meret.pk}/dates/{over.pk}/"
    shown = browser.get(path).context["form"].initial
    sent = {name: value for name, value in shown.items() if value is not None}
    assert sent["tear"] == "second"
    browser.post(path, {**sent, "ended": "2026-11-30", "mode": "assisted", "tear": "third"})
    kept = Pregnancy.objects.get()
    assert (kept.ended, kept.birth_mode, kept.born, kept.tear, kept.wound, kept.due) == (
        date(2026, 11, 30), "assisted", 1, "third", "closed", DUE,
    )  # fmt: skip


def test_a_quiet_client_is_asked_in_neutral_words(browser: Browser, meret: Client) -> None:
    row = factories.pregnancy(meret, due=DUE)
    Client.objects.update(quiet=True)
    path = f"/clients/{meret.pk}/dates/{row.pk}/end/"
    for kind in ("delivered", "lost"):
        answer = browser.post(path, {"situation": kind, "step": "1"})
        page = answer.content.decode()
        assert too_much(answer) == []
        assert ('id="id_tear"' in page, 'id="id_weeks"' in page) == (
            kind == "delivered", kind == "lost",
        )  # fmt: skip


def test_the_fields_follow_the_answers(browser: Browser, meret: Client) -> None:
    headers = {"HX-Request": "true", "HX-Target": "dating"}
    for sent, asked in [
        ({}, []),
        ({"situation": "carrying"}, ["dated_by", "how_many"]),
        ({"situation": "carrying", "dated_by": "scan"}, ["dated_by", "day", "age", "how_many"]),
        ({"situation": "delivered"},
         ["ended", "mode", "count", "tear", "wound", "dated_by"]),
        ({"situation": "lost", "dated_by": "conception"},
         ["ended", "weeks", "surgery", "dated_by", "day"]),
    ]:  # fmt: skip
        path = f"/clients/{meret.pk}/dates/add/"
        text = browser.post(path, {**sent, "step": "1"}, headers=headers).content.decode()
        names = (
            "ended", "mode", "count", "tear", "wound", "weeks", "surgery", "dated_by", "day",
            "age", "how_many",
        )  # fmt: skip
        assert [name for name in names if f'id="id_{name}"' in text] == asked
        hidden = [name for name in names if f'type="hidden" name="{name}"' in text]
        assert sorted(hidden + asked) == sorted(names)
