"""Practice › Assessments: what stands, with its sources; what is changed counts from today on."""

from __future__ import annotations

import html
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from clients import actions
from clients.models import MeasuringPolicy, OwnMeasure
from clients.queries.measuring import measuring_now
from clients.rules.impact_tests import impact_tests
from clients.rules.measuring import scheme
from clients.rules.own_measures import OwnFacts
from clients.rules.readiness_policy import policies, positions
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice
from coach.scheduling.reassessment import policy as reassessment_policy
from tests.clients.pages import read
from tests.clients.readying import TODAY, d

PAGE = "/clients/measuring/"


def as_it_stands(browser: Browser, **changes: Any) -> dict[str, Any]:
    """What the page sends when nothing but `changes` is typed."""
    form = browser.get(PAGE).context["form"]
    shown = {name: form[name].value() for name in form.fields}
    sent = {name: "" if value is None else value for name, value in shown.items()}
    return {**sent, "reason": "asked by the physio", **changes}


def choose(**values: Any) -> MeasuringPolicy:
    return actions.change_measuring(by=SYSTEM, values=values, reason="because")


# What it shows


def test_every_site_stands_there_with_its_source(browser: Browser, practice: Practice) -> None:
    page = browser.get(PAGE)
    text, lines = read(page), page.context["form"].site_lines
    assert [one.site.code for one in lines] == list(scheme().sites)
    told = [f"{one.words} {html.escape(one.source)}" for one in scheme().sites.values()]
    assert [words for words in told if words not in text] == []
    ticked = [line.site.code for line in lines if line.tick.data["selected"]]
    assert ticked == ["above45", "navel", "below45"]


def test_every_policy_stands_there_with_what_it_says_and_its_source(
    browser: Browser, practice: Practice
) -> None:
    text = read(browser.get(PAGE))
    told = [f"{one.name} {one.words} Source: {one.source}" for one in policies().values()]
    assert [words for words in told if words not in text] == []
    assert [one for one in positions() if f"{one.words} ({one.source})" not in text] == []


def test_each_test_is_beside_what_is_published(browser: Browser, practice: Practice) -> None:
    groups = browser.get(PAGE).context["form"].amounts
    found = {one.name: (one.value(), one.help_text) for group in groups for one in group.fields}
    assert found == {
        f"amount-{code}": (test.amount, f"Published: {test.asks}.")
        for code, test in impact_tests().items()
    }
    assert [(group.title, group.source) for group in groups] == [
        ("Tests of load", "Goom, Donnelly and Brockwell 2019"),
        ("Strength", "Goom, Donnelly and Brockwell 2019; Moore and others 2021"),
    ]


def test_every_number_of_reassessment_stands_there_with_its_source(
    browser: Browser, practice: Practice
) -> None:
    form = browser.get(PAGE).context["form"]
    wanted = reassessment_policy().adjustable
    assert [one.name for one in form.reassessment] == [f"reassess-{name}" for name in wanted]
    assert [one.value() for one in form.reassessment] == [one.value for one in wanted.values()]
    hints = [one.help_text for one in form.reassessment]
    assert hints == [f"To begin with {one.value}." for one in wanted.values()]
    assert {one.source for one in wanted.values()} == {"common practice, no source"}


def test_it_is_one_of_the_pages_of_the_practice(browser: Browser, practice: Practice) -> None:
    assert f'href="{PAGE}"' in browser.get("/practice/").content.decode()


def test_the_history_stands_beneath_in_words(browser: Browser, practice: Practice) -> None:
    assert "Nothing has been changed." in read(browser.get(PAGE))
    choose(readiness="own", own_gate_weeks=16)
    text = read(browser.get(PAGE))
    assert "Completed weeks after an end: 16, to begin with 12" in text
    assert "own_gate_weeks" not in text


def test_measures_of_its_own_are_listed(browser: Browser, practice: Practice) -> None:
    assert "None yet" in read(browser.get(PAGE))
    row = actions.add_own_measure(by=SYSTEM, facts=OwnFacts("Reach", "cm", "more"))
    actions.retire_own_measure(by=SYSTEM, measure=row)
    text = read(browser.get(PAGE))
    assert "Reach asked no more change Reach cm · more is better" in text


# Changing it


