"""Whom exercises and classes suit, by a table that a coach can read, and by properties."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clients.rules.findings import Answer, OpenFinding
from clients.rules.measuring import scheme
from coach.scheduling.dating import GestationalAge
from coach.scheduling.values import SERVABLE_STAGES, GoAheadWord, Limits, Stage
from content.rules.design import Block, Design, Item, Pattern
from content.rules.exercises import exercises
from content.rules.suitability import (
    Person,
    Recovery,
    Verdict,
    judge,
    judge_class,
    judge_class_stage,
    judge_stage,
    suits,
)
from content.rules.suitability.judging import Judge
from content.rules.suitability.table import read_table, table
from content.rules.timeline import timeline
from content.rules.versions import changes, distance, with_changes

TABLE = exercises()
TODAY = date(2026, 12, 3)
ROWS = tomllib.loads((Path(__file__).parent / "suits_table.toml").read_text("utf-8"))["row"]
SYMPTOMS = {code for code, one in scheme().answers.items() if one.symptom}


def answers(words: str) -> dict[str, Answer]:
    if not words:
        return {}
    day = TODAY - timedelta(days=91 if words == "long ago" else 5)
    return {code: Answer("no", day, day) for code in scheme().answers}


def opened(codes: list[str]) -> tuple[OpenFinding, ...]:
    day = TODAY - timedelta(days=5)
    return tuple(OpenFinding(code, code, code in SYMPTOMS, day, day) for code in codes)


def person(row: dict[str, Any]) -> Person:
    age, recoveries, stage = None, [], Stage.WEEKS_26_52
    for part in row["her"].split("; "):
        words = part.split()
        if words[0] == "after":
            mode = words[2] if words[2] != "unknown" else ""
            recoveries.append(Recovery(int(words[1]), "birth", mode, " ".join(words[3:])))
        elif words[0] == "loss":
            surgical = {"": "no", "operation": "yes", "unknown": ""}[" ".join(words[2:])]
            recoveries.append(Recovery(int(words[1]), "loss", surgical=surgical))
        elif words[0] == "stage":
            stage = Stage.UNKNOWN
        else:
            age, stage = GestationalAge.parse(words[0]), Stage.TRIMESTER_2
    found = answers(row.get("asked_no", ""))
    for code in [*row.get("open", []), *row.get("not_asked", [])]:
        found.pop(code, None)
    limits = row.get("limits", {})
    ready = {"yes": (), "no": ("a test",), "not known": None}[row.get("ready", "no")]
    return Person(
        TODAY, stage, age, tuple(recoveries), found, opened(row.get("open", [])),
        {code: code for code in row.get("conditions", [])},
        Limits(**{**limits, "others": tuple(limits.get("others", ()))}),
        GoAheadWord.YES, ready,
    )  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=[row["given"] for row in ROWS])
def test_whom_an_exercise_suits(row: dict[str, Any]) -> None:
    found = judge(row["exercise"], person(row), TABLE)
    assert str(found.verdict) == row["is"]
    assert sorted({one.kind for one in found.reasons}) == sorted(row.get("why", []))
    if "option" in row:
        assert found.option == row["option"]


def test_every_reason_has_words_and_a_source() -> None:
    for row in ROWS:
        for one in judge(row["exercise"], person(row), TABLE).reasons:
            assert one.source
            assert "{" not in one.reason


# ---- classes


def designed(*items: Item) -> Design:
    return Design((Block(patterns=(Pattern(items),)),))


WELL = person({"her": "30w0d", "asked_no": "all"})


def test_a_class_is_as_bad_as_its_worst_exercise() -> None:
    fine = judge_class(designed(Item("clam"), Item("band-row")), WELL, TABLE)
    assert (fine.verdict, fine.in_the_way) == (Verdict.FINE, ())
    worse = judge_class(designed(Item("clam"), Item("bridge")), WELL, TABLE)
    assert worse.verdict is Verdict.LEAVE_OUT


def test_the_side_lying_option_left_out_on_film_drops_the_verdict_at_thirty_weeks() -> None:
    shown = designed(Item("clam"), Item("bridge", shows=("side-lying-leg-lift",)))
    filmed = designed(Item("clam"), Item("bridge"))
    planned, after = (judge_class(one, WELL, TABLE) for one in (shown, filmed))
    assert (planned.verdict, suits(planned)) == (Verdict.EASIER, True)
    assert (after.verdict, suits(after)) == (Verdict.LEAVE_OUT, False)


def test_an_option_that_is_against_her_as_well_counts_for_nothing() -> None:
    shown = designed(Item("rest-on-the-back", shows=("rest-half-sitting",)))
    wrong = designed(Item("bridge", shows=("single-leg-bridge",)))
    assert judge_class(shown, WELL, TABLE).verdict is Verdict.EASIER
    assert judge_class(wrong, WELL, TABLE).verdict is Verdict.LEAVE_OUT


@pytest.mark.parametrize("word", [GoAheadWord.ON_HOLD, GoAheadWord.WAITING, GoAheadWord.RUN_OUT])
def test_who_is_not_cleared_gets_no_class_at_all(word: GoAheadWord) -> None:
    found = judge_class(designed(Item("seated-rib-breath")), replace(WELL, word=word), TABLE)
    assert not suits(found)
    assert str(word) in found.not_cleared


def test_a_class_without_a_design_is_not_known() -> None:
    assert judge_class(Design(), WELL, TABLE).verdict is Verdict.NOT_KNOWN
    assert judge_class_stage(Design(), Stage.TRIMESTER_3, TABLE).verdict is Verdict.NOT_KNOWN


def test_a_stage_excludes_by_its_strictest_day() -> None:
    assert judge_stage("bridge", Stage.TRIMESTER_1, TABLE).verdict is Verdict.FINE
    assert judge_stage("bridge", Stage.TRIMESTER_2, TABLE).verdict is Verdict.EASIER
    assert judge_stage("squat-jump", Stage.WEEKS_6_12, TABLE).verdict is Verdict.EASIER


# ---- versions


def test_a_version_for_a_stage_changes_what_does_not_pass_and_keeps_the_length() -> None:
    design = designed(Item("squat-jump"), Item("bridge"), Item("single-leg-bridge"), Item("clam"))
    whom = Judge(WELL, TABLE)
    offered = changes(design, whom)
    assert [one.old.exercise for one in offered] == ["squat-jump", "bridge", "single-leg-bridge"]
    new = with_changes(design, offered)
    assert all(one.new for one in offered)
    assert timeline(new, TABLE).seconds == timeline(design, TABLE).seconds
    assert changes(new, whom) == []


def test_nothing_is_changed_that_is_not_accepted() -> None:
    design = designed(Item("squat-jump"), Item("bridge"))
    first, second = changes(design, Judge(WELL, TABLE))
    new = with_changes(design, [second])
    assert [one.exercise for one in new.items] == ["squat-jump", second.new and second.new.exercise]
    assert first.key == "0.0.0"


def test_the_nearest_has_the_same_focus_and_then_the_same_position() -> None:
    old = TABLE["squat"]
    assert distance(old, old) == 0
    assert distance(old, TABLE["wide-squat"]) < distance(old, TABLE["clam"])
    assert distance(old, TABLE["clam"]) < distance(old, TABLE["side-step"]) + 40


# ---- properties

PEOPLE = st.sampled_from([person(row) for row in ROWS])
CODES = st.sampled_from(sorted(TABLE))


@given(PEOPLE, CODES, st.sampled_from(sorted(scheme().answers)))
def test_an_answer_taken_away_never_makes_it_better(whom: Person, code: str, question: str) -> None:
    less = replace(whom, answers={k: v for k, v in whom.answers.items() if k != question})
    before, after = (judge(code, one, TABLE).verdict for one in (whom, less))
    assert not (after is Verdict.FINE and before is not Verdict.FINE)


@given(PEOPLE, CODES, st.sampled_from(sorted(scheme().answers)))
def test_a_finding_more_never_makes_it_better(whom: Person, code: str, finding: str) -> None:
    worse = replace(whom, findings=(*whom.findings, *opened([finding])))
    before, after = (judge(code, one, TABLE).verdict for one in (whom, worse))
    assert not (after is Verdict.FINE and before is not Verdict.FINE)


@given(PEOPLE, CODES, st.sampled_from(
    ["no_impact", "not_lying_flat", "no_loaded_trunk_flexion", "gentle_recovery_only"]
))  # fmt: skip
def test_a_limit_more_never_makes_it_better(whom: Person, code: str, limit: str) -> None:
    worse = replace(whom, limits=replace(whom.limits, **{limit: True}))
    before, after = (judge(code, one, TABLE).verdict for one in (whom, worse))
    assert not (after is Verdict.FINE and before is not Verdict.FINE)


@given(PEOPLE, CODES)
def test_an_option_offered_has_nothing_against_it(whom: Person, code: str) -> None:
    found = judge(code, whom, TABLE)
    if found.option:
        assert judge(found.option, whom, TABLE).verdict is Verdict.FINE


@pytest.mark.parametrize("stage", SERVABLE_STAGES)
def test_every_stage_has_much_that_it_does_not_exclude(stage: Stage) -> None:
    fine = [code for code in TABLE if judge_stage(code, stage, TABLE).verdict is Verdict.FINE]
    assert len(fine) >= 60


def test_a_broken_table_is_refused() -> None:
    rows = [{"kind": one.kind, "words": one.words, "source": one.source, "quiet": one.quiet}
            for one in table().reasons.values()]  # fmt: skip
    whole = {"rule": rows, "old_weeks": 12, "effort": {"light": 3, "moderate": 6}}
    assert set(read_table(whole).reasons) == set(table().reasons)
    for broken in (
        rows[1:], [*rows, rows[0]], [{**rows[0], "source": ""}, *rows[1:]],
        [{**rows[0], "words": "the baby"}, *rows[1:]],
    ):  # fmt: skip
        with pytest.raises(ValueError, match="the reason '"):
            read_table({**whole, "rule": broken})
