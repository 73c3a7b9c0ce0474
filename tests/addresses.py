"""Every address with who may open it. Whoever adds a page says so here, or the walk fails."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from coach.practice.permissions import Access, Fact, access

SEE, CHANGE = Access.SEE, Access.CHANGE
EVERY_ROLE, ANYBODY = "every role", "anybody"


@dataclass(frozen=True)
class Row:
    """Who may open an address: roles with that access to that fact, every role, or anybody.

    `args` are those of the URL, by names of rows in `world`; `post` marks what only takes POST.
    `shows` is the status that whoever may sees.
    """

    who: tuple[Fact, Access] | str
    args: tuple[Any, ...] = ()
    post: bool = False
    shows: frozenset[int] = frozenset({200})

    def allows(self, role: str) -> bool:
        if isinstance(self.who, str):
            return True
        fact, wanted = self.who
        return access(role, fact) >= wanted


def page(fact: Fact, wanted: Access = SEE, *args: Any) -> Row:
    return Row((fact, wanted), args)


def act(fact: Fact, *args: Any, wanted: Access = CHANGE) -> Row:
    return Row((fact, wanted), args, post=True, shows=frozenset({200, 302, 400, 422}))


def account(*args: Any, shows: int | tuple[int, ...] = 200, post: bool = False) -> Row:
    found = (shows,) if isinstance(shows, int) else shows
    return Row(EVERY_ROLE, args, post=post, shows=frozenset(found))


CONTENT, CONTACT, PRACTICE = Fact.CONTENT, Fact.CONTACT, Fact.PRACTICE
HEALTH, MONEY = Fact.HEALTH, Fact.MONEY
TABLE: dict[str, Row] = {
    "home": Row(EVERY_ROLE),
    "style": page(PRACTICE),
    "begin": Row(ANYBODY, shows=frozenset({404})),
    # the practice
    "practice:index": Row(EVERY_ROLE),
    "practice:details": page(PRACTICE, CHANGE),
    "practice:trail": page(PRACTICE),
    "practice:roles": page(PRACTICE),
    "practice:take_away": act(PRACTICE),
    "practice:people": page(PRACTICE),
    "practice:add_person": act(PRACTICE),
    "practice:person": page(PRACTICE, CHANGE, "person"),
    "practice:person_link": act(PRACTICE, "person"),
    # uploads
    "uploads:now": Row((CONTENT, SEE), shows=frozenset({302})),
    "uploads:wishes": page(CONTENT, CHANGE),
    "uploads:pace": page(CONTENT),
    "uploads:away": page(CONTENT),
    "uploads:away_back": act(CONTENT, "away"),
    "uploads:making": page(CONTENT),
    "uploads:check": act(CONTENT, "class"),
    "uploads:checklist": page(CONTENT),
    "uploads:keep_check_item": act(CONTENT),
    "uploads:retire_check_item": act(CONTENT, "check item"),
    "uploads:pin": act(CONTENT, "month"),
    "uploads:unpin": act(CONTENT, "month", "proposed day"),
    "uploads:earlier": page(CONTENT, SEE, "month"),
    "uploads:earlier_plan": page(CONTENT, SEE, "month", "plan"),
    "uploads:restore_plan": act(CONTENT, "month", "plan"),
    "uploads:take_back_plan": act(CONTENT, "month", "accepted plan"),
    "uploads:month": page(CONTENT, SEE, "month"),
    "uploads:propose": act(CONTENT, "month"),
    "uploads:accept": act(CONTENT, "month"),
    "uploads:drop": act(CONTENT, "month"),
    "uploads:put_on": act(CONTENT, "month", "proposed day"),
    "uploads:leave_out": act(CONTENT, "month", "proposed day"),
    "uploads:move": act(CONTENT, "month", "upload"),
    "uploads:place": act(CONTENT, "month"),
    "uploads:add_day_off": act(CONTENT, "month"),
    "uploads:remove_day_off": act(CONTENT, "month", "day off"),
    # classes
    "classes:as_filmed": page(CONTENT, CHANGE, "class"),
    "classes:captions": page(CONTENT, SEE, "class"),
    "classes:keep_captions": act(CONTENT, "class"),
    "classes:fix_time": act(CONTENT, "class"),
    "classes:align_again": act(CONTENT, "class"),
    "classes:run_sheet": Row((CONTENT, SEE), ("class",), shows=frozenset({200, 404})),
    "classes:timer": page(CONTENT, SEE, "class"),
    "classes:cues_wav": Row((CONTENT, SEE), ("class",), shows=frozenset({200, 404})),
    "classes:titles_vtt": Row((CONTENT, SEE), ("class",), shows=frozenset({200, 404})),
    "classes:titles_srt": Row((CONTENT, SEE), ("class",), shows=frozenset({200, 404})),
    "classes:description": page(CONTENT, CHANGE),
    "classes:text": page(CONTENT, SEE, "class"),
    "classes:chapters_vtt": Row((CONTENT, SEE), ("class",), shows=frozenset({200, 404})),
    "classes:exercises": page(CONTENT),
    "classes:add_exercise": page(CONTENT, CHANGE),
    "classes:exercise": page(CONTENT, SEE, "exercise code"),
    "classes:edit_exercise": page(CONTENT, CHANGE, "exercise code"),
    "classes:retire_exercise": act(CONTENT, "exercise code"),
    "classes:design": page(CONTENT, SEE, "class"),
    "classes:save_design": act(CONTENT, "class"),
    "classes:undo_design": act(CONTENT, "class"),
    "classes:version": page(CONTENT, CHANGE, "class", "stage code"),
    "classes:version_for": page(HEALTH, SEE, "class", "client"),
    "classes:table": page(CONTENT),
    "classes:suits": page(CONTENT, SEE, "class"),
    "classes:for_stage": page(CONTENT, SEE, "stage code"),
    "classes:for_client": page(HEALTH, SEE, "client"),
    "classes:send": act(HEALTH, "client"),
    "classes:shelf": page(CONTENT),
    "classes:history": page(CONTENT),
    "classes:add": page(CONTENT, CHANGE),
    "classes:detail": page(CONTENT, SEE, "class"),
    "classes:edit": page(CONTENT, CHANGE, "class"),
    "classes:step": act(CONTENT, "class"),
    "classes:place": act(CONTENT, "class"),
    "classes:publish": act(CONTENT, "class"),
    "classes:take_off": act(CONTENT, "class"),
    "classes:withdraw": act(CONTENT, "class"),
    "classes:correct": act(CONTENT, "class"),
    "classes:delete": act(CONTENT, "class"),
    # clients
    "clients:roster": page(CONTACT),
    "clients:add": page(CONTACT, CHANGE),
    "clients:client": page(CONTACT, SEE, "client"),
    "clients:edit": page(CONTACT, CHANGE, "client"),
    "clients:set_standing": act(CONTACT, "client"),
    "clients:set_quiet": act(Fact.HEALTH, "client"),
    "clients:clearance": page(Fact.GO_AHEAD),
    "clients:add_clearance": page(HEALTH, CHANGE, "client"),
    "clients:withdraw_clearance": page(HEALTH, CHANGE, "client", "clearance"),
    "clients:letter": page(HEALTH, SEE, "client", "clearance"),
    "clients:warning_sign": page(HEALTH, CHANGE, "client"),
    "clients:sign": page(HEALTH, SEE, "client", "sign"),
    "clients:follow_up": act(HEALTH, "client", "sign"),
    "clients:withdraw_sign": page(HEALTH, CHANGE, "client", "sign"),
    "clients:write_note": page(HEALTH, CHANGE, "client"),
    "clients:change_note": Row((HEALTH, CHANGE), ("client", "note"), shows=frozenset({200, 302})),
    "clients:add_to_note": page(HEALTH, CHANGE, "client", "note"),
    "clients:consents": page(CONTACT, CHANGE, "client"),
    "clients:place": page(Fact.LIMITS, CHANGE, "client"),
    "clients:exception": page(HEALTH, CHANGE, "client"),
    "clients:screening": page(HEALTH, CHANGE, "client"),
    "clients:add_condition": page(HEALTH, CHANGE, "client"),
    "clients:end_condition": page(HEALTH, CHANGE, "client", "condition"),
    "clients:clearance_csv": page(Fact.GO_AHEAD),
    "clients:policy": page(PRACTICE, CHANGE),
    "clients:letters": page(HEALTH, CHANGE, "client"),
    "clients:ask_clearance": page(HEALTH, CHANGE, "client"),
    "clients:refer": page(HEALTH, CHANGE, "client"),
    "clients:letter_out": page(HEALTH, SEE, "client", "letter out"),
    "clients:letter_sent": page(HEALTH, CHANGE, "client", "letter out"),
    "clients:letter_chased": page(HEALTH, CHANGE, "client", "letter out"),
    "clients:letter_answered": page(HEALTH, CHANGE, "client", "letter out"),
    "clients:drop_letter": act(HEALTH, "client", "letter out"),
    "clients:enquiries": page(CONTACT),
    "clients:add_enquiry": page(CONTACT, CHANGE),
    "clients:enquiry": page(CONTACT, SEE, "enquiry"),
    "clients:edit_enquiry": page(CONTACT, CHANGE, "enquiry"),
    "clients:next_step": act(CONTACT, "enquiry"),
    "clients:close_enquiry": act(CONTACT, "enquiry"),
    "clients:reopen_enquiry": act(CONTACT, "enquiry"),
    "clients:send_form": act(CONTACT, "enquiry"),
    "clients:intakes": page(CONTACT, CHANGE),
    "clients:intake_make": act(CONTACT),
    "clients:intake_link": page(CONTACT, CHANGE, "form"),
    "clients:intake_mail": act(CONTACT, "form"),
    "clients:intake_withdraw": act(CONTACT, "form"),
    "clients:intake_decide": act(HEALTH, "form"),
    "clients:intake_belongs_to": act(HEALTH, "form"),
    "clients:intake_put_aside": act(HEALTH, "form"),
    "clients:intake_review": Row((HEALTH, CHANGE), ("form",), shows=frozenset({200, 302})),
    "clients:intake_document": Row((HEALTH, SEE), ("form",), shows=frozenset({200, 302, 404})),
    # the form that a client opens by its link
    "form:begin": Row(ANYBODY, ("form token",), shows=frozenset({200, 302})),
    "form:step": Row(ANYBODY, ("form token", "form step"), shows=frozenset({200, 302})),
    "form:keep": Row(ANYBODY, ("form token", "form step"), post=True, shows=frozenset({200, 302})),
    "form:send": Row(ANYBODY, ("form token",), shows=frozenset({200, 302, 422})),
    # assessments, readiness, what is measured
    "clients:assess": page(HEALTH, CHANGE, "client"),
    "clients:assessment": page(HEALTH, CHANGE, "client", "assessment"),
    "clients:save_assessment": act(HEALTH, "client", "assessment"),
    "clients:withdraw_assessment": page(HEALTH, CHANGE, "client", "assessment"),
    "clients:next_day": page(HEALTH, CHANGE, "client", "assessment"),
    "clients:assessments": page(HEALTH, SEE, "client"),
    "clients:readiness": page(HEALTH, SEE, "client"),
    "clients:report": page(HEALTH, CHANGE, "client"),
    "clients:finger": page(HEALTH, CHANGE, "client"),
    "clients:measuring": page(PRACTICE, CHANGE),
    "clients:add_own_measure": page(PRACTICE, CHANGE),
    "clients:own_measure": page(PRACTICE, CHANGE, "own measure"),
    "clients:add_pregnancy": page(Fact.STAGE, CHANGE, "client"),
    "clients:edit_pregnancy": page(Fact.STAGE, CHANGE, "client", "pregnancy"),
    "clients:record_end": page(Fact.STAGE, CHANGE, "client", "pregnancy"),
    # the diary
    "diary:index": page(HEALTH),
    "diary:of_client": page(HEALTH, SEE, "client"),
    "diary:snooze": page(HEALTH, CHANGE, "client"),
    "diary:rhythm": page(HEALTH, CHANGE, "client"),
    "diary:resume": act(HEALTH, "client"),
    # accounts
    "accounts:index": page(MONEY),
    "accounts:summary": page(MONEY),
    "accounts:of_client": page(MONEY, SEE, "client"),
    "accounts:packages": page(MONEY),
    "accounts:add_package": page(MONEY, CHANGE),
    "accounts:edit_package": page(MONEY, CHANGE, "package"),
    "accounts:retire_package": act(MONEY, "package"),
    "accounts:offer_again": act(MONEY, "package"),
    "accounts:sales": page(MONEY),
    "accounts:sell": page(MONEY, CHANGE),
    "accounts:sale": page(MONEY, SEE, "sale"),
    "accounts:use": act(MONEY, "sale"),
    "accounts:undo_use": act(MONEY, "sale", "use"),
    "accounts:bill": act(MONEY, "sale"),
    "accounts:cancel_sale": page(MONEY, CHANGE, "sale"),
    "accounts:invoices": page(MONEY),
    "accounts:begin": page(MONEY, CHANGE),
    "accounts:invoice": page(MONEY, SEE, "invoice"),
    "accounts:draft": page(MONEY, CHANGE, "draft"),
    "accounts:discard": act(MONEY, "draft"),
    "accounts:issue": page(MONEY, CHANGE, "draft"),
    "accounts:pdf": page(MONEY, SEE, "invoice"),
    "accounts:pay": act(MONEY, "invoice"),
    "accounts:refund": act(MONEY, "invoice"),
    "accounts:reverse": page(MONEY, CHANGE, "invoice", "payment"),
    "accounts:credit": page(MONEY, CHANGE, "invoice"),
    # feeds
    "feeds:index": page(CONTENT),
    "feeds:make": act(CONTENT, wanted=SEE),
    "feeds:switch_off": act(CONTENT, wanted=SEE),
    "feeds:calendar": Row(ANYBODY, ("token",)),
    # signing in, by allauth; signed in, some of its pages lead on or ask for the password again
    "account_login": Row(ANYBODY, shows=frozenset({200, 302})),
    "account_logout": Row(ANYBODY, shows=frozenset({200, 302})),
    "account_signup": Row(ANYBODY, shows=frozenset({200, 302})),
    "account_inactive": Row(ANYBODY),
    "account_reset_password": Row(ANYBODY),
    "account_reset_password_done": Row(ANYBODY),
    "account_reset_password_from_key": Row(ANYBODY, ("uid", "key")),
    "account_reset_password_from_key_done": Row(ANYBODY),
    "account_confirm_email": Row(ANYBODY, ("key",)),
    "account_email_verification_sent": Row(ANYBODY, shows=frozenset({200, 302})),
    "account_email": account(),
    "account_change_password": account(shows=(200, 302)),
    "account_set_password": account(shows=(200, 302)),
    "account_reauthenticate": account(shows=(200, 302)),
    "mfa_index": account(),
    "account_confirm_login_code": Row(ANYBODY, shows=frozenset({302})),
    "mfa_authenticate": Row(ANYBODY, shows=frozenset({302})),
    "mfa_reauthenticate": account(shows=(200, 302)),
    "mfa_activate_totp": account(shows=(200, 302)),
    "mfa_deactivate_totp": account(shows=(302, 404)),
    "mfa_view_recovery_codes": account(shows=(302, 404)),
    "mfa_generate_recovery_codes": account(shows=(200, 302, 404)),
    "mfa_download_recovery_codes": account(shows=(302, 404)),
}
