"""Plans kept when another takes their place, put back, taken back; and their pages."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from clients.models import Client
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice
from coach.practice.permissions import Role
from content.actions import planning as actions
from content.actions.earlier import restore_plan, take_back_plan
from content.actions.uploads import Refused, move, place, publish
from content.models import EarlierPlan, FitnessClass, Proposal, Upload, Wishes
from content.queries import planning
from content.rules.months import Month
from tests import factories
from tests.clients.pages import read
from tests.conftest import sign_in

JANUARY = Month.parse("2027-01")
PATH = "/uploads/2027-01/plans/"


@pytest.fixture(autouse=True)
def _world(practice: Practice) -> None:
    """Ten finished classes and wishes for Tuesdays: four slots in January."""
    factories.wishes(weekdays=[1])
    for number in range(10):
        focus = ("core", "legs", "mobility")[number % 3]
        factories.fitness_class(f"Class {number:02}", focus=focus)
    factories.pregnancy(factories.client(), due=date(2027, 4, 20))


def proposed(today: date) -> Proposal:
    return actions.propose(by=SYSTEM, month=JANUARY, today=today)


def days_of(proposal: Proposal | EarlierPlan) -> list[date]:
    return [date.fromisoformat(slot["day"]) for slot in proposal.slots]


def classes_of(proposal: Proposal | EarlierPlan) -> dict[str, int]:
    return {slot["day"]: slot["class"] for slot in proposal.slots}


def other_class(proposal: Proposal) -> FitnessClass:
    """One that the proposal doesn't hold."""
    return FitnessClass.objects.exclude(pk__in=classes_of(proposal).values())[0]


def replaced(today: date) -> tuple[dict[str, int], Proposal]:
    """A plan that another one has replaced, by a pin; what it held, and the new one."""
    first = classes_of(proposed(today))
    item = other_class(Proposal.objects.get())
    new = actions.pin(by=SYSTEM, month=JANUARY, item=item, day=date(2027, 1, 12), today=today)
    return first, new


def accepted(today: date) -> EarlierPlan:
    found = proposed(today)
    actions.accept(by=SYSTEM, proposal=found, days=days_of(found), today=today)
    return EarlierPlan.objects.get(what="accepted")


def test_the_same_plan_again_is_kept_once_and_another_keeps_the_one_before(today: date) -> None:
    proposed(today)
    proposed(today)
    assert EarlierPlan.objects.count() == 0
    first, new = replaced(today)
    kept = EarlierPlan.objects.get()
    assert (kept.number, kept.what, classes_of(kept)) == (1, "made", first)
    assert classes_of(new) != first


def test_numbers_rise_in_each_month_by_itself(today: date) -> None:
    replaced(today)
    actions.drop(by=SYSTEM, proposal=Proposal.objects.get())
    february = actions.propose(by=SYSTEM, month=JANUARY.next, today=today)
    actions.drop(by=SYSTEM, proposal=february)
    rows = EarlierPlan.objects.values_list("month", "number", "what")
    assert list(rows) == [
        (date(2027, 1, 1), 2, "made"),
        (date(2027, 1, 1), 1, "made"),
        (date(2027, 2, 1), 1, "made"),
    ]


def test_put_back_it_is_the_proposal_again_and_judged_anew(today: date) -> None:
    first, new = replaced(today)
    pinned = classes_of(new)
    back = restore_plan(by=SYSTEM, plan=EarlierPlan.objects.get(), today=today)
    assert (classes_of(back), back.pins, back.status) == (first, [], "optimal")
    assert all(slot["reasons"] for slot in back.slots)
    assert planning.is_current(back, today)
    latest = EarlierPlan.objects.latest("number")
    assert (latest.number, classes_of(latest)) == (2, pinned)
    assert AuditEntry.objects.latest("pk").verb == "restored"


def test_a_pin_of_it_is_a_pin_again(today: date) -> None:
    _, new = replaced(today)
    pins, held = new.pins, classes_of(new)
    actions.unpin(by=SYSTEM, month=JANUARY, day=date(2027, 1, 12), today=today)
    back = restore_plan(by=SYSTEM, plan=EarlierPlan.objects.get(number=2), today=today)
    assert (classes_of(back), back.pins) == (held, pins)
    assert [slot["day"] for slot in back.slots if slot["pinned"]] == ["2027-01-12"]