CHANGES: list[tuple[dict[str, Any], dict[str, Any]]] = [
    ({"sites": ["below45", "navel"]}, {"sites": ["navel", "below45"]}),
    ({"method": "fingers"}, {"method": "fingers"}),
    ({"position": ""}, {"position": ""}),
    ({"readiness": "2024"}, {"readiness": "2024"}),
    ({"readiness": "own", "own_gate_weeks": "16", "own_tests_days": "7", "amount-hop": "15"},
     {"readiness": "own", "own_gate_weeks": 16, "own_tests_days": 7, "amounts": {"hop": 15}}),
    ({"tests_from_weeks": "8"}, {"tests_from_weeks": 8}),
    ({"reassess-every-t2": "8", "reassess-symptom_days": "5"},
     {"reassessment": {"every-t2": 8, "symptom_days": 5}}),
]  # fmt: skip


@pytest.mark.parametrize(("typed", "kept"), CHANGES)
def test_a_change_is_kept_from_today_with_its_reason(
    browser: Browser, practice: Practice, typed: dict[str, Any], kept: dict[str, Any]
) -> None:
    answer = browser.post(PAGE, as_it_stands(browser, **typed))
    assert (answer.status_code, answer["Location"]) == (302, PAGE)
    row = MeasuringPolicy.objects.get()
    assert (row.begins, row.values, row.reason) == (TODAY, kept, "asked by the physio")
    entries = AuditEntry.objects.filter(verb="changed")
    assert [(one.fields, one.reason) for one in entries] == [(sorted(kept), "asked by the physio")]


def test_what_stands_is_what_the_page_shows_next(browser: Browser, practice: Practice) -> None:
    browser.post(PAGE, as_it_stands(browser, readiness="own", **{"amount-hop": "15"}))
    form = browser.get(PAGE).context["form"]
    assert (form["readiness"].value(), form["amount-hop"].value()) == ("own", 15)
    again = browser.post(PAGE, as_it_stands(browser))
    assert (again.status_code, again.context["form"].non_field_errors()) == (
        422, ["Nothing of it has changed."],
    )  # fmt: skip
    assert dict(measuring_now().amounts) == {"hop": 15}


WRONG = [
    ({"reason": ""}, "reason", "Say why: it stays beside the choice."),
    ({"sites": []}, "sites", "Choose one to 5 sites."),
    ({"sites": list(scheme().sites)[:6]}, "sites", "Choose one to 5 sites."),
    ({"readiness": ""}, "readiness", "Choose one of the policies."),
    ({"own_gate_weeks": "2"}, "own_gate_weeks", "Not under 3."),
    ({"own_tests_days": "91"}, "own_tests_days", "Not over 90."),
    ({"tests_from_weeks": "soon"}, "tests_from_weeks", "Write a whole number."),
    ({"amount-hop": "0"}, "amount-hop", "Not under 1."),
    ({"amount-hop": ""}, "amount-hop", "Write a whole number."),
    ({"reassess-symptom_days": "29"}, "reassess-symptom_days", "Not over 28."),
]


@pytest.mark.parametrize(("typed", "field", "words"), WRONG)
def test_what_is_wrong_stands_beside_its_field_and_nothing_is_kept(
    browser: Browser, practice: Practice, typed: dict[str, Any], field: str, words: str
) -> None:
    answer = browser.post(PAGE, as_it_stands(browser, **{"method": "tape", **typed}))
    form = answer.context["form"]
    assert (answer.status_code, dict(form.errors)) == (422, {field: [words]})
    assert form["method"].value() == "tape"
    assert MeasuringPolicy.objects.count() == 0


def test_whoever_may_not_change_the_practice_sees_nothing_of_it(
    people: Any, signed_in: Any
) -> None:
    found = {role: signed_in(person).get(PAGE).status_code for role, person in people.items()}
    assert found == {
        "owner": 200, "covering coach": 403, "assistant": 403, "bookkeeper": 403, "leaver": 302,
        "nobody": 302,
    }  # fmt: skip


def test_as_many_queries_for_30_choices_and_measures_as_for_1(
    browser: Browser, practice: Practice, monkeypatch: pytest.MonkeyPatch
) -> None:
    counted = []
    for wanted in (1, 30):
        while (n := MeasuringPolicy.objects.count()) < wanted:
            monkeypatch.setenv("COACH_TODAY", d(n).isoformat())
            choose(own_gate_weeks=13 + n)
            OwnMeasure.objects.create(name=f"Measure {n}")
        with CaptureQueriesContext(connection) as captured:
            assert len(browser.get(PAGE).context["history"]) == wanted
        counted.append(len(captured))
    assert counted[0] == counted[1]
