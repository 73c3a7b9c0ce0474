"""Clients, what was said of their health, and what it comes to."""

from clients.models.clearance import Clearance, GoAheadSpan, WarningSign
from clients.models.measuring import Assessment
from clients.models.roster import Client, DueDateChange, Pregnancy, Standing

__all__ = [
    "Assessment",
    "Clearance",
    "Client",
    "DueDateChange",
    "GoAheadSpan",
    "Pregnancy",
    "Standing",
    "WarningSign",
]
