from tests.hearing.scores import (
    Comparison,
    ReadWord,
    Repair,
    brier,
    effect,
    marked,
    most_doubtful,
    score,
    terms_of,
)

SAID = "We took the intercostal off at frame nine and put it in bag twelve."
TERMS = terms_of(["intercostal", "tailplane", "aileron hinge"])


def read(text: str) -> list[ReadWord]:
    return [ReadWord(word, 0.1, False) for word in text.split()]


def test_right_text_has_no_errors_and_every_term() -> None:
    counts = score(SAID, SAID, read(SAID), [], TERMS).counts
    assert counts["read errors"] == 0
    assert counts["read terms"] == counts["read terms found"] == counts["read terms right"] == 1


def test_a_term_elsewhere_is_neither_found_nor_right() -> None:
    text = "We took the hinder costal off at frame nine and put the intercostal in bag twelve."
    counts = score(SAID, text, read(text), [], TERMS).counts
    assert (counts["read terms"], counts["read terms found"]) == (1, 0)
    assert (counts["read terms claimed"], counts["read terms right"]) == (1, 0)


def test_a_term_in_the_plural_and_in_two_parts_is_found() -> None:
    counts = score("both tailplanes", "both tail planes", read("both tail planes"), [], TERMS).counts
    assert (counts["read terms found"], counts["read errors"], counts["strict errors"]) == (1, 0, 2)


def test_a_clause_left_out_is_a_run_lost_and_a_number_counts_as_one_word() -> None:
    assert Comparison(SAID, "We took the intercostal off and put it in bag twelve.").long_runs_lost == 1
    assert Comparison("tag P-0142 is on it", "tag is on it").long_runs_lost == 0
    assert Comparison("It is off.", "It is off. Thanks for watching this.").long_runs_invented == 1


def test_repairs_are_judged_by_what_they_do() -> None:
    heard = "the hinder costal is off the bench"
    said = "the intercostal is off the bench"
    assert effect(said, heard, Repair(4, 17, "intercostal")) == "good"
    assert effect(said, heard, Repair(4, 17, "intercostals")) == "good"
    assert effect(said, heard, Repair(4, 17, "tailplane")) == "bad"
    assert effect(said, heard, Repair(29, 34, "batch")) == "false"
    assert effect("a rudder", "a rotter", Repair(2, 8, "router")) == "bad"
    assert effect("a tailplane", "a tail plane", Repair(2, 12, "tailplane")) == "same"


def test_doubts_are_judged_word_by_word() -> None:
    words = [ReadWord("frame", 0.1, False), ReadWord("mine", 0.9, True), ReadWord("is", 0.2, True)]
    out = score("frame nine is", "frame mine is", words, [], TERMS)
    assert [wrong for _, _, wrong in out.doubts] == [False, True, False]
    assert (out.counts["key words wrong"], out.counts["key words wrong and marked"]) == (1, 1)
    assert (marked(out.doubts).precision, marked(out.doubts).recall) == (0.5, 1.0)
    assert round(brier(out.doubts), 4) == round((0.1**2 + 0.1**2 + 0.2**2) / 3, 4)


def test_the_most_doubtful_tenth_is_a_tenth() -> None:
    doubts = [(0.9, False, True), (0.8, False, False), *[(0.1, False, at < 3) for at in range(18)]]
    flagging = most_doubtful(doubts)
    assert (flagging.flagged, flagging.found, flagging.wrong) == (2, 1, 4)
    assert flagging.share_of_most == 0.5


def test_words_from_nothing_said_are_all_wrong() -> None:
    assert Comparison("", "Thank you.").errors == 2
