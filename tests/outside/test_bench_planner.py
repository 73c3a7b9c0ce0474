"""What the bench of the planner times are months like hers, the same ones each time."""

from __future__ import annotations

import json
from datetime import date
from io import StringIO

import pytest
from django.core.management import call_command

from coach.management.bench_planner import JANUARY, SIZES, Size, a_month, measure
from coach.scheduling.planner import greedy, make_plan, value_of
from coach.scheduling.values import SERVABLE_STAGES

pytestmark = pytest.mark.endurance

FEW = {"few": Size(JANUARY[:6], 12, 2), "paced": Size(JANUARY[:14], 12, 1, 2, 3)}


def test_every_size_has_as_many_publish_days_and_classes_as_it_says() -> None:
    problems = {name: a_month(0, size) for name, size in SIZES.items()}
    assert {name: (len(one.slots), len(one.classes)) for name, one in problems.items()} == {
        "thirteen": (13, 60),
        "every day": (31, 300),
        "so many a week": (26, 300),
    }
    assert problems["every day"] == a_month(0, SIZES["every day"])
    assert problems["every day"] != a_month(1, SIZES["every day"])


def test_its_months_ask_for_everything_that_makes_a_month_hard() -> None:
    month = a_month(0, SIZES["every day"])
    asked = [month.film_days, month.days_off, month.mix, month.weights.family, month.weights.film]
    assert all(asked)
    assert {item.effort for item in month.classes} == set(range(1, 10))
    assert len({item.focus for item in month.classes}) == 8
    families = [item.family for item in month.classes]
    assert max(families.count(family) for family in families) == 6
    assert {stage for _, row in month.need for stage, _ in row} == set(SERVABLE_STAGES)
    assert any(item.order for item in month.classes)
    assert any(upload.day > date(2027, 1, 31) for upload in month.fixed)


def test_each_month_is_told_beside_its_greedy_plan() -> None:
    found = measure(FEW)
    first = found["few"]["months"][0]
    problem = a_month(0, FEW["few"])
    assert first["greedy"] == value_of(problem, greedy(problem)) <= first["value"] <= first["bound"]
    assert [(size["slots"], size["proved"]) for size in found.values()] == [(6, 2), (14, 1)]


def test_the_command_prints_a_line_for_each_month(monkeypatch: pytest.MonkeyPatch) -> None:
    few = measure(FEW)
    monkeypatch.setattr("coach.management.bench_planner.measure", lambda: few)
    text, data = StringIO(), StringIO()
    call_command("bench", "planner", stdout=text)
    call_command("bench", "planner", "--json", stdout=data)
    assert json.loads(data.getvalue()) == few
    assert text.getvalue().startswith("few: 6 publish days, 12 classes; 2 of 2 proved the best")
    assert text.getvalue().count("optimal") == 3


def test_a_month_of_300_classes_comes_within_half_a_per_cent_of_the_best() -> None:
    plan = make_plan(a_month(2, SIZES["every day"]))
    assert plan.gap <= 0.005
    assert plan.stopped_by_clock is False
    assert plan.value > (plan.greedy_value or 0)
