"""Captions kept with what they tell; times put right stay; read back without aligning."""

from __future__ import annotations

from typing import Any

import pytest

from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from content.actions import filmed as actions
from content.actions.design import change_design
from content.actions.uploads import Refused
from content.models import ClassDesign, FilmedTimes, FitnessClass
from content.queries import filmed as queries
from content.queries.library import library
from content.rules.alignment import align
from content.rules.captions import read_captions
from content.rules.design import Block, Design, Item, Pattern
from content.rules.film_times import confidence_words, film_clock, film_time
from tests import factories
from tests.content import hearing
from tests.content.speaking import Film, film

DESIGN = Design(
    (
        Block("warm-up", "", (Pattern((Item("standing-march"), Item("arm-circle")), 40, 10),)),
        Block(
            "main",
            "",
            (Pattern((Item("squat"), Item("bird-dog", sides="two"), Item("bridge")), 45, 15, 2),),
        ),
        Block("cool-down", "", (Pattern((Item("childs-pose"), Item("open-book")), 60, 5),)),
    )
)


@pytest.fixture(scope="module")
def spoken() -> Film:
    """The class of this file as it is spoken."""
    return film(4, design=DESIGN)


@pytest.fixture
def item(practice: Any) -> FitnessClass:
    item = factories.fitness_class("Standing core", state="filmed")
    ClassDesign.objects.create(item=item, planned=DESIGN.stored)
    return item


@pytest.fixture
def kept(item: FitnessClass, spoken: Film) -> FilmedTimes:
    return keep(item, spoken)


def keep(item: FitnessClass, spoken: Film, **values: Any) -> FilmedTimes:
    captions = read_captions(hearing.vtt(spoken.words, 10))
    return actions.keep_captions(
        by=SYSTEM, item=item, captions=captions, file_name="core.vtt", **values
    )


def entries() -> list[tuple[str, list[str]]]:
    return list(AuditEntry.objects.order_by("pk").values_list("verb", "fields"))


def test_what_is_kept_is_what_the_captions_tell(item: FitnessClass, spoken: Film) -> None:
    row = keep(item, spoken, length_ms=spoken.length)
    there = queries.shown(item)
    told = align(there.line, library(), queries.cues_of(row), length_ms=spoken.length)
    assert row.file_name == "core.vtt"
    assert queries.cues_of(row) == read_captions(hearing.vtt(spoken.words, 10)).cues
    assert queries.filmed(item).aligned == told
    assert entries() == [("changed", ["filmed times"])]


def test_reading_them_back_aligns_nothing(
    item: FitnessClass, kept: FilmedTimes, django_assert_num_queries: Any
) -> None:
    FilmedTimes.objects.update(cues=[])
    with django_assert_num_queries(3):
        found = queries.filmed(item)
    assert found.aligned is not None
    assert len(found.aligned.in_time) >= 8


def test_a_class_without_captions_has_no_times(item: FitnessClass) -> None:
    found = queries.filmed(item)
    assert (found.row, found.aligned, found.earlier) == (None, None, False)


def test_a_class_without_a_design_takes_no_captions(practice: Any, spoken: Film) -> None:
    bare = factories.fitness_class("Bare", state="filmed")
    with pytest.raises(Refused, match="Design the class first"):
        keep(bare, spoken)
    assert (FilmedTimes.objects.count(), entries()) == (0, [])


def test_a_time_put_right_stays_and_can_be_taken_back(
    item: FitnessClass, kept: FilmedTimes
) -> None:
    before = queries.filmed(item).aligned
    assert before is not None
    key = before.found[3].target.key
    actions.fix_time(by=SYSTEM, item=item, key=key, at_ms=200_500)
    after = queries.filmed(item).aligned
    assert after is not None
    assert (after.found[3].at, after.found[3].fixed) == (200_500, True)
    later = [one.at for one in after.found[4:] if one.at is not None]
    assert min(later) > 200_000
    actions.fix_time(by=SYSTEM, item=item, key=key, at_ms=None)
    assert queries.filmed(item).aligned == before
    assert entries() == [("changed", ["filmed times"])] * 3


def test_the_same_time_again_leaves_no_trace(item: FitnessClass, kept: FilmedTimes) -> None:
    for _ in range(2):
        actions.fix_time(by=SYSTEM, item=item, key="1.0.0.1.", at_ms=123_000)
    assert len(entries()) == 2


@pytest.mark.parametrize(("keep_fixed", "left"), [(True, {"1.0.0.1.": 123_000}), (False, {})])
def test_other_captions_keep_what_was_put_right_if_it_is_the_same_film(
    item: FitnessClass, kept: FilmedTimes, spoken: Film, keep_fixed: bool, left: dict[str, int]
) -> None:
    actions.fix_time(by=SYSTEM, item=item, key="1.0.0.1.", at_ms=123_000)
    row = keep(item, spoken, keep_fixed=keep_fixed)
    assert row.fixed == left
    assert FilmedTimes.objects.count() == 1


