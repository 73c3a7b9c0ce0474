"""How the practice cuts the trimesters: one choice, followed wherever a stage is read.

Published schemes differ: the third trimester begins at 28 completed weeks by ICD-10-CM chapter 15,
at 25 by the home edition of a medical manual (its own words: 25 weeks to delivery).
"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date, timedelta
from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client as Browser

from clients import actions, queries
from clients.models import Client
from clients.rules.needs import Needed, count_needs
from clients.rules.roster import Person, line_of
from clients.rules.words import stage_words
from coach.diary.queries import reassessments
from coach.feeds.queries import todos
from coach.practice.models import Practice
from coach.scheduling.dates import SCHEMES, PregnancyDates
from coach.scheduling.reassessment import History, due, policy
from coach.scheduling.values import Stage
from content.queries.planning import problem
from content.rules.months import Month
from tests import factories
from tests.clients.pages import read
from tests.factories_clearance import assessment, clearance, screening, sign

TODAY = date(2026, 12, 3)
DUE = TODAY + timedelta(days=280 - 26 * 7)  # 26w0d today
CODING, MANUAL = SCHEMES["coding"], SCHEMES["manual"]
BOTH = [("coding", Stage.TRIMESTER_2), ("manual", Stage.TRIMESTER_3)]


def cut(scheme: str) -> None:
    Practice.objects.update(trimester_scheme=scheme)


@pytest.fixture
def hanna(practice: Practice) -> Client:
    """26 weeks and 0 days today, assessed three weeks ago."""
    client = factories.client("Hanna Lind")
    factories.pregnancy(client, due=DUE)
    assessment(client, TODAY - timedelta(weeks=3))
    return client


# The rules


@pytest.mark.parametrize(("name", "stage"), BOTH)
def test_a_line_of_the_roster_is_cut_by_the_scheme(name: str, stage: Stage) -> None:
    person = Person(1, "H", "", "", "active", None)  # type: ignore[arg-type]  # a day is not read
    line = line_of(person, [PregnancyDates(due=DUE)], TODAY, quiet=False, scheme=SCHEMES[name])
    assert (line.stage, line.note) == (stage, f"{stage.label} · due 11 March 2027")


@pytest.mark.parametrize(("name", "words"), [("coding", "14–28 weeks"), ("manual", "13–25 weeks")])
def test_a_quiet_client_reads_the_weeks_of_the_scheme(name: str, words: str) -> None:
    assert stage_words(Stage.TRIMESTER_2, quiet=True, scheme=SCHEMES[name]) == words


@pytest.mark.parametrize(("name", "stage"), BOTH)
def test_needs_are_counted_by_the_scheme(name: str, stage: Stage) -> None:
    one = Needed("active", False, (PregnancyDates(due=DUE),))
    found = count_needs([one], today=TODAY, days=[TODAY], scheme=SCHEMES[name])
    assert found.by_day == {TODAY: {stage: 1}}


def test_a_reassessment_is_asked_for_where_the_scheme_cuts() -> None:
    """Assessed at 23w0d: the next trimester begins at 25 or at 28 weeks."""
    history = History((PregnancyDates(due=DUE),), TODAY - timedelta(weeks=3))
    asked = {
        name: due(history, today=TODAY, rules=policy(), scheme=scheme)
        for name, scheme in SCHEMES.items()
        if name in {"coding", "manual"}
    }
    reasons = {name: found and found.reasons[0].reason for name, found in asked.items()}
    assert reasons == {
        "coding": "Passes 28 weeks on 17 December; last measured at 23 weeks",
        "manual": "Passed 25 weeks on 26 November; last measured at 23 weeks",
    }


# Everywhere it is read


def roster(browser: Browser) -> object:
    (line,) = browser.get("/clients/").context["page"]
    return line.stage


def filtered(browser: Browser) -> object:
    """The filter by stage finds her at one stage only."""
    found = {stage: browser.get(f"/clients/?stage={stage}").context["page"] for stage in Stage}
    (stage,) = (stage for stage, page in found.items() if len(page))
    return stage


def her_page(browser: Browser) -> object:
    text = read(browser.get(f"/clients/{Client.objects.get().pk}/"))
    (stage,) = (stage for stage in Stage if f"26 weeks, {stage.label}" in text)
    return stage


def register(browser: Browser) -> object:
    ((_, rows),) = browser.get("/clients/clearance/").context["groups"]
    return rows[0].line.stage


def month_plan(browser: Browser) -> object:
    factories.wishes()
    (need,) = {tuple(sorted(row.items())) for row in _needs().values()}
    ((stage, count),) = need
    assert count == 1
    return stage


def _needs() -> dict[date, dict[Stage, int]]:
    found = problem(Month(2026, 12), today=TODAY)
    first = min(found.slots)
    return {first: {stage: n for (day, stage), n in _flat(found.need).items() if day == first}}


def _flat(need: Any) -> dict[tuple[date, Stage], int]:
    return {(day, stage): n for day, row in dict(need).items() for stage, n in dict(row).items()}


def command(browser: Browser) -> object:
    out = StringIO()
    call_command("may_train", "--json", stdout=out)
    (row,) = json.loads(out.getvalue())
    (stage,) = (stage for stage in Stage if stage.label == row["stage"])
    return stage


@pytest.mark.parametrize(("name", "stage"), BOTH)
@pytest.mark.parametrize("reads", [roster, filtered, her_page, register, month_plan, command])
def test_every_page_plan_and_command_follows_the_practice(
    browser: Browser, hanna: Client, reads: Callable[[Browser], object], name: str, stage: Stage
) -> None:
    cut(name)
    assert reads(browser) == stage


@pytest.mark.parametrize(
    ("name", "by"), [("coding", date(2026, 12, 17)), ("manual", date(2026, 11, 26))]
)
def test_the_diary_the_command_and_the_feed_follow_it(hanna: Client, name: str, by: date) -> None:
    cut(name)
    (wanted,) = reassessments(TODAY, within_days=None)
    assert wanted.by == by
    out = StringIO()
    call_command("due", "--json", stdout=out)
    assert [one["due"] for one in json.loads(out.getvalue())["reassessments"]] == [by.isoformat()]
    assert [one.day for one in todos(TODAY).items if one.identity == "reassessment"] == [by]


# And nowhere else


def everything_about(client: Client) -> None:
    clearance(client, TODAY - timedelta(weeks=2))
    screening(client, TODAY - timedelta(weeks=1))


def a_sign(client: Client) -> None:
    everything_about(client)
    sign(client, TODAY)


@pytest.mark.parametrize("told", [lambda client: None, everything_about, a_sign])
def test_the_go_ahead_never_depends_on_it(hanna: Client, told: Callable[[Client], None]) -> None:
    told(hanna)
    actions.rewrite_all_spans()
    days = [TODAY + timedelta(weeks=n) for n in range(-20, 20)]
    found, stale = [], []
    for name in SCHEMES:
        cut(name)
        found.append([queries.go_ahead_of(hanna, on=day) for day in days])
        stale.append(queries.stale_spans())
    assert found == [found[0]] * len(SCHEMES)
    assert stale == [{}] * len(SCHEMES)


@pytest.mark.parametrize("name", list(SCHEMES))
def test_every_scheme_can_be_chosen_and_read(browser: Browser, hanna: Client, name: str) -> None:
    cut(name)
    assert isinstance(roster(browser), Stage)
    assert SCHEMES[name].source
