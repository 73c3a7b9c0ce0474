"""Pure rules of the feeds: what a token's hash is and when a reading is worth noting."""

from __future__ import annotations

import hashlib
from datetime import datetime, timedelta

NOTE_READINGS_EVERY = timedelta(hours=1)


def token_hash(token: str) -> str:
    """SHA-256 of the secret part of an address, in hexadecimal.

    The token is 256 random bits, so that a plain hash is as good as a slow one.
    """
    return hashlib.sha256(token.encode(errors="replace")).hexdigest()


def is_worth_noting(last_read_at: datetime | None, *, now: datetime) -> bool:
    """Whether a reading is noted: at most one an hour, so that polling stays reading."""
    return last_read_at is None or now - last_read_at >= NOTE_READINGS_EVERY
