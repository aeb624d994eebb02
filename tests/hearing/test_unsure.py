from pipeline.hearing.unsure import UNSURE_FROM, marks
from pipeline.hearing.weighty import weighs
from pipeline.values import Correction, HeardWord


def heard(*words: tuple[str, float, str | None]) -> tuple[HeardWord, ...]:
    return tuple(
        HeardWord(start_s=at, end_s=at + 1, text=text, probability=0.9, chance_wrong=chance, other=other)
        for at, (text, chance, other) in enumerate(words)
    )


def test_a_number_that_the_looks_heard_differently_is_marked_however_sure_it_is() -> None:
    (mark,) = marks(heard(("frame", 0.0, None), ("sixteen", 0.001, "sixty"), ("is", 0.0, "it\u2019s")), ())
    assert (mark.start, mark.end, mark.why) == (6, 13, 'heard again, this was "sixty"')


def test_a_side_a_denial_or_a_bag_that_the_looks_heard_differently_is_marked() -> None:
    for word, other in (("port", "part"), ("corrosion", "no corrosion"), ("bag", "back"), ("hand", "starboard")):
        assert len(marks(heard((word, 0.0, other)), ())) == 1, word
    assert marks(heard(("fin", 0.0, "thin")), ()) == ()


def test_a_word_that_is_likely_wrong_is_marked_with_its_chance() -> None:
    (mark,) = marks(heard(("the", 0.01, None), ("cowl", UNSURE_FROM + 0.2, None)), ())
    assert (mark.start, mark.end, mark.why, mark.chance) == (4, 8, "this was hard to hear", UNSURE_FROM + 0.2)


def test_a_word_that_only_one_look_heard_may_not_have_been_said() -> None:
    (mark,) = marks(heard(("off", 0.5, "")), ())
    assert "may not have been said" in mark.why


def test_marks_stand_at_their_places_in_the_reading() -> None:
    fix = Correction(start=0, end=12, heard="hinder costal", read="intercostal", score=0.9, why="")
    fix = fix.model_copy(update={"end": 13})
    words = heard(("hinder", 0.6, None), ("costal", 0.6, None), ("nine", 0.0, "five"))
    (mark,) = marks(words, (fix,))
    assert "intercostal nine"[mark.start : mark.end] == "nine"


def test_words_that_weigh() -> None:
    assert all(map(weighs, ("16", "sixteen", "half", "Port", "tag", "isn't", "none", "upper")))
    assert not any(map(weighs, ("rudder", "off", "grease", "")))
