"""Writes of clients; each is one transaction with one audit entry, and rewrites her spans."""

from clients.actions.clearance import record_clearance, record_warning_sign, withdraw_clearance
from clients.actions.conditions import end_condition, name_condition
from clients.actions.exceptions import train_by_exception
from clients.actions.follow_up import close_follow_up, withdraw_warning_sign
from clients.actions.measuring import record_assessment
from clients.actions.notes import add_to_entry, change_entry, write_entry
from clients.actions.places import set_place
from clients.actions.policy import change_policy
from clients.actions.roster import (
    add_client,
    add_pregnancy,
    change_client,
    change_pregnancy,
    record_end,
    set_quiet,
    set_standing,
)
from clients.actions.screening import record_answer, record_screening
from clients.actions.shared import Refused
from clients.actions.spans import rewrite_all_spans, rewrite_spans

__all__ = [
    "Refused",
    "add_client",
    "add_pregnancy",
    "add_to_entry",
    "change_client",
    "change_entry",
    "change_policy",
    "change_pregnancy",
    "close_follow_up",
    "end_condition",
    "name_condition",
    "record_answer",
    "record_assessment",
    "record_clearance",
    "record_end",
    "record_screening",
    "record_warning_sign",
    "rewrite_all_spans",
    "rewrite_spans",
    "set_place",
    "set_quiet",
    "set_standing",
    "train_by_exception",
    "withdraw_clearance",
    "withdraw_warning_sign",
    "write_entry",
]
