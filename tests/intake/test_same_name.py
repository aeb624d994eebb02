from dataclasses import replace

from pipeline.intake.same_name import captions_beside, recordings_beside
from pipeline.values import Kind
from tests.dating.seen_media import piece


def test_captions_and_recordings_of_one_name_in_one_folder_belong_together():
    note = piece(kind=Kind.RECORDING, name="note.m4a")
    film = piece(kind=Kind.FILM, name="film.mov")
    captions, others = piece(kind=Kind.CAPTIONS, name="note.vtt"), piece(kind=Kind.CAPTIONS, name="other.vtt")
    photo = piece(name="film.jpg")
    media = [note, film, captions, others, photo]
    assert captions_beside(media) == {note.id: captions.id}
    assert recordings_beside(media) == {captions.id: note.id}


def test_captions_may_lie_beside_a_copy_of_the_recording():
    note = piece(kind=Kind.RECORDING, name="AUD_7.m4a")
    copy = piece(kind=Kind.RECORDING, name="rudder.m4a")
    note = replace(note, files=(*note.files, *copy.files))
    captions = piece(kind=Kind.CAPTIONS, name="rudder.vtt")
    assert captions_beside([note, captions]) == {note.id: captions.id}
    assert recordings_beside([note, captions]) == {captions.id: note.id}
