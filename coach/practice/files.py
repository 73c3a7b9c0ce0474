"""Encrypted files: age (X25519) with a key of the practice, under random names in var/files/."""

from __future__ import annotations

import hashlib
import os
from functools import cache
from pathlib import Path

import pyrage
from django.conf import settings

from coach import keys
from coach.practice.models import StoredFile

MOST_BYTES = 10 * 1024 * 1024


class FileRefused(ValueError):
    """A file that is not taken; the message is fit for the field."""


class FileDamaged(ValueError):
    """A stored file that is missing, does not decrypt or differs from what was stored."""


def store(*, name: str, content: bytes, content_type: str) -> StoredFile:
    """Encrypt and keep a file of at most 10 MB; FileRefused if it is empty or larger.

    Written and flushed before its row is, so that a row never points to a half-written file.
    """
    if not content:
        raise FileRefused("The file is empty.")
    if len(content) > MOST_BYTES:
        raise FileRefused("The file is larger than 10 MB.")
    stored = StoredFile(
        name=name,
        content_type=content_type,
        size=len(content),
        sha256=hashlib.sha256(content).hexdigest(),
    )
    _write(path_of(stored), pyrage.encrypt(content, [_identity().to_public()]))
    stored.save()
    return stored


def read(stored: StoredFile) -> bytes:
    """The content as it was stored; FileDamaged if it is not exactly that any more."""
    try:
        content = pyrage.decrypt(path_of(stored).read_bytes(), [_identity()])
    except (OSError, pyrage.DecryptError) as error:
        raise FileDamaged(f"{stored} cannot be opened.") from error
    if hashlib.sha256(content).hexdigest() != stored.sha256:
        raise FileDamaged(f"{stored} is not what was stored.")
    return bytes(content)


def path_of(stored: StoredFile) -> Path:
    """Where it lies: a name that tells nothing."""
    return Path(settings.FILES) / f"{stored.uid}.age"


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


@cache
def _identity() -> pyrage.x25519.Identity:
    made = str(pyrage.x25519.Identity.generate())
    text = keys.kept_secret("COACH_FILE_KEY", settings.FILE_KEY_FOLDER, made)
    return pyrage.x25519.Identity.from_str(text)