def test_an_exercise_that_is_not_in_the_class_cannot_be_put_right(
    item: FitnessClass, kept: FilmedTimes
) -> None:
    with pytest.raises(Refused, match="not in the class any more"):
        actions.fix_time(by=SYSTEM, item=item, key="9.9.9.9.", at_ms=1000)
    assert FilmedTimes.objects.get().fixed == {}


def test_nothing_can_be_put_right_before_there_are_captions(item: FitnessClass) -> None:
    for act in (
        lambda: actions.fix_time(by=SYSTEM, item=item, key="1.0.0.1.", at_ms=1000),
        lambda: actions.align_again(by=SYSTEM, item=item),
    ):
        with pytest.raises(Refused, match="no captions yet"):
            act()


def test_times_that_changed_meanwhile_are_not_overwritten(
    item: FitnessClass, kept: FilmedTimes, spoken: Film, monkeypatch: pytest.MonkeyPatch
) -> None:
    def while_aligning(*args: Any, **options: Any) -> Any:
        monkeypatch.undo()
        monkeypatch.setenv("COACH_TODAY", "2026-12-04")
        actions.fix_time(by=SYSTEM, item=item, key="1.0.2.1.", at_ms=300_000)
        return align(*args, **options)

    monkeypatch.setattr(actions, "align", while_aligning)
    with pytest.raises(Refused, match="changed these times meanwhile"):
        actions.fix_time(by=SYSTEM, item=item, key="1.0.0.1.", at_ms=123_000)
    assert FilmedTimes.objects.get().fixed == {"1.0.2.1.": 300_000}


def swapped(design: Design) -> Design:
    first = design.blocks[0]
    pattern = Pattern((Item("shoulder-roll"), Item("squat")), 40, 10)
    return Design((Block(first.kind, "", (pattern,)), *design.blocks[1:]))


def test_times_of_an_earlier_design_are_called_so_until_found_anew(
    item: FitnessClass, kept: FilmedTimes
) -> None:
    actions.fix_time(by=SYSTEM, item=item, key="0.0.1.1.", at_ms=90_000)
    assert queries.filmed(item).earlier is False
    change_design(by=SYSTEM, item=item, step=swapped, what="another")
    changed = queries.filmed(item)
    assert changed.aligned is not None
    assert (changed.earlier, changed.aligned.found[1].at) == (True, None)
    row = actions.align_again(by=SYSTEM, item=item)
    assert (queries.filmed(item).earlier, row.fixed) == (False, {})


def test_what_was_put_right_of_an_interval_that_is_gone_is_dropped(
    item: FitnessClass, kept: FilmedTimes
) -> None:
    actions.fix_time(by=SYSTEM, item=item, key="2.0.1.1.right", at_ms=900_000)
    change_design(by=SYSTEM, item=item, step=lambda now: Design(now.blocks[:2]), what="shorter")
    assert actions.align_again(by=SYSTEM, item=item).fixed == {}


def test_the_class_as_filmed_is_what_its_captions_are_compared_with(
    item: FitnessClass, kept: FilmedTimes
) -> None:
    ClassDesign.objects.update(filmed=Design(DESIGN.blocks[:1]).stored)
    assert [one.title for one in queries.shown(item).targets] == ["Standing march", "Arm circle"]


@pytest.mark.parametrize(
    ("text", "ms"),
    [
        ("0:00", 0),
        ("4:05", 245_000),
        (" 4:05.5 ", 245_500),
        ("4:05,5", 245_500),
        ("75:00", 4_500_000),
        ("1:02:03", 3_723_000),
        ("1:02:03.9", 3_723_900),
        ("6:00:00", 21_600_000),
    ],
)
def test_a_time_as_it_is_typed(text: str, ms: int) -> None:
    assert film_time(text) == ms


@pytest.mark.parametrize(
    "text",
    ["", "5", "4:5", "4:60", "1:60:00", "1:2:03", "-1:00", "4:05.55", "٤:٠٥", "a:bc", "6:00:01"],
)
def test_what_is_no_time_of_a_film(text: str) -> None:
    with pytest.raises(ValueError, match=r"Write minutes and seconds|No film is longer"):
        film_time(text)


@pytest.mark.parametrize(
    ("ms", "shown"), [(0, "0:00"), (59_999, "0:59.9"), (245_500, "4:05.5"), (3_600_000, "1:00:00")]
)
def test_a_time_as_it_is_shown_can_be_typed_again(ms: int, shown: str) -> None:
    assert film_clock(ms) == shown
    assert film_time(shown) == ms // 100 * 100


def test_confidence_is_a_word_with_its_figure(item: FitnessClass, kept: FilmedTimes) -> None:
    actions.fix_time(by=SYSTEM, item=item, key="1.0.0.1.", at_ms=123_000)
    found = queries.filmed(item).aligned
    assert found is not None
    words = {one.target.key: confidence_words(one) for one in found.found}
    assert words["1.0.0.1."] == "put right by hand"
    figures = [one.confidence for one in found.found if one.at is not None and not one.fixed]
    said = [words[one.target.key] for one in found.found if one.at is not None and not one.fixed]
    assert said == [
        f"{'clear' if one >= 0.8 else 'likely' if one >= 0.6 else 'uncertain'}, "
        f"{round(one * 100)} %"
        for one in figures
    ]
