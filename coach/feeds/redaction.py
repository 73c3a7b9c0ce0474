"""Keeps secret addresses out of the logs: whoever reads one could read the feed, or the form."""

from __future__ import annotations

import logging
import re

_PART = r"[^\s\"'<>/?]"
_ADDRESS = re.compile(rf"(/feeds/)(?:{_PART}+\.ics|{_PART}{{20,}})", re.IGNORECASE)
_FORM = re.compile(rf"(/form/){_PART}{{8,}}", re.IGNORECASE)
_PLAIN = logging.Formatter()


def redacted(text: str) -> str:
    """The text with the secret part of every such address taken out, also of one cut short."""
    return _FORM.sub(r"\1…", _ADDRESS.sub(r"\1….ics", text))


class RedactSecretAddresses(logging.Filter):
    """A logging filter: lets every record pass, redacted, its traceback too."""

    def filter(self, record: logging.LogRecord) -> bool:
        record.msg, record.args = redacted(_message(record)), ()
        if record.exc_info and not record.exc_text:
            record.exc_text = _PLAIN.formatException(record.exc_info)
        record.exc_text = redacted(record.exc_text) if record.exc_text else None
        return True


def _message(record: logging.LogRecord) -> str:
    try:
        return record.getMessage()
    except (TypeError, ValueError):  # a message whose arguments do not fit it
        return f"{record.msg} {record.args}"
