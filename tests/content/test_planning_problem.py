"""The planner's problem, as it is put together from wishes, classes, uploads and the roster."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clients.models import Enquiry
from coach.practice.models import Practice
from coach.scheduling.planner import Problem
from coach.scheduling.values import Stage
from content.models import ClassDesign, Proposal
from content.queries import planning
from content.rules.months import Month
from content.rules.preferences import weights
from tests import factories

JANUARY = Month.parse("2027-01")


@pytest.fixture(autouse=True)
def _practice(practice: Practice) -> None:
    """The practice."""


def asked(today: date) -> Problem:
    return planning.problem(JANUARY, today=today)


def test_weekdays_are_the_slots_and_two_may_follow_each_other(today: date) -> None:
    factories.wishes(weekdays=[1, 5])
    found = asked(today)
    assert [day.day for day in found.slots] == [2, 5, 9, 12, 16, 19, 23, 26, 30]
    assert (found.a_week, found.gap_days, found.film_days) == (None, 1, None)


def test_so_many_a_week_makes_every_open_day_a_slot(today: date) -> None:
    factories.wishes(rhythm="a week", weekdays=[], a_week=3, gap_days=2)
    factories.day_off(date(2027, 1, 20))
    factories.upload(date(2027, 1, 9))
    found = asked(today)
    assert [day.day for day in found.slots] == [n for n in range(1, 32) if n not in {9, 20}]
    assert (found.a_week, found.gap_days) == (3, 2)
    assert found.closed == (
        (date(2027, 1, 9), "an upload stands there"),
        (date(2027, 1, 20), "a day off"),
    )


def test_her_figures_go_over_as_days(today: date) -> None:
    factories.wishes(
        film_weekdays=[2], films_a_day=4, lead_film=11, lead_days=3, serve_every_weeks=3
    )
    factories.day_off(date(2027, 1, 6))
    found = asked(today)
    assert found.film_days is not None
    wednesdays = [today + timedelta(days=6 + 7 * n) for n in range(8)]
    assert list(found.film_days) == [day for day in wednesdays if day != date(2027, 1, 6)]
    assert (found.films_a_day, found.film_lead_days, found.lead_days) == (4, 11, 3)
    assert found.serve_every_days == 21
    assert found.days_off == (date(2027, 1, 6),)


def test_weights_are_the_presets_turned_by_her_sliders(today: date) -> None:
    factories.wishes(preference="film", sliders={"film": 50, "serve": 0})
    preset = weights()["film"]
    found = asked(today).weights
    assert (found.film, found.serve, found.fill) == (preset.film // 2, 0, preset.fill)


def test_a_class_goes_over_with_its_days_and_what_is_still_to_do(today: date) -> None:
    factories.wishes()
    first, last = date(2027, 1, 4), date(2027, 1, 20)
    factories.fitness_class(
        "Hips", state="outlined", minutes_of_work=90, not_before=first, not_after=last,
        wanted_soon=True, effort=7,
    )  # fmt: skip
    factories.fitness_class("Cut", state="filmed", minutes_of_work=60)
    factories.fitness_class("Someday", state="idea", minutes_of_work=0)
    hips, cut = sorted(asked(today).classes, key=lambda one: one.id)
    assert (hips.not_before, hips.not_after, hips.wanted_soon) == (first, last, True)
    assert [one.needs_filming for one in (hips, cut)] == [True, False]
    assert (hips.band, cut.minutes_of_work) == ("hard", 60)


def design(title: str, *codes: str, **values: Any) -> int:
    item = factories.fitness_class(title, **values)
    items = [{"exercise": code} for code in codes]
    planned = {"blocks": [{"kind": "main", "patterns": [{"items": items}]}]}
    ClassDesign.objects.create(item=item, planned=planned)
    return item.pk


def test_designed_classes_with_much_the_same_exercises_are_a_family(today: date) -> None:
    factories.wishes()
    one = design("One", "bird-dog", "glute-bridge")
    two = design("Two", "bird-dog", "glute-bridge", "side-plank")
    other = design("Other", "wall-press-up")
    plain = factories.fitness_class("Not designed").pk
    found = {item.id: item.family for item in asked(today).classes}
    assert found == {one: one, two: one, other: None, plain: None}


@pytest.mark.parametrize(("how", "most"), [("no", 1), ("half", 3), ("full", 4)])
def test_enquiries_count_at_the_weight_she_gives_them(today: date, how: str, most: int) -> None:
    """One client in trimester 2 and three enquiries there: half of three is rounded up."""
    factories.wishes(weekdays=[1], enquiries=how)
    factories.pregnancy(factories.client(), due=date(2027, 5, 1))
    for n in range(3):
        Enquiry.objects.create(name=f"Enquiry {n}", came_on=today, told_due=date(2027, 5, 1))
    found = asked(today)
    first = {Stage.TRIMESTER_2: most}
    assert found.clients is not None
    assert dict(found.need[0][1]) == first
    assert dict(found.clients[0][1]) == {Stage.TRIMESTER_2: 1}
    assert found.ready is not None
    assert sum(many for _, row in found.ready for _, many in row) == 0


def test_the_mix_counts_what_stands_in_the_month_already(today: date) -> None:
    """Nine publish days, one taken by a core class: 25 % of nine are three, less that one."""
    factories.wishes(mix={"core": 25, "legs": 0})
    factories.upload(date(2027, 1, 5), factories.fitness_class(focus="core"))
    factories.upload(date(2027, 2, 2), factories.fitness_class(focus="core"))
    assert asked(today).mix == (("core", 2), ("legs", 0))


def test_the_mix_of_so_many_a_week_is_of_the_uploads_and_not_of_the_days(today: date) -> None:
    """31 open days at two a week are nine uploads; 20 % of them are two."""
    factories.wishes(rhythm="a week", a_week=2, gap_days=2, mix={"core": 20})
    assert asked(today).mix == (("core", 2),)


def test_pins_are_asked_while_their_class_is_there_and_their_day_to_come(today: date) -> None:
    factories.wishes()
    kept, gone = factories.fitness_class("Kept"), factories.fitness_class("Gone")
    pins = [
        {"day": "2027-01-05", "class": kept.pk},
        {"day": "2027-01-09", "class": gone.pk},
        {"day": str(today), "class": kept.pk},
    ]
    Proposal.objects.create(month=JANUARY.first, status="optimal", value=0, bound=0, pins=pins)
    factories.upload(date(2027, 2, 2), gone)
    assert asked(today).pins == ((date(2027, 1, 5), kept.pk),)


def test_the_fingerprint_is_of_what_is_asked_and_not_of_the_date(today: date) -> None:
    factories.wishes(film_weekdays=[2])
    first = planning.fingerprint(asked(today))
    assert planning.fingerprint(asked(today + timedelta(days=1))) == first
    assert planning.fingerprint(asked(today + timedelta(days=7))) != first  # a filming day is over
    factories.fitness_class("A new one")
    assert planning.fingerprint(asked(today)) != first


def test_it_costs_the_same_for_one_and_for_thirty(today: date) -> None:
    factories.wishes(film_weekdays=[2], mix={"core": 20})

    def cost() -> int:
        with CaptureQueriesContext(connection) as queries:
            asked(today)
        return len(queries)

    def fill(day: int) -> None:
        design(f"Class {day}", "bird-dog", series=factories.series(), part=1)
        factories.upload(date(2026, 11, day))
        factories.day_off(date(2027, 2, day))
        factories.pregnancy(factories.client(), due=date(2027, 5, 1))
        Enquiry.objects.create(name=f"Enquiry {day}", came_on=today, told_due=date(2027, 5, 1))

    fill(1)
    one = cost()
    for day in range(2, 29):
        fill(day)
    assert cost() == one
