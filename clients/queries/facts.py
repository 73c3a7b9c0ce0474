"""Stored rows as the values that the rules of the go-ahead want, and back again."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import asdict
from datetime import date
from typing import Any

from django.db import models

from clients.models import Clearance, Client, Condition, Pregnancy, Screening, WarningSign
from clients.rules.facts import (
    ClearanceFact,
    ClearanceWord,
    ClientFacts,
    ConditionFact,
    KnownBy,
    PregnancyFact,
    ScreeningFact,
    SignFact,
)
from clients.rules.go_ahead import Span, spans
from clients.rules.policy import Policies
from clients.rules.pregnancies import PregnancyFacts
from coach.scheduling.dates import Ending
from coach.scheduling.values import Limits

# What the go-ahead reads of a pregnancy, and so what is kept of it as it was known before.
_VERSIONED = ("due", "ended", "ending", "expected", "birth_mode")
_SAME = ("said_on", "known_on", "until", "until_birth", "clinician", "clinician_kind", "examined",
         "names_more", "withdrawn_on")  # fmt: skip
_OF_PREGNANCY = (*_VERSIONED, "known_on", "earlier")
_OF_CLEARANCE = ("word", "known_by", "limits", "answers", "answers_conditions", "replaces", *_SAME)
_OF_SIGN = ("code", "happened_on", "known_on", "text", "withdrawn_on")
_OF_CONDITION = ("code", "named_on", "known_on", "answer", "origin", "over_on", "over_known_on",
                 "text")  # fmt: skip
_OF_SCREENING = ("answered_on", "known_on", "phase", "complete", "answers")
Row = dict[str, Any]


def facts_for(client: Client) -> ClientFacts:
    """All that one client's go-ahead rests on, in five queries."""
    return facts_by_client([client.pk], {client.pk: bool(client.quiet)})[client.pk]


def facts_by_client(
    clients: Collection[int] | None, quiet: dict[int, bool]
) -> defaultdict[int, ClientFacts]:
    """Facts by client in five queries whatever their number; None: of all clients.

    A client without any has facts that say so.
    """
    pregnancies = _grouped(Pregnancy, clients, pregnancy_fact, _OF_PREGNANCY)
    clearances = _grouped(Clearance, clients, clearance_fact, _OF_CLEARANCE)
    signs = _grouped(WarningSign, clients, sign_fact, _OF_SIGN)
    conditions = _grouped(Condition, clients, condition_fact, _OF_CONDITION)
    screenings = _grouped(Screening, clients, screening_fact, _OF_SCREENING)
    found: defaultdict[int, ClientFacts] = defaultdict(ClientFacts)
    for pk, is_quiet in quiet.items():
        found[pk] = ClientFacts(
            pregnancies=tuple(pregnancies[pk]),
            clearances=tuple(clearances[pk]),
            signs=tuple(signs[pk]),
            conditions=tuple(conditions[pk]),
            screenings=tuple(screenings[pk]),
            quiet=is_quiet,
        )
    return found


def _grouped(
    model: type[models.Model], clients: Collection[int] | None, fact: Any, names: tuple[str, ...]
) -> defaultdict[int, list[Any]]:
    """Facts by client. Only the columns they are made of: each costs its decryption."""
    rows = model._default_manager.order_by("pk")
    if clients is not None:
        rows = rows.filter(client__in=clients)
    found: defaultdict[int, list[Any]] = defaultdict(list)
    for row in rows.values("id", "client_id", *names):
        found[row["client_id"]].append(fact(row))
    return found


def pregnancy_fact(row: Row) -> PregnancyFact:
    """A stored pregnancy with how it was known before, oldest innermost."""
    before: PregnancyFact | None = None
    for version in _versions(row):
        ending = Ending(version["ending"]) if version["ending"] else None
        before = PregnancyFact(**{**version, "ending": ending}, pk=row["id"], before=before)
    assert before is not None  # the row itself is the last version
    return before


def _versions(row: Row) -> list[Row]:
    """How it was known, oldest first; what a version does not hold is as in the next one."""
    found = [{name: row[name] for name in (*_VERSIONED, "known_on")}]
    for version in reversed(row["earlier"]):
        found.insert(0, {**found[0], **_parsed(version)})
    return found


def replaced_dates(row: Pregnancy, facts: PregnancyFacts, today: date) -> Row:
    """What to store beside new facts so that earlier days keep what was known then.

    Empty when all that the go-ahead reads stays. What is put right on the day it became known
    leaves no trace here.
    """
    if all(getattr(row, name) == getattr(facts, name) for name in _VERSIONED):
        return {}
    if row.known_on is not None and row.known_on >= today:
        return {}
    version = {**{name: getattr(row, name) for name in _VERSIONED}, "known_on": row.known_on}
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
        answers_conditions=tuple(row["answers_conditions"]),
        replaces=tuple(row["replaces"]),
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
        "answers_conditions": sorted(facts.answers_conditions),
        "replaces": sorted(facts.replaces),
        **{name: getattr(facts, name) for name in _SAME},
    }


def sign_fact(row: Row) -> SignFact:
    """A stored warning sign as the rules read it."""
    return SignFact(row["id"], **{name: row[name] for name in _OF_SIGN})


def condition_key(pk: int) -> str:
    """What a clearance answers a stored condition by."""
    return f"condition:{pk}"


def condition_fact(row: Row) -> ConditionFact:
    """A stored condition as the rules read it."""
    return ConditionFact(condition_key(row["id"]), **{name: row[name] for name in _OF_CONDITION})


def screening_fact(row: Row) -> ScreeningFact:
    """A stored screening as the rules read it."""
    answers = [one["answer"] for one in row["answers"].values()]
    return ScreeningFact(
        answered_on=row["answered_on"],
        known_on=row["known_on"],
        phase=row["phase"],
        complete=row["complete"],
        all_no=row["complete"] and all(one == "no" for one in answers),
        pk=row["id"],
    )


def wanted_spans(client: Client, facts: ClientFacts, in_force: Policies) -> tuple[Span, ...]:
    """The spans that should be stored for her: from the first day anything was known, to open."""
    return spans(facts, first_day(client, facts), policies=in_force)


def first_day(client: Client, facts: ClientFacts) -> date:
    """The day she was added, or an earlier one on which something became known."""
    return min((client.created_at.date(), *_known_days(facts)))


def _known_days(facts: ClientFacts) -> Iterable[date]:
    versions = (one for pregnancy in facts.pregnancies for one in pregnancy.versions)
    yield from (one.known_on for one in versions if one.known_on)
    yield from (one.counts_from for one in facts.clearances)
    yield from (one.counts_from for one in facts.signs)
    yield from (one.counts_from for one in facts.conditions)
    yield from (one.counts_from for one in facts.screenings)
