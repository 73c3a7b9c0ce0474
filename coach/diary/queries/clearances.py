"""Whose clearance needs something: no letter in force, or one that runs out soon."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from clients.models import Client, Standing
from clients.queries import go_aheads
from coach.scheduling.values import Finding, GoAhead, GoAheadWord, Severity

LETTERS_AHEAD_DAYS = 30


@dataclass(frozen=True, slots=True)
class ClearanceWanted:
    """A client whose clearance needs something: since `day`, or by it where a letter runs out."""

    client_id: int
    name: str
    word: GoAheadWord
    day: date
    reasons: tuple[Finding, ...]


def clearances(today: date) -> list[ClearanceWanted]:
    """Active clients without a letter in force, and letters about to run out, by day.

    The number of queries does not depend on the number of clients.
    """
    active = go_aheads(on=today, standing=(Standing.ACTIVE,))
    found = (_clearance(one.client, one.found) for one in active)
    return sorted((one for one in found if one), key=lambda one: one.day)


def _clearance(client: Client, answer: GoAhead) -> ClearanceWanted | None:
    """What her go-ahead wants on its day; nothing where a letter counts for a while yet."""
    if not answer.word.may_train:
        came = client.created_at.astimezone(ZoneInfo(client.time_zone)).date()
        day = answer.since or came
        return ClearanceWanted(client.pk, client.name, answer.word, day, answer.reasons)
    if answer.until is None or (answer.until - answer.on).days > LETTERS_AHEAD_DAYS:
        return None
    reasons = (*answer.reasons, _runs_out(answer.until))
    return ClearanceWanted(client.pk, client.name, answer.word, answer.until, reasons)


def _runs_out(last: date) -> Finding:
    reason = f"The last day of the letter or of the answers is {last.day} {last:%B %Y}"
    return Finding("letter", Severity.CAUTION, reason, "policy of the practice")
