"""Placing, moving, taking off and publishing: what changes, and what a rule is against."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from coach.practice.audit import Actor
from coach.practice.models import AuditEntry, User
from content.actions import uploads as actions
from content.actions.uploads import Refused
from content.models import FitnessClass, State, Upload
from tests import factories

TODAY = date(2026, 12, 3)
SOON, LATER = date(2026, 12, 8), date(2026, 12, 12)
YESTERDAY = date(2026, 12, 2)


@pytest.fixture
def by(owner: User) -> Actor:
    return Actor(owner, "192.0.2.7")


def _entries() -> list[tuple[str, list[str]]]:
    return [(entry.verb, entry.fields) for entry in AuditEntry.objects.order_by("pk")]


def _frozen() -> list[object]:
    """All that a refused action must leave as it was."""
    uploads = Upload.objects.order_by("pk").values()
    return [*FitnessClass.objects.order_by("pk").values(), *uploads, *_entries()]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (State.IDEA, State.IDEA),
        (State.OUTLINED, State.OUTLINED),
        (State.FILMED, State.FILMED),
        (State.EDITED, State.SCHEDULED),
    ],
)
def test_placing_schedules_a_finished_class_and_leaves_the_others_in_the_making(
    by: Actor, before: str, after: str
) -> None:
    item = factories.fitness_class(state=before)
    upload = actions.place(by=by, item=item, day=SOON)
    item.refresh_from_db()
    assert (item.state, upload.day, upload.sequence, upload.cancelled_at) == (after, SOON, 0, None)
    assert _entries() == [("placed", ["day", "item"])]


def test_a_class_can_be_placed_today(by: Actor) -> None:
    assert actions.place(by=by, item=factories.fitness_class(), day=TODAY).day == TODAY


def _withdrawn() -> FitnessClass:
    return factories.fitness_class("Hips", state=State.WITHDRAWN)


def _published() -> FitnessClass:
    item = factories.fitness_class("Hips", state=State.PUBLISHED)
    factories.upload(YESTERDAY, item)
    return item


def _placed() -> FitnessClass:
    item = factories.fitness_class("Hips", state=State.SCHEDULED)
    factories.upload(LATER, item)
    return item


def _on_day_off() -> FitnessClass:
    factories.day_off(SOON)
    return factories.fitness_class("Hips")


@pytest.mark.parametrize(
    ("given", "day", "sentence"),
    [
        (_withdrawn, SOON, "“Hips” is withdrawn: bring it back before giving it a day."),
        (_published, SOON, "“Hips” is already published."),
        (
            _placed,
            SOON,
            "“Hips” already has a day, Saturday 12 December 2026: move it instead.",
        ),
        (
            lambda: factories.fitness_class("Hips"),
            YESTERDAY,
            "Wednesday 2 December 2026 is past: choose today or a later day.",
        ),
        (_on_day_off, SOON, "Tuesday 8 December 2026 is a day off."),
    ],
)
def test_placing_is_refused_with_a_sentence_and_changes_nothing(
    by: Actor, given, day: date, sentence: str
) -> None:
    item = given()
    before = _frozen()
    with pytest.raises(Refused) as refused:
        actions.place(by=by, item=item, day=day)
    assert str(refused.value) == sentence
    assert _frozen() == before


def test_moving_raises_the_sequence_and_keeps_the_uid(by: Actor) -> None:
    upload = factories.upload(SOON)
    made, uid = upload.changed_at, upload.uid
    Upload.objects.update(changed_at=made - timedelta(days=9))
    actions.move(by=by, upload=upload, day=LATER)
    upload.refresh_from_db()
    assert (upload.day, upload.sequence, upload.uid, upload.changed_at) == (LATER, 1, uid, made)
    assert _entries() == [("moved", ["day", "sequence"])]


def test_moving_to_the_same_day_changes_nothing(by: Actor) -> None:
    upload = factories.upload(SOON)
    before = _frozen()
    actions.move(by=by, upload=upload, day=SOON)
    assert _frozen() == before


def test_a_late_upload_can_be_moved_on_but_not_into_the_past(by: Actor) -> None:
    upload = factories.upload(YESTERDAY)
    with pytest.raises(Refused, match="is past"):
        actions.move(by=by, upload=upload, day=date(2026, 12, 1))
    assert actions.move(by=by, upload=upload, day=TODAY).day == TODAY


def test_the_day_of_a_published_class_can_be_corrected_but_not_into_the_future(by: Actor) -> None:
    upload = _published().uploads.get()
    factories.day_off(date(2026, 11, 30))
    with pytest.raises(Refused, match=r"^Tuesday 8 December 2026 has not come yet"):
        actions.move(by=by, upload=upload, day=SOON)
    assert actions.move(by=by, upload=upload, day=date(2026, 11, 30)).sequence == 1


def test_an_upload_cannot_be_moved_onto_a_day_off(by: Actor) -> None:
    upload = factories.upload(LATER)
    factories.day_off(SOON)
    before = _frozen()
    with pytest.raises(Refused, match="is a day off"):
        actions.move(by=by, upload=upload, day=SOON)
    assert _frozen() == before


@pytest.mark.parametrize(
    ("before", "after"), [(State.SCHEDULED, State.EDITED), (State.FILMED, State.FILMED)]
)
def test_taking_off_cancels_the_row_and_a_scheduled_class_waits_again(
    by: Actor, before: str, after: str
) -> None:
    item = factories.fitness_class(state=before)
    upload = factories.upload(SOON, item)
    actions.take_off(by=by, upload=upload)
    item.refresh_from_db()
    upload.refresh_from_db()
    assert (item.state, upload.sequence, upload.day) == (after, 1, SOON)
    assert upload.cancelled_at == upload.changed_at
    assert _entries() == [("took off", ["cancelled_at", "sequence"])]


def test_placed_again_the_class_gets_a_new_row_and_the_cancelled_one_stays(by: Actor) -> None:
    item = factories.fitness_class()
    first = actions.place(by=by, item=item, day=SOON)
    actions.take_off(by=by, upload=first)
    second = actions.place(by=by, item=item, day=SOON)
    first.refresh_from_db()
    assert first.cancelled_at is not None
    assert (second.cancelled_at, second.sequence, second.uid != first.uid) == (None, 0, True)


@pytest.mark.parametrize(
    ("act", "sentence"),
    [
        (lambda by, up: actions.take_off(by=by, upload=up), "“Hips” is already taken off."),
        (
            lambda by, up: actions.move(by=by, upload=up, day=SOON),
            "“Hips” was taken off: give it a new day.",
        ),
        (
            lambda by, up: actions.publish(by=by, upload=up),
            "“Hips” was taken off: give it a new day.",
        ),
    ],
)
def test_a_cancelled_upload_stays_as_it_is(by: Actor, act, sentence: str) -> None:
    upload = _placed().uploads.get()
    actions.take_off(by=by, upload=upload)
    before = _frozen()
    with pytest.raises(Refused) as refused:
        act(by, upload)
    assert (str(refused.value), _frozen()) == (sentence, before)


def test_the_published_history_cannot_be_taken_off(by: Actor) -> None:
    upload = _published().uploads.get()
    before = _frozen()
    with pytest.raises(Refused, match=r"was published on Wednesday 2 December 2026"):
        actions.take_off(by=by, upload=upload)
    assert _frozen() == before


@pytest.mark.parametrize(
    ("planned", "said", "day", "sequence"),
    [
        (YESTERDAY, None, YESTERDAY, 0),
        (TODAY, None, TODAY, 0),
        (SOON, None, TODAY, 1),
        (YESTERDAY, TODAY, TODAY, 1),
        (SOON, YESTERDAY, YESTERDAY, 1),
    ],
)
def test_publishing_keeps_the_day_unless_it_came_out_on_another(
    by: Actor, planned: date, said: date | None, day: date, sequence: int
) -> None:
    item = factories.fitness_class(state=State.FILMED, minutes_of_work=90)
    upload = factories.upload(planned, item)
    actions.publish(by=by, upload=upload, day=said)
    item.refresh_from_db()
    upload.refresh_from_db()
    assert (item.state, item.minutes_of_work) == (State.PUBLISHED, 0)
    assert (upload.day, upload.sequence, upload.cancelled_at) == (day, sequence, None)
    moved = ["day", "sequence"] if sequence else []
    assert _entries() == [("published", sorted([*moved, "minutes_of_work", "state"]))]


@pytest.mark.parametrize(
    ("given", "day", "sentence"),
    [
        (_published, TODAY, "“Hips” is already published."),
        (
            _placed,
            SOON,
            "Tuesday 8 December 2026 has not come yet: a class is published today or earlier.",
        ),
    ],
)
def test_publishing_is_refused_and_changes_nothing(
    by: Actor, given, day: date, sentence: str
) -> None:
    upload = given().uploads.get()
    before = _frozen()
    with pytest.raises(Refused) as refused:
        actions.publish(by=by, upload=upload, day=day)
    assert (str(refused.value), _frozen()) == (sentence, before)


def test_a_class_without_a_day_can_be_entered_as_published(by: Actor) -> None:
    item = factories.fitness_class(state=State.OUTLINED, minutes_of_work=60)
    upload = actions.publish_unplanned(by=by, item=item, day=YESTERDAY)
    item.refresh_from_db()
    assert (upload.day, item.state, item.minutes_of_work) == (YESTERDAY, State.PUBLISHED, 0)
    assert [verb for verb, _ in _entries()] == ["published"]


@pytest.mark.parametrize(
    ("given", "day", "start"),
    [
        (_withdrawn, TODAY, "“Hips” is withdrawn"),
        (_published, TODAY, "“Hips” is already published"),
        (_placed, TODAY, "“Hips” already has a day"),
        (lambda: factories.fitness_class("Hips"), SOON, "Tuesday 8 December 2026 has not come"),
    ],
)
def test_entering_as_published_is_refused_and_changes_nothing(
    by: Actor, given, day: date, start: str
) -> None:
    item = given()
    before = _frozen()
    with pytest.raises(Refused, match=f"^{start}"):
        actions.publish_unplanned(by=by, item=item, day=day)
    assert _frozen() == before


def test_what_somebody_else_did_meanwhile_counts(by: Actor) -> None:
    item = factories.fitness_class("Hips")
    seen = FitnessClass.objects.get(pk=item.pk)
    actions.place(by=by, item=item, day=SOON)
    with pytest.raises(Refused, match="already has a day"):
        actions.place(by=by, item=seen, day=LATER)
