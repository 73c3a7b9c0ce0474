"""Writes of clients; each is one transaction with one audit entry, and rewrites her spans."""

from clients.actions.clearance import record_clearance, record_warning_sign, withdraw_clearance
from clients.actions.measuring import record_assessment
from clients.actions.roster import (
    add_client,
    add_pregnancy,
    change_client,
    change_pregnancy,
    record_end,
    set_quiet,
    set_standing,
)
from clients.actions.shared import Refused
from clients.actions.spans import rewrite_all_spans, rewrite_spans

__all__ = [
    "Refused",
    "add_client",
    "add_pregnancy",
    "change_client",
    "change_pregnancy",
    "record_assessment",
    "record_clearance",
    "record_end",
    "record_warning_sign",
    "rewrite_all_spans",
    "rewrite_spans",
    "set_quiet",
    "set_standing",
    "withdraw_clearance",
]
