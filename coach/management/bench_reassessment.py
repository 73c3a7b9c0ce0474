"""Many invented clients with years of assessments, and how long the list of reassessments takes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from time import perf_counter
from typing import Any
from uuid import uuid4

from django.db import connection, models, transaction

from clients.actions import rewrite_all_spans
from clients.models import Assessment, Client, Measurements, Rhythm
from clients.rules.assessment import Measured
from clients.rules.findings import summary
from coach import clock
from coach.diary.queries import diary_page, reassessments
from coach.management.bench_go_ahead import fill as fill_facts

RUNS = 3
FEW = 50
EVERY_DAYS = 42
NEVER_MEASURED = 25  # one of so many clients
_PATTERNS = EVERY_DAYS  # so many different histories; each client has one of them
_AT_ONCE = 20_000
Query = tuple[str, Any]


def measure(clients: int, years: int) -> dict[str, Any]:
    """Make so many clients in the database in use and time the list; seconds, best of RUNS.

    `queries` are those of the list with FEW clients and with all of them.
    """
    few, begun = min(FEW, clients), perf_counter()
    fill(few, years)
    today = Client.objects.values_list("created_at", flat=True)[0].date()
    of_few = len(_asked(lambda: reassessments(today)))
    fill(clients - few, years)
    rewrite_all_spans()
    filling = perf_counter() - begun
    asked = _asked(lambda: reassessments(today))
    select, rows = _timed(lambda: _replayed(asked))
    listed, found = _timed(lambda: reassessments(today))
    page, _ = _timed(lambda: diary_page(today))
    return {
        "clients": clients,
        "years": years,
        "assessments": Assessment.objects.count(),
        "rows": rows,
        "listed": len(found),
        "runs": RUNS,
        "seconds": {"select": select, "list": listed, "page": page, "filling": filling},
        "ratio": listed / select,
        "queries": [of_few, len(asked)],
    }


def _timed(read: Callable[[], Any]) -> tuple[float, Any]:
    return min(_seconds(read) for _ in range(RUNS)), read()


def _seconds(work: Callable[[], Any]) -> float:
    begun = perf_counter()
    work()
    return perf_counter() - begun


def _asked(read: Callable[[], Any]) -> list[Query]:
    """The queries that reading asks the database, each with its values."""
    found: list[Query] = []

    def kept(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        found.append((sql, params))
        return execute(sql, params, many, context)

    with connection.execute_wrapper(kept):
        read()
    return found


def _replayed(asked: Sequence[Query]) -> int:
    """The same rows as the database gives them, sealed, as tuples; how many."""
    count = 0
    with connection.cursor() as cursor:
        for sql, params in asked:
            cursor.execute(sql, params)
            count += len(cursor.fetchall())
    return count


def fill(clients: int, years: int) -> None:
    """Invented clients as in the other measuring, with an assessment about every six weeks.

    One of NEVER_MEASURED has none; some are snoozed, some came back from a pause.
    """
    if not clients:
        return
    before = set(Client.objects.values_list("pk", flat=True))
    fill_facts(clients)
    made = [pk for pk in Client.objects.order_by("pk").values_list("pk", flat=True)
            if pk not in before]  # fmt: skip
    today = Client.objects.values_list("created_at", flat=True).get(pk=made[0]).date()
    measured = [pk for n, pk in enumerate(made) if n % NEVER_MEASURED]
    _insert(Assessment, _assessments(measured, years, today))
    _insert(Measurements, _summaries(measured, years, today))
    _insert(Rhythm, (_rhythm(n, pk, today) for n, pk in enumerate(made) if n % 8 == 0))


@dataclass(frozen=True, slots=True)
class _Sealed:
    """A value as its column takes it already."""

    value: Any


@transaction.atomic
def _insert(model: type[models.Model], rows: Iterator[dict[str, Any]]) -> None:
    """Store rows of column names to values. What was sealed once is not sealed again."""
    fields = [one for one in model._meta.concrete_fields if not isinstance(one, models.AutoField)]
    names = ", ".join(connection.ops.quote_name(str(one.column)) for one in fields)
    places = ", ".join(["%s"] * len(fields))
    sql = f"INSERT INTO {model._meta.db_table} ({names}) VALUES ({places})"  # noqa: S608 - our own names
    batch: list[list[Any]] = []
    with connection.cursor() as cursor:
        for row in rows:
            batch.append([_stored(one, row) for one in fields])
            if len(batch) == _AT_ONCE:
                cursor.executemany(sql, batch)
                batch = []
        if batch:
            cursor.executemany(sql, batch)


def _stored(field: Any, row: dict[str, Any]) -> Any:
    value = row[field.attname] if field.attname in row else field.get_default()
    return value.value if isinstance(value, _Sealed) else field.get_db_prep_save(value, connection)


def _sealed(model: type[models.Model], row: dict[str, Any]) -> dict[str, Any]:
    """Every column of a row but the keys, each as it is stored."""
    fields = {one.attname: one for one in model._meta.concrete_fields}
    left = [name for name in fields if name not in {"id", "client_id", "key"}]
    given = {name: row.get(name, fields[name].get_default()) for name in left}
    return {
        name: _Sealed(fields[name].get_db_prep_save(value, connection))
        for name, value in given.items()
    }


def _assessments(made: Sequence[int], years: int, today: date) -> Iterator[dict[str, Any]]:
    sealed = [
        [_sealed(Assessment, _columns(one)) for one in _history(n, years, today)]
        for n in range(min(_PATTERNS, len(made)))
    ]
    for n, pk in enumerate(made):
        for row in sealed[n % _PATTERNS]:
            yield {**row, "client_id": pk, "key": uuid4()}


def _columns(one: Measured) -> dict[str, Any]:
    return {
        "day": one.day, "measures": one.values, "who": one.who, "by": one.by,
        "method": one.method, "position": one.position, "finished_at": clock.now(),
    }  # fmt: skip


def _summaries(made: Sequence[int], years: int, today: date) -> Iterator[dict[str, Any]]:
    kept = [
        _sealed(Measurements, {"summary": summary(_history(n, years, today)).stored})
        for n in range(min(_PATTERNS, len(made)))
    ]
    for n, pk in enumerate(made):
        yield {**kept[n % _PATTERNS], "client_id": pk}


def _rhythm(n: int, pk: int, today: date) -> dict[str, Any]:
    """Of every second one her own weeks and a snooze, of the others a pause that is over."""
    if n % 16:
        back = today - timedelta(days=3 + n % 20)
        return {"client_id": pk, "away_from": back - timedelta(weeks=4), "back_on": back}
    until = today + timedelta(days=1 + n % 20)
    return {"client_id": pk, "every_weeks": 5, "snoozed_until": until, "snooze_reason": "away"}


@cache
def _history(n: int, years: int, today: date) -> tuple[Measured, ...]:
    """One of the different histories, the earliest first."""
    days = [today - timedelta(days=ago) for ago in range(n, 365 * years, EVERY_DAYS)]
    return tuple(_measured(n, at, day) for at, day in enumerate(reversed(days)))


def _measured(n: int, at: int, day: date) -> Measured:
    """Widths that narrow, answers that come and go, and now and then the tests."""
    values: dict[str, Any] = {
        "width-above45-rest": 32 - at % 15, "width-navel-rest": 34 - at % 17,
        "width-below45-rest": 18 - at % 9, "width-navel-lift": 28 - at % 13,
        "doming": _yes((n + at) % 5 == 0), "leaking": _yes((n + at) % 7 == 0),
        "heaviness": _yes((n + at) % 11 == 0), "pain": "no", "urgency": "no",
        "tension": ("firm", "gives", "soft")[at % 3], "effort": at % 8, "pulse": 60 + at % 20,
    }  # fmt: skip
    if at % 4 == 0:
        values |= {"test-hop-left": 10, "test-hop-right": 9 + at % 3, "test-hop-symptom": "no"}
    if at % 6 == 0:
        values |= {"total-iciq": at % 22}
    return Measured(at + 1, day, values, "Una", "coach", "calliper", "crook")


def _yes(said: bool) -> str:
    return "yes" if said else "no"
