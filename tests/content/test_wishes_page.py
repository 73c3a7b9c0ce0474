"""The page of her wishes: what is kept, what is refused beside its field, and what stays typed."""

from __future__ import annotations

from datetime import time
from typing import Any

import pytest
from django.test import Client as Browser

from content.models import Wishes
from tests import factories

PATH = "/uploads/wishes/"
SENT: dict[str, Any] = {
    "rhythm": "weekdays", "weekdays": ["1", "5"], "publish_at": "07:30", "hours_a_week": "8",
    "film_weekdays": ["2"], "films_a_day": "3", "lead_outline": "21", "lead_film": "10",
    "lead_edit": "6", "lead_captions": "4", "lead_days": "2", "serve_every_weeks": "2",
    "enquiries": "half", "preference": "serve",
}  # fmt: skip
A_WEEK = {"rhythm": "a week", "a_week": "3", "gap_days": "2", "weekdays": []}


def test_weekdays_times_and_leads_are_kept(browser: Browser) -> None:
    assert browser.post(PATH, {**SENT, "hours_a_week": "7:30"}).status_code == 302
    kept = Wishes.objects.get()
    assert (kept.weekdays, kept.publish_at, kept.minutes_a_week) == ([1, 5], time(7, 30), 450)
    assert (kept.film_weekdays, kept.films_a_day) == ([2], 3)
    leads = (kept.lead_outline, kept.lead_film, kept.lead_edit, kept.lead_captions, kept.lead_days)
    assert leads == (21, 10, 6, 4, 2)
    assert (kept.serve_every_weeks, kept.enquiries, kept.preference) == (2, "half", "serve")
    assert (kept.sliders, kept.mix, kept.target) == ({}, {}, 2)


def test_so_many_a_week_needs_no_weekdays_and_leaves_those_said_before(browser: Browser) -> None:
    browser.post(PATH, SENT)
    assert browser.post(PATH, {**SENT, **A_WEEK}).status_code == 302
    kept = Wishes.objects.get()
    assert (kept.rhythm, kept.a_week, kept.gap_days, kept.target) == ("a week", 3, 2, 3)
    assert kept.weekdays == [1, 5]


def test_sliders_and_mix_are_kept_where_they_differ(browser: Browser) -> None:
    more = {"slider_serve": "150", "slider_fill": "100", "mix_core": "25", "mix_pelvic_floor": "0"}
    browser.post(PATH, {**SENT, **more})
    kept = Wishes.objects.get()
    assert (kept.sliders, kept.mix) == ({"serve": 150}, {"core": 25, "pelvic floor": 0})
    form = browser.get(PATH).context["form"]
    assert (form["slider_serve"].value(), form["slider_fill"].value()) == (150, 100)
    assert (form["mix_pelvic_floor"].value(), form["mix_legs"].value()) == (0, None)
    assert form.is_tuned
    browser.post(PATH, SENT)
    assert (Wishes.objects.get().sliders, Wishes.objects.get().mix) == ({}, {})
    assert not browser.get(PATH).context["form"].is_tuned


@pytest.mark.parametrize(
    ("changed", "field", "said"),
    [
        ({"weekdays": []}, "weekdays", "Choose at least one day of the week."),
        ({"hours_a_week": "lots"}, "hours_a_week", ""),
        ({"hours_a_week": "101"}, "hours_a_week", "At most 100 hours."),
        ({"lead_days": "-1"}, "lead_days", "At least 0."),
        ({"preference": "other"}, "preference", ""),
        ({"publish_at": "half past"}, "publish_at", "A time of day, such as 07:30."),
        ({**A_WEEK, "a_week": "8"}, "a_week", "At most 7."),
        ({**A_WEEK, "gap_days": "0"}, "gap_days", "At least 1."),
        (
            {**A_WEEK, "gap_days": "3"},
            "gap_days",
            "Three a week need at most two days between one and the next.",
        ),
        (
            {**A_WEEK, "a_week": "7", "gap_days": "2"},
            "gap_days",
            "Seven a week need at most one day between one and the next.",
        ),
        (
            {**A_WEEK, "a_week": "1", "gap_days": "8"},
            "gap_days",
            "One a week needs at most seven days between one and the next.",
        ),
        (
            {"lead_film": "5"},
            "lead_film",
            "A class is filmed before it is edited: at least six days.",
        ),
        (
            {"lead_captions": "1"},
            "lead_captions",
            "A class is captioned before it is finished: at least two days.",
        ),
        ({"slider_serve": "301"}, "slider_serve", "At most 300."),
        ({"slider_serve": "x"}, "slider_serve", "A whole number, such as 2."),
        (
            {"mix_core": "60", "mix_legs": "60"},
            "mix_core",
            "Together they come to 120 %: at most 100.",
        ),
        ({"mix_core": "-1"}, "mix_core", "At least 0."),
        ({"serve_every_weeks": "0"}, "serve_every_weeks", "At least 1."),
        ({"films_a_day": "0"}, "films_a_day", "At least 1."),
        ({"enquiries": "three"}, "enquiries", ""),
        ({"film_weekdays": ["7"]}, "film_weekdays", ""),
    ],
)
def test_what_cannot_be_is_told_beside_its_field_and_nothing_is_kept(
    browser: Browser, changed: dict[str, Any], field: str, said: str
) -> None:
    answer = browser.post(PATH, {**SENT, **changed})
    assert answer.status_code == 422
    errors = answer.context["form"].errors
    assert list(errors) == [field]
    assert not said or list(errors[field]) == [said]
    assert Wishes.objects.count() == 0


def test_what_was_typed_stays_beside_an_error(browser: Browser) -> None:
    typed = {**SENT, "hours_a_week": "lots", "lead_film": "17", "slider_film": "275"}
    page = browser.post(PATH, typed).content.decode()
    assert 'value="lots"' in page
    assert 'name="lead_film" value="17"' in page
    assert 'name="slider_film" value="275"' in page
    assert '<details class="precisely" open>' in page


def test_a_form_that_sends_only_what_it_must_leaves_the_rest_as_it_was(browser: Browser) -> None:
    factories.wishes(lead_film=14, films_a_day=5, serve_every_weeks=3, enquiries="no")
    few = {"weekdays": ["1"], "hours_a_week": "8", "lead_days": "2", "preference": "mix"}
    assert browser.post(PATH, few).status_code == 302
    kept = Wishes.objects.get()
    assert (kept.lead_film, kept.films_a_day, kept.serve_every_weeks) == (14, 5, 3)
    assert (kept.enquiries, kept.preference, kept.weekdays) == ("no", "mix", [1])
