"""The tests before a return to impact: what passes, and who is offered them.

Amounts as Goom, Donnelly and Brockwell 2019 (load) and Moore and others 2021 (strength) give them.
"""

from __future__ import annotations

import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from clients.rules import impact_tests as module
from clients.rules.impact_tests import (
    LOAD,
    STRENGTH,
    Result,
    grade,
    impact_tests,
    read_tests,
    why_not_offered,
)
from coach.scheduling.values import GoAhead, GoAheadWord, Limits, Stage

DATA = Path(module.__file__).parent.parent / "data" / "impact_tests.toml"
TODAY = date(2026, 12, 3)
STAND, CALF = impact_tests()["stand"], impact_tests()["calf"]


def test_seven_of_load_and_four_of_strength_with_the_published_amounts() -> None:
    """Goom 2019: walk 30 min; stand 10 s; squat 10; jog 1 min; bounds 10; hop 10; running 10.

    Goom 2019 and Moore 2021: 20 each of calf raise, bridge, sit to stand, side-lying leg lift.
    """
    found = {code: (one.kind, one.asks) for code, one in impact_tests().items()}
    assert found == {
        "walk": (LOAD, "30 min"),
        "stand": (LOAD, "10 s each leg"),
        "squat": (LOAD, "10 times each leg"),
        "jog": (LOAD, "1 min"),
        "bounds": (LOAD, "10 times"),
        "hop": (LOAD, "10 times each leg"),
        "running": (LOAD, "10 times each leg"),
        "calf": (STRENGTH, "20 times each leg"),
        "bridge": (STRENGTH, "20 times each leg"),
        "sit": (STRENGTH, "20 times each leg"),
        "side": (STRENGTH, "20 times each leg"),
    }


def done(left: int | None, right: int | None, symptom: str = "no", **more: Any) -> dict[str, Any]:
    """What was counted in both legs of each test that the table names."""
    found: dict[str, Any] = {}
    for code in ("stand", "calf"):
        values = {"left": left, "right": right, "symptom": symptom or None, **more}
        found |= {f"test-{code}-{part}": value for part, value in values.items()}
    return {code: value for code, value in found.items() if value is not None}


@pytest.mark.parametrize(
    ("left", "right", "symptom", "result"),
    [
        (10, 10, "no", Result.PASS),
        (10, 25, "no", Result.PASS),
        (9, 10, "no", Result.FAIL),
        (10, 0, "no", Result.FAIL),
        (10, 10, "yes", Result.FAIL),
        (10, None, "no", Result.INCOMPLETE),
        (9, None, "no", Result.FAIL),
        (10, 10, "", Result.INCOMPLETE),
        (None, None, "no", Result.INCOMPLETE),
        (None, None, "yes", Result.FAIL),
        (None, None, "", Result.NOT_ASKED),
    ],
)
def test_ten_seconds_of_each_leg_and_no_symptom_pass_and_nothing_else(
    left: int | None, right: int | None, symptom: str, result: Result
) -> None:
    """Goom 2019: 9 s fail, 10 s pass; one leg missing is incomplete; any symptom fails."""
    assert grade(STAND, done(left, right, symptom)) is result


@pytest.mark.parametrize(("counted", "result"), [(19, Result.FAIL), (20, Result.PASS)])
def test_nineteen_calf_raises_fail_and_twenty_pass(counted: int, result: Result) -> None:
    """Goom 2019, Moore 2021: 20 each side."""
    assert grade(CALF, done(counted, 20)) is result
    assert grade(CALF, done(20, counted)) is result


def test_what_was_not_offered_is_neither_passed_nor_failed() -> None:
    assert grade(STAND, {"test-stand-offered": "no"}) is Result.NOT_OFFERED
    assert grade(STAND, done(10, 10, offered="no")) is Result.PASS
    assert grade(STAND, {"test-calf-left": 3}) is Result.NOT_ASKED


@pytest.mark.parametrize(("amount", "result"), [(None, Result.PASS), (15, Result.FAIL)])
def test_the_practice_may_ask_more(amount: int | None, result: Result) -> None:
    """Clinics differ (15 s of standing is in use): common practice, no source."""
    assert grade(STAND, done(14, 14), amount) is result


def offered(
    code: str = "hop", *, word: GoAheadWord = GoAheadWord.YES, stage: Stage = Stage.WEEKS_12_26,
    weeks: int | None = 14, limits: Limits | None = None,
) -> str:  # fmt: skip
    found = GoAhead(TODAY, word, limits=limits or Limits())
    return why_not_offered(impact_tests()[code], found, stage, weeks, from_weeks=6)


def test_after_the_first_weeks_and_with_a_go_ahead_it_is_offered() -> None:
    assert (offered(), offered(weeks=6)) == ("", "")


@pytest.mark.parametrize("stage", [stage for stage in Stage if stage.pregnant])
def test_never_in_pregnancy(stage: Stage) -> None:
    assert offered(stage=stage) == "Not offered at this stage."


@pytest.mark.parametrize("word", [word for word in GoAheadWord if not word.may_train])
def test_never_without_a_go_ahead(word: GoAheadWord) -> None:
    assert offered(word=word) == f"Her go-ahead says “{word}”."


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"weeks": None}, "Her stage is not known."),
        ({"weeks": 5}, "Not offered in the first 6 weeks."),
        ({"limits": Limits(gentle_recovery_only=True)}, "She is limited to gentle recovery work."),
        ({"limits": Limits(no_impact=True)}, "She is limited to no impact."),
        ({"limits": Limits(no_impact=True), "code": "jog"}, "She is limited to no impact."),
        ({"limits": Limits(no_impact=True), "code": "walk"}, ""),
        ({"limits": Limits(no_impact=True), "code": "calf"}, ""),
        ({"limits": Limits(gentle_recovery_only=True), "code": "walk"},
         "She is limited to gentle recovery work."),
    ],
)  # fmt: skip
def test_a_reason_is_told_where_it_is_not_offered(asked: dict[str, Any], words: str) -> None:
    assert offered(**asked) == words


@pytest.mark.parametrize(
    "change",
    [
        {"kind": "balance"},
        {"unit": "metres"},
        {"amount": 0},
        {"words": ""},
        {"source": ""},
        {"code": ""},
        {"code": "stand"},
        {"code": "one-leg"},
    ],
)
def test_a_row_that_is_not_sound_is_refused(change: dict[str, Any]) -> None:
    rows = tomllib.loads(DATA.read_text("utf-8"))["test"]
    rows[0] |= change
    with pytest.raises(ValueError, match="is not sound"):
        read_tests({"test": rows})
