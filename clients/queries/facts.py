"""Stored rows as the values that the rules of the go-ahead want, and back again."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import asdict
from datetime import date
from typing import Any

from django.db import models

from clients.models import Clearance, Client, Pregnancy, WarningSign
from clients.rules.facts import (
    ClearanceFact,
    ClearanceWord,
    ClientFacts,
    KnownBy,
    PregnancyFact,
    SignFact,
)
from clients.rules.go_ahead import Span, spans
from clients.rules.pregnancies import PregnancyFacts
from coach.scheduling.dates import Ending
from coach.scheduling.values import Limits

_DATES = ("due", "ended", "ending")
_SAME = ("said_on", "known_on", "until", "until_birth", "clinician", "clinician_kind", "examined",
         "withdrawn_on")  # fmt: skip
Row = dict[str, Any]


def facts_for(client: Client) -> ClientFacts:
    """All that one client's go-ahead rests on, in three queries."""
    return facts_by_client([client.pk], {client.pk: bool(client.quiet)})[client.pk]


def facts_by_client(
    clients: Collection[int] | None, quiet: dict[int, bool]
) -> defaultdict[int, ClientFacts]:
    """Facts by client in three queries whatever their number; None: of all clients.

    A client without any has facts that say so.
    """
    pregnancies = _grouped(Pregnancy, clients, pregnancy_fact)
    clearances = _grouped(Clearance, clients, clearance_fact)
    signs = _grouped(WarningSign, clients, sign_fact)
    found: defaultdict[int, ClientFacts] = defaultdict(ClientFacts)
    for pk, is_quiet in quiet.items():
        found[pk] = ClientFacts(
            tuple(pregnancies[pk]), tuple(clearances[pk]), tuple(signs[pk]), is_quiet
        )
    return found


def _grouped(
    model: type[models.Model], clients: Collection[int] | None, fact: Any
) -> defaultdict[int, list[Any]]:
    rows = model._default_manager.order_by("pk")
    if clients is not None:
        rows = rows.filter(client__in=clients)
    found: defaultdict[int, list[Any]] = defaultdict(list)
    for row in rows.values():
        found[row["client_id"]].append(fact(row))
    return found


def pregnancy_fact(row: Row) -> PregnancyFact:
    """A stored pregnancy with the dates that it had before, oldest innermost."""
    before: PregnancyFact | None = None
    for version in (*map(_parsed, row["earlier"]), row):
        before = PregnancyFact(
            due=version["due"],
            ended=version["ended"],
            ending=Ending(version["ending"]) if version["ending"] else None,
            known_on=version["known_on"],
            before=before,
        )
    assert before is not None  # the row itself is the last version
    return before


def replaced_dates(row: Pregnancy, facts: PregnancyFacts, today: date) -> Row:
    """What to store beside new facts so that earlier days keep the dates known then.

    Empty when the dates stay. Dates corrected on the day they became known leave no trace here.
    """
    now = (row.due, row.ended, row.ending)
    if now == (facts.due, facts.ended, facts.ending):
        return {}
    if row.known_on is not None and row.known_on >= today:
        return {}
    version = {**{name: getattr(row, name) for name in _DATES}, "known_on": row.known_on}
    kept = {name: _iso(value) for name, value in version.items()}
    return {"known_on": today, "earlier": [*row.earlier, kept]}


def _iso(value: Any) -> Any:
    return value.isoformat() if isinstance(value, date) else value


def _parsed(version: Row) -> Row:
    days = ("due", "ended", "known_on")
    return {
        name: date.fromisoformat(value) if name in days and value else value
        for name, value in version.items()
    }


def clearance_fact(row: Row) -> ClearanceFact:
    """A stored clearance as the rules read it."""
    others = tuple(row["limits"].get("others", ()))
    return ClearanceFact(
        word=ClearanceWord(row["word"]),
        known_by=KnownBy(row["known_by"]),
        limits=Limits(**{**row["limits"], "others": others}),
        answers=tuple(row["answers"]),
        pk=row["id"],
        **{name: row[name] for name in _SAME},
    )


def stored_clearance(facts: ClearanceFact) -> Row:
    """The columns of a clearance, without document and note."""
    none = asdict(Limits())
    limits = {k: v for k, v in asdict(facts.limits).items() if v != none[k]}
    return {
        "word": str(facts.word),
        "known_by": str(facts.known_by),
        "limits": limits,
        "answers": sorted(facts.answers),
        **{name: getattr(facts, name) for name in _SAME},
    }


def sign_fact(row: Row) -> SignFact:
    """A stored warning sign as the rules read it."""
    return SignFact(row["id"], row["code"], row["happened_on"], row["known_on"], row["text"])


def wanted_spans(client: Client, facts: ClientFacts) -> tuple[Span, ...]:
    """The spans that should be stored for her: from the first day anything was known, to open."""
    return spans(facts, first_day(client, facts))


def first_day(client: Client, facts: ClientFacts) -> date:
    """The day she was added, or an earlier one on which something became known."""
    return min((client.created_at.date(), *_known_days(facts)))


def _known_days(facts: ClientFacts) -> Iterable[date]:
    versions = (one for pregnancy in facts.pregnancies for one in pregnancy.versions)
    yield from (one.known_on for one in versions if one.known_on)
    yield from (one.counts_from for one in facts.clearances)
    yield from (one.counts_from for one in facts.signs)
