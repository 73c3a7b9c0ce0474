"""What this room registers."""

from __future__ import annotations

from clients.models import (
    Assessment,
    Clearance,
    Client,
    Condition,
    Consent,
    DueDateChange,
    Enquiry,
    Entry,
    FingerWidth,
    GoAheadPolicy,
    GoAheadSpan,
    Intake,
    LetterOut,
    Measurements,
    MeasuringPolicy,
    OwnMeasure,
    Pregnancy,
    Rhythm,
    Screening,
    SessionException,
    WarningSign,
)
from clients.queries import spans_as_the_facts_say, summaries_as_the_assessments_say
from coach.practice.permissions import Fact
from coach.practice.registry import Room, Section, Setting
from coach.practice.registry import register as _register

_CLIENT = {
    "name": Fact.CONTACT,
    "email": Fact.CONTACT,
    "phone": Fact.CONTACT,
    "time_zone": Fact.CONTACT,
    "standing": Fact.CONTACT,
    "quiet": Fact.HEALTH,
    "note": Fact.HEALTH,
    "birth_date": Fact.HEALTH,
    # Where to send help: whoever trains her must have it, and nobody else.
    **dict.fromkeys(
        (
            "trains_at", "emergency_number", "emergency_contact", "emergency_phone",
            "away_at", "away_emergency_number", "away_until",
        ),
        Fact.LIMITS,
    ),
}  # fmt: skip
_PREGNANCY = {
    "client": Fact.HEALTH,
    "due": Fact.STAGE,
    "dated_by": Fact.HEALTH,
    "expected": Fact.HEALTH,
    "ended": Fact.STAGE,
    "ending": Fact.HEALTH,
    "birth_mode": Fact.HEALTH,
    "born": Fact.HEALTH,
    "tear": Fact.HEALTH,
    "wound": Fact.HEALTH,
    "gestation": Fact.HEALTH,
    "surgical": Fact.HEALTH,
    "known_on": Fact.HEALTH,
    "earlier": Fact.HEALTH,
}
_DUE_DATE_CHANGE = dict.fromkeys(
    ("pregnancy", "old", "old_dated_by", "new", "reason", "by", "at"), Fact.HEALTH
)
_CLEARANCE = {
    **dict.fromkeys(
        (
            "client", "said_on", "word", "clinician", "clinician_kind", "examined", "known_by",
            "known_on", "until", "until_birth", "answers", "answers_conditions", "replaces",
            "names_more", "origin", "document", "note", "withdrawn_on", "withdrawn_reason",
        ),
        Fact.HEALTH,
    ),
    "limits": Fact.LIMITS,
}  # fmt: skip
_SIGN = dict.fromkeys(
    (
        "client", "code", "text", "happened_on", "known_on", "intake", "withdrawn_on",
        "withdrawn_reason", "followed_up_on", "advised_by", "advice", "graded_return",
    ),
    Fact.HEALTH,
)  # fmt: skip
_ASSESSMENT = dict.fromkeys(
    (
        "client", "key", "day", "measures", "who", "by", "method", "position", "finger_mm", "sure",
        "finished_at", "origin", "withdrawn_on", "withdrawn_reason",
    ),
    Fact.HEALTH,
)  # fmt: skip
_RHYTHM = dict.fromkeys(
    (
        "client", "every_weeks", "snoozed_until", "snooze_reason", "resumed_on", "away_from",
        "back_on",
    ),
    Fact.HEALTH,
)  # fmt: skip
_MEASUREMENTS = dict.fromkeys(("client", "summary"), Fact.HEALTH)
_FINGER = dict.fromkeys(("user", "client", "mm", "measured_on"), Fact.HEALTH)
_OWN_MEASURE = dict.fromkeys(("name", "unit", "better", "least", "most", "retired"), Fact.PRACTICE)
_MEASURING_POLICY = dict.fromkeys(("begins", "values", "reason", "by", "at"), Fact.PRACTICE)
_SCREENING = dict.fromkeys(
    (
        "client", "phase", "version", "answers", "answered_on", "known_on", "complete", "how",
        "intake",
    ),
    Fact.HEALTH,
)  # fmt: skip
_CONDITION = dict.fromkeys(
    (
        "client", "pregnancy", "code", "text", "answer", "origin", "clinician", "named_on",
        "known_on", "over_on", "over_known_on", "over_said_by", "screening", "intake",
    ),
    Fact.HEALTH,
)  # fmt: skip
_POLICY = dict.fromkeys(("begins", "values", "reason", "by", "at"), Fact.PRACTICE)
_EXCEPTION = dict.fromkeys(("client", "day", "reason", "over", "by"), Fact.HEALTH)
_ENTRY = dict.fromkeys(
    ("client", "kind", "day", "text", "channel", "by", "written_at", "adds_to"), Fact.HEALTH
)
_LETTER_OUT = dict.fromkeys(
    (
        "client", "kind", "to_name", "to_kind", "made_on", "document", "by", "sent_on", "sent_how",
        "chased", "answered_on", "clearance",
    ),
    Fact.HEALTH,
)  # fmt: skip
_ENQUIRY = {
    **dict.fromkeys(
        (
            "name", "email", "phone", "handle", "where_from", "class_uid", "class_title",
            "next_step", "next_on", "state", "came_on", "closed_why", "client",
        ),
        Fact.CONTACT,
    ),
    "told": Fact.STAGE,
    "told_due": Fact.STAGE,
    "note": Fact.HEALTH,
}  # fmt: skip
_INTAKE = {
    **dict.fromkeys(
        (
            "client", "enquiry", "name", "email", "made_by", "expires_at", "mailed_at",
            "withdrawn_at", "opened_at", "sent_at", "reviewed_at", "reviewed_by",
        ),
        Fact.CONTACT,
    ),
    **dict.fromkeys(("answers", "alarm", "guardian", "document"), Fact.HEALTH),
}  # fmt: skip
_CONSENT = dict.fromkeys(
    ("client", "purpose", "version", "given_at", "withdrawn_at", "how", "intake"), Fact.CONTACT
)
# The last day of a span may be a due date.
_SPAN = {
    "client": Fact.GO_AHEAD,
    "word": Fact.GO_AHEAD,
    "first": Fact.STAGE,
    "last": Fact.STAGE,
}


