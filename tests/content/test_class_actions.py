"""Adding, changing, stepping on, withdrawing and deleting classes."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from coach.practice.audit import Actor
from coach.practice.models import AuditEntry, User
from content.actions import classes as actions
from content.actions.uploads import Refused
from content.models import FitnessClass, Series, State, Upload
from tests import factories

YESTERDAY, TOMORROW = date(2026, 12, 2), date(2026, 12, 4)


@pytest.fixture
def by(owner: User) -> Actor:
    return Actor(owner)


def _values(**values: Any) -> dict[str, Any]:
    return {
        "title": "Hips and back",
        "state": State.FILMED,
        "focus": "mobility",
        "minutes": 20,
        "effort": None,
        "stages": ["w6-12", "t3"],
        "minutes_of_work": 90,
        "part": None,
        "note": "",
        **values,
    }


def _last() -> tuple[str, str, str]:
    entry = AuditEntry.objects.get()
    return entry.verb, entry.subject_kind, entry.subject_id


def test_a_class_is_added_with_its_stages_in_order(by: Actor) -> None:
    item = actions.add_class(by=by, **_values())
    item.refresh_from_db()
    assert (item.stages, item.minutes_of_work, item.series) == (["t3", "w6-12"], 90, None)
    assert _last() == ("added", "content.fitnessclass", str(item.pk))


def test_a_finished_class_is_kept_without_hours(by: Actor) -> None:
    item = actions.add_class(by=by, **_values(state=State.EDITED))
    assert item.minutes_of_work == 0


def test_no_stages_stay_not_known(by: Actor) -> None:
    assert actions.add_class(by=by, **_values(stages=[])).stages == []


def test_a_new_series_is_made_with_the_class_in_the_same_entry(by: Actor) -> None:
    item = actions.add_class(by=by, series_title=" Standing  core ", **_values(part=1))
    assert item.series == Series.objects.get(title="Standing core")
    assert AuditEntry.objects.count() == 1


def test_a_series_is_found_whatever_its_capitals(by: Actor) -> None:
    known = factories.series("Standing core")
    item = actions.add_class(by=by, series_title="standing CORE", **_values(part=4))
    assert (item.series, Series.objects.count()) == (known, 1)


def test_a_class_that_is_out_already_comes_with_its_day(by: Actor) -> None:
    item = actions.add_class(
        by=by, published_on=YESTERDAY, **_values(state=State.PUBLISHED, minutes_of_work=90)
    )
    assert (item.minutes_of_work, item.uploads.get().day) == (0, YESTERDAY)
    assert AuditEntry.objects.count() == 1


@pytest.mark.parametrize(
    ("state", "day"),
    [(State.PUBLISHED, None), (State.IDEA, YESTERDAY), (State.PUBLISHED, TOMORROW)],
)
def test_published_and_a_day_not_to_come_go_together(
    by: Actor, state: str, day: date | None
) -> None:
    with pytest.raises(Refused):
        actions.add_class(
            by=by, published_on=day, series_title="New", **_values(state=state, part=1)
        )
    counts = [model.objects.count() for model in (FitnessClass, Series, Upload, AuditEntry)]
    assert counts == [0, 0, 0, 0]


@pytest.mark.parametrize("state", [State.SCHEDULED, State.WITHDRAWN])
def test_a_class_cannot_be_added_as_scheduled_or_withdrawn(by: Actor, state: str) -> None:
    with pytest.raises(Refused):
        actions.add_class(by=by, **_values(state=state))
    assert FitnessClass.objects.count() == 0


def test_a_change_names_the_fields_that_differ(by: Actor) -> None:
    item = factories.fitness_class("Hips", state=State.FILMED, minutes_of_work=60)
    actions.change_class(
        by=by,
        item=item,
        **_values(title="Hips", focus="core", stages=item.stages, state=State.EDITED),
    )
    entry = AuditEntry.objects.get()
    assert (entry.verb, entry.fields) == ("changed", ["minutes_of_work", "state"])


def test_a_change_of_nothing_leaves_no_entry(by: Actor) -> None:
    item = actions.add_class(by=by, **_values())
    changed_at = item.changed_at
    actions.change_class(by=by, item=item, **_values())
    item.refresh_from_db()
    assert (AuditEntry.objects.count(), item.changed_at) == (1, changed_at)


@pytest.mark.parametrize(
    ("given", "asked"),
    [
        (State.IDEA, State.PUBLISHED),
        (State.EDITED, State.SCHEDULED),
        (State.FILMED, State.WITHDRAWN),
        (State.PUBLISHED, State.EDITED),
    ],
)
def test_an_edit_cannot_publish_schedule_or_withdraw(by: Actor, given: str, asked: str) -> None:
    item = factories.fitness_class(state=given)
    with pytest.raises(Refused, match=r"cannot become"):
        actions.change_class(by=by, item=item, series_title="New", **_values(state=asked, part=1))
    item.refresh_from_db()
    assert (item.state, Series.objects.count(), AuditEntry.objects.count()) == (given, 0, 0)


def test_a_filmed_class_with_a_day_becomes_scheduled_when_it_is_edited(by: Actor) -> None:
    item = factories.fitness_class(state=State.FILMED, minutes_of_work=60)
    factories.upload(TOMORROW, item)
    actions.step_on(by=by, item=item)
    item.refresh_from_db()
    assert (item.state, item.minutes_of_work) == (State.SCHEDULED, 0)
    assert _last() == ("changed", "content.fitnessclass", str(item.pk))


def test_a_step_on_keeps_the_hours_until_it_is_finished(by: Actor) -> None:
    item = factories.fitness_class(state=State.IDEA, minutes_of_work=60)
    reached = []
    for _ in range(3):
        actions.step_on(by=by, item=item)
        reached.append((item.state, item.minutes_of_work))
    assert reached == [("outlined", 60), ("filmed", 60), ("edited", 0)]
    with pytest.raises(Refused, match="there is no next step"):
        actions.step_on(by=by, item=item)


def test_withdrawing_keeps_the_reason_and_cancels_a_day_to_come(by: Actor) -> None:
    item = factories.fitness_class(state=State.SCHEDULED)
    upload = factories.upload(TOMORROW, item)
    actions.withdraw(by=by, item=item, reason="The sound is bad")
    item.refresh_from_db()
    upload.refresh_from_db()
    assert (item.state, upload.sequence) == (State.WITHDRAWN, 1)
    assert upload.cancelled_at is not None
    entry = AuditEntry.objects.get()
    assert (entry.verb, entry.reason) == ("withdrew", "The sound is bad")
    assert entry.fields == ["cancelled_at", "sequence", "state"]


def test_withdrawing_a_published_class_keeps_its_history_and_it_can_come_back(by: Actor) -> None:
    item = factories.fitness_class(state=State.PUBLISHED)
    upload = factories.upload(YESTERDAY, item)
    actions.withdraw(by=by, item=item, reason="Replaced")
    upload.refresh_from_db()
    assert (upload.cancelled_at, upload.sequence) == (None, 0)
    actions.change_class(by=by, item=item, **_values(state=State.PUBLISHED))
    item.refresh_from_db()
    assert (item.state, item.minutes_of_work) == (State.PUBLISHED, 0)


def test_withdrawing_twice_is_refused(by: Actor) -> None:
    item = factories.fitness_class("Hips", state=State.WITHDRAWN)
    with pytest.raises(Refused, match=r"^“Hips” is already withdrawn\.$"):
        actions.withdraw(by=by, item=item, reason="again")
    assert AuditEntry.objects.count() == 0


def test_an_idea_without_history_is_deleted_and_that_is_recorded(by: Actor) -> None:
    item = factories.fitness_class(state=State.IDEA)
    pk = item.pk
    actions.delete_idea(by=by, item=item)
    assert FitnessClass.objects.count() == 0
    assert _last() == ("deleted", "content.fitnessclass", str(pk))


@pytest.mark.parametrize("state", [state for state in State.values if state != State.IDEA])
def test_more_than_an_idea_is_not_deleted(by: Actor, state: str) -> None:
    item = factories.fitness_class(state=state)
    with pytest.raises(Refused, match="withdraw it instead"):
        actions.delete_idea(by=by, item=item)
    assert (FitnessClass.objects.count(), AuditEntry.objects.count()) == (1, 0)


def test_an_idea_that_once_had_a_day_is_not_deleted(by: Actor) -> None:
    upload = factories.upload(TOMORROW, factories.fitness_class(state=State.IDEA))
    Upload.objects.update(cancelled_at=upload.created_at)
    with pytest.raises(Refused):
        actions.delete_idea(by=by, item=upload.item)
    assert Upload.objects.count() == 1
