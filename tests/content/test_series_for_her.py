"""A series for one client: each part judged on the day it comes out."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients.models import Client
from clients.rules.words import NEVER_IF_QUIET
from coach.practice.audit import SYSTEM
from content.actions.design import change_design
from content.models import FitnessClass, Series
from content.queries.suits import classes_for
from content.rules.design import Block, Design, Item, Pattern
from content.rules.series import SeriesJudged
from content.rules.suitability import Verdict
from tests import factories
from tests.clients.everywhere import main_of
from tests.clients.pages import read
from tests.factories_clearance import assessment, clearance, screening

TODAY = date(2026, 12, 3)
NO = {code: "no" for code in ("doming", "leaking", "heaviness", "pain", "urgency", "girdle")}


def part(series: Series, number: int, exercise: str, day: date | None, **values: Any) -> None:
    """One that is out already where its day has come."""
    out = day is not None and day <= TODAY
    made: FitnessClass = factories.fitness_class(
        f"{series.title} {number}", series=series, part=number,
        state="published" if out else "edited", **values,
    )  # fmt: skip
    if day is not None:
        factories.upload(day, made)
    design = Design((Block(patterns=(Pattern((Item(exercise),)),)),))
    change_design(by=SYSTEM, item=made, step=lambda _: design, what="x")


@pytest.fixture
def her(practice: Any) -> Client:
    """18 weeks and 5 days on the day, cleared, everything asked a week ago."""
    client = factories.client("Honora Finch")
    factories.pregnancy(client, due=date(2027, 5, 1))
    screening(client, date(2026, 12, 1))
    clearance(client, date(2026, 11, 20))
    assessment(client, date(2026, 11, 26), **NO)
    return client


def judged(client: Client) -> SeriesJudged:
    (found,) = classes_for(client, TODAY).series
    return found


def verdicts(found: SeriesJudged) -> list[Verdict]:
    return [one.verdict for one in found.parts]


def test_lying_flat_fits_before_twenty_weeks_and_not_on_the_day_of_a_later_part(
    her: Client,
) -> None:
    """ACOG committee opinion 804: no long lying flat; from 20 weeks, the week from memory."""
    series = factories.series("Hips")
    part(series, 1, "bridge", TODAY)
    part(series, 2, "bridge", date(2026, 12, 11))  # 19w6d
    part(series, 3, "bridge", date(2026, 12, 12))  # 20w0d
    found = judged(her)
    assert verdicts(found) == [Verdict.FINE, Verdict.FINE, Verdict.LEAVE_OUT]
    assert (found.verdict, found.said) == (Verdict.LEAVE_OUT, "fits up to part 2")


def test_a_part_that_asks_too_much_now_fits_on_its_own_day(practice: Any) -> None:
    """Weeks since the birth count on the day of the part (12 weeks for hard work of the middle)."""
    mother = factories.client("Una Marsh")
    factories.pregnancy(mother, ended=date(2026, 9, 20), ending="birth", birth_mode="vaginal",
                        tear="none")  # fmt: skip
    screening(mother, date(2026, 11, 20), phase="after")
    clearance(mother, date(2026, 11, 10), examined="yes")
    assessment(mother, date(2026, 11, 26), **NO)
    series = factories.series("Middle")
    part(series, 1, "plank", TODAY)  # 10 weeks and 4 days
    part(series, 2, "plank", date(2026, 12, 13))  # 12 weeks
    found = judged(mother)
    assert verdicts(found) == [Verdict.LEAVE_OUT, Verdict.FINE]
    assert found.said == "not from its first part on"


def test_a_letter_that_will_have_run_out_is_not_known_and_says_so(
    browser: Browser, her: Client
) -> None:
    """A letter counts twelve weeks by the practice's policy: common practice, no source."""
    series = factories.series("Shoulders")
    part(series, 1, "band-row", TODAY)
    part(series, 2, "band-row", date(2027, 2, 11))
    part(series, 3, "band-row", date(2027, 2, 14))
    found = judged(her)
    assert verdicts(found) == [Verdict.FINE, Verdict.FINE, Verdict.NOT_KNOWN]
    text = read(browser.get(reverse("classes:for_client", args=[her.pk])))
    assert "Shoulders fits up to part 2" in text
    assert "her go-ahead will read “run out” by then: it is asked again that day." in text


def test_a_birth_that_will_be_due_by_then_is_not_taken_as_had(her: Client) -> None:
    series = factories.series("Later")
    part(series, 1, "clam", TODAY)
    part(series, 2, "clam", date(2027, 7, 1))
    assert verdicts(judged(her)) == [Verdict.FINE, Verdict.NOT_KNOWN]


def test_no_day_and_no_design_are_not_known(her: Client, browser: Browser) -> None:
    series = factories.series("Open")
    part(series, 1, "clam", TODAY)
    part(series, 2, "clam", None)
    undesigned = factories.fitness_class("Open 3", series=series, part=3)
    factories.upload(date(2026, 12, 20), undesigned)
    assert verdicts(judged(her)) == [Verdict.FINE, Verdict.NOT_KNOWN, Verdict.NOT_KNOWN]
    text = read(browser.get(reverse("classes:for_client", args=[her.pk])))
    assert "It has no day yet, so nothing is known of how she will be." in text
    assert "It isn’t designed yet." in text


def test_every_part_fits(her: Client) -> None:
    series = factories.series("Rows")
    part(series, 1, "band-row", TODAY)
    part(series, 2, "clam", date(2026, 12, 20))
    found = judged(her)
    assert (found.verdict, found.said) == (
        Verdict.FINE, "every part fits on its day, by what is recorded now",
    )  # fmt: skip


def test_a_series_that_has_not_begun_and_has_no_day_is_not_shown(her: Client) -> None:
    part(factories.series("Idea"), 1, "clam", None)
    assert classes_for(her, TODAY).series == ()


def test_on_quiet_pages_no_series_whose_title_or_part_is_loud(
    her: Client, browser: Browser
) -> None:
    her.quiet = True
    her.save()
    for title, told in (("Calm", "yes"), ("Bump strength", "yes"), ("Untold", "")):
        part(factories.series(title), 1, "clam", TODAY, for_quiet=told)
    assert [one.title for one in classes_for(her, TODAY).series] == ["Calm"]
    source = browser.get(reverse("classes:for_client", args=[her.pk])).content.decode()
    assert [word for word in NEVER_IF_QUIET if word in main_of(source).casefold()] == []


def test_as_many_queries_for_ten_series_on_ten_days_as_for_one(her: Client) -> None:
    def count() -> int:
        with CaptureQueriesContext(connection) as caught:
            classes_for(her, TODAY)
        return len(caught)

    part(factories.series("First"), 1, "clam", TODAY)
    first = count()
    for n in range(10):
        series = factories.series(f"Series {n}")
        part(series, 1, "clam", date(2026, 12, 4 + n))
        part(series, 2, "clam", date(2026, 12, 15 + n))
    assert count() == first
