"""The hash of a file against the worked examples of the standard.

Source: FIPS 180-4 and its example values published by NIST ("abc"; the 448-bit two-block message; a million "a").
"""

import pytest

from pipeline.digests import sha256_of_bytes
from pipeline.intake.walk import hash_file

VECTORS = [
    (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
    (
        b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
    ),
    (b"a" * 1_000_000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"),
    (b"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
]


@pytest.mark.parametrize(("message", "digest"), VECTORS)
def test_a_files_hash_is_the_standards_value(tmp_path, message, digest):
    path = tmp_path / "message"
    path.write_bytes(message)
    assert hash_file(path) == f"sha256:{digest}"


@pytest.mark.parametrize(("message", "digest"), VECTORS)
def test_the_hash_that_binds_the_lines_of_a_history_is_the_standards_value(message, digest):
    assert sha256_of_bytes(message) == digest


def test_a_file_longer_than_one_block_read_is_hashed_whole(tmp_path):
    """The million "a" again, put together from three blocks' worth to cross the reader's own block size."""
    path = tmp_path / "message"
    path.write_bytes(b"a" * 3_000_000)
    part = tmp_path / "part"
    part.write_bytes(b"a" * 2_999_999)
    assert hash_file(path) != hash_file(part)
