"""Photos to passages."""

from datetime import UTC, datetime, timedelta

from pipeline.matching.links import Shot, TimedUtterance, match
from pipeline.matching.pointing import pointing_moments, pointing_phrases
from pipeline.values import HeardWord

TEN = datetime(2026, 2, 14, 10, 0, tzinfo=UTC)


def at(seconds):
    return TEN + timedelta(seconds=seconds)


def shot(name, seconds, error_s=1.0, **more):
    return Shot(media=name, at=at(seconds), error_s=error_s, **more)


def words(passage, start, end, points=(), utterance=""):
    return TimedUtterance(
        passage=passage,
        recording="r",
        start=at(start),
        end=at(end),
        start_s=start,
        end_s=end,
        error_s=0.5,
        points=tuple((at(second), "here you can see") for second in points),
        utterance=utterance,
    )


def test_photo_goes_with_the_words_said_as_it_was_taken():
    (link,) = match([shot("p", 15)], [words("a", 0, 20), words("b", 60, 80)]).links
    assert link.passage == "a"
    assert link.p > 0.9
    assert link.why == ("taken as these words were said",)


def test_words_that_point_win_over_words_as_near():
    spoken = [words("a", 0, 10), words("b", 14, 24, points=[14])]
    (link,) = match([shot("p", 12)], spoken).links
    assert link.passage == "b"
    assert 'the words point: "here you can see"' in link.why


def test_photo_that_may_be_of_either_of_two_sentences_stands_with_their_talk_and_says_that_this_is_not_clear():
    spoken = [words("a", start, start + 4, utterance=f"u{start}") for start in (0, 7, 14)]
    matched = match([shot("clear", 5), shot("either", 13.0, error_s=30.0)], spoken)
    clear, either = matched.links
    assert (clear.utterance, clear.why) == ("u0", ("taken 1 s after these words",))
    assert either.utterance == "" and either.passage == "a"
    assert either.why == ("taken 1 s before words of this talk; of which words is not clear",)


def test_photo_with_no_words_near_is_left_loose_with_the_reason():
    matched = match([shot("p", 5000)], [words("a", 0, 10)])
    assert matched.links == ()
    assert matched.loose[0].why == "nothing was said within 15 minutes of it"
    (loose,) = match([shot("p", 310)], [words("a", 0, 10)]).loose
    assert loose.why == "the nearest words were said 5 min before it was taken"


def test_photo_whose_clock_is_hours_unsure_is_not_forced_onto_words():
    (loose,) = match([shot("p", 5, error_s=43200)], [words("a", 0, 10), words("b", 700, 800)]).loose
    assert "too uncertain" in loose.why


def test_label_that_is_as_near_to_two_readings_of_its_number_is_placed_with_neither_and_says_so():
    twice = [words(name, at, at + 5).model_copy(update={"tags": ("D-0102",)}) for name, at in (("a", 0), ("b", 5000))]
    (loose,) = match([shot("p", 2502.5, tags=("D-0102",))], twice).loose
    assert loose.why == "the number of its label, D-0102, is read out more than once, and it could belong to either"
    (link,) = match([shot("p", 4000, tags=("D-0102",))], [twice[1], words("c", 0, 5)]).links
    assert (link.passage, link.label) == ("b", "D-0102")


def test_label_with_fewer_zeros_is_the_tag_that_was_read_out_and_is_told_as_it_stands():
    spoken = words("a", 0, 5).model_copy(update={"tags": ("D-0012",)})
    (link,) = match([shot("p", 4000, tags=("D-12",))], [spoken]).links
    assert (link.passage, link.label) == ("a", "D-12")


def test_probabilities_of_every_choice_add_up_to_no_more_than_one_and_every_photo_is_accounted_for():
    spoken = [words(name, start, start + 8) for name, start in zip("abcdef", range(0, 120, 20), strict=True)]
    photos = [shot(f"p{i}", i * 7) for i in range(30)]
    matched = match(photos, spoken)
    assert all(0 < link.p <= 1 for link in matched.links)
    assert sorted([*(link.photo for link in matched.links), *(one.photo for one in matched.loose)]) == sorted(
        one.media for one in photos
    )


def test_still_of_a_film_goes_with_the_words_of_that_film_at_that_second():
    film = shot("s", 5, film="r", film_at_s=5.0)
    (link,) = match([film], [words("other", 4, 6).model_copy(update={"recording": "q"}), words("a", 0, 10)]).links
    assert (link.passage, link.p) == ("a", 0.99)


def test_pointing_words_are_found_and_ordinary_ones_are_not():
    def phrases(text):
        return [text[a:b].lower() for a, b in pointing_phrases(text)]

    assert phrases("Here you can see the joint") == ["you can see"]
    assert phrases("Photo of that.") == ["photo of"]
    assert phrases("That's it there, look at that.") == ["that's it", "look at that"]
    assert phrases("There they are on the cloth, and here's the gauge.") == ["there they are", "here's"]
    assert phrases("We undid eight bolts and put them in bag nine") == []
    assert phrases("There's a bit of wear on it, and it's a tight fit.") == []


def test_pointing_moment_is_when_its_first_word_is_said():
    texts = ["Right.", "You", "can", "see", "it"]
    heard = [HeardWord(start_s=i, end_s=i + 0.5, text=text, probability=1) for i, text in enumerate(texts)]
    assert pointing_moments(" ".join(texts), heard) == ((1.0, "You can see"),)
