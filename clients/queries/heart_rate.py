"""Her heart rates: from her date of birth, her latest pulse at rest and her letters' limits."""

from __future__ import annotations

from datetime import date

from clients.models import Client
from clients.queries.assessing import go_ahead_for
from clients.queries.days import days_of
from clients.queries.measuring import measured_of
from clients.queries.roster import dates_by_client
from clients.rules.assessment import PULSE
from clients.rules.heart_rate import age_on
from clients.rules.heart_rate_words import HeartRate, heart_rate_words, not_to_train_by
from coach.scheduling.dates import stage_on
from coach.scheduling.values import Stage


def heart_rate_of(client: Client, on: date) -> HeartRate:
    """Her ranges in words on a day, with what was measured up to it; in ten queries.

    Her dates are those that stand now.
    """
    found = go_ahead_for(client, on, days_of(client).earlier)
    stage = stage_on(dates_by_client(client.pregnancies.all())[client.pk], on)
    rests = (one.values.get(PULSE) for one in measured_of(client) if one.day <= on)
    return heart_rate_words(
        age_on(client.birth_date, on) if client.birth_date else None,
        next((one for one in rests if one is not None), None),
        pregnant=None if stage is Stage.UNKNOWN else stage.pregnant,
        limit=found.limits.heart_rate_at_most,
        quiet=bool(client.quiet),
        not_now=not_to_train_by(found),
    )
