"""Two datings side by side: ACOG Committee Opinion 700 (2017), table 1, and its worked case."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client as Browser

from clients.models import Client, DueDateChange, Pregnancy
from clients.rules.pregnancies import PregnancyFacts
from clients.rules.redating import redating
from clients.rules.words import says_too_much
from tests import factories
from tests.clients.pages import read, too_much

# The worked case: last period on 1 January 2025, so 280 days on 8 October 2025.
PERIOD, DUE = date(2025, 1, 1), date(2025, 10, 8)
BY_PERIOD = PregnancyFacts(due=DUE, dated_by="last-period")
BY_SCAN = PregnancyFacts(due=DUE, dated_by="scan")

# First and last day of each row of the table, and the days that are still allowed.
TABLE = [
    (0, 5), (62, 5), (63, 7), (97, 7), (98, 7), (111, 7), (112, 10), (153, 10), (154, 14),
    (195, 14), (196, 21), (280, 21),
]  # fmt: skip


@pytest.mark.parametrize("way", [1, -1])
@pytest.mark.parametrize(("age", "allowed"), TABLE)
def test_a_scan_differs_by_more_than_allowed_from_the_next_day_on(
    age: int, allowed: int, way: int
) -> None:
    on = PERIOD + timedelta(days=age)
    found = [redating(BY_PERIOD, DUE + timedelta(days=way * days), "scan", on)
             for days in (allowed, allowed + 1)]  # fmt: skip
    assert [one and one.clinicians for one in found] == [False, True]


@pytest.mark.parametrize(("age", "allowed"), TABLE)
def test_the_last_period_against_a_scan_counts_her_age_by_the_last_period(
    age: int, allowed: int
) -> None:
    """The scan stands; the last period told later makes a date so many days before it."""
    found = []
    for days in (allowed, allowed + 1):
        due = DUE - timedelta(days=days)
        scan_day = due - timedelta(days=280 - age)
        found.append(redating(BY_SCAN, due, "last-period", scan_day))
    assert [one and one.clinicians for one in found] == [False, True]


def test_the_worked_case_in_its_numbers() -> None:
    """A scan on 4 March 2025, 8w6d by the last period: 8w1d is 5 days off, 8w0d is 6."""
    scan = date(2025, 3, 4)
    kept, sent = (redating(BY_PERIOD, date(2025, 10, day), "scan", scan) for day in (13, 14))
    assert kept
    assert sent
    assert (kept.clinicians, kept.sentence) == (
        False,
        "The two datings are 5 days apart, within the allowed 5 days (at 8w6d by the last period; "
        "ACOG Committee Opinion 700 (2017), table 1): the date by the last period stands. The "
        "choice is yours.",
    )
    assert (sent.clinicians, sent.sentence) == (
        True,
        "The two datings are 6 days apart, more than the allowed 5 days (at 8w6d by the last "
        "period; ACOG Committee Opinion 700 (2017), table 1). Her clinician decides which of them "
        "holds: send her there.",
    )
    assert [says_too_much(one.sentence) for one in (kept, sent)] == [False, False]


def test_where_the_day_of_the_scan_is_not_known_the_strictest_counts() -> None:
    found = [redating(BY_SCAN, DUE + timedelta(days=days), "last-period", None) for days in (5, 6)]
    assert [one and one.clinicians for one in found] == [False, True]
    assert found[0]
    assert "the strictest: the scan’s day is not known" in found[0].sentence


def test_a_scan_before_the_last_period_counts_as_the_first_day() -> None:
    found = redating(BY_PERIOD, DUE - timedelta(days=6), "scan", PERIOD - timedelta(days=3))
    assert found
    assert found.clinicians


@pytest.mark.parametrize("transfer", ["transfer-5", "transfer-3"])
@pytest.mark.parametrize("method", ["scan", "last-period"])
def test_a_transfer_is_not_compared_with_a_table(transfer: str, method: str) -> None:
    """From memory of the same opinion: the age by a transfer is the one to be used."""
    stored = PregnancyFacts(due=DUE, dated_by=transfer)
    found = redating(stored, DUE + timedelta(days=1), method, PERIOD + timedelta(days=62))
    assert found
    assert (found.clinicians, "apart" in found.sentence) == (True, False)


@pytest.mark.parametrize(
    ("stored", "due", "method"),
    [
        (BY_PERIOD, DUE, "scan"),
        (BY_PERIOD, date(2025, 12, 1), "clinician"),
        (BY_PERIOD, date(2025, 12, 1), "last-period"),
        (PregnancyFacts(), date(2025, 12, 1), "scan"),
        (PregnancyFacts(due=DUE, dated_by="clinician"), date(2025, 12, 1), "scan"),
    ],
)
def test_nothing_is_said_where_there_is_nothing_to_compare(
    stored: PregnancyFacts, due: date, method: str
) -> None:
    assert redating(stored, due, method, PERIOD + timedelta(days=62)) is None


# On its page. Today is 3 December 2026; the last period began on 17 May 2026.
STANDS = date(2027, 2, 21)
# A scan on 18 July 2026, 8w6d by the last period.
SCAN = {"situation": "carrying", "dated_by": "scan", "day": "2026-07-18", "reason": "the scan"}
DUE_BY = {"8w0d": date(2027, 2, 27), "8w1d": date(2027, 2, 26)}


@pytest.fixture
def running(practice: Any) -> Pregnancy:
    return factories.pregnancy(factories.client("Meret A."), due=STANDS, dated_by="last-period")


def page_of(row: Pregnancy) -> str:
    return f"/clients/{row.client_id}/dates/{row.pk}/"


def stored() -> tuple[date | None, str, int]:
    row = Pregnancy.objects.get()
    return row.due, row.dated_by, DueDateChange.objects.count()


@pytest.mark.parametrize("age", ["8w0d", "8w1d"])
def test_no_date_is_changed_by_itself(browser: Browser, running: Pregnancy, age: str) -> None:
    answer = browser.post(page_of(running), {**SCAN, "age": age})
    assert answer.status_code == 422
    assert dict(answer.context["form"].errors) == {
        "redate": ["Choose: no date is changed by itself."]
    }
    assert f'value="{age}"' in answer.content.decode()
    assert stored() == (STANDS, "last-period", 0)


def test_beyond_what_is_allowed_only_her_clinician_sets_it(
    browser: Browser, running: Pregnancy
) -> None:
    sent = {**SCAN, "age": "8w0d"}
    text = read(browser.post(page_of(running), sent))
    assert "6 days apart, more than the allowed 5 days (at 8w6d by the last period; ACOG" in text
    assert "her clinician has set this date: 27 February 2027" in text
    assert browser.post(page_of(running), {**sent, "redate": "2027-02-27"}).status_code == 302
    change = DueDateChange.objects.get()
    assert (change.old, change.new, change.reason) == (STANDS, DUE_BY["8w0d"], "the scan")


def test_within_what_is_allowed_the_choice_is_hers(browser: Browser, running: Pregnancy) -> None:
    sent = {**SCAN, "age": "8w1d"}
    text = read(browser.post(page_of(running), sent))
    assert "5 days apart, within the allowed 5 days" in text
    assert "take the new one: 26 February 2027" in text
    browser.post(page_of(running), {**sent, "redate": "2027-02-26"})
    assert stored() == (DUE_BY["8w1d"], "scan", 1)


@pytest.mark.parametrize("age", ["8w0d", "8w1d"])
def test_the_date_that_stands_can_be_left(browser: Browser, running: Pregnancy, age: str) -> None:
    sent = {**SCAN, "age": age, "redate": "stay", "reason": "", "how_many": "2"}
    assert browser.post(page_of(running), sent).status_code == 302
    assert stored() == (STANDS, "last-period", 0)
    assert Pregnancy.objects.get().expected == 2


def test_a_choice_is_for_one_date_and_not_for_another(browser: Browser, running: Pregnancy) -> None:
    answer = browser.post(page_of(running), {**SCAN, "age": "8w0d", "redate": "2027-02-26"})
    assert dict(answer.context["form"].errors) == {"redate": ["Choose again: the date is another."]}
    assert stored() == (STANDS, "last-period", 0)


def test_the_choice_comes_with_its_sentence_and_once(browser: Browser, running: Pregnancy) -> None:
    for target in ("dating", "worked-out"):
        headers = {"HX-Request": "true", "HX-Target": target}
        sent = {**SCAN, "age": "8w0d", "step": "1"}
        shown = browser.post(page_of(running), sent, headers=headers).content.decode()
        assert shown.count('type="radio" name="redate"') == 2
        assert "checked" not in shown.partition('id="worked-out"')[2]


@pytest.mark.parametrize(
    ("scanned", "offered"),
    [
        ("", "her clinician has set this date"),
        ("2026-07-24", "her clinician has set this date"),
        ("2026-07-25", "take the new one"),
    ],
)
def test_the_reverse_asks_for_the_day_of_the_scan(
    browser: Browser, practice: Any, scanned: str, offered: str
) -> None:
    """By the last period of 23 May the scan's day is 8w6d on 24 July, 9w0d on 25 July: 5 or 7."""
    row = factories.pregnancy(factories.client(), due=STANDS, dated_by="scan")
    sent = {
        "situation": "carrying", "dated_by": "last-period", "day": "2026-05-23",
        "reason": "she remembers", "scanned": scanned,
    }  # fmt: skip
    answer = browser.post(page_of(row), sent)
    assert list(answer.context["form"].errors) == ["redate"]
    assert f"{offered}: 27 February 2027" in read(answer)


