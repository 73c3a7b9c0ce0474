"""The page of one class: what it says, and what can be done from it."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coach.practice.models import AuditEntry, User
from content.models import FitnessClass, State, Upload
from tests import factories

SOON, YESTERDAY = date(2026, 12, 8), date(2026, 12, 2)
ACTIONS = ("step", "place", "publish", "take_off", "withdraw", "delete")


def _url(item: FitnessClass, name: str = "detail") -> str:
    return reverse(f"classes:{name}", args=[item.pk])


def _facts(html: str) -> dict[str, str]:
    pairs = re.findall(r"<dt>(.*?)</dt><dd>(.*?)</dd>", html, re.DOTALL)
    return {name: " ".join(re.sub(r"<[^>]+>", "", text).split()) for name, text in pairs}


def _placed(day: date = SOON, state: str = State.SCHEDULED) -> FitnessClass:
    item = factories.fitness_class("Hips", state=state)
    factories.upload(day, item)
    return item


def _now(item: FitnessClass) -> tuple[str, list[tuple[date, bool]]]:
    """Its state, and every day it has had with whether that stands."""
    item.refresh_from_db()
    uploads = item.uploads.order_by("pk")
    return item.state, [(upload.day, upload.cancelled_at is None) for upload in uploads]


def test_a_class_of_which_little_is_known_says_so(browser: Browser) -> None:
    item = factories.fitness_class("Hips", state=State.IDEA, stages=[])
    assert _facts(browser.get(_url(item)).content.decode()) == {
        "Suits": "stages not known it serves nobody in a plan until they are",
        "Effort": "not known",
        "Still needed": "not known",
        "Quiet clients": "not known not offered until it is said",
    }


def test_a_class_tells_what_is_known(browser: Browser) -> None:
    item = factories.fitness_class(
        "Hips", state=State.FILMED, stages=["t3"], effort=4, minutes_of_work=150,
        note="On a chair", for_quiet="no",
    )  # fmt: skip
    html = browser.get(_url(item)).content.decode()
    assert _facts(html) == {
        "Suits": "trimester 3",
        "Effort": "4 of 10: comfortable, chatting",
        "Still needed": "2 h 30 min of work",
        "Quiet clients": "not offered: it mentions or shows a baby, a bump or a birth",
        "Note": "On a chair",
    }
    assert "not medical advice" in html


def test_every_day_it_has_had_is_listed_the_latest_first(browser: Browser) -> None:
    item = _placed()
    browser.post(_url(item, "take_off"))
    browser.post(_url(item, "place"), {"upload_day": "2026-12-12"})
    html = browser.get(_url(item)).content.decode()
    rows = re.findall(
        r'<span class="when">([^<]+)</span><span class="what">.*?</svg>(\w[^<]*)', html
    )
    assert rows == [("12 Dec", "planned"), ("8 Dec", "taken off")]


def test_the_rest_of_its_series_is_listed_in_order(browser: Browser) -> None:
    core = factories.series("Core")
    last, item, first = (
        factories.fitness_class(f"Core {part}", series=core, part=part) for part in (3, 2, 1)
    )
    others = browser.get(_url(item)).context["page"].others
    assert [one.pk for one in others] == [first.pk, last.pk]


@pytest.mark.parametrize(
    ("state", "then"), [("idea", "outlined"), ("outlined", "filmed"), ("filmed", "edited")]
)
def test_one_tap_takes_it_a_step_on(browser: Browser, state: str, then: str) -> None:
    item = factories.fitness_class(state=state, minutes_of_work=60)
    assert f"It is {then} now" in browser.get(_url(item)).content.decode()
    answer = browser.post(_url(item, "step"))
    assert (answer.url, _now(item)[0]) == (_url(item), then)


def test_it_gets_a_day(browser: Browser) -> None:
    item = factories.fitness_class("Hips")
    browser.post(_url(item, "place"), {"upload_day": "2026-12-08"})
    assert _now(item) == (State.SCHEDULED, [(SOON, True)])


def test_publishing_offers_its_day_or_today_and_keeps_what_is_said(browser: Browser) -> None:
    late, early = _placed(YESTERDAY), _placed(SOON)
    offered = [
        browser.get(_url(item)).context["publish_form"]["published_day"].initial
        for item in (late, early)
    ]
    assert offered == [YESTERDAY, date(2026, 12, 3)]
    browser.post(_url(late, "publish"), {"published_day": "2026-12-01"})
    assert _now(late) == (State.PUBLISHED, [(date(2026, 12, 1), True)])


def test_a_class_without_a_day_can_be_published_too(browser: Browser) -> None:
    item = factories.fitness_class("Hips")
    browser.post(_url(item, "publish"), {"published_day": "2026-12-01"})
    assert _now(item) == (State.PUBLISHED, [(date(2026, 12, 1), True)])


def test_its_day_is_taken_off(browser: Browser) -> None:
    item = _placed()
    answer = browser.post(_url(item, "take_off"), follow=True)
    assert _now(item) == (State.EDITED, [(SOON, False)])
    assert "“Hips” has no day any more." in answer.content.decode()


def test_it_is_withdrawn_with_the_reason(browser: Browser) -> None:
    item = _placed()
    browser.post(_url(item, "withdraw"), {"reason": "Sound is bad"})
    assert _now(item) == (State.WITHDRAWN, [(SOON, False)])
    assert AuditEntry.objects.get().reason == "Sound is bad"


def test_an_idea_is_deleted(browser: Browser) -> None:
    item = factories.fitness_class("Hips", state=State.IDEA)
    answer = browser.post(_url(item, "delete"))
    assert (answer.url, FitnessClass.objects.count()) == (reverse("classes:shelf"), 0)


@pytest.mark.parametrize(
    ("given", "name", "sent", "field", "error"),
    [
        (
            lambda: factories.fitness_class("Hips"),
            "place",
            {"upload_day": "2026-12-02"},
            "upload_day",
            "Wednesday 2 December 2026 is past: choose today or a later day.",
        ),
        (
            lambda: factories.fitness_class("Hips"),
            "place",
            {"upload_day": "soon"},
            "upload_day",
            "That is not a day of the calendar.",
        ),
        (
            _placed,
            "publish",
            {"published_day": "2026-12-09"},
            "published_day",
            "Wednesday 9 December 2026 has not come yet: a class is published today or earlier.",
        ),
        (_placed, "publish", {}, "published_day", "Say which day it was published."),
        (_placed, "withdraw", {"reason": " "}, "reason", "Say why, in a few words."),
    ],
)
def test_a_mistake_is_said_beside_the_field_and_nothing_is_done(
    browser: Browser, given: Any, name: str, sent: dict[str, str], field: str, error: str
) -> None:
    item = given()
    before = _now(item)
    answer = browser.post(_url(item, name), sent)
    forms = [answer.context[f"{one}_form"] for one in ("place", "publish", "withdraw")]
    errors = {key: list(said) for form in forms for key, said in form.errors.items()}
    assert (answer.status_code, errors) == (422, {field: [error]})
    if sent.get(field, "").strip():
        assert f'value="{sent[field]}"' in answer.content.decode()
    assert (_now(item), AuditEntry.objects.count()) == (before, 0)


@pytest.mark.parametrize(
    ("given", "name", "message"),
    [
        (lambda: factories.fitness_class("Hips"), "take_off", "It has no day to take off."),
        (
            lambda: _placed(YESTERDAY, State.PUBLISHED),
            "take_off",
            "“Hips” was published on Wednesday 2 December 2026: that stays in the history.",
        ),
        (
            lambda: factories.fitness_class("Hips"),
            "step",
            "“Hips” is edited: there is no next step.",
        ),
        (_placed, "delete", "“Hips” is more than an idea: withdraw it instead."),
    ],
)
def test_what_a_stale_page_asks_for_is_refused_in_a_message(
    browser: Browser, given: Any, name: str, message: str
) -> None:
    item = given()
    before = _now(item)
    html = browser.post(_url(item, name), follow=True).content.decode()
    assert message in html
    assert (_now(item), AuditEntry.objects.count()) == (before, 0)


@pytest.mark.parametrize(
    ("given", "offered"),
    [
        (
            lambda: factories.fitness_class(state="idea"),
            {"step", "place", "publish", "withdraw", "delete"},
        ),
        (lambda: factories.fitness_class(state="edited"), {"place", "publish", "withdraw"}),
        (lambda: _placed(SOON, State.FILMED), {"step", "publish", "take_off", "withdraw"}),
        (_placed, {"publish", "take_off", "withdraw"}),
        (lambda: _placed(YESTERDAY, State.PUBLISHED), {"withdraw"}),
        (lambda: factories.fitness_class(state="withdrawn"), set()),
    ],
)
def test_only_what_is_possible_is_offered(browser: Browser, given: Any, offered: set[str]) -> None:
    item = given()
    html = browser.get(_url(item)).content.decode()
    assert {name for name in ACTIONS if f'action="{_url(item, name)}"' in html} == offered


def test_queries_do_not_grow_with_its_series_and_its_days(
    browser: Browser,
) -> None:
    core, counts = factories.series("Core"), []
    item = factories.fitness_class(series=core, part=1)
    for more in (range(2, 3), range(3, 33)):
        for part in more:
            other = factories.fitness_class(series=core, part=part)
            factories.upload(SOON, other)
            taken_off = factories.upload(SOON, item)
            Upload.objects.filter(pk=taken_off.pk).update(cancelled_at=taken_off.created_at)
        with CaptureQueriesContext(connection) as queries:
            browser.get(_url(item))
        counts.append(len(queries))
    assert counts[0] == counts[1]


def test_a_class_that_is_not_there_is_not_found(browser: Browser) -> None:
    urls = [reverse(f"classes:{name}", args=[99]) for name in ACTIONS]
    assert [browser.post(url).status_code for url in urls] == [404] * len(ACTIONS)
    assert browser.get(reverse("classes:detail", args=[99])).status_code == 404


def test_what_changes_is_not_done_by_a_link(browser: Browser) -> None:
    item = _placed()
    answers = [browser.get(_url(item, name)).status_code for name in ACTIONS]
    assert answers == [405] * len(ACTIONS)


@pytest.mark.parametrize(
    ("who", "sees", "does"),
    [
        ("owner", 200, 302),
        ("assistant", 200, 302),
        ("covering coach", 200, 403),
        ("bookkeeper", 403, 403),
        ("leaver", 302, None),
        ("nobody", 302, None),
    ],
)
def test_who_sees_a_class_and_who_acts(
    people: dict[str, User | None], signed_in: Any, who: str, sees: int, does: int | None
) -> None:
    item = factories.fitness_class("Hips", state=State.FILMED, minutes_of_work=60)
    browser = signed_in(people[who])
    page = browser.get(_url(item))
    assert page.status_code == sees
    if sees == 200:
        offers = [name for name in ACTIONS if _url(item, name) in page.content.decode()]
        assert bool(offers) == (does == 302)
    if does == 403:
        answers = [browser.post(_url(item, name)).status_code for name in ACTIONS]
        assert answers == [403] * len(ACTIONS)
        assert _now(item) == (State.FILMED, [])
    elif does == 302:
        assert browser.post(_url(item, "step")).status_code == 302
        assert _now(item) == (State.EDITED, [])
    else:
        assert "/account/login/" in browser.post(_url(item, "step")).url
        assert _now(item) == (State.FILMED, [])
