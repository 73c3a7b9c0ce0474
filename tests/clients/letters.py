"""What the tests of letters to clinicians share: her consent, a letter, a paper made up."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

from clients.actions.letters import Typed, make_letter
from clients.models import Client, Consent, LetterOut
from clients.rules.letter_words import About, LetterPaper, Sender, letter_paper
from clients.rules.profile import Profile
from coach.practice.audit import SYSTEM
from coach.scheduling.values import Stage

TODAY = date(2026, 12, 3)
OFFERS = "Two live sessions a week of 45 minutes, up to an effort of 6 of 10, camera on."
TYPED = Typed(
    to_name="Dr Maura Tansey",
    to_kind="obstetrician",
    reply_to="una@example.org",
    offers=OFFERS,
    asks="Please see her.",
)
SENDER = Sender("Strand Row Movement", "14 Harbour Terrace\nCobh", "Una Tallon", "una@example.org")


def consent(of: Client, *, purpose: str = "clinician", **values: Any) -> Consent:
    """Her consent of 2 November, not taken back unless said."""
    given = datetime(2026, 11, 2, 10, tzinfo=UTC)
    row = {"version": "1", "given_at": given, "how": "form", **values}
    return Consent.objects.create(client=of, purpose=purpose, **row)


def letter(of: Client, kind: str = "clearance", **values: Any) -> LetterOut:
    """A letter of today, made by the action, then changed to what the test needs."""
    made = make_letter(by=SYSTEM, client=of, kind=kind, typed=TYPED, by_herself=True)
    for name, value in values.items():
        setattr(made, name, value)
    made.save()
    return made


def paper(kind: str = "clearance", **changes: Any) -> LetterPaper:
    """A request for a client of 28 weeks with two things to answer by name."""
    profile = Profile(
        changes.pop("stage", Stage.TRIMESTER_3),
        "28 weeks and 4 days, trimester 3",
        facts=(("Due date", "Sunday 21 February 2027, by scan"),),
    )
    about = About(changes.pop("name", "Maeve Ashgrove"), date(1993, 5, 4), profile, ("no impact",))
    values: dict[str, Any] = {
        "sender": SENDER,
        "about": about,
        "to": ("Dr Maura Tansey", "obstetrician"),
        "written_on": TODAY,
        "named": ("Dizzy or faint, 2 December 2026", "A low placenta, 12 November 2026"),
        "parts": (("What I offer", OFFERS),),
        "consented_on": date(2026, 11, 2),
    }
    return letter_paper(kind, **(values | changes))