def test_a_day_of_the_scan_that_there_is_not_stands_beside_its_field(
    browser: Browser, practice: Any
) -> None:
    row = factories.pregnancy(factories.client(), due=STANDS, dated_by="scan")
    sent = {
        "situation": "carrying", "dated_by": "last-period", "day": "2026-05-23",
        "reason": "she remembers", "scanned": "31/02/2026",
    }  # fmt: skip
    answer = browser.post(page_of(row), sent)
    assert (answer.status_code, list(answer.context["form"].errors)) == (422, ["scanned"])
    assert stored() == (STANDS, "scan", 0)


def test_a_transfer_is_left_or_set_by_her_clinician(browser: Browser, practice: Any) -> None:
    row = factories.pregnancy(factories.client(), due=STANDS, dated_by="transfer-5")
    text = read(browser.post(page_of(row), {**SCAN, "age": "8w0d"}))
    assert "neither a scan nor the last period changes it" in text
    assert "her clinician has set this date: 27 February 2027" in text
    assert stored() == (STANDS, "transfer-5", 0)


def test_a_quiet_client_is_told_in_weeks(browser: Browser, running: Pregnancy) -> None:
    Client.objects.update(quiet=True)
    answer = browser.post(page_of(running), {**SCAN, "age": "8w0d"})
    assert "6 days apart" in read(answer)
    assert too_much(answer) == []