def test_what_can_no_longer_be_placed_is_left_out_and_told(today: date) -> None:
    first, _ = replaced(today)
    gone = FitnessClass.objects.get(pk=first["2027-01-05"])
    place(by=SYSTEM, item=gone, day=date(2027, 3, 2))
    factories.day_off(date(2027, 1, 26))
    last = FitnessClass.objects.get(pk=first["2027-01-26"])
    back = restore_plan(by=SYSTEM, plan=EarlierPlan.objects.get(), today=today)
    assert sorted(classes_of(back)) == ["2027-01-12", "2027-01-19"]
    assert all(slot["reasons"] for slot in back.slots)
    held = set(FitnessClass.objects.filter(pk__in=classes_of(back).values()))
    said = " ".join(line for slot in back.slots for line in slot["reasons"])
    others = FitnessClass.objects.exclude(pk__in=[item.pk for item in held])
    assert [item.title for item in others if item.title in said] == []
    assert "5 January" not in said
    assert back.changed == [
        f"“{gone.title}” can’t be put back on Tuesday 5 January: "
        "it has a day already, or is no longer there.",
        f"“{last.title}” can’t be put back on Tuesday 26 January: a day off.",
    ]


def test_what_breaks_a_rule_by_now_is_left_out_too(today: date) -> None:
    first, _ = replaced(today)
    item = FitnessClass.objects.get(pk=first["2027-01-19"])
    item.not_before = date(2027, 1, 20)
    item.save()
    back = restore_plan(by=SYSTEM, plan=EarlierPlan.objects.get(), today=today)
    assert "2027-01-19" not in classes_of(back)
    assert back.changed == [
        f"“{item.title}” can’t be put back on Tuesday 19 January: "
        "it would break a rule of yours now."
    ]


def test_if_nothing_of_it_can_stand_it_is_refused_and_the_proposal_stays(today: date) -> None:
    _, new = replaced(today)
    held = classes_of(new)
    plan = EarlierPlan.objects.get()
    plan.slots = [slot for slot in plan.slots if slot["day"] == "2027-01-05"]
    plan.save()
    factories.day_off(date(2027, 1, 5))
    with pytest.raises(Refused, match=r"Nothing of this plan.*Tuesday 5 January: a day off"):
        restore_plan(by=SYSTEM, plan=plan, today=today)
    assert classes_of(Proposal.objects.get()) == held


def test_an_acceptance_is_kept_with_the_uploads_it_made(today: date) -> None:
    plan = accepted(today)
    assert plan.uploads == list(Upload.objects.values_list("pk", flat=True))
    assert classes_of(plan) == {
        upload.day.isoformat(): upload.item_id for upload in Upload.objects.all()
    }


def test_taken_back_it_is_a_proposal_again_and_nothing_stands(today: date) -> None:
    plan = accepted(today)
    back = take_back_plan(by=SYSTEM, plan=plan, today=today)
    assert classes_of(back) == classes_of(plan)
    assert Upload.objects.filter(cancelled_at=None).count() == 0
    assert set(FitnessClass.objects.values_list("state", flat=True)) == {"edited"}
    assert planning.is_current(back, today)
    with pytest.raises(Refused, match="not taken back yet"):
        take_back_plan(by=SYSTEM, plan=plan, today=today)
    assert AuditEntry.objects.latest("pk").verb == "took back"


def test_what_is_published_stays_out_and_what_was_moved_is_proposed_where_it_stood(
    today: date,
) -> None:

    plan = accepted(today)
    one, two, three, four = Upload.objects.order_by("day")
    publish(by=SYSTEM, upload=one, day=today)
    move(by=SYSTEM, upload=two, day=date(2027, 1, 5))
    move(by=SYSTEM, upload=three, day=date(2027, 1, 20))
    back = take_back_plan(by=SYSTEM, plan=plan, today=today)
    assert classes_of(back) == {"2027-01-05": two.item_id, "2027-01-26": four.item_id}
    assert list(Upload.objects.filter(cancelled_at=None)) == [one]
    assert back.changed == [
        f"“{two.item.title}” and “{four.item.title}” are proposed again.",
        f"“{three.item.title}” can’t be put back on Wednesday 20 January: no publish day of yours.",
    ]


def test_a_day_that_is_taken_by_now_is_told(today: date) -> None:
    plan = accepted(today)
    upload = Upload.objects.get(day=date(2027, 1, 12))
    factories.upload(date(2027, 1, 12), factories.fitness_class("In its place"))
    back = take_back_plan(by=SYSTEM, plan=plan, today=today)
    assert "2027-01-12" not in classes_of(back)
    assert back.changed[-1] == (
        f"“{upload.item.title}” can’t be put back on Tuesday 12 January: an upload stands there."
    )


def test_with_a_pin_it_is_pinned_again_and_after_a_drop_there_is_a_proposal(today: date) -> None:
    _, new = replaced(today)
    pins = new.pins
    actions.accept(by=SYSTEM, proposal=new, days=days_of(new), today=today)
    kept = Proposal.objects.get()
    assert kept.pins == []
    actions.drop(by=SYSTEM, proposal=kept)
    plan = EarlierPlan.objects.get(what="accepted")
    back = take_back_plan(by=SYSTEM, plan=plan, today=today)
    assert (back.pins, classes_of(back)) == (pins, classes_of(plan))


