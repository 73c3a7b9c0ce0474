"""Pinning a class in a proposal: the rest is planned anew, what changed is said."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client as Browser

from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice
from content.actions import planning as actions
from content.actions.uploads import Refused, place
from content.models import FitnessClass, Proposal, Upload
from content.queries import planning
from content.queries.month import month_page
from content.rules.months import Month
from tests import factories
from tests.clients.pages import read

JANUARY = Month.parse("2027-01")
PATH = "/uploads/2027-01/"
HTMX = {"HX-Request": "true", "HX-Target": "month"}


@pytest.fixture(autouse=True)
def _world(practice: Practice) -> None:
    """Six finished classes and wishes for Tuesdays: four slots in January."""
    factories.wishes(weekdays=[1])
    for number in range(6):
        focus = ("core", "legs", "mobility")[number % 3]
        factories.fitness_class(f"Class {number:02}", focus=focus)


def proposed(today: date) -> Proposal:
    return actions.propose(by=SYSTEM, month=JANUARY, today=today)


def held(of: Proposal) -> dict[int, str]:
    return {slot["class"]: slot["day"] for slot in of.slots}


def item_on(of: Proposal, day: str) -> FitnessClass:
    return FitnessClass.objects.get(
        pk=next(slot["class"] for slot in of.slots if slot["day"] == day)
    )


def pinned(item: FitnessClass, day: int, today: date) -> Proposal:
    return actions.pin(by=SYSTEM, month=JANUARY, item=item, day=date(2027, 1, day), today=today)


def test_a_pinned_class_stands_there_and_the_rest_is_planned_around_it(today: date) -> None:
    found = proposed(today)
    before, item = held(found), item_on(found, "2027-01-05")
    new = pinned(item, 26, today)
    assert held(new)[item.pk] == "2027-01-26"
    assert new.pins == [{"day": "2027-01-26", "class": item.pk}]
    assert [slot["class"] for slot in new.slots if slot["pinned"]] == [item.pk]
    assert len(new.slots) == 4
    assert f"“{item.title}” moves from Tuesday 5 January to Tuesday 26 January." in new.changed
    told = {slot["class"]: slot["was"] for slot in new.slots if "was" in slot}
    assert told == {pk: before.get(pk) for pk, day in held(new).items() if before.get(pk) != day}
    assert [entry.verb for entry in AuditEntry.objects.order_by("pk")] == ["proposed", "pinned"]


def test_pins_stay_when_the_month_is_planned_again(today: date) -> None:
    item = item_on(proposed(today), "2027-01-05")
    first = held(pinned(item, 26, today))
    again = proposed(today)
    assert (held(again), again.pins[0]["class"]) == (first, item.pk)
    assert again.changed == ["Nothing is other than in the plan before."]


def test_a_class_has_one_pin_and_a_day_one_class(today: date) -> None:
    found = proposed(today)
    one, two = item_on(found, "2027-01-05"), item_on(found, "2027-01-12")
    pinned(one, 26, today)
    pinned(one, 19, today)
    assert Proposal.objects.get().pins == [{"day": "2027-01-19", "class": one.pk}]
    pinned(two, 19, today)
    assert Proposal.objects.get().pins == [{"day": "2027-01-19", "class": two.pk}]


def test_taken_out_again_it_goes_where_it_fits_best(today: date) -> None:
    found = proposed(today)
    best, value = held(found), found.value
    pinned(item_on(found, "2027-01-05"), 26, today)
    back = actions.unpin(by=SYSTEM, month=JANUARY, day=date(2027, 1, 26), today=today)
    assert (held(back), back.pins, back.value) == (best, [], value)
    with pytest.raises(Refused, match="Nothing is pinned on Tuesday 26 January 2027"):
        actions.unpin(by=SYSTEM, month=JANUARY, day=date(2027, 1, 26), today=today)


def test_a_pin_that_cannot_be_is_refused_in_words_and_nothing_changes(today: date) -> None:
    found = proposed(today)
    with pytest.raises(Refused, match="Wednesday 6 January is no publish day of yours"):
        pinned(item_on(found, "2027-01-05"), 6, today)
    kept = Proposal.objects.get()
    assert (kept.slots, kept.pins) == (found.slots, [])


@pytest.mark.parametrize(
    ("day", "said"),
    [
        (date(2026, 12, 3), "Thursday 3 December 2026 is over for planning"),
        (date(2027, 2, 2), "lies in another month than this plan"),
    ],
)
def test_a_day_that_is_over_or_elsewhere_is_refused(today: date, day: date, said: str) -> None:
    item = FitnessClass.objects.all()[0]
    with pytest.raises(Refused, match=said):
        actions.pin(by=SYSTEM, month=JANUARY, item=item, day=day, today=today)


def test_what_has_its_day_or_no_hours_is_refused(today: date) -> None:
    item = FitnessClass.objects.all()[0]
    place(by=SYSTEM, item=item, day=date(2027, 1, 5))
    with pytest.raises(Refused, match="has its day already"):
        pinned(item, 12, today)
    with pytest.raises(Refused, match="Say how many hours “Someday” still needs"):
        pinned(factories.fitness_class("Someday", state="idea"), 12, today)


def test_an_accepted_pin_is_no_pin_any_more(today: date) -> None:
    new = pinned(item_on(proposed(today), "2027-01-05"), 26, today)
    actions.accept(by=SYSTEM, proposal=new, days=[date(2027, 1, 26)], today=today)
    kept = Proposal.objects.get()
    assert kept.pins == []
    assert planning.is_current(kept, today)


def test_left_out_its_pin_goes_with_it_and_the_plan_is_called_changed(today: date) -> None:
    new = pinned(item_on(proposed(today), "2027-01-05"), 26, today)
    actions.leave_out(by=SYSTEM, proposal=new, day=date(2027, 1, 26), today=today)
    assert Proposal.objects.get().pins == []
    assert "changed by hand" in month_page(JANUARY, today=today).summary


def test_a_day_off_under_a_pin_is_a_conflict_with_the_pin_to_let_go(
    browser: Browser, today: date
) -> None:
    new = pinned(item_on(proposed(today), "2027-01-05"), 26, today)
    title = FitnessClass.objects.get(pk=new.pins[0]["class"]).title
    factories.day_off(date(2027, 1, 26))
    browser.post(f"{PATH}propose/")
    kept = Proposal.objects.get()
    assert (kept.status, kept.slots) == ("infeasible", [])
    assert kept.conflict
    page = browser.get(PATH)
    assert page.context["page"].conflict == tuple(kept.conflict)
    words = read(page)
    assert "These wishes can’t all be kept" in words
    assert all(sentence in words for sentence in kept.conflict)
    assert [(pin.title, pin.kept) for pin in page.context["page"].pins] == [(title, False)]
    browser.post(f"{PATH}unpin/2027-01-26/")
    assert (Proposal.objects.get().status, len(Proposal.objects.get().slots)) == ("optimal", 3)


@pytest.mark.parametrize("headers", [{}, HTMX])
def test_pinned_by_its_form_the_page_marks_what_is_other(
    browser: Browser, today: date, headers: dict[str, str]
) -> None:
    item = item_on(proposed(today), "2027-01-05")
    sent = {"item": item.pk, "day": "2027-01-26"}
    answer = browser.post(f"{PATH}pin/", sent, headers=headers)
    assert answer.status_code == (200 if headers else 302)
    page = browser.get(PATH)
    words = read(page)
    assert "What changed" in words
    assert f"“{item.title}” moves from Tuesday 5 January to Tuesday 26 January." in words
    shown = {one.item.pk: one for one in page.context["page"].proposed}
    assert (shown[item.pk].pinned, shown[item.pk].was) == (True, date(2027, 1, 5))
    assert "moved from Tue 5" in words


def test_a_pin_that_is_refused_says_so_beside_the_plan(browser: Browser, today: date) -> None:
    item = item_on(proposed(today), "2027-01-05")
    answer = browser.post(f"{PATH}pin/", {"item": item.pk, "day": "2027-01-06"}, headers=HTMX)
    assert answer.status_code == 422
    assert "is no publish day of yours" in answer.context["refused"]
    wrong = browser.post(f"{PATH}pin/", {"item": "999", "day": "someday"})
    assert wrong.status_code == 422
    assert "not a day of the calendar" in wrong.context["refused"]


def test_a_class_from_the_backlog_is_pinned_before_there_is_a_plan(
    browser: Browser, today: date
) -> None:
    item = FitnessClass.objects.latest("pk")
    browser.post(f"{PATH}pin/", {"item": item.pk, "day": "2027-01-12"})
    assert held(Proposal.objects.get())[item.pk] == "2027-01-12"
    assert Proposal.objects.get().changed == []


def test_those_with_a_tick_are_accepted(browser: Browser, today: date) -> None:
    days = [slot["day"] for slot in proposed(today).slots]
    none = browser.post(f"{PATH}accept/", {"some": "yes"})
    assert none.status_code == 422
    assert none.context["refused"] == "Tick what you accept first."
    strange = browser.post(f"{PATH}accept/", {"some": "yes", "day": [days[0], "2027-01-06"]})
    assert "nothing proposed on that day any more" in strange.context["refused"]
    assert Upload.objects.count() == 0
    browser.post(f"{PATH}accept/", {"some": "yes", "day": days[1:3]})
    made = Upload.objects.values_list("day", flat=True)
    assert [day.isoformat() for day in made] == days[1:3]
    assert [slot["day"] for slot in Proposal.objects.get().slots] == [days[0], days[3]]
