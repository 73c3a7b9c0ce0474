"""Who is to be assessed again, as stories: reassessment_table.toml, written before the rules."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from coach.scheduling.reassessment import SIGN, SYMPTOM
from coach.scheduling.values import Severity
from tests.scheduling.reassessment_made import Row, rows

every_row = pytest.mark.parametrize("row", rows(), ids=lambda row: row.given)


@every_row
def test_by_when_and_why(row: Row) -> None:
    found = row.due()
    assert (found.by if found else None) == row.by
    assert [one.kind for one in found.reasons] == list(row.why) if found else row.why == ()
    assert [one.finding.kind for one in found.later] == list(row.later) if found else not row.later


@every_row
def test_every_reason_has_words_and_a_source(row: Row) -> None:
    found = row.due()
    told = [*found.reasons, *(one.finding for one in found.later)] if found else []
    assert [one for one in told if not one.reason.strip() or not one.source] == []
    pressing = {SIGN, SYMPTOM}
    assert {one.kind in pressing for one in told if one.severity is Severity.CAUTION} <= {True}


@every_row
def test_an_assessment_today_is_enough_for_today(row: Row) -> None:
    found = row.due(last=row.today)
    assert found is None or found.by > row.today


@every_row
def test_an_assessment_today_never_brings_the_next_one_forward(row: Row) -> None:
    before, after = row.due(), row.due(last=row.today, findings=())
    assert after is None or (before is not None and after.by >= before.by)


@every_row
@pytest.mark.parametrize("days", [1, 3, 30])
def test_waiting_never_puts_it_off(row: Row, days: int) -> None:
    """But past her date, when she is asked how she is instead."""
    before, after = row.due(), row.due(today=row.today + timedelta(days))
    if before and after:
        assert after.by <= before.by
    ends = [one.due for one in row.history.pregnancies if one.due]
    past: list[date] = [end for end in ends if end < row.today + timedelta(days)]
    assert after is not None or before is None or past


@every_row
def test_the_order_in_which_things_are_told_does_not_matter(row: Row) -> None:
    turned = {name: getattr(row.history, name)[::-1] for name in ("findings", "signs_answered")}
    assert row.due(**turned) == row.due()
