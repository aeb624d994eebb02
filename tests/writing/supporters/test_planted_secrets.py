"""Secrets played through real records and a real report: none is in any public byte."""

import base64
import html
import itertools
import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from urllib.parse import unquote

import pytest

from pipeline.reading.vocabulary import Vocabulary
from pipeline.settings import Person
from pipeline.values import Kind
from pipeline.writing.supporters.privacy import Gate
from pipeline.writing.supporters.public_files import ReportHeldBack
from pipeline.writing.viewing_copies import Makers
from pipeline.writing.write import write_report
from tests.writing.a_weekend import MAKERS, SATURDAY, SUNDAY, vocabulary
from tests.writing.supporters.secret_book import HARMLESS, SECRETS, secret_records, secret_settings
from tests.writing.supporters.tagged_photos import PLANTED, tagged_photo

KINDS = sorted({one["kind"] for one in SECRETS})
SOME = [KINDS[at::6] for at in range(6)]
HELD_OF_TYPED = (
    "a name without consent", "a name that was misspelled by sound",
    "a name in the possessive or plural", "a name in initials", "a name in disguise", "a short form of a name",
    "a place to be withheld", "a word to be withheld", "a claim",
)  # fmt: skip
_DATA = re.compile(r"data:[\w.+/-]*;base64,([A-Za-z0-9+/=]+)")


def _of(*kinds: str) -> list[dict[str, str]]:
    """The secrets of some kinds, one of each kind in turn."""
    each = ([one for one in SECRETS if one["kind"] == kind] for kind in kinds)
    return [one for turn in itertools.zip_longest(*each) for one in turn if one is not None]


def _typed(secrets: list[dict[str, str]]) -> list[str]:
    """What is held back of a line that the editor typed for every report: all else in it is meant to go out."""
    return [one["sentence"] for one in secrets if one["kind"] in HELD_OF_TYPED]


def _explaining(sentences: list[str]) -> Vocabulary:
    """The weekend's parts, explained with the sentences in turn."""
    parts = tuple(
        one.model_copy(update={"gloss": f"Told of thus: {sentences[index % len(sentences)]}"})
        for index, one in enumerate(vocabulary().parts)
    )
    return vocabulary().model_copy(update={"parts": parts})


def _write(tmp_path: Path, told: list[str], closing: str, words: Vocabulary, makers: Makers = MAKERS) -> Path:
    out = tmp_path / "out"
    days = SATURDAY.date(), SUNDAY.date()
    write_report(secret_records(told), secret_settings(closing), words, out, *days, makers)
    return out / "supporters"


def _readings(folder: Path) -> Iterator[tuple[Path, str]]:
    """Yield all that each public file says: as it stands, with entities, percent signs and base64 undone."""
    for path in sorted(folder.rglob("*")):
        if not path.is_file():
            continue
        text = path.read_bytes().decode("utf-8", "replace")
        for one in (text, html.unescape(text), unquote(text), unquote(path.relative_to(folder).as_posix())):
            yield path, one
        for data in _DATA.findall(html.unescape(text)):
            yield path, base64.b64decode(data).decode("utf-8", "replace")


def _assert_nothing_of(secrets: list[dict[str, str]], folder: Path) -> None:
    for path, text in _readings(folder):
        for one in secrets:
            assert one["sentence"].rstrip(".") not in text, (path.name, one)
            if (path.suffix in (".html", ".md") and not one["secret"].isalpha()) or one["secret"][:1].isupper():
                assert not re.search(rf"(?<!\w){re.escape(one['secret'])}(?!\w)", _words_of(text)), (path.name, one)


def _words_of(text: str) -> str:
    return re.sub(r"<style>.*?</style>|data:[^\"]*", "", text, flags=re.DOTALL)


