"""What lists read of all assessments comes back from what is kept of it as it went in."""

from __future__ import annotations

import json
from datetime import date, timedelta
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from clients.rules.assessment import Measured
from clients.rules.findings import Summary, summary
from clients.rules.measuring import scheme

FIRST = date(2026, 1, 1)
CODES = [*scheme().answers, "test-hop-symptom", "next_day"]
answers = st.dictionaries(st.sampled_from(CODES), st.sampled_from(["yes", "no"]))
taken = st.lists(
    st.tuples(st.integers(0, 300), st.booleans(), answers, st.integers(0, 10)), max_size=5
)


def measured(rows: list[tuple[int, bool, dict[str, Any], int]]) -> list[Measured]:
    return [
        Measured(pk, FIRST + timedelta(days=after), {**values, "width-navel-rest": fingers / 2},
                 "Una", "coach", "fingers", "crook", finished=finished)
        for pk, (after, finished, values, fingers) in enumerate(rows, 1)
    ]  # fmt: skip


@given(taken)
def test_from_what_is_kept_it_is_the_same_in_every_part(
    rows: list[tuple[int, bool, dict[str, Any], int]],
) -> None:
    fresh = summary(measured(rows))
    kept = Summary.of(json.loads(json.dumps(fresh.stored)))
    assert (kept == fresh, kept.open == fresh.open, kept.last == fresh.last) == (True, True, True)
    assert dict(kept.answers or {}) == dict(fresh.answers or {})
    assert kept.stored == fresh.stored


def test_nothing_kept_is_nobody_measured() -> None:
    nobody = Summary.of({})
    assert (nobody.last, nobody.open, nobody.answer("leaking")) == (None, (), None)


def test_an_answer_to_a_question_that_there_is_no_longer_opens_nothing() -> None:
    kept = Summary.of({"answers": {"gone": ["yes", "2026-01-01", "2026-01-01"]}})
    assert kept.open == ()
