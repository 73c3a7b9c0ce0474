"""The practice's secrets: from the environment, else made once into var/ with mode 0600.

Standard library only: the settings read these before anything else is loaded.
"""

from __future__ import annotations

import base64
import os
import secrets
from pathlib import Path

FIELD_KEY_BYTES = 32  # AES-256


class BadKey(ValueError):
    """A key that cannot be what it should be; the message says which and what to do."""


def kept_secret(name: str, folder: Path, make: str) -> str:
    """The secret in environment variable `name`, else in a file of that name, made if missing.

    Two processes starting at once agree, because the finished file takes its name exclusively.
    """
    if given := os.environ.get(name):
        return given
    path = folder / name.lower()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    if path.exists():
        return _read(path)
    # Written whole under another name first: nobody ever reads a key that is half there.
    draft = folder / f".{path.name}.{secrets.token_hex(8)}"
    with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
        file.write(make)
        file.flush()
        os.fsync(file.fileno())
    try:
        os.link(draft, path)
    except FileExistsError:
        return _read(path)
    finally:
        draft.unlink()
    return make


def _read(path: Path) -> str:
    if path.stat().st_mode & 0o077:
        raise BadKey(f"{path} can be read by others: run chmod 600 on it.")
    text = path.read_text().strip()
    if not text:
        raise BadKey(f"{path} is empty: put the key back from your backup.")
    return text


def new_secret_key() -> str:
    """A secret for signing, 384 random bits."""
    return secrets.token_urlsafe(48)


def new_field_key() -> str:
    """A first key for encrypted fields, in the form that `field_keys` reads."""
    return "1:" + base64.urlsafe_b64encode(secrets.token_bytes(FIELD_KEY_BYTES)).decode()


def field_keys(text: str) -> dict[int, bytes]:
    """Parse "2:base64,1:base64" into keys by number; the first writes, all read.

    Raises BadKey for anything else: a key read wrongly would lock away health records.
    """
    keys: dict[int, bytes] = {}
    for part in text.split(","):
        number, _, encoded = part.strip().partition(":")
        try:
            keys[int(number)] = base64.urlsafe_b64decode(encoded)
        except ValueError:
            raise BadKey("COACH_FIELD_KEYS holds a part that is not NUMBER:BASE64.") from None
    if any(len(key) != FIELD_KEY_BYTES or not 0 < n < 256 for n, key in keys.items()):
        raise BadKey("Each of COACH_FIELD_KEYS needs a number from 1 to 255 and 32 bytes.")
    return keys


def file_keys(text: str) -> list[str]:
    """Parse age identities, one on a line or with commas between; the first writes, all read.

    Lines that begin with # are remarks, as age's own files have them. BadKey if there is none.
    """
    lines = [line.strip() for line in text.replace(",", "\n").splitlines()]
    found = [line for line in lines if line and not line.startswith("#")]
    if not found:
        raise BadKey("COACH_FILE_KEY holds no age identity.")
    return found
