"""Signatures against the worked examples of their standard.

Source: RFC 8032, section 7.1, tests 1, 2 and 3: secret key, public key, message, signature.
"""

import base64

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from pipeline.history.signing import is_signature, public_half, signature_of

VECTORS = [
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        b"",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46b"
        "d25bf5f0595bbe24655141438e7a100b",
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        bytes.fromhex("72"),
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c"
        "387b2eaeb4302aeeb00d291612bb0c00",
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        bytes.fromhex("af82"),
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc659"
        "4a7c15e9716ed28dc027beceea1ec40a",
    ),
]


def base64_of(text):
    return base64.b64encode(bytes.fromhex(text)).decode()


@pytest.mark.parametrize(("secret", "public", "message", "signature"), VECTORS)
def test_a_signature_is_the_standards_value_and_fits_its_message_alone(secret, public, message, signature):
    key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret))
    assert public_half(key) == base64_of(public)
    assert signature_of(key, message) == base64_of(signature)
    assert is_signature(base64_of(public), base64_of(signature), message)
    assert not is_signature(base64_of(public), base64_of(signature), message + b"x")
