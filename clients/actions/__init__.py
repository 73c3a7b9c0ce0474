"""Writes of clients; each is one transaction with one audit entry, and rewrites her spans."""

from clients.actions.clearance import record_clearance, record_warning_sign, withdraw_clearance
from clients.actions.conditions import end_condition, name_condition
from clients.actions.exceptions import train_by_exception
from clients.actions.fingers import set_finger
from clients.actions.follow_up import close_follow_up, withdraw_warning_sign
from clients.actions.measuring import (
    Saved,
    finish_assessment,
    record_assessment,
    record_next_day,
    rewrite_all_summaries,
    save_and_finish,
    save_assessment,
    withdraw_assessment,
)
from clients.actions.measuring_policy import change_measuring
from clients.actions.notes import add_to_entry, change_entry, write_entry
from clients.actions.own_measures import (
    add_own_measure,
    change_own_measure,
    retire_own_measure,
)
from clients.actions.places import set_place
from clients.actions.policy import change_policy
from clients.actions.rhythm import end_snooze, resume, set_interval, snooze
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
    "Saved",
    "add_client",
    "add_own_measure",
    "add_pregnancy",
    "add_to_entry",
    "change_client",
    "change_entry",
    "change_measuring",
    "change_own_measure",
    "change_policy",
    "change_pregnancy",
    "close_follow_up",
    "end_condition",
    "end_snooze",
    "finish_assessment",
    "name_condition",
    "record_answer",
    "record_assessment",
    "record_clearance",
    "record_end",
    "record_next_day",
    "record_screening",
    "record_warning_sign",
    "resume",
    "retire_own_measure",
    "rewrite_all_spans",
    "rewrite_all_summaries",
    "rewrite_spans",
    "save_and_finish",
    "save_assessment",
    "set_finger",
    "set_interval",
    "set_place",
    "set_quiet",
    "set_standing",
    "snooze",
    "train_by_exception",
    "withdraw_assessment",
    "withdraw_clearance",
    "withdraw_warning_sign",
    "write_entry",
]
