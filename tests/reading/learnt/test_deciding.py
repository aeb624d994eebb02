import pytest

from pipeline.reading.fact import Fact, Measure, Place, Stowage
from pipeline.reading.learnt.deciding import KEPT_FROM, RULE, as_fact, half_believed, kept
from pipeline.reading.learnt.heads import Told
from pipeline.reading.learnt.opinion import Opinion, Read
from pipeline.reading.learnt.prepared import Count, Filler, Kept

TOLD = Told((9, 12), (0, 6), 3, "remove", False, "done", False, "rudder", "port", 0.9, ())


def _opinion(fact: Fact) -> Opinion:
    return Opinion((Read(2, 4, fact.act or fact.finding or "", fact),))


def test_unlikely_readings_are_left_out() -> None:
    assert kept([TOLD, TOLD._replace(item="fin", chance=KEPT_FROM)]) == [TOLD]


def test_what_two_neighbouring_words_tell_is_one_fact() -> None:
    (one,) = kept([TOLD._replace(piece=5, chance=0.6), TOLD])
    assert one._replace(chance=0.9) == TOLD
    assert one.chance == pytest.approx(1 - 0.4 * 0.1)
    assert len(kept([TOLD._replace(piece=30, side="starboard"), TOLD])) == 2


def test_same_work_at_two_places_is_two_facts() -> None:
    front, rear = (Filler(0, 1, "place", Place(scheme="spar", at=at)) for at in ("front", "rear"))
    assert len(kept([TOLD._replace(fillers=(front,)), TOLD._replace(piece=30, fillers=(rear,))])) == 2
    assert len(kept([TOLD._replace(fillers=(front,)), TOLD._replace(piece=30, fillers=(front,))])) == 1


def test_the_same_of_both_sides_is_two_facts_however_near_their_words() -> None:
    assert len(kept([TOLD, TOLD._replace(piece=5, side="starboard")])) == 2
    assert kept([TOLD, TOLD._replace(side="starboard", chance=0.5)]) == [TOLD]


def test_what_one_word_tells_is_told_of_a_second_part_only_where_that_is_likely() -> None:
    fin = TOLD._replace(item="fin", named=(20, 23), chance=0.5)
    assert kept([TOLD, fin]) == [TOLD._replace(rivals=("fin",))]
    assert kept([TOLD, fin._replace(chance=0.8)]) == [TOLD, fin._replace(chance=0.8)]
    assert len(kept([TOLD, fin._replace(piece=30)])) == 2


def test_one_name_is_one_part() -> None:
    rib, root = TOLD._replace(item="rib"), TOLD._replace(item="root-rib", named=(0, 3), chance=0.8)
    (one,) = kept([rib, root])
    assert (one.item, one.rivals) == ("rib", ("root rib",))


def test_two_unlikely_words_side_by_side_make_a_likely_fact() -> None:
    assert len(kept([TOLD._replace(chance=0.2), TOLD._replace(piece=4, chance=0.2)])) == 1
    assert not kept([TOLD._replace(chance=0.2), TOLD._replace(piece=30, chance=0.2)])


def test_facts_come_in_the_order_said() -> None:
    later, earlier = TOLD._replace(piece=20, item="fin"), TOLD._replace(piece=2, item="flap", chance=0.5)
    assert [told.item for told in kept([later, earlier])] == ["flap", "fin"]


def test_tag_hangs_on_one_part_only() -> None:
    tag = Filler(40, 46, "tag", "P-0205")
    rod, cowling = TOLD._replace(told="tag", fillers=(tag,)), TOLD._replace(told="tag", item="cowling", chance=0.4)
    assert [one.item for one in kept([rod, cowling._replace(fillers=(tag,))])] == ["rudder"]
    removed = cowling._replace(told="remove")
    assert kept([rod, removed._replace(fillers=(tag,))]) == [rod, removed]


def test_fact_that_the_rules_read_too_has_their_words_rule_and_reasons() -> None:
    read = Fact(
        status="done", act="remove", item="rudder", side="port", words=(0, 20), rule="past: remove",
        inferred=(("side", "carried on"),),
    )  # fmt: skip
    fact = as_fact(TOLD, _opinion(read))
    assert (fact.words, fact.rule, fact.inferred) == (read.words, read.rule, read.inferred)
    assert (fact.confidence, fact.doubts) == (0.9, ())


def test_what_both_readings_take_from_a_plain_state_is_as_sure_as_the_rules_are() -> None:
    read = Fact(status="done", act="remove", item="rudder", side="port", words=(0, 20), rule="state: remove")
    unlikely = TOLD._replace(chance=0.3)
    for confidence, doubts in ((0.82, ()), (0.5, ("likely, not sure: 50 in 100",))):
        fact = as_fact(unlikely, _opinion(read.model_copy(update={"confidence": confidence})))
        assert (fact.confidence, fact.doubts) == (confidence, doubts)
    assert as_fact(unlikely, _opinion(read.model_copy(update={"rule": "past: remove"}))).doubts


