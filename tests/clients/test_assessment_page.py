"""An assessment on its page, and what her page then shows."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser

from clients.models import Assessment, Client
from tests import factories
from tests.clients.pages import read
from tests.factories_clearance import assessment


@pytest.fixture
def meret(practice: Any) -> Client:
    client = factories.client("Meret A.")
    factories.pregnancy(client, due=date(2027, 2, 21))
    return client


def test_only_the_day_and_who_measures_are_there_beforehand(
    browser: Browser, meret: Client
) -> None:
    form = browser.get(f"/clients/{meret.pk}/assess/").context["form"]
    filled = {name: form[name].value() for name in form.fields if form[name].value()}
    assert filled == {"day": date(2026, 12, 3), "by": "Una Owner"}


def test_an_assessment_is_kept_and_stands_on_her_page(browser: Browser, meret: Client) -> None:
    assessment(meret, date(2026, 10, 22), at_mm=29)
    sent = {"day": "2026-11-24", "by": "Una Owner", "how": "video", "at_mm": "34",
            "above_mm": "22", "doming": "yes", "leaking": "no", "effort": "5",
            "note": "better than last time"}  # fmt: skip
    answer = browser.post(f"/clients/{meret.pk}/assess/", sent, follow=True)
    row = Assessment.objects.latest("pk")
    assert answer.redirect_chain == [(f"/clients/{meret.pk}/", 302)]
    assert (row.day, row.by, row.how, row.measures) == (
        date(2026, 11, 24), "Una Owner", "video",
        {"at_mm": 34, "above_mm": 22, "doming": "yes", "leaking": "no", "effort": 5,
         "note": "better than last time"},
    )  # fmt: skip
    text = read(answer)
    assert (
        "22 mm 4.5 cm above the navel; 34 mm at the navel, was 29; doming; no leaking; "
        "effort 5 of 10" in text
    )
    assert "Better than last time" in text


@pytest.mark.parametrize(
    ("sent", "fields"),
    [
        ({"day": ""}, ["day"]),
        ({"day": "2026-12-09", "at_mm": "20"}, ["day"]),
        ({"at_mm": "wide"}, ["at_mm"]),
        ({"at_mm": "151"}, ["at_mm"]),
        ({"effort": "11"}, ["effort"]),
        ({"doming": "maybe"}, ["doming"]),
        ({"how": "by post", "at_mm": "20"}, ["how"]),
        ({"at_mm": "20", "how": ""}, ["how"]),
        ({"at_mm": "20", "by": "", "note": "somebody else"}, ["by"]),
        ({}, ["__all__"]),
    ],
)
def test_what_cannot_be_is_told_and_nothing_is_kept(
    browser: Browser, meret: Client, sent: dict[str, str], fields: list[str]
) -> None:
    sent = {"day": "2026-12-03", "by": "somebody else", "how": "video", **sent}
    answer = browser.post(f"/clients/{meret.pk}/assess/", sent)
    assert (answer.status_code, list(answer.context["form"].errors)) == (422, fields)
    assert "somebody else" in answer.content.decode()
    assert Assessment.objects.count() == 0


def test_her_page_draws_the_distances_and_tells_them_as_a_table(
    browser: Browser, meret: Client
) -> None:
    for day, mm in ((date(2026, 8, 1), 22), (date(2026, 11, 24), 34)):
        assessment(meret, day, at_mm=mm)
    source = browser.get(f"/clients/{meret.pk}/").content.decode()
    assert 'aria-label="at the navel 22, 34 mm"' in source
    rows = re.search(r"<tbody>(.*?)</tbody>", source, re.DOTALL)
    assert rows is not None
    cells = " ".join(re.sub(r"<[^>]+>", " ", rows[1]).split())
    assert cells == "24 Nov 27 w – 34 – on video 1 Aug 10 w – 22 – on video"
    assert "Width alone is no diagnosis (Bø 2017)." in source


def test_without_a_distance_nothing_is_drawn(browser: Browser, meret: Client) -> None:
    assessment(meret, date(2026, 11, 24), leaking="no")
    assert "Inter-recti" not in browser.get(f"/clients/{meret.pk}/").content.decode()


def test_a_record_of_another_coach_says_so_on_her_page(browser: Any, practice: Any) -> None:
    her = factories.client("Meret A.")
    sent = {"day": "2026-11-20", "by": "Ottilie Brandt", "how": "in-person", "at_mm": "21",
            "origin": "Ottilie Brandt"}  # fmt: skip
    assert browser.post(f"/clients/{her.pk}/assess/", sent).status_code == 302
    assert her.assessments.get().origin == "Ottilie Brandt"
    assert "Ottilie Brandt" in browser.get(f"/clients/{her.pk}/").content.decode()
