"""Encrypted files: age (X25519) with keys of the practice, under random names in var/files/."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from pathlib import Path

import pyrage
from django.conf import settings
from django.db import transaction

from coach import keys
from coach.practice.models import StoredFile

MOST_BYTES = 10 * 1024 * 1024
_written: ContextVar[list[Path] | None] = ContextVar("_written", default=None)


class FileRefused(ValueError):
    """A file that is not taken; the message is fit for the field."""


class FileDamaged(ValueError):
    """A stored file that is missing, does not decrypt or differs from what was stored."""


@contextmanager
def atomic() -> Iterator[None]:
    """A transaction that takes the files stored in it with it when it fails.

    As a block or, called, as a decorator; in place of transaction.atomic wherever `store` is
    used. Inside another one it takes only its own. What a killed process leaves is found by the
    check of files without a row.
    """
    outer, mine = _written.get(), list[Path]()
    token = _written.set(mine)
    try:
        with transaction.atomic():
            yield
    except BaseException:
        for path in mine:
            path.unlink(missing_ok=True)
        raise
    finally:
        _written.reset(token)
    if outer is not None:
        outer.extend(mine)


def store(*, name: str, content: bytes, content_type: str) -> StoredFile:
    """Encrypt and keep a file of at most 10 MB; FileRefused if it is empty or larger.

    Written and flushed before its row is, so that a row never points to a half-written file.
    Only inside `atomic`: a file whose row is not kept is not kept either.
    """
    written = _written.get()
    if written is None:
        raise RuntimeError("a file is stored inside files.atomic")
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
    sealed = pyrage.encrypt(content, [_identities()[0].to_public()])
    written.append(path_of(stored))
    _write(path_of(stored), sealed)
    stored.save()
    return stored


def remove(stored: StoredFile) -> None:
    """Erase a file: its row now, what lies on the disk once that is certain."""
    path = path_of(stored)
    stored.delete()
    transaction.on_commit(lambda: path.unlink(missing_ok=True))


def read(stored: StoredFile) -> bytes:
    """The content as it was stored; FileDamaged if it is not exactly that any more."""
    try:
        content = pyrage.decrypt(path_of(stored).read_bytes(), list(_identities()))
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
def _identities() -> tuple[pyrage.x25519.Identity, ...]:
    """The keys: the first encrypts, all decrypt."""
    made = str(pyrage.x25519.Identity.generate())
    text = keys.kept_secret("COACH_FILE_KEY", settings.FILE_KEY_FOLDER, made)
    try:
        return tuple(pyrage.x25519.Identity.from_str(one) for one in keys.file_keys(text))
    except pyrage.IdentityError:
        raise keys.BadKey("COACH_FILE_KEY holds a line that is no age identity.") from None
