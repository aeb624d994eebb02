"""Captions read back by webvtt-py, and escapes as in W3C WebVTT, 4.2.1 and 6.4 (cue text)."""

import html
import io

import webvtt

from pipeline.writing.captions import caption_files, caption_name, captions
from tests.writing.a_weekend import records


def test_webvtt_py_reads_every_cue_with_its_time_and_text() -> None:
    book = records()
    files = caption_files(book)
    media = {one.id: one for one in book.media}
    read = {place: webvtt.from_buffer(io.StringIO(text)) for place, text in files.items()}
    for said in book.utterances:
        cues = read[caption_name(media[said.media])]
        cue = next(one for one in cues if one.identifier == said.id)
        assert html.unescape(cue.text) == said.read
        assert abs(cue.start_in_seconds - int(said.start_s)) <= 1
    assert sum(len(one) for one in read.values()) == len(book.utterances)


def test_text_that_looks_like_markup_or_timing_is_read_as_text() -> None:
    book = records()
    said = book.utterances[0]
    odd = "a < b & c > d --> e <v Somebody>\n\n00:00.000 --> 00:01.000"
    media = next(one for one in book.media if one.id == said.media)
    text = captions(media, [said.model_copy(update={"read": odd})])
    cues = webvtt.from_buffer(io.StringIO(text))
    assert len(cues) == 1
    assert html.unescape(cues[0].raw_text) == " ".join(odd.split())