def test_fact_that_only_marked_notes_teach_says_so_with_the_word_that_tells_it() -> None:
    fact = as_fact(TOLD, Opinion(()))
    assert (fact.words, fact.rule) == ((9, 12), RULE)


def test_unsure_fact_is_to_be_checked() -> None:
    (doubt,) = as_fact(TOLD._replace(chance=0.5), Opinion(())).doubts
    assert "50 in 100" in doubt


def test_other_statuses_and_sides_that_stay_possible_are_told() -> None:
    (doubt,) = as_fact(TOLD._replace(rivals=("planned", "no side")), Opinion(())).doubts
    assert "planned or no side" in doubt


def test_two_readings_that_differ_are_told_and_not_settled_in_silence() -> None:
    planned = Fact(status="planned", act="remove", item="rudder", side="port")
    starboard = Fact(status="done", act="remove", item="rudder", side="starboard")
    assert as_fact(TOLD, _opinion(planned)).doubts == ("by the rules it was planned, not done",)
    assert as_fact(TOLD, _opinion(starboard)).doubts == ("by the rules on starboard, here port",)


def test_side_that_was_named_long_before_is_carried_on_by_the_rules() -> None:
    read = Fact(status="done", act="remove", item="rudder", side="port", inferred=(("side", "carried on"),))
    sideless = TOLD._replace(side="")
    fact = as_fact(sideless, _opinion(read), unseen={"port", "starboard"})
    assert (fact.side, fact.inferred, fact.doubts) == ("port", read.inferred, ())
    assert as_fact(sideless, _opinion(read), unseen={"starboard"}).side is None


def test_fillers_fill_the_slots() -> None:
    fillers = (
        Filler(0, 1, "count", Count(240, "nut", True)),
        Filler(0, 1, "stowage", Kept("rack", "3")),
        Filler(0, 1, "stowage", Kept("rack", "4")),
        Filler(0, 1, "stowage", Kept("shelf", "top")),
        Filler(0, 1, "tag", "P-0142"),
        Filler(8, 9, "place", Place(scheme="rib", at="2")),
        Filler(5, 6, "place", Place(scheme="frame", at="9")),
    )
    fact = as_fact(TOLD._replace(fillers=fillers), Opinion(()))
    assert (fact.count, fact.of, fact.about) == (240, "nut", True)
    assert fact.stowage == Stowage(rack="3", shelf="top")
    assert fact.tag == "P-0142"
    assert fact.place == (Place(scheme="frame", at="9"), Place(scheme="rib", at="2"))


def test_fact_of_a_good_rule_that_is_thought_possible_stands_with_a_doubt() -> None:
    read = Fact(status="done", act="remove", item="rudder", side="port", words=(0, 20), rule="past", confidence=0.9)
    (fact,) = half_believed([TOLD._replace(chance=0.2)], [], _opinion(read))
    assert fact.doubts == ("only the rules read this",)
    doubted = read.model_copy(update={"doubts": ("it may be the other rudder",)})
    (fact,) = half_believed([TOLD._replace(chance=0.2)], [], _opinion(doubted))
    assert fact.doubts == ("it may be the other rudder", "only the rules read this")
    assert not half_believed([TOLD], [TOLD], _opinion(read))
    assert not half_believed([TOLD._replace(chance=0.05)], [], _opinion(read))
    assert not half_believed([], [], _opinion(read))
    assert not half_believed([TOLD._replace(chance=0.2)], [], _opinion(read.model_copy(update={"confidence": 0.5})))


def test_fact_of_a_good_rule_on_the_other_side_stands() -> None:
    read = Fact(status="done", act="remove", item="rudder", side="starboard", words=(0, 20), confidence=0.9)
    (fact,) = half_believed([TOLD], [TOLD], _opinion(read))
    assert (fact.side, fact.doubts) == ("starboard", ("only the rules read this",))
    assert not half_believed([TOLD], [TOLD._replace(side="both")], _opinion(read))


def test_work_on_a_part_without_a_term_stands_where_the_rules_are_sure() -> None:
    read = Fact(status="done", act="undo", count=8, of="bolt", words=(0, 20), confidence=0.82)
    (fact,) = half_believed([], [], _opinion(read))
    assert (fact.count, fact.item, fact.doubts) == (8, None, ("only the rules read this",))
    assert not half_believed([], [], _opinion(read.model_copy(update={"confidence": 0.75})))
    assert not half_believed([], [TOLD._replace(told="undo")], _opinion(read))


def test_a_number_is_one_size_alone() -> None:
    pounds, degrees = (Filler(4, 6, "measure", Measure(value=350, unit=unit)) for unit in ("lb", "degC"))
    fact = as_fact(TOLD._replace(fillers=(pounds, degrees)), Opinion(()))
    assert fact.measure == (Measure(value=350, unit="lb"),)