@pytest.mark.parametrize("kinds", SOME, ids=", ".join)
def test_secrets_that_were_said_explained_or_typed_are_in_no_public_byte(
    kinds: Sequence[str], tmp_path: Path
) -> None:
    secrets = _of(*kinds)
    sentences = [one["sentence"] for one in secrets]
    folder = _write(tmp_path, sentences, " ".join(_typed(secrets)), _explaining(sentences))
    assert len(list(folder.rglob("*.html"))) >= 1
    _assert_nothing_of(secrets, folder)


@pytest.mark.parametrize("kind", KINDS)
def test_the_last_look_alone_keeps_them_all_inside(
    kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Gate, "reasons", lambda self, text: ())
    secrets = _of(kind)
    sentences = [one["sentence"] for one in secrets]
    closing = " ".join((*_typed(secrets), "Thank you for standing by us."))
    try:
        folder = _write(tmp_path, sentences, closing, _explaining(sentences))
    except ReportHeldBack:
        assert not list((tmp_path / "out").rglob("report*"))
        return
    _assert_nothing_of(secrets, folder)
    assert "Thank you for standing by us." in (next(folder.rglob("report.md"))).read_text(encoding="utf-8")


def test_harmless_words_go_out_with_both_layers(tmp_path: Path) -> None:
    whole = [one for one in HARMLESS if one.endswith((".", "?"))]
    folder = _write(tmp_path, HARMLESS, " ".join(whole), vocabulary())
    page = html.unescape(next(folder.rglob("report.html")).read_text(encoding="utf-8"))
    lost = [one for one in whole if one not in page]
    assert lost == []


def test_pictures_carry_nothing_of_what_their_originals_hold(tmp_path: Path) -> None:
    book = secret_records()
    photos = [one for one in book.media if one.kind == Kind.PHOTO and one.still_of is None]
    for number, one in enumerate(photos):
        (tmp_path / one.path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / one.path).write_bytes(tagged_photo(number))
    original = (tmp_path / photos[0].path).read_bytes()
    assert all(one.encode() in original for one in PLANTED)
    folder = _write(tmp_path, [], "Thank you for standing by us.", vocabulary(), Makers())
    pictures = list(folder.rglob("*.jpg"))
    assert len(pictures) >= 8
    for path, text in _readings(folder):
        for planted in (*PLANTED, "Exif", "ns.adobe", "Photoshop", "ICC_PROFILE", "8BIM"):
            assert planted not in text, (path.name, planted)


def test_a_name_in_a_role_a_title_or_a_part_goes_nowhere(tmp_path: Path) -> None:
    chosen = secret_settings()
    people = (*chosen.people, Person(name="Ivo Trim", role="friend of Norris Yelland", consent=True))
    titled = chosen.supporters.model_copy(update={"title": "News by Wilf Harkaway"})
    changed = chosen.model_copy(update={"people": people, "supporters": titled})
    parts = tuple(
        one.model_copy(update={"preferred": f"Yelland's {one.preferred}"}) if one.notation == "flap" else one
        for one in vocabulary().parts
    )
    words = vocabulary().model_copy(update={"parts": parts})
    out = tmp_path / "out"
    write_report(secret_records(), changed, words, out, SATURDAY.date(), SUNDAY.date(), MAKERS)
    for path, text in _readings(out / "supporters"):
        for name in ("Yelland", "Norris", "Wilf", "Harkaway", "yelland"):
            assert name not in text, (path.name, name)


def test_what_remains_stops_the_report_and_takes_the_one_of_before_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = _write(tmp_path, [], "Thank you.", vocabulary())
    assert list(folder.rglob("report.html"))
    named = "pipeline.writing.supporters.report.report_markdown"
    monkeypatch.setattr(named, lambda story: "![The wing.](pictures/norris-yelland.jpg)\n")
    with pytest.raises(ReportHeldBack, match="was not written"):
        _write(tmp_path, [], "Thank you all.", vocabulary())
    assert not [path for path in folder.rglob("*") if path.is_file()]
