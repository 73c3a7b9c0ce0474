"""Writes of letters to clinicians: made as paper, sent, asked for again, answered."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db import transaction

from clients.actions.shared import Refused, days_of, lock, refuse_if
from clients.documents import letter_pdf
from clients.models import Clearance, Client, LetterOut
from clients.queries.letters import Asked, asked_of, consented_on, letter_fact
from clients.rules import letters as rules
from clients.rules.letter_words import (
    DONE,
    HELD,
    LetterPaper,
    Sender,
    letter_paper,
    named_sign,
    typed_problems,
)
from clients.rules.pregnancies import Problem
from coach.practice import audit, files
from coach.practice.actions import change_practice
from coach.practice.audit import Actor
from coach.practice.queries import the_practice
from coach.practice.writing import change


@dataclass(frozen=True, slots=True)
class Typed:
    """What the coach adds to what is recorded. `signs`: ids of the warning signs it is about.

    `done`: codes of letter_words.DONE. `offers` is for a request, `seen`, `done` and `asks` are
    for a referral.
    """

    to_name: str = ""
    to_kind: str = ""
    reply_to: str = ""
    offers: str = ""
    seen: str = ""
    asks: str = ""
    signs: frozenset[int] = frozenset()
    done: tuple[str, ...] = ()


def make_letter(
    *, by: Actor, client: Client, kind: str, typed: Typed, by_herself: bool = False
) -> LetterOut:
    """Make a letter from what is recorded and keep it encrypted, as the PDF that it is.

    What the coach offers is kept for the next one, unless she is quiet. Without her consent to
    contact her clinician it is refused, except `by_herself`: she hands it over. Printed before
    the transaction that keeps it, because printing takes a while.
    """
    today, consented = days_of(client).earlier, consented_on(client)
    if consented is None and not by_herself:
        raise Refused([Problem("by_herself", rules.NO_CONSENT)])
    asked = asked_of(client, today=today)
    texts = {name: getattr(typed, name) for name in ("offers", "seen", "asks", "to_name")}
    refuse_if(typed_problems(texts, quiet=asked.about.quiet))
    paper = _paper(by, kind, asked, typed, today, None if by_herself else consented)
    return _keep(by, client, kind, typed, today, letter_pdf(paper))


def _paper(
    by: Actor, kind: str, asked: Asked, typed: Typed, today: date, consented: date | None
) -> LetterPaper:
    practice = the_practice()
    coach = by.user.name if by.user else ""
    return letter_paper(
        kind,
        sender=Sender(practice.name, practice.address, coach, typed.reply_to),
        about=asked.about,
        to=(typed.to_name, typed.to_kind),
        written_on=today,
        named=asked.named,
        parts=_parts(kind, asked, typed),
        consented_on=consented,
    )


def _parts(kind: str, asked: Asked, typed: Typed) -> Iterable[tuple[str, str]]:
    if kind == rules.CLEARANCE:
        return [("What I offer", typed.offers)]
    quiet = asked.about.quiet
    signs = "\n".join(named_sign(one, quiet=quiet) for one in asked.told if one.pk in typed.signs)
    done = [words for code, words in DONE.items() if code in typed.done]
    held = [HELD] if asked.held else []
    return [
        ("What was reported or seen", "\n".join(filter(None, (signs, typed.seen)))),
        ("What was done", " ".join((*done, *held))),
        ("What I ask", typed.asks),
    ]


@files.atomic()
def _keep(
    by: Actor, client: Client, kind: str, typed: Typed, today: date, content: bytes
) -> LetterOut:
    lock(client)
    practice = the_practice()
    if typed.offers and not client.quiet and typed.offers != practice.offers:
        change_practice(by=by, practice=practice, offers=typed.offers)
    row = LetterOut(
        client=client,
        kind=kind,
        to_name=typed.to_name,
        to_kind=typed.to_kind,
        made_on=today,
        by=by.user,
    )
    row.document = files.store(
        name=f"{kind}-{today.isoformat()}.pdf",
        content=content,
        content_type="application/pdf",
    )
    row.save()
    known = {"kind", "made_on", "document"} | {n for n in ("to_name", "to_kind") if getattr(row, n)}
    audit.record(by=by, verb="made", subject=row, fields=known)
    return row


@transaction.atomic
def mark_sent(*, by: Actor, letter: LetterOut, on: date, how: str) -> LetterOut:
    """Keep when and how it was sent. Without her consent it goes by herself alone, else Refused."""
    today = _locked(letter)
    consented = consented_on(letter.client) is not None
    refuse_if(
        rules.sent_problems(letter_fact(letter), on=on, how=how, consented=consented, today=today)
    )
    changed = change(letter, sent_on=on, sent_how=how)
    audit.record(by=by, verb="sent", subject=letter, fields=changed)
    return letter


@transaction.atomic
def chase(*, by: Actor, letter: LetterOut, on: date) -> LetterOut:
    """Keep that an answer was asked for again on a day; a further week starts from it."""
    today = _locked(letter)
    refuse_if(rules.chase_problems(letter_fact(letter), on=on, today=today))
    changed = change(letter, chased=sorted([*letter.chased, on.isoformat()]))
    audit.record(by=by, verb="chased", subject=letter, fields=changed)
    return letter


@transaction.atomic
def mark_answered(
    *, by: Actor, letter: LetterOut, on: date, clearance: Clearance | None = None
) -> LetterOut:
    """Keep that it was answered, and by which of her clearances if it came to one.

    It lifts nothing: only the clearance does.
    """
    today = _locked(letter)
    found = rules.answer_problems(letter_fact(letter), on=on, today=today)
    if clearance and clearance.client_id != letter.client_id:
        found.append(Problem("clearance", "That is none of what clinicians said of her."))
    refuse_if(found)
    changed = change(letter, answered_on=on, clearance=clearance)
    audit.record(by=by, verb="answered", subject=letter, fields=changed)
    return letter


@transaction.atomic
def drop_letter(*, by: Actor, letter: LetterOut) -> None:
    """Throw away a letter that never went out; Refused once it is sent or answered."""
    _locked(letter)
    if letter.sent_on or letter.answered_on:
        raise Refused([Problem("", "It has gone out: it stays.")])
    document = letter.document
    audit.record(by=by, verb="dropped", subject=letter, fields=["document"])
    letter.delete()
    files.remove(document)


def _locked(letter: LetterOut) -> date:
    """The letter as it is now, held; the latest date it is where she or the coach is."""
    lock(letter.client)
    letter.refresh_from_db(
        fields=["sent_on", "sent_how", "chased", "answered_on", "clearance", "made_on"]
    )
    return days_of(letter.client).later
