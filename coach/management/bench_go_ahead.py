"""Many invented clients with facts, and how long it takes to say who of them may train."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, timedelta
from time import perf_counter
from typing import Any

from django.db import connection, models

from clients.actions import rewrite_all_spans
from clients.models import (
    Clearance,
    Client,
    Condition,
    GoAheadSpan,
    Pregnancy,
    Screening,
    WarningSign,
)
from clients.queries import go_aheads, words_now
from clients.queries.facts import stored_clearance
from clients.rules.facts import ClearanceFact, ClearanceWord
from clients.rules.screening import SCREENING_VERSION, questions_for
from coach.practice.models import Practice
from coach.practice.queries import practice_or_none
from coach.scheduling.values import Limits

RUNS = 3
_FACTS = (Client, Pregnancy, Clearance, WarningSign, Condition, Screening)
_ZONES = ("Europe/Dublin", "Europe/Vienna", "America/New_York", "Australia/Sydney")


def measure(clients: int) -> dict[str, Any]:
    """Make so many clients in the database in use and time reading them; seconds, best of RUNS."""
    fill(clients)
    rewriting = _seconds(_rewrite)
    select, rows = _timed(_select)
    facts, worked_out = _timed(go_aheads)
    spans, words = _timed(words_now)
    differing = sum(one.found.word is not words[one.client.pk].word for one in worked_out)
    return {
        "clients": len(worked_out),
        "rows": rows,
        "runs": RUNS,
        "seconds": {"select": select, "facts": facts, "spans": spans, "rewriting": rewriting},
        "ratio": facts / select,
        "differing": differing,
    }


def _timed(read: Callable[[], Any]) -> tuple[float, Any]:
    return min(_seconds(read) for _ in range(RUNS)), read()


def _seconds(work: Callable[[], Any]) -> float:
    begun = perf_counter()
    work()
    return perf_counter() - begun


def _rewrite() -> None:
    GoAheadSpan.objects.all().delete()
    rewrite_all_spans()


def _select() -> int:
    """The rows that the go-ahead rests on as the database gives them, sealed; how many."""
    count = 0
    with connection.cursor() as cursor:
        for model in _FACTS:
            cursor.execute(f"SELECT * FROM {model._meta.db_table}")  # noqa: S608 - our own names
            count += len(cursor.fetchall())
    return count


def fill(clients: int) -> None:
    """Invented clients with a pregnancy, letters and a screening each; some with signs and more."""
    if practice_or_none() is None:
        Practice.objects.create(pk=1, name="Bench", country="IE", time_zone=_ZONES[0],
                                currency="EUR")  # fmt: skip
    made = Client.objects.bulk_create(
        Client(name=f"Client {n}", time_zone=_ZONES[n % len(_ZONES)]) for n in range(clients)
    )
    today = made[0].created_at.date()
    kinds: dict[type[models.Model], list[models.Model]] = {model: [] for model in _FACTS[1:]}
    for n, client in enumerate(made):
        for row in _facts(n, client, today):
            kinds[type(row)].append(row)
    for model, rows in kinds.items():
        model._default_manager.bulk_create(rows)


def _facts(n: int, client: Client, today: date) -> Iterator[models.Model]:
    """One client's facts: every third is after an end, the others are spread over a pregnancy."""

    def ago(days: int) -> date:
        return today - timedelta(days=days)

    over = n % 3 == 0
    ended = ago(20 + 37 * n % 500) if over else None
    yield Pregnancy(
        client=client,
        due=ended or ago(-(5 + n % 250)),
        ended=ended,
        ending="birth" if over else "",
        birth_mode=("vaginal", "caesarean", "")[n // 3 % 3] if over else "",
        expected=2 if n % 40 == 1 else 1,
        known_on=ago(200),
    )
    for days in (10 + n % 70, 100 + n % 60) if n % 6 else ():
        yield Clearance(client=client, **stored_clearance(_letter(n, ago(days))))
    yield _screening(client, "after" if over else "pregnant", ago(n % 90))
    if n % 9 == 0:
        day = ago(n % 60)
        yield WarningSign(client=client, code="dizzy", happened_on=day, known_on=day)
    if n % 7 == 0:
        named = ago(n % 80)
        yield Condition(client=client, code=_condition_code(), origin="clinician", named_on=named,
                        known_on=named)  # fmt: skip


def _letter(n: int, said_on: date) -> ClearanceFact:
    limited = n % 4 == 0
    return ClearanceFact(
        said_on=said_on,
        word=ClearanceWord.LIMITS if limited else ClearanceWord.GO_AHEAD,
        limits=Limits(no_impact=True, lift_at_most_kg=8) if limited else Limits(),
        known_on=said_on,
        until=said_on + timedelta(weeks=4) if n % 5 == 2 else None,
        examined="yes",
        clinician="Imelda Roe",
        clinician_kind="midwife",
    )


def _screening(client: Client, phase: str, day: date) -> Screening:
    asked = questions_for(phase)
    return Screening(
        client=client,
        phase=phase,
        version=SCREENING_VERSION,
        answers={one.code: {"answer": "no", "lists": list(one.lists)} for one in asked},
        answered_on=day,
        known_on=day,
        complete=True,
        how="form",
    )


def _condition_code() -> str:
    return next(one.code for one in questions_for("pregnant") if one.kind != "sign")
