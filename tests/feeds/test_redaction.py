"""The secret part of a feed address never reaches a log."""

from __future__ import annotations

import logging

import pytest

from coach.feeds.redaction import RedactSecretAddresses, redacted

TOKEN = "b3Jh_bmdlcyBhcmUg-bm90IHRoZSBvbmx5IGZydWl0"


def written(message: object, *args: object, exc_info: object = None) -> str:
    """What a handler with the filter writes for a record."""
    record = logging.LogRecord("django.server", 20, "", 0, message, args, exc_info)  # type: ignore[arg-type]  # as logging is called
    assert RedactSecretAddresses().filter(record) is True
    return logging.Formatter("%(message)s").format(record)


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        (f"GET /feeds/{TOKEN}.ics HTTP/1.1", "GET /feeds/….ics HTTP/1.1"),
        (f"https://host/feeds/{TOKEN}.ics?a=1", "https://host/feeds/….ics?a=1"),
        ("/feeds/short.ics", "/feeds/….ics"),
        (f"/feeds/{TOKEN}", "/feeds/….ics"),
        (f"/feeds/{TOKEN[:30]} and /FEEDS/{TOKEN}.ICS", "/feeds/….ics and /FEEDS/….ics"),
        (f"/feeds/{TOKEN}.ics/", "/feeds/….ics/"),
        ("/feeds/", "/feeds/"),
        ("/feeds/make/ and /feeds/switch-off/", "/feeds/make/ and /feeds/switch-off/"),
        ("/uploads/2026-12/", "/uploads/2026-12/"),
    ],
)
def test_only_the_secret_part_is_taken_out(text: str, kept: str) -> None:
    assert redacted(text) == kept


def test_arguments_of_a_message_are_redacted() -> None:
    assert written("Not Found: %s", f"/feeds/{TOKEN}.ics") == "Not Found: /feeds/….ics"
    assert written('"%s" %s %s', f"GET /feeds/{TOKEN}.ics HTTP/1.1", "200", "812") == (
        '"GET /feeds/….ics HTTP/1.1" 200 812'
    )


def test_objects_that_print_the_address_are_redacted() -> None:
    request = type("Asked", (), {"__repr__": lambda self: f"<GET '/feeds/{TOKEN}.ics'>"})()
    assert written("failed: %r", request) == "failed: <GET '/feeds/….ics'>"


def test_tracebacks_are_redacted() -> None:
    try:
        raise LookupError(f"/feeds/{TOKEN}.ics")
    except LookupError as error:
        text = written("failed", exc_info=(LookupError, error, error.__traceback__))
    assert text.endswith("LookupError: /feeds/….ics")
    assert TOKEN not in text


def test_a_message_that_does_not_fit_its_arguments_is_redacted_all_the_same() -> None:
    assert written("%d asked", f"/feeds/{TOKEN}.ics") == "%d asked ('/feeds/….ics',)"


def test_other_messages_stay_as_they_are() -> None:
    assert written("100 %% of %s", "it") == "100 % of it"
    assert written("100 % of it") == "100 % of it"


def test_the_token_of_a_form_never_reaches_a_log() -> None:
    told = "Not Found: /form/3b9a7c1e5d8f4e2a.Xk-9_z/step/keep/ and /form/make/"
    assert redacted(told) == "Not Found: /form/…/step/keep/ and /form/make/"
