"""Fields whose column is unreadable without the key: AES-GCM, several keys for rotation.

A sealed value is: version byte, key number, 12 random bytes, ciphertext with its tag. The
field's label is authenticated with it, so that a value moved to another column does not open.
"""

from __future__ import annotations

import json
import secrets
from datetime import date
from typing import Any

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from django.conf import settings
from django.db import models

VERSION = 1
NONCE_BYTES = 12


class CannotDecrypt(ValueError):
    """A value that no key opens: the key is missing, or the value was tampered with."""


def seal(label: str, text: str) -> bytes:
    """Encrypt text for the column `label` with the first of the keys."""
    number, key = next(iter(settings.FIELD_KEYS.items()))
    nonce = secrets.token_bytes(NONCE_BYTES)
    sealed = AESGCM(key).encrypt(nonce, text.encode(), label.encode())
    return bytes((VERSION, number)) + nonce + sealed


def unseal(label: str, sealed: bytes) -> str:
    """Decrypt what `seal` made for the same label; CannotDecrypt where no key fits."""
    key = settings.FIELD_KEYS.get(sealed[1]) if len(sealed) > 1 and sealed[0] == VERSION else None
    if key is None:
        raise CannotDecrypt(f"No key opens a value of {label}.")
    nonce, body = sealed[2 : 2 + NONCE_BYTES], sealed[2 + NONCE_BYTES :]
    try:
        return AESGCM(key).decrypt(nonce, body, label.encode()).decode()
    except InvalidTag:
        raise CannotDecrypt(f"A value of {label} does not open with its key.") from None


class EncryptedField(models.Field):  # type: ignore[type-arg]  # one set of types for all kinds
    """Text in, text out, sealed in the column. It cannot be searched, only tested for NULL."""

    empty_values = [None]

    def __init__(self, *args: Any, label: str = "", **kwargs: Any) -> None:
        self.label = label
        super().__init__(*args, **kwargs)

    def contribute_to_class(self, cls: Any, name: str, private_only: bool = False) -> None:
        super().contribute_to_class(cls, name, private_only)
        self.label = self.label or f"{cls._meta.label_lower}.{name}"

    def deconstruct(self) -> Any:
        name, path, args, kwargs = super().deconstruct()
        return name, path, args, {**kwargs, "label": self.label}

    def get_internal_type(self) -> str:
        return "BinaryField"

    def get_db_prep_value(self, value: Any, connection: Any, prepared: bool = False) -> Any:
        sealed = super().get_db_prep_value(value, connection, prepared)
        return None if sealed is None else connection.Database.Binary(sealed)

    def get_lookup(self, lookup: str) -> Any:
        return super().get_lookup(lookup) if lookup == "isnull" else None

    def get_prep_value(self, value: Any) -> Any:
        return None if value is None else seal(self.label, self.to_text(value))

    def from_db_value(self, value: Any, *_: Any) -> Any:
        return None if value is None else self.from_text(unseal(self.label, bytes(value)))

    def to_python(self, value: Any) -> Any:
        return value

    def value_to_string(self, obj: models.Model) -> str:
        return self.to_text(self.value_from_object(obj))

    def to_text(self, value: Any) -> str:
        return str(value)

    def from_text(self, text: str) -> Any:
        return text


class EncryptedTextField(EncryptedField):
    """A sealed text; empty text is kept as such."""


class EncryptedDateField(EncryptedField):
    """A sealed date; refuses anything that is not one."""

    def to_text(self, value: Any) -> str:
        if type(value) is not date:
            raise TypeError(f"{self.label} takes a date, not {type(value).__name__}")
        return value.isoformat()

    def from_text(self, text: str) -> date:
        return date.fromisoformat(text)


class EncryptedJSONField(EncryptedField):
    """Sealed JSON: numbers, switches, lists of codes."""

    def to_text(self, value: Any) -> str:
        return json.dumps(value, sort_keys=True, separators=(",", ":"))

    def from_text(self, text: str) -> Any:
        return json.loads(text)
