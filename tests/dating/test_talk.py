"""What a recording tells of time: the tags that are read out."""

import pytest

from pipeline.dating.talk import talk_of
from pipeline.values import HeardWord, Reading, Utterance

MEDIA = "sha256:" + "ab" * 32


def _tags(read):
    words = tuple(
        HeardWord(start_s=n, end_s=n + 0.5, text=word, probability=1.0) for n, word in enumerate(read.split())
    )
    said = Utterance(id="u-1", media=MEDIA, start_s=0, end_s=len(words), heard=read, words=words)
    return [tag for _, tag in talk_of(MEDIA, [said], [Reading(utterance="u-1", read=read)], {}).tags]


@pytest.mark.parametrize("spelt", ["M-0202", "m-0202", "M0202", "M, 0202", "M. O202", "M O2O2", "M-O-202"])
def test_tag_tells_of_the_time_however_it_is_spelt(spelt):
    assert "M-0202" in _tags(f"And {spelt} on the rear one.")


def test_two_tags_of_one_utterance_are_both_told_and_other_numbers_are_none():
    assert _tags("That's M. O201 on the front one. And M0202 on the rear one.") == ["M-0201", "M-0202"]
    assert _tags("Eight bolts, AN4-6, in bag 11, and a 0201 nut.") == []


def test_tag_is_the_same_whatever_zeros_are_said_before_its_number():
    assert _tags("It's tagged P001. And P-01. And P 00001.") == ["P-0001"]
    assert _tags("Tagged P-12345.") == ["P-12345"]


@pytest.mark.parametrize(("after_s", "tagged_at"), [(13.0, [14.0]), (300.0, [1.0, 301.0])])
def test_label_belongs_to_the_words_that_read_it_out_and_not_to_those_beside_that_name_the_part(after_s, tagged_at):
    said = [
        Utterance(id=f"u-{n}", media=MEDIA, start_s=at_s, end_s=at_s + 2, heard=read, words=())
        for n, (at_s, read) in enumerate([(0.0, "Canopy off."), (after_s, "Tag P-0001 on the canopy.")])
    ]
    readings = [Reading(utterance=one.id, read=one.heard) for one in said]
    talk = talk_of(MEDIA, said, readings, {"u-0": ["P-0001"]})
    assert [at_s for at_s, _ in talk.tags] == tagged_at


def test_tag_of_a_fact_that_no_words_read_out_is_told_where_the_fact_is():
    said = Utterance(id="u-0", media=MEDIA, start_s=0, end_s=2, heard="Canopy off, tag one.", words=())
    talk = talk_of(MEDIA, [said], [Reading(utterance="u-0", read=said.heard)], {"u-0": ["P-0001"]})
    assert talk.tags == ((1.0, "P-0001"),)