def register() -> None:
    """Called when the app is ready."""
    _register(
        Room(
            name="clients",
            facts={
                Client: _CLIENT,
                Pregnancy: _PREGNANCY,
                DueDateChange: _DUE_DATE_CHANGE,
                Clearance: _CLEARANCE,
                WarningSign: _SIGN,
                GoAheadSpan: _SPAN,
                Assessment: _ASSESSMENT,
                Measurements: _MEASUREMENTS,
                Rhythm: _RHYTHM,
                FingerWidth: _FINGER,
                OwnMeasure: _OWN_MEASURE,
                MeasuringPolicy: _MEASURING_POLICY,
                Screening: _SCREENING,
                Condition: _CONDITION,
                GoAheadPolicy: _POLICY,
                SessionException: _EXCEPTION,
                Entry: _ENTRY,
                LetterOut: _LETTER_OUT,
                Enquiry: _ENQUIRY,
                Intake: _INTAKE,
                Consent: _CONSENT,
            },
            checks=(spans_as_the_facts_say, summaries_as_the_assessments_say),
            settings=(
                Setting(
                    "Who may train",
                    "Every rule of the go-ahead, where it comes from, and what you change.",
                    "clients:policy",
                    Fact.PRACTICE,
                ),
                Setting(
                    "Assessments",
                    "What is measured, a return to impact, when she is seen again, your finger.",
                    "clients:measuring",
                    Fact.PRACTICE,
                ),
            ),
            sections=(Section("Clients", "clients:roster", 40, Fact.CONTACT, ("clients",)),),
        )
    )
