from pathlib import Path
from urllib.parse import unquote, urlsplit

from hypothesis import given
from hypothesis import strategies as st

from pipeline.values import Kind
from pipeline.writing.viewing_copies import (
    Links,
    from_second,
    link_to,
    needs_listening_copy,
    picture_copy,
    relative,
    sound_copy,
    wanted_copies,
)
from tests.writing.a_weekend import SATURDAY, media_id, medium, records

NAMES = st.text(st.characters(exclude_characters="/\x00", exclude_categories=["Cs"]), min_size=1, max_size=20).filter(
    lambda name: name not in (".", "..")
)


@given(NAMES)
def test_a_link_leads_back_to_the_file_whatever_its_name(name: str) -> None:
    link = link_to(Path("/hangar/media") / name, Path("/hangar/out/logbook"))
    parts = urlsplit(link)
    assert (parts.scheme, parts.netloc, parts.query, parts.fragment) == ("", "", "", "")
    assert unquote(parts.path) == f"../../media/{name}"


def test_amr_gets_a_listening_copy_and_mp3_does_not() -> None:
    assert needs_listening_copy(medium("a.amr", SATURDAY, Kind.RECORDING, "audio/amr"))
    assert needs_listening_copy(medium("a.mkv", SATURDAY, Kind.FILM, "video/x-matroska"))
    assert not needs_listening_copy(medium("a.mp3", SATURDAY, Kind.RECORDING, "audio/mpeg"))
    assert not needs_listening_copy(medium("a.vtt", SATURDAY, Kind.CAPTIONS, "text/vtt"))


def test_the_book_wants_a_copy_of_every_photo_and_of_what_does_not_play() -> None:
    book = records()
    photos = sum(one.kind == Kind.PHOTO for one in book.media)
    wanted = wanted_copies(book)
    assert len(wanted) == photos + 1
    assert sound_copy(media_id("saturday-2.amr")) in wanted


def test_sound_links_to_the_copy_where_there_is_one_and_to_the_original_else() -> None:
    amr = medium("a.amr", SATURDAY, Kind.RECORDING, "audio/amr")
    links = Links(Path("/book/out"), frozenset({sound_copy(amr.id)}))
    assert links.to_sound(amr, "logbook") == f"../{sound_copy(amr.id)}"
    assert Links(Path("/book/out"), frozenset()).to_sound(amr, "logbook") == "../../media/a.amr"


def test_a_photo_without_a_copy_has_no_picture_link() -> None:
    assert Links(Path("/book/out"), frozenset()).to_picture(media_id("p"), "logbook") == ""
    assert relative(picture_copy(media_id("p")), "logbook").startswith("../pictures/")


def test_a_still_links_to_its_second_of_the_film() -> None:
    still = medium("walk round.mp4", SATURDAY, Kind.PHOTO, "image/jpeg", still_of=media_id("f"), still_at_s=6.0)
    assert Links(Path("/book/out"), frozenset()).to_original(still, "logbook") == "../../media/walk%20round.mp4#t=6.0"


def test_a_time_range_is_added_to_a_link_that_leads_somewhere() -> None:
    assert from_second("a.mp3", 83.2, 95.1) == "a.mp3#t=83.2,95.1"
    assert from_second("", 1.0) == ""
