"""Practice › Who may train: the rules with their sources, changes from a day on, and the scheme."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from clients import actions, queries
from clients.models import GoAheadPolicy
from clients.rules.policy import SWITCHES, Policies, policy, rules, switches
from clients.rules.policy_words import LABELS, changes_words, since_words
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice
from tests import factories
from tests.clients.pages import read
from tests.factories_clearance import clearance, screening

PAGE = "/clients/policy/"
TODAY = date(2026, 12, 3)
WEEK = timedelta(weeks=1)


def as_it_stands(browser: Browser, **changes: Any) -> dict[str, Any]:
    """What the page sends when nothing but `changes` is typed; None takes a tick away."""
    form = browser.get(PAGE).context["form"]
    shown = {name: form[name].value() for name in form.fields}
    sent = {name: "on" if value is True else value for name, value in shown.items()}
    sent |= {"reason": "asked by the insurer", "begins": TODAY.isoformat(), **changes}
    return {name: value for name, value in sent.items() if value not in (False, None)}


def change(**values: Any) -> GoAheadPolicy:
    return actions.change_policy(by=SYSTEM, reason="because", **values)


# What it shows


def test_every_rule_stands_there_with_its_source_and_its_number(
    browser: Browser, practice: Practice
) -> None:
    page = browser.get(PAGE)
    text, lines = read(page), page.context["form"].lines
    assert [rule.kind for rule in rules().values() if rule.words not in text] == []
    assert [rule.kind for rule in rules().values() if rule.source not in text] == []
    asked = [number.name for line in lines for number in line.numbers]
    assert sorted(asked) == sorted([*LABELS, "screening_suffices"])


def test_each_switch_stands_once_and_says_what_is_then_not_checked(
    browser: Browser, practice: Practice
) -> None:
    lines = browser.get(PAGE).context["form"].lines
    found = {line.rule.switch: line.switch.label for line in lines if line.switch}
    assert found == {one: f"Do not check {words}" for one, words in switches().items()}
    assert len([line for line in lines if line.switch]) == len(SWITCHES)


def test_what_may_never_be_switched_off_has_no_switch(browser: Browser, practice: Practice) -> None:
    never = {
        "sign", "against", "stop-answer", "stop-condition", "past-forty-weeks", "unknown",
        "hold-answer", "no-letter", "her-word",
    }  # fmt: skip
    lines = {line.rule.kind: line for line in browser.get(PAGE).context["form"].lines}
    assert {kind: lines[kind].switch for kind in never} == dict.fromkeys(never)
    assert [kind for kind in never if lines[kind].rule.switch] == []


def test_it_says_since_when_each_thing_stands(browser: Browser, practice: Practice) -> None:
    change(values={"letter_counts_weeks": 8, "off": ["gentle"]})
    text = read(browser.get(PAGE))
    assert "To begin with 12; as it is since 3 December 2026." in text
    assert "To begin with 294 (42w0d); as it is from the start." in text
    assert "Not checked since 3 December 2026." in text
    assert "Checked from the start." in text
    assert "weaker than a letter, since no clinician has looked at her" in text


def test_the_history_stands_beneath_in_words(browser: Browser, practice: Practice) -> None:
    change(values={"letter_counts_weeks": 8, "off": ["gentle"]})
    text = read(browser.get(PAGE))
    assert "Weeks that a letter counts: 8, to begin with 12; Not checked: gentle recovery" in text
    assert "letter_counts_weeks" not in text


def test_what_comes_into_force_later_is_said_first(browser: Browser, practice: Practice) -> None:
    change(values={"letter_counts_weeks": 8}, begins=TODAY + WEEK)
    page = browser.get(PAGE)
    assert "From 10 December another policy comes into force" in read(page)
    assert page.context["form"]["letter_counts_weeks"].value() == 12


# Changing it


def test_a_change_is_kept_from_today_with_its_reason(browser: Browser, practice: Practice) -> None:
    answer = browser.post(PAGE, as_it_stands(browser, letter_counts_weeks="8"))
    assert (answer.status_code, answer["Location"]) == (302, PAGE)
    row = GoAheadPolicy.objects.get()
    assert (row.begins, row.values, row.reason) == (
        TODAY, {"letter_counts_weeks": 8}, "asked by the insurer",
    )  # fmt: skip
    entries = AuditEntry.objects.filter(verb="changed")
    assert [(one.fields, one.reason) for one in entries] == [
        (["letter_counts_weeks"], "asked by the insurer")
    ]


def test_a_rule_switched_off_and_on_again(browser: Browser, practice: Practice) -> None:
    browser.post(PAGE, as_it_stands(browser, **{"off-gentle": "on"}))
    assert queries.policies().on(TODAY).off == {"gentle"}
    later = (TODAY + WEEK).isoformat()
    browser.post(PAGE, as_it_stands(browser, begins=later, **{"off-gentle": None}))
    assert [queries.policies().on(day).off for day in (TODAY, TODAY + WEEK)] == [{"gentle"}, set()]


def test_what_is_off_is_not_checked_and_the_past_stays(
    browser: Browser, practice: Practice
) -> None:
    """A letter of 16 weeks ago without an end has run out by policy; yesterday it stays so."""
    client = factories.client("Hanna Lind")
    factories.pregnancy(client, due=TODAY + 12 * WEEK)
    clearance(client, TODAY - 16 * WEEK)
    screening(client, TODAY - WEEK)
    browser.post(PAGE, as_it_stands(browser, **{"off-policy-end": "on"}))
    words = [
        str(queries.go_ahead_of(client, on=day).word) for day in (TODAY - timedelta(days=1), TODAY)
    ]
    assert words == ["run out", "yes"]
    for page in (f"/clients/{client.pk}/", "/clients/clearance/"):
        assert "Not checked: how old a letter without an end of its own is" in read(
            browser.get(page)
        )


WRONG = [
    ({"reason": ""}, "reason", "Say why: it stays beside the policy."),
    ({"reason": "  "}, "reason", "Say why: it stays beside the policy."),
    ({"begins": "2026-12-02"}, "begins", "Today at the earliest: what is past stays as it was."),
    ({"begins": ""}, "begins", "Write from which day."),
    ({"letter_counts_weeks": "0"}, "letter_counts_weeks", "Not under 1."),
    ({"letter_counts_weeks": "105"}, "letter_counts_weeks", "Not over 104."),
    ({"letter_counts_weeks": "soon"}, "letter_counts_weeks", "Write a whole number."),
    ({"letter_wanted_weeks": "51"}, "letter_wanted_weeks", "Not under 52."),
    ({"past_due_days": "295"}, "past_due_days", "Not over 294."),
    ({}, "__all__", "Nothing of it has changed."),
]


@pytest.mark.parametrize(("typed", "field", "words"), WRONG)
def test_what_is_wrong_stands_beside_its_field_and_nothing_is_kept(
    browser: Browser, practice: Practice, typed: dict[str, str], field: str, words: str
) -> None:
    other = {} if field == "__all__" else {"screening_counts_weeks": "6"}
    answer = browser.post(PAGE, as_it_stands(browser, **{**other, **typed}))
    assert answer.status_code == 422
    assert {name: list(found) for name, found in answer.context["form"].errors.items()} == {
        field: [words]
    }
    if other:
        assert answer.context["form"]["screening_counts_weeks"].value() == "6"
    assert GoAheadPolicy.objects.count() == 0


def test_whoever_may_not_change_the_practice_sees_nothing_of_it(
    people: Any, signed_in: Any
) -> None:
    found = {role: signed_in(person).get(PAGE).status_code for role, person in people.items()}
    assert found == {
        "owner": 200, "covering coach": 403, "assistant": 403, "bookkeeper": 403, "leaver": 302,
        "nobody": 302,
    }  # fmt: skip


def test_as_many_queries_for_30_policies_as_for_1(browser: Browser, practice: Practice) -> None:
    counted = []
    for wanted in (1, 30):
        while (n := GoAheadPolicy.objects.count()) < wanted:
            change(values={"letter_counts_weeks": 13 + n}, begins=TODAY + n * WEEK)
        with CaptureQueriesContext(connection) as captured:
            assert len(browser.get(PAGE).context["history"]) == wanted
        counted.append(len(captured))
    assert counted[0] == counted[1]


# The words


def test_since_when_is_the_last_day_on_which_it_became_so() -> None:
    days = [TODAY + n * WEEK for n in range(4)]
    values: list[dict[str, Any]] = [
        {"gentle_weeks": 8},
        {"gentle_weeks": 8, "off": ["gentle"]},
        {},
        {"gentle_weeks": 8},
    ]
    found = Policies.of(list(zip(days, values, strict=True)))
    told = [since_words(found, day, lambda one: one.gentle_weeks) for day in days]
    assert told == [
        "since 3 December 2026", "since 3 December 2026", "since 17 December 2026",
        "since 24 December 2026",
    ]  # fmt: skip
    before = since_words(found, TODAY - WEEK, lambda one: one.gentle_weeks)
    assert (before, since_words(found, days[3], lambda one: one.past_due_days)) == (
        "from the start", "from the start",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({}, ["Everything as to begin with"]),
        (
            {"past_due_days": 290, "screening_suffices": True},
            [
                "Day of the pregnancy from which she waits, 280 being the due date: 290 (41w3d), "
                "to begin with 294 (42w0d)",
                "Current answers, every one no, are taken where no letter is in force",
            ],
        ),
    ],
)
def test_a_stored_policy_is_told_by_what_differs(values: dict[str, Any], words: list[str]) -> None:
    assert changes_words(values) == words
    assert policy().past_due_days == 294
