"""Reads of clients."""

from clients.queries.facts import facts_for, replaced_dates, stored_clearance, wanted_spans
from clients.queries.go_ahead import (
    SpanRow,
    clearances_of,
    go_ahead_of,
    letters_running_out,
    signs_of,
    spans_as_the_facts_say,
    unanswered_signs,
    words_on,
)
from clients.queries.history import History, history_of
from clients.queries.measuring import AssessmentFacts, assessment_facts, assessments_of
from clients.queries.roster import Roster, facts_of, needs, records_of, roster, who_sees
from clients.rules.contact import initials

__all__ = [
    "AssessmentFacts",
    "History",
    "Roster",
    "SpanRow",
    "assessment_facts",
    "assessments_of",
    "clearances_of",
    "facts_for",
    "facts_of",
    "go_ahead_of",
    "history_of",
    "initials",
    "letters_running_out",
    "needs",
    "records_of",
    "replaced_dates",
    "roster",
    "signs_of",
    "spans_as_the_facts_say",
    "stored_clearance",
    "unanswered_signs",
    "wanted_spans",
    "who_sees",
    "words_on",
]