def test_nothing_left_to_take_off_is_refused(today: date) -> None:
    plan = accepted(today)
    for upload in Upload.objects.all():
        publish(by=SYSTEM, upload=upload, day=today)
    with pytest.raises(Refused, match="None of its uploads"):
        take_back_plan(by=SYSTEM, plan=plan, today=today)
    assert EarlierPlan.objects.get().taken_back_at is None


def test_the_pages_show_what_became_of_a_plan_and_take_it_back(
    browser: Browser, today: date
) -> None:
    plan = accepted(today)
    assert "accepted: four uploads" in read(browser.get(PATH))
    moved = Upload.objects.get(day=date(2027, 1, 12))
    Wishes.objects.update(weekdays=[1, 3])
    move(by=SYSTEM, upload=moved, day=date(2027, 1, 14))
    page = read(browser.get(f"{PATH}{plan.number}/"))
    assert "planned there" in page
    assert "now on Thursday 14 January" in page
    answer = browser.post(f"{PATH}{plan.number}/take-back/")
    assert answer["Location"] == "/uploads/2027-01/"
    assert "taken back since" in read(browser.get(PATH))
    assert "proposed on Thursday 14 January now" in read(browser.get(f"{PATH}{plan.number}/"))
    again = browser.post(f"{PATH}{plan.number}/take-back/")
    assert again.status_code == 422
    assert "not taken back yet" in read(again)


def test_a_plan_is_put_back_from_the_month_where_it_says_what_changed(
    browser: Browser, today: date
) -> None:
    first, _ = replaced(today)
    page = browser.get("/uploads/2027-01/").content.decode()
    assert 'action="/uploads/2027-01/plans/1/restore/"' in page
    browser.post(f"{PATH}1/restore/")
    assert classes_of(Proposal.objects.get()) == first


@pytest.mark.parametrize("path", [f"{PATH}7/", f"{PATH}7/restore/", f"{PATH}7/take-back/"])
def test_a_plan_that_is_not_there_is_not_found(browser: Browser, path: str) -> None:
    answer = browser.get(path) if path.endswith("7/") else browser.post(path)
    assert answer.status_code == 404


def test_who_may_only_look_has_no_buttons(browser: Browser, today: date) -> None:
    path = f"{PATH}{accepted(today).number}/"
    assert "Take it back" in read(browser.get(path))
    cover = read(sign_in(factories.person(Role.COVERING_COACH)).get(path))
    assert [word for word in ("Take it back", "Propose it again") if word in cover] == []


def test_nothing_said_of_stages_is_kept_with_a_plan(today: date) -> None:
    """What was true of a client in the morning must not be read in the evening."""
    found = proposed(today)
    assert "trimester" in found.slots[0]["reasons"][0]
    item = other_class(found)
    actions.pin(by=SYSTEM, month=JANUARY, item=item, day=date(2027, 1, 12), today=today)
    kept = EarlierPlan.objects.get()
    assert [sorted(slot) for slot in kept.slots] == [["class", "day", "pinned"]] * 4
    assert (kept.unmet, kept.better, kept.conflict) == ([], [], [])


def test_reasons_of_what_is_taken_back_are_of_today(today: date) -> None:
    """The only client has gone quiet since: no reason speaks of her stage."""
    found = proposed(today)
    actions.accept(by=SYSTEM, proposal=found, days=days_of(found), today=today)
    Client.objects.update(quiet=True)
    back = take_back_plan(by=SYSTEM, plan=EarlierPlan.objects.get(), today=today)
    said = " ".join(line for slot in back.slots for line in slot["reasons"])
    assert len(back.slots) == 4
    assert "trimester" not in said


def test_the_list_and_a_plan_cost_the_same_for_one_and_for_thirty(
    browser: Browser, today: date
) -> None:
    def cost(path: str) -> int:
        with CaptureQueriesContext(connection) as queries:
            assert browser.get(path).status_code == 200
        return len(queries)

    def plan(number: int, items: list[FitnessClass]) -> None:
        days = [date(2027, 1, 1 + n).isoformat() for n in range(len(items))]
        slots: list[dict[str, Any]] = [
            {"day": day, "class": item.pk, "reasons": []}
            for day, item in zip(days, items, strict=True)
        ]
        EarlierPlan.objects.create(
            month=JANUARY.first, number=number, what="accepted", status="optimal",
            value=1, bound=1, slots=slots,
        )  # fmt: skip

    plan(1, [factories.fitness_class()])
    one = cost(PATH), cost(f"{PATH}1/")
    for number in range(2, 31):
        plan(number, [factories.upload(date(2027, 1, n)).item for n in range(1, 31)])
    assert (cost(PATH), cost(f"{PATH}30/")) == one
