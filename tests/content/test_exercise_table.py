"""The table of exercises, read as somebody would who has to answer for it.

What is asserted of single exercises is common practice, no source, unless one is named.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

import pytest

from clients.rules.words import NEVER_IF_QUIET
from coach.scheduling.values import SERVABLE_STAGES, Stage
from content.models import Focus
from content.rules.compendium import activities, mets
from content.rules.exercises import FOCUSES, KIT, POSITIONS, STANCES, Exercise, asks_more, exercises
from content.rules.suitability import Verdict, judge_stage

TABLE = exercises()
ALL = list(TABLE.values())
GENTLE_PLACES = ("seated", "side-lying", "standing")
HARD_CORE = {"flexion", "plank", "leg-lowering"}


def codes(test: Callable[[Exercise], bool]) -> list[str]:
    return [one.code for one in ALL if test(one)]


def test_there_are_enough_of_every_focus_and_every_word_is_used() -> None:
    assert len(ALL) >= 290
    assert set(FOCUSES) == set(Focus.values)
    assert [focus for focus in FOCUSES if Counter(o.focus for o in ALL)[focus] < 15] == []
    assert {one.position for one in ALL} == set(POSITIONS)
    assert {one.stance for one in ALL} == set(STANCES)
    assert {kit for one in ALL for kit in one.kit} == set(KIT)


@pytest.mark.parametrize("place", GENTLE_PLACES)
@pytest.mark.parametrize("focus", FOCUSES)
def test_every_focus_can_be_done_sitting_on_the_side_and_standing(focus: str, place: str) -> None:
    found = codes(
        lambda one: (
            (one.focus, one.position, one.impact) == (focus, place, "none") and not one.lying_flat
        )
    )
    assert len(found) >= 3


@pytest.mark.parametrize("stage", SERVABLE_STAGES)
@pytest.mark.parametrize("focus", FOCUSES)
def test_every_stage_has_something_of_every_focus_with_nothing_against_it(
    focus: str, stage: Stage
) -> None:
    fine = codes(
        lambda one: (
            one.focus == focus and judge_stage(one.code, stage, TABLE).verdict is Verdict.FINE
        )
    )
    assert len(fine) >= 4


def test_whatever_asks_much_has_an_easier_option() -> None:
    much = [
        one
        for one in ALL
        if one.impact == "high" or one.core_load in HARD_CORE or one.core_load == "rotation"
        or one.balance == 2 or one.pelvic_load == 3 or one.lying_flat or one.prone or one.heavy
        or one.breath_holding or one.intensity == "vigorous"
    ]  # fmt: skip
    assert len(much) > 70
    assert [one.code for one in much if not one.easier] == []


def _ends(one: Exercise) -> set[str]:
    if not one.easier:
        return {one.code}
    return {end for code in one.easier for end in _ends(TABLE[code])}


def test_every_chain_of_easier_options_ends_at_something_easy() -> None:
    ends = {end for one in ALL for end in _ends(one)}
    assert [
        code
        for code in sorted(ends)
        if (one := TABLE[code]).impact != "none" or one.core_load != "none" or one.pelvic_load > 1
        or one.balance > 1 or one.lying_flat or one.prone or one.heavy or one.breath_holding
        or one.intensity == "vigorous"
    ] == []  # fmt: skip


def test_an_option_asks_no_more_and_the_harder_are_the_other_way_round() -> None:
    pairs = [(one, TABLE[code]) for one in ALL for code in one.easier]
    assert len(pairs) > 250
    assert [(a.code, b.code) for a, b in pairs if asks_more(b, a)] == []
    assert {(b.code, a.code) for a, b in pairs} == {
        (one.code, code) for one in ALL for code in one.harder
    }


def test_names_and_aliases_are_of_one_exercise_each_and_short_enough_to_say() -> None:
    spoken = Counter(words.casefold() for one in ALL for words in one.spoken)
    assert [words for words, times in spoken.items() if times > 1 or len(words) > 40] == []
    assert codes(lambda one: not 2 <= len(one.aliases) <= 4) == []
    assert [cue for one in ALL for cue in one.cues if not 8 <= len(cue) <= 60] == []


def test_no_exercise_says_what_a_quiet_page_may_not_hold() -> None:
    told = {one.code: " ".join((one.code, *one.spoken, *one.cues)).casefold() for one in ALL}
    found = [code for code, text in told.items() if any(word in text for word in NEVER_IF_QUIET)]
    assert found == []
    assert [one.code for one in ALL if "child" in one.name.casefold()] == []


def test_met_is_that_of_the_edition_and_code_and_was_read_in_the_list() -> None:
    coded = [one for one in ALL if one.compendium]
    assert len(coded) > 250
    assert [one.code for one in coded if one.met != mets()[one.compendium]] == []
    assert {activities()[one.compendium].read for one in coded} == {"copy"}
    assert [one.code for one in ALL if not one.compendium and one.intensity != "light"] == []


def test_what_lies_or_stands_or_jumps_says_so_everywhere() -> None:
    assert codes(lambda one: one.lying_flat != (one.position == "supine")) == []
    assert codes(lambda one: one.impact == "high" and one.intensity != "vigorous"
                 and one.code != "mountain-climber") == []  # fmt: skip
    assert codes(lambda one: one.impact == "high" and one.pelvic_load < 2) == []
    assert codes(lambda one: one.impact == "high" and one.stance == "single-leg"
                 and one.pelvic_load == 3 and one.balance == 0) == []  # fmt: skip
    assert codes(lambda one: one.heavy and one.pelvic_load < 2) == []
    assert codes(lambda one: one.core_load == "leg-lowering" and one.pelvic_load < 2) == []
    assert codes(lambda one: one.position in {"seated", "side-lying", "reclined"}
                 and one.impact != "none") == []  # fmt: skip


def test_floor_work_names_what_it_is_done_on() -> None:
    """A class announces its kit: lying on the back or front, kneeling and all fours need a mat."""
    lying = {"supine", "prone", "kneeling", "all fours"}
    assert codes(lambda one: one.position in lying and "mat" not in one.kit) == []


@pytest.mark.parametrize(
    ("code", "facts"),
    [
        ("plank", {"core_load": "plank", "breath_holding": True}),
        ("double-leg-lower", {"core_load": "leg-lowering", "pelvic_load": 3, "lying_flat": True}),
        ("toe-tap-lying", {"core_load": "leg-lowering", "lying_flat": True}),
        ("full-sit-up", {"core_load": "flexion", "pelvic_load": 3}),
        ("suitcase-carry", {"core_load": "rotation", "heavy": True}),
        ("wall-sit", {"still_standing": True, "breath_holding": True}),
        ("jog-on-the-spot", {"impact": "high", "stance": "single-leg"}),
        ("hop-on-the-spot", {"impact": "high", "balance": 2, "stance": "single-leg"}),
        ("goblet-squat", {"heavy": True, "pelvic_load": 3, "breath_holding": True}),
        ("one-leg-stand-hands-free", {"balance": 2, "stance": "single-leg"}),
        ("downward-stretch", {"balance": 1}),
        ("lift-before-a-cough", {"pelvic_load": 2}),
    ],
)
def test_what_an_exercise_asks_is_not_played_down(code: str, facts: dict[str, object]) -> None:
    assert {name: getattr(TABLE[code], name) for name in facts} == facts


def test_a_class_for_small_joints_can_be_filled() -> None:
    """The demo has whole classes for wrists, feet and the neck: six of each at least."""
    mobility = [one for one in ALL if one.focus in {"mobility", "recovery", "upper body", "legs"}]

    def about(*words: str) -> int:
        texts = [" ".join((*one.spoken, *one.cues)).casefold() for one in mobility]
        return sum(any(word in text for word in words) for text in texts)

    assert about("wrist", "finger", "forearm", "palm") >= 8
    assert about("ankle", "toe", "foot", "heel", "calf") >= 10
    assert about("neck", "jaw", "chin", "shoulder") >= 8
