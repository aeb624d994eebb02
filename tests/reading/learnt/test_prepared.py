import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.reading.fact import Measure, Place
from pipeline.reading.learnt.prepared import BEFORE, FEATURES, FRESH, LONGEST, Count, Kept, Prepared, prepare
from pipeline.reading.reader import Reader


def _prepared(reader: Reader, text: str) -> Prepared:
    (one,) = prepare(reader.lexicon, text, next(reader.read_by_rule([(text, ())])).pieces)
    return one


def _features(prepared: Prepared, item: str) -> set[str]:
    (mention,) = [mention for mention in prepared.mentions if mention.item == item]
    return {name for name, has in zip(FEATURES, mention.features, strict=True) if has}


def test_parts_are_found_by_their_names_and_by_all_that_a_short_name_may_stand_for(reader: Reader) -> None:
    found = _prepared(reader, "The port flap's off and its jack is on the bench.")
    assert "flap" in {mention.item for mention in found.mentions}
    assert {"flap-jack", "retraction-jack"} <= {mention.item for mention in found.mentions}
    assert {"said in full", "sole", "first", "paired"} <= _features(found, "flap")
    assert {"short", "akin"} <= _features(found, "flap-jack")
    assert "akin" not in _features(found, "retraction-jack")


def test_each_word_has_its_kind_and_what_it_may_tell(reader: Reader) -> None:
    found = _prepared(reader, "Took the starboard aileron off, cracked at rib 4.")
    words = {found.text[word.start : word.end].lower(): word for word in found.words}
    assert "remove" in words["took"].tells
    assert "crack" in words["cracked"].tells
    assert [words[name].kind for name in ("starboard", "aileron", "rib 4")] == ["starboard", "part", "place"]


def test_slots_may_be_filled_with_what_was_said_and_with_what_follows_from_it(reader: Reader) -> None:
    text = "Four bolts each side out of the fin, rack 3, tag P-0142, a 12 mm crack at frame 9, badly corroded."
    values = [filler.value for filler in _prepared(reader, text).fillers]
    assert Place(scheme="frame", at="9") in values
    assert Measure(value=12, unit="mm") in values
    assert Kept("rack", "3") in values
    assert {"P-0142", "heavy"} <= set(filter(lambda value: isinstance(value, str), values))
    counts = {value for value in values if isinstance(value, Count)}
    assert {Count(4, "bolt", False), Count(8, "bolt", False)} <= counts


@pytest.mark.parametrize(
    ("text", "sizes"),
    [
        ("Hole's gone out to about five sixteenths.", {(0.3125, "in")}),
        ("A dent 15 mm across and 4 deep.", {(15, "mm"), (4, "mm")}),
        ("All 0.748 of an inch, bar one, worn down to 0.741.", {(0.748, "in"), (0.741, "in")}),
        ("Torqued to 35 foot-pounds, four deep in muck.", {(35, "lbf·ft")}),
        ("A dent 15 mm across. Four deep scratches.", {(15, "mm")}),
    ],
)
def test_size_may_have_the_unit_that_the_trade_or_the_words_before_supply(
    reader: Reader, text: str, sizes: set[tuple[float, str]]
) -> None:
    values = [filler.value for filler in _prepared(reader, text).fillers if filler.own]
    assert {(one.value, one.unit) for one in values if isinstance(one, Measure)} == sizes


def test_noun_may_name_the_few_parts_whose_names_end_in_it_and_of_many_those_akin_to_what_was_named(
    reader: Reader,
) -> None:
    def named(text: str) -> set[str]:
        return {mention.item for mention in _prepared(reader, text).mentions}

    assert "control-chain" in named("The chain's off.")
    assert "engine-control-rod" in named("The engine's out and its rods are on the bench.")
    assert "engine-control-rod" not in named("The rods are on the bench.")
    assert not named("Right, that's the port one.")


def test_number_without_a_noun_may_count_a_part_named_beside_it(reader: Reader) -> None:
    def counted(text: str) -> set[tuple[int, str]]:
        values = [filler.value for filler in _prepared(reader, text).fillers if not filler.own]
        return {(one.number, one.of) for one in values if isinstance(one, Count)}

    assert (2, "jury-strut") in counted("The jury struts, two, are off.")
    assert {(6, "bolt"), (1, "bolt")} <= counted("The bolts are out, six, and the sixth is bent.")
    assert (2, "bracket") in counted("I looked at the brackets, and both are worn.")


@pytest.mark.parametrize("text", ["", " ", "..."])
def test_nothing_said_gives_nothing_to_choose_from(reader: Reader, text: str) -> None:
    read = next(reader.read_by_rule([(text, ())]))
    assert not [mention for one in prepare(reader.lexicon, text, read.pieces) for mention in one.mentions]


@given(
    st.lists(st.sampled_from(["The fin is off.", "Port flap next", "and then we had tea,", "Bag 9!"]), max_size=90)
)
def test_long_talk_is_read_in_stretches_that_leave_nothing_out_and_tell_nothing_twice(
    reader: Reader, sayings: list[str]
) -> None:
    text = " ".join(sayings)
    pieces = next(reader.read_by_rule([(text, ())])).pieces
    stretches = list(prepare(reader.lexicon, text, pieces))
    if len(pieces) <= LONGEST:
        assert [(one.start, one.end, one.fresh) for one in stretches] == ([(0, len(text), 0)] if pieces else [])
        return
    fresh = [one.fresh for one in stretches]
    assert fresh[0] == 0 and stretches[-1].end == len(text)
    for one, after in zip(stretches, fresh[1:], strict=False):
        assert one.start <= one.fresh < after <= one.end + 1
        assert len(one.words) <= FRESH + BEFORE
