"""The SHA-256 of a file, of bytes, of a text, and of several texts of which no two lists read alike."""

import hashlib
from collections.abc import Iterable
from pathlib import Path


def sha256_of(path: Path) -> str:
    """Return the SHA-256 of a file's content in hexadecimal, read block by block; raises OSError."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def sha256_of_bytes(content: bytes) -> str:
    """Return the SHA-256 of some bytes in hexadecimal. Source: FIPS 180-4."""
    return hashlib.sha256(content).hexdigest()


def sha256_of_text(text: str) -> str:
    """Return the SHA-256 of a text, as UTF-8, in hexadecimal."""
    return sha256_of_bytes(text.encode("utf-8"))


def add_to(digest: "hashlib._Hash", part: str) -> None:
    """Add a text; one that came from a file name may hold bytes that are no UTF-8 (lone surrogates)."""
    held = part.encode("utf-8", "surrogateescape")
    digest.update(len(held).to_bytes(8, "big"))
    digest.update(held)


def digest_of(parts: Iterable[str]) -> str:
    """Return the SHA-256 of some texts in their order, each with its length before it, in hexadecimal."""
    digest = hashlib.sha256()
    for part in parts:
        add_to(digest, part)
    return digest.hexdigest()
