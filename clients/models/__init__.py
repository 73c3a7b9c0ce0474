"""Clients, what was said of their health, and what it comes to."""

from clients.models.clearance import Clearance, GoAheadSpan, WarningSign
from clients.models.intake import Consent, Enquiry, EnquiryState, Intake
from clients.models.measuring import (
    Assessment,
    FingerWidth,
    Measurements,
    MeasuringPolicy,
    OwnMeasure,
    Rhythm,
)
from clients.models.policy import GoAheadPolicy, SessionException
from clients.models.roster import Client, DueDateChange, Pregnancy, Standing
from clients.models.screening import Condition, Screening
from clients.models.writing import Entry, LetterOut

__all__ = [
    "Assessment",
    "Clearance",
    "Client",
    "Condition",
    "Consent",
    "DueDateChange",
    "Enquiry",
    "EnquiryState",
    "Entry",
    "FingerWidth",
    "GoAheadPolicy",
    "GoAheadSpan",
    "Intake",
    "LetterOut",
    "Measurements",
    "MeasuringPolicy",
    "OwnMeasure",
    "Pregnancy",
    "Rhythm",
    "Screening",
    "SessionException",
    "Standing",
    "WarningSign",
]
