from pathlib import Path

import pytest
from PIL import Image

from pipeline.errors import ItemFault
from pipeline.intake.content_type import content_type
from pipeline.values import Kind
from tests.small_media import FILMS, SOUNDS, film_file, media_file, photo, picture, sound_file, wave_bytes


@pytest.mark.parametrize(
    ("ending", "media_type"),
    [
        ("jpg", "image/jpeg"),
        ("png", "image/png"),
        ("webp", "image/webp"),
        ("tif", "image/tiff"),
        ("heic", "image/heic"),
    ],
)
def test_a_photo_is_known_by_its_content_under_any_name(tmp_path, ending, media_type):
    path = photo(tmp_path / f"a.{ending}").rename(tmp_path / "a.txt")
    assert content_type(path) == (Kind.PHOTO, media_type)


@pytest.mark.parametrize("name", SOUNDS)
def test_a_recording_is_known_by_its_content_under_any_name(tmp_path, name):
    path = sound_file(tmp_path, name, seconds=0.5).rename(tmp_path / "IMG_0001.JPG")
    assert content_type(path) == (Kind.RECORDING, SOUNDS[name][3])


@pytest.mark.parametrize("name", FILMS)
def test_a_film_is_known_by_its_content_under_any_name(tmp_path, name):
    path = film_file(tmp_path, name, seconds=0.5).rename(tmp_path / "note")
    assert content_type(path) == (Kind.FILM, FILMS[name][4])


@pytest.mark.parametrize("form", [b"RIFF", b"RF64", b"BW64"])
def test_all_three_forms_of_wave_file_are_recordings(tmp_path, form):
    path = tmp_path / "a"
    path.write_bytes(wave_bytes(form=form))
    assert content_type(path) == (Kind.RECORDING, "audio/wav")


def test_an_mp3_behind_a_large_tag_and_padding_is_found(tmp_path):
    plain = sound_file(tmp_path, "note.mp3", options={"id3v2_version": "0", "write_xing": "0"}).read_bytes()
    assert plain[:3] != b"ID3"
    tagged = tmp_path / "tagged"
    size = 20_000
    head = b"ID3\x04\x00\x00" + bytes([size >> 21 & 127, size >> 14 & 127, size >> 7 & 127, size & 127])
    tagged.write_bytes(head + bytes(size) + bytes(700) + plain)
    bare = tmp_path / "bare"
    bare.write_bytes(plain)
    assert content_type(tagged) == content_type(bare) == (Kind.RECORDING, "audio/mpeg")


def test_a_cover_picture_does_not_make_a_recording_a_film(tmp_path):
    import av

    plain = sound_file(tmp_path, "note.m4a")
    cover = tmp_path / "cover.jpg"
    picture(64, 64).save(cover)
    both = tmp_path / "both.m4a"
    with av.open(str(plain)) as sound, av.open(str(cover)) as shown, av.open(str(both), "w", format="mp4") as out:
        into = out.add_stream_from_template(sound.streams.audio[0])
        art = out.add_stream_from_template(shown.streams.video[0])
        art.disposition = av.stream.Disposition.attached_pic
        for source, to in ((sound, into), (shown, art)):
            for packet in source.demux():
                if packet.dts is not None:
                    packet.stream = to
                    out.mux(packet)
    assert content_type(both) == (Kind.RECORDING, "audio/mp4")


def test_sound_in_a_film_container_is_a_recording(tmp_path):
    path = media_file(tmp_path / "a.mp4", "mp4", "aac", 44_100)
    assert content_type(path) == (Kind.RECORDING, "audio/mp4")


def test_a_film_whose_index_is_cut_short_is_not_taken_for_less_than_it_is(tmp_path):
    path = film_file(tmp_path, "film.mp4")
    whole = path.read_bytes()
    path.write_bytes(whole[:-40])
    with pytest.raises(ItemFault, match="Its end is missing"):
        content_type(path)


@pytest.mark.parametrize(
    ("text", "media_type"),
    [
        ("WEBVTT\n\n00:01.000 --> 00:02.000\nhello\n", "text/vtt"),
        ("\ufeffWEBVTT - a title\r\n\r\n00:01.000 --> 00:02.000\r\nhello\r\n", "text/vtt"),
        ("1\n00:00:01,000 --> 00:00:02,000\nhello\n", "application/x-subrip"),
        ("\r\n\r\n1\r\n00:00:01,000 --> 00:00:02,000\r\nhello\r\n", "application/x-subrip"),
        ("00:00:01,000 --> 00:00:02,000\nhello\n", "application/x-subrip"),
    ],
)
def test_caption_files_are_known_by_their_shape(tmp_path, text, media_type):
    path = tmp_path / "a.txt"
    path.write_bytes(text.encode())
    assert content_type(path) == (Kind.CAPTIONS, media_type)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "empty"),
        (b"\x00" * 5000, "only blanks"),
        (b"Trestle the section first.\n", "plain text without caption times.*To have what was written count as said"),
        (b"%PDF-1.7\n", "a PDF"),
        (b"PK\x03\x04rest", "ZIP archive.*Unpack it"),
        (b"PK\x03\x04\x14\x00rest[Content_Types].xml", "office document.*Save its pictures.*To have what was"),
        (b"{\\rtf1\\ansi", "text document"),
        (b"GIF89a", "GIF"),
        (b'<?xml version="1.0"?><plist/>', "marked-up text.*it may stay here"),
        (b'{"title": "IMG_1.jpg"}', "a data file.*it may stay here"),
        (b"II*\x00\x10\x00\x00\x00CR\x02\x00" + bytes(400), "a camera's raw picture.*JPEG of it too"),
        (b"\x93\x01\x02\x88\xfe\xff" * 50, "not a photo"),
        (b"WEBVTTX is not the mark\n", "plain text"),
        (b"\xff\xfb\x90\x00" + b"\x00" * 100, "not a photo"),  # one MP3 header, and no second
    ],
)
def test_what_cannot_be_used_is_a_fault_that_says_what_it_is_and_what_to_do(tmp_path, content, said):
    path: Path = tmp_path / "photo.jpg"
    path.write_bytes(content)
    with pytest.raises(ItemFault, match=said) as fault:
        content_type(path)
    assert fault.value.why.count(".") >= 2 or ":" in fault.value.why or "(" in fault.value.why


def test_a_tiff_whose_first_picture_is_a_thumbnail_of_another_is_a_raw_picture(tmp_path):
    path = tmp_path / "a.tif"
    Image.new("RGB", (16, 12)).save(path, tiffinfo={254: 0})
    assert content_type(path) == (Kind.PHOTO, "image/tiff")
    Image.new("RGB", (16, 12)).save(path, tiffinfo={254: 1})
    with pytest.raises(ItemFault, match="a camera's raw picture"):
        content_type(path)


def test_a_tiff_whose_directory_is_cut_off_is_left_to_whoever_decodes_it(tmp_path):
    path = tmp_path / "a.tif"
    path.write_bytes(b"II*\x00\x08\x00\x00\x00\xff\xff")
    assert content_type(path) == (Kind.PHOTO, "image/tiff")


def test_film_whose_box_claims_more_than_any_disk_holds_is_a_fault_of_the_file(tmp_path):
    path = tmp_path / "film.mp4"
    head = b"\x00\x00\x00\x18ftypisom\x00\x00\x02\x00isommp41"
    path.write_bytes(head + b"\x00\x00\x00\x01mdat" + b"\xff" * 8 + bytes(50))
    with pytest.raises(ItemFault, match="damaged"):
        content_type(path)
