"""Who may sign for what, with which key; and what a signature proves."""

import re
import stat
import sys

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from pipeline.errors import WrongCommand
from pipeline.history.events import Act
from pipeline.history.signing import key_of, new_key, proof_of, public_half, signature_of, signed_text, who_may_sign
from pipeline.settings import Person
from tests.history.made_entries import NOON, chained

AILSA = Person(name="Ailsa Thornby", may_sign=("checked the words", "did the work"))
BEA = Person(name="Bea Linnet")


def signed(key=None, other=()):
    """A "sign" event; whatever is given in ``other`` was changed after it was signed."""
    at = chained(Act("x", "x", "x"))[0].at
    after = {"entry": "e-1", "version": "0" * 64, "for": "checked the words"}
    if key is not None:
        text = signed_text("e-1", "0" * 64, "checked the words", AILSA.name, at)
        after |= {"key": public_half(key), "signature": signature_of(key, text)}
    return chained(Act(AILSA.name, "sign", "e-1", None, {**after, **dict(other)}))[0]


@pytest.fixture(scope="module")
def key():
    return Ed25519PrivateKey.from_private_bytes(bytes(range(32)))


def test_people_sign_only_for_what_the_book_lists():
    assert who_may_sign((AILSA, BEA), "Ailsa Thornby", "did the work") == AILSA
    with pytest.raises(WrongCommand, match=r"nobody called 'Ted'. It lists: Ailsa Thornby, Bea Linnet"):
        who_may_sign((AILSA, BEA), "Ted", "did the work")
    with pytest.raises(WrongCommand, match=r"Bea Linnet may sign for: none"):
        who_may_sign((AILSA, BEA), "Bea Linnet", "did the work")


def test_a_signature_with_the_listed_key_is_good_and_without_a_key_it_is_a_typed_name(key):
    listed = AILSA.model_copy(update={"key": public_half(key)})
    assert proof_of(signed(key), [listed, BEA]) == "key"
    assert proof_of(signed(), [listed]) == "typed"


def test_a_key_that_the_book_does_not_list_proves_nothing_about_the_person(key):
    assert proof_of(signed(key), [AILSA]) == "key-not-listed"
    assert proof_of(signed(key), [BEA.model_copy(update={"key": public_half(key)})]) == "key-not-listed"


@pytest.mark.parametrize(
    "other",
    [
        {"version": "1" * 64},
        {"for": "did the work"},
        {"entry": "e-2"},
        {"signature": "AAAA"},
        {"signature": "not base64!"},
        {"key": "AAAA"},
        {"key": ""},
    ],
)
def test_a_signature_under_anything_else_is_not_valid(key, other):
    listed = AILSA.model_copy(update={"key": public_half(key)})
    assert proof_of(signed(key, other), [listed]) == "not-valid"


def test_a_signature_by_another_or_at_another_time_is_not_valid(key):
    event = signed(key)
    for other in ({"who": "Bea Linnet"}, {"at": NOON}):
        assert proof_of(event.model_copy(update=other), [AILSA]) == "not-valid"


def test_a_new_key_is_for_its_owner_alone_and_is_never_written_over(tmp_path):
    file = tmp_path / "ailsa.pem"
    person = AILSA.model_copy(update={"key": new_key(file)})
    if sys.platform != "win32":
        assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert public_half(key_of(person, file)) == person.key
    with pytest.raises(WrongCommand, match="there already"):
        new_key(file)


def test_a_key_has_to_be_the_persons_own(tmp_path, key):
    file = tmp_path / "ailsa.pem"
    line = new_key(file)
    assert key_of(AILSA, None) is None
    with pytest.raises(WrongCommand, match=re.escape(f'key = "{line}"')):
        key_of(AILSA, file)
    with pytest.raises(WrongCommand, match="not the key that"):
        key_of(AILSA.model_copy(update={"key": public_half(key)}), file)
    with pytest.raises(WrongCommand, match="give the file that holds it"):
        key_of(AILSA.model_copy(update={"key": line}), None)


def test_a_file_that_is_no_key_is_told_in_plain_words(tmp_path):
    (tmp_path / "a.pem").write_text("hello")
    with pytest.raises(WrongCommand, match="is no key"):
        key_of(AILSA, tmp_path / "a.pem")
    with pytest.raises(WrongCommand, match="cannot be read"):
        key_of(AILSA, tmp_path / "none.pem")
