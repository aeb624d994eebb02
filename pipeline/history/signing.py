"""Signatures: who signs an entry for what, with a key or as a typed name. None of them is a release to service."""

import base64
import os
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Literal

from cryptography.exceptions import InvalidSignature, UnsupportedAlgorithm
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    PublicFormat,
    load_pem_private_key,
)

from pipeline.errors import WrongCommand
from pipeline.history.events import Event, canonical
from pipeline.history.team import person_named
from pipeline.settings import Person

Proof = Literal["typed", "key", "not-valid", "key-not-listed"]


def signed_text(entry: str, version: str, reason: str, who: str, at: datetime) -> bytes:
    """Return the bytes that a signature is made over. Source: RFC 8785."""
    return canonical({"entry": entry, "version": version, "for": reason, "who": who, "at": _second(at)})


def _second(at: datetime) -> str:
    return at.astimezone(UTC).isoformat(timespec="seconds")


def signature_of(key: Ed25519PrivateKey, text: bytes) -> str:
    """Return the Ed25519 signature of some bytes, in base64. Source: RFC 8032."""
    return base64.b64encode(key.sign(text)).decode("ascii")


def is_signature(key: str, signature: str, text: bytes) -> bool:
    """Tell whether a signature is this public key's, over these bytes; both are base64. Source: RFC 8032."""
    try:
        public = Ed25519PublicKey.from_public_bytes(base64.b64decode(key, validate=True))
        public.verify(base64.b64decode(signature, validate=True), text)
    except (InvalidSignature, ValueError):
        return False
    return True


def public_half(key: Ed25519PrivateKey) -> str:
    """Return the public half of a key as ``book.toml`` lists it: its 32 bytes in base64."""
    return base64.b64encode(key.public_key().public_bytes(Encoding.Raw, PublicFormat.Raw)).decode("ascii")


def proof_of(act: Event, people: Sequence[Person]) -> Proof:
    """Tell what a "sign" event proves: a typed name, a key that the book lists, or neither."""
    signed: Mapping[str, Any] = act.after
    if "signature" not in signed:
        return "typed"
    text = signed_text(str(signed["entry"]), str(signed["version"]), str(signed["for"]), act.who, act.at)
    if not is_signature(str(signed.get("key", "")), str(signed["signature"]), text):
        return "not-valid"
    listed = {person.key for person in people if person.name == act.who}
    return "key" if signed["key"] in listed else "key-not-listed"


def who_may_sign(people: Sequence[Person], who: str, reason: str) -> Person:
    """Return the person who signs.

    Raises:
        WrongCommand: the book does not list them, or not as signing for this.
    """
    person = person_named(people, who)
    if reason not in person.may_sign:
        may = _listed(f'"{one}"' for one in person.may_sign)
        raise WrongCommand(f'book.toml does not list {who} as signing for "{reason}". {who} may sign for: {may}.')
    return person


def key_of(person: Person, file: Path | None) -> Ed25519PrivateKey | None:
    """Return the key that a person signs with; None for a typed name.

    Raises:
        WrongCommand: the file is no such key, or it is not the person's, or the person has a key and gave none.
    """
    if file is None:
        if person.key:
            raise WrongCommand(f"book.toml lists a key for {person.name}: give the file that holds it, --key FILE.")
        return None
    key = _read_key(file)
    if not person.key:
        raise WrongCommand(
            f'book.toml lists no key for {person.name}. Under [[people]], add: key = "{public_half(key)}"'
        )
    if public_half(key) != person.key:
        raise WrongCommand(f"{file} is not the key that book.toml lists for {person.name}.")
    return key


def new_key(file: Path) -> str:
    """Make a key, write it to a new file that its owner alone may read, and return its public half.

    Raises:
        WrongCommand: the file is there already, or cannot be written.
    """
    key = Ed25519PrivateKey.generate()
    text = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    try:
        with os.fdopen(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as made:
            made.write(text)
    except FileExistsError as error:
        raise WrongCommand(f"{file} is there already. A key is never written over: name a new file.") from error
    except OSError as error:
        raise WrongCommand(f"{file}: cannot be written ({error.strerror}). Name another file.") from error
    return public_half(key)


def _read_key(file: Path) -> Ed25519PrivateKey:
    try:
        key = load_pem_private_key(file.read_bytes(), password=None)
    except OSError as error:
        raise WrongCommand(f"{file}: cannot be read ({error.strerror}).") from error
    except (ValueError, TypeError, UnsupportedAlgorithm) as error:
        raise WrongCommand(f"{file} is no key that saidseen made: saidseen sign BOOK --new-key FILE.") from error
    if not isinstance(key, Ed25519PrivateKey):
        raise WrongCommand(f"{file} is a key of another kind. Make one with: saidseen sign BOOK --new-key FILE.")
    return key


def _listed(names: Any) -> str:
    return ", ".join(names) or "none"
