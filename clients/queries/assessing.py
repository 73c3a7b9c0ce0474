"""Reads around an assessment that is about to be taken: may it be, and which tests are offered."""

from __future__ import annotations

from datetime import date

from clients.models import Client
from clients.queries.facts import facts_for
from clients.queries.go_ahead import go_ahead_now, go_ahead_of
from clients.queries.measuring import measuring_policies
from clients.queries.scheme import the_scheme
from clients.rules.impact_tests import impact_tests, why_not_offered
from clients.rules.roster import latest_dates
from coach.scheduling.dates import stage_on, weeks_since
from coach.scheduling.values import GoAhead, GoAheadWord


def go_ahead_for(client: Client, on: date, today: date) -> GoAhead:
    """Her go-ahead for an assessment: as it is now, or as it was known on an earlier day."""
    return go_ahead_now(client) if on >= today else go_ahead_of(client, on=on)


def may_not_start(found: GoAhead) -> str:
    """Why no assessment is begun, in a sentence; "" if one may be."""
    if found.word is GoAheadWord.ON_HOLD:
        return "She is on hold: nothing is measured until a clinician has answered. Write to her."
    return ""


def not_offered(client: Client, on: date, found: GoAhead) -> dict[str, str]:
    """Each test by its code with why it is not offered on a day, "" where it is; seven queries."""
    dates = [one.dates for one in facts_for(client).known_by(on).pregnancies]
    ended = latest_dates(dates, on)[1]
    since = weeks_since(ended, on) if ended else None
    stage, chosen = stage_on(dates, on, the_scheme()), measuring_policies().on(on)
    return {
        code: why_not_offered(test, found, stage, since, from_weeks=chosen.tests_from_weeks)
        for code, test in impact_tests().items()
    }
