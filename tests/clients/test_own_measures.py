"""Measures of the practice's own: added, changed, asked no more; what was measured stays."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.test import Client as Browser

from clients import actions
from clients.models import OwnMeasure
from clients.queries.measuring import own_measures
from clients.queries.measuring_settings import own_lines
from clients.rules.own_measures import OwnFacts, problems
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice
from tests.clients.pages import read
from tests.clients.readying import a_client, d
from tests.factories_clearance import assessment

PLANK = OwnFacts("Side plank, left", "s", "more", Decimal(0), Decimal("300.50"))
ADD = "/clients/measuring/own/add/"
TYPED = {"name": "Reach", "unit": "cm", "better": "more", "least": "", "most": ""}


def add(facts: OwnFacts = PLANK) -> OwnMeasure:
    return actions.add_own_measure(by=SYSTEM, facts=facts)


def trail() -> list[tuple[str, list[str]]]:
    return [(entry.verb, entry.fields) for entry in AuditEntry.objects.order_by("pk")]


# The rule


@pytest.mark.parametrize(
    ("facts", "fields"),
    [
        (PLANK, []),
        (OwnFacts("Reach"), []),
        (OwnFacts("Reach", least=Decimal(-5), most=Decimal(5)), []),
        (OwnFacts("  "), ["name"]),
        (OwnFacts("x" * 61), ["name"]),
        (OwnFacts("Reach", unit="x" * 21), ["unit"]),
        (OwnFacts("Reach", better="big"), ["better"]),
        (OwnFacts("Reach", least=Decimal("0.125")), ["least"]),
        (OwnFacts("Reach", most=Decimal(10**6)), ["most"]),
        (OwnFacts("Reach", least=Decimal(5), most=Decimal(5)), ["most"]),
        (OwnFacts("", better="big"), ["name", "better"]),
    ],
)
def test_what_it_can_be(facts: OwnFacts, fields: list[str]) -> None:
    assert [one.field for one in problems(facts, [])] == fields


@pytest.mark.parametrize("name", ["Reach", "reach ", "RÉACH"])
def test_no_second_one_of_a_name_however_it_is_written(name: str) -> None:
    found = problems(OwnFacts(name), ["Plank", "Reach"])
    assert [one.sentence for one in found] == ["There is a measure of that name already."]


def test_limits_are_kept_as_they_are_written() -> None:
    assert PLANK.columns == {
        "name": "Side plank, left", "unit": "s", "better": "more", "least": "0", "most": "300.5",
    }  # fmt: skip
    assert (OwnFacts("Reach", least=Decimal(100)).columns["least"], OwnFacts("x").columns["most"])\
        == ("100", "")  # fmt: skip


# The writes


def test_one_that_is_added_is_asked(practice: Practice) -> None:
    row = add()
    (found,) = own_measures(retired=False)
    assert (found.pk, found.name, found.unit, found.better, found.least, found.most) == (
        row.pk, "Side plank, left", "s", "more", Decimal(0), Decimal("300.5"),
    )  # fmt: skip
    assert trail() == [("added", ["better", "least", "most", "name", "unit"])]


def test_a_name_that_there_is_already_is_refused(practice: Practice) -> None:
    row = add()
    with pytest.raises(actions.Refused, match="already"):
        add(OwnFacts("side PLANK, left"))
    other = add(OwnFacts("Reach"))
    with pytest.raises(actions.Refused, match="already"):
        actions.change_own_measure(by=SYSTEM, measure=other, facts=OwnFacts(row.name))
    actions.change_own_measure(by=SYSTEM, measure=row, facts=OwnFacts("Side plank, LEFT", "s"))
    assert list(OwnMeasure.objects.values_list("name", flat=True)) == ["Side plank, LEFT", "Reach"]


def test_its_unit_stays_once_something_is_measured_in_it(practice: Practice) -> None:
    row = add(OwnFacts("Reach", "cm", "more"))
    actions.change_own_measure(by=SYSTEM, measure=row, facts=OwnFacts("Reach", "mm", "more"))
    assessment(a_client(), d(-1), **{f"own_{row.pk}": 120})
    with pytest.raises(actions.Refused, match="add another measure instead"):
        actions.change_own_measure(by=SYSTEM, measure=row, facts=OwnFacts("Reach", "cm", "more"))
    actions.change_own_measure(by=SYSTEM, measure=row, facts=OwnFacts("Arm reach", "mm", "more"))
    row.refresh_from_db()
    assert (row.name, row.unit) == ("Arm reach", "mm")


def test_a_retired_one_is_asked_no_more_and_stays(practice: Practice) -> None:
    row = add()
    actions.retire_own_measure(by=SYSTEM, measure=row)
    actions.retire_own_measure(by=SYSTEM, measure=row)
    assert (own_measures(retired=False), [one.pk for one in own_measures()]) == ([], [row.pk])
    actions.retire_own_measure(by=SYSTEM, measure=row, retired=False)
    assert [one.pk for one in own_measures(retired=False)] == [row.pk]
    assert trail()[1:] == [("retired", ["retired"]), ("took back", ["retired"])]


def test_nothing_changed_is_nothing_written(practice: Practice) -> None:
    row = add()
    actions.change_own_measure(by=SYSTEM, measure=row, facts=PLANK)
    assert len(trail()) == 1


def test_the_list_tells_each_in_a_line_those_still_asked_first(practice: Practice) -> None:
    old = add(OwnFacts("Reach", "cm", least=Decimal(3)))
    actions.retire_own_measure(by=SYSTEM, measure=old)
    add()
    add(OwnFacts("Mood", most=Decimal(9)))
    assert [(one.name, one.note, one.retired) for one in own_lines()] == [
        ("Side plank, left", "s · more is better · 0 to 300.5", False),
        ("Mood", "at most 9", False),
        ("Reach", "cm · at least 3", True),
    ]


# Its pages


def test_it_is_added_on_its_page(browser: Browser, practice: Practice) -> None:
    form = browser.get(ADD).context["form"]
    assert [name for name in form.fields if form[name].value()] == []
    answer = browser.post(ADD, TYPED)
    assert (answer.status_code, answer["Location"]) == (302, "/clients/measuring/")
    row = OwnMeasure.objects.get()
    assert (row.name, row.unit, row.better, row.least, row.most) == ("Reach", "cm", "more", "", "")


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"name": ""}, "name", "Write what is measured."),
        ({"better": ""}, "better", "Choose one: a page says so beside a change."),
        ({"least": "some"}, "least", "Write a number."),
        ({"least": "0.125"}, "least", "At most two decimals."),
        ({"least": "9", "most": "3"}, "most", "More than the least."),
        ({"name": "side plank, LEFT"}, "name", "There is a measure of that name already."),
    ],
)
def test_what_cannot_be_stands_beside_its_field_and_what_was_typed_stays(
    browser: Browser, practice: Practice, typed: dict[str, str], field: str, words: str
) -> None:
    add()
    answer = browser.post(ADD, {**TYPED, **typed})
    form = answer.context["form"]
    assert (answer.status_code, dict(form.errors)) == (422, {field: [words]})
    assert form["unit"].value() == "cm"
    assert OwnMeasure.objects.count() == 1


@pytest.mark.parametrize("better", ["neither", "less"])
def test_it_is_changed_on_its_page(browser: Browser, practice: Practice, better: str) -> None:
    row = add()
    page = f"/clients/measuring/own/{row.pk}/"
    form = browser.get(page).context["form"]
    assert [form[name].value() for name in ("name", "better", "most")] == [
        "Side plank, left", "more", "300.5",
    ]  # fmt: skip
    answer = browser.post(page, {**TYPED, "better": better, "most": "40"})
    assert answer.status_code == 302
    row.refresh_from_db()
    assert (row.name, row.better, row.most) == ("Reach", better.removeprefix("neither"), "40")


def test_it_is_asked_no_more_and_again_on_its_page(browser: Browser, practice: Practice) -> None:
    row = add()
    page = f"/clients/measuring/own/{row.pk}/"
    answers = []
    for retired in ("yes", "no"):
        read_after = browser.post(page, {"retired": retired}, follow=True)
        row.refresh_from_db()
        answers.append((row.retired, "asked no more" in read(read_after).casefold()))
    assert answers == [(True, True), (False, False)]


def test_whoever_may_not_change_the_practice_sees_nothing_of_it(
    people: Any, signed_in: Any
) -> None:
    add()
    wanted = {
        "owner": 200, "covering coach": 403, "assistant": 403, "bookkeeper": 403, "leaver": 302,
        "nobody": 302,
    }  # fmt: skip
    for page in (ADD, f"/clients/measuring/own/{OwnMeasure.objects.get().pk}/"):
        found = {role: signed_in(person).get(page).status_code for role, person in people.items()}
        assert found == wanted
