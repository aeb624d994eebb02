"""The list of parts: one line for each part, with its life, its tag, where it is, and what is to be asked."""

from datetime import UTC, date, datetime, timedelta
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from pipeline.book import vocabulary_folders
from pipeline.lists.logged import LoggedFact
from pipeline.lists.parts_off import parts_off
from pipeline.reading.fact import Fact, Measure, Place, Stowage
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.writing.part_wording import where_text

SATURDAY = datetime(2026, 2, 14, 10, tzinfo=UTC)
VOCABULARY = load_vocabulary(vocabulary_folders("crew-trainer"))
RACK = Stowage(rack="3")


def told(*facts, day=0):
    """One entry a day: the facts in the order said."""
    at = SATURDAY + timedelta(days=day)
    return [LoggedFact(at=at, entry=f"e-{day}", fact=fact, said="…") for fact in facts]


def days(*facts):
    """One fact a day."""
    return [logged for day, fact in enumerate(facts) for logged in told(fact, day=day)]


def done(act, item=None, side=None, **more):
    return Fact(status="done", act=act, item=item, side=side, **more)


def not_done(act, item, side=None):
    return Fact(status="not-done", act=act, item=item, side=side)


def planned(act, item, side=None):
    return Fact(status="planned", act=act, item=item, side=side)


def off(facts):
    return parts_off(facts, VOCABULARY)


def kinds(part):
    return [question.kind for question in part.questions]


def test_removed_part_is_one_line_with_what_held_it_its_tag_and_where_it_is():
    facts = told(
        done("remove", "aileron", "starboard", count=6, of="bolt"),
        done("tag", "aileron", "starboard", tag="P-0142"),
        done("store", "aileron", "starboard", stowage=Stowage(rack="3", shelf="top")),
        Fact(status="seen", finding="corrosion", item="aileron", side="starboard", grade="light"),
    )
    (part,) = off(facts)
    assert (part.item, part.side, part.tag, part.state) == ("aileron", "starboard", "P-0142", "off")
    assert [(held.count, held.of, held.told) for held in part.held] == [(6, "bolt", "undone")]
    assert part.stowage == Stowage(rack="3", shelf="top")
    assert (part.removed_on, part.stowed_on) == (SATURDAY.date(), SATURDAY.date())
    assert part.questions == ()
    assert [event.what for event in part.life] == ["removed", "tagged", "stowed", "finding"]
    assert [event.tag for event in part.life] == [None, "P-0142", None, None]
    assert [event.stowage for event in part.life] == [None, None, part.stowage, None]


def test_both_sides_are_two_parts():
    assert [part.side for part in off(told(done("remove", "rudder", "both")))] == ["port", "starboard"]


def test_last_move_says_where_it_is_now_since_when_whatever_the_order_of_intake():
    early = told(done("remove", "fin"), done("store", "fin", stowage=Stowage(rack="1")))
    late = told(done("store", "fin", stowage=Stowage(stand="2")), day=1)
    assert off(late + early) == off(early + late)
    (part,) = off(late + early)
    assert (part.stowage, part.stowed_on) == (Stowage(stand="2"), date(2026, 2, 15))


def test_part_in_a_bag_stays_in_its_bag_when_it_is_put_on_a_rack():
    (part,) = off(
        days(done("bag", "aileron-hinge", stowage=Stowage(bag="14")), done("store", "aileron-hinge", stowage=RACK))
    )
    assert part.stowage == Stowage(rack="3", bag="14")


def test_place_of_the_slings_does_not_make_two_parts_of_one_wing():
    ribs = (Place(scheme="rib", at="4"), Place(scheme="rib", at="10"))
    facts = told(
        done("remove", "outer-wing", "port"),
        done("lift", "outer-wing", "port", place=ribs),
        done("store", "outer-wing", "port", place=ribs, stowage=Stowage(stand="4")),
    )
    assert [part.stowage for part in off(facts)] == [Stowage(stand="4")]
    assert off(facts[:2])[0].place is None


def test_ribs_of_the_same_name_at_other_places_are_other_parts():
    sixth, ninth = ((Place(scheme="rib", at=at),) for at in ("6", "9"))
    assert len(off(told(done("remove", "nose-rib", place=sixth), done("remove", "nose-rib", place=ninth)))) == 2


def test_fasteners_and_equipment_are_not_parts_off():
    assert off(told(done("bag", "bolt", stowage=Stowage(bag="14")), done("move", "trestle"))) == ()


def test_part_that_was_only_looked_at_or_left_on_is_not_on_the_list():
    assert off(told(Fact(status="seen", finding="sound", item="rib"), not_done("remove", "rudder", "port"))) == ()


def test_refitted_part_closes_its_line_and_removed_again_it_opens_anew():
    facts = days(
        done("remove", "fuel-cock", count=4, of="screw"),
        done("fit", "fuel-cock"),
        done("remove", "fuel-cock", count=3, of="screw"),
    )
    (refitted,) = off(facts[:2])
    assert (refitted.state, refitted.refitted_on) == ("refitted", date(2026, 2, 15))
    assert (refitted.stowage, refitted.questions) == (None, ())
    (again,) = off(facts)
    assert (again.state, again.removed_on, again.refitted_on) == ("off", date(2026, 2, 16), None)
    assert [held.count for held in again.held] == [3]
    assert [event.what for event in again.life] == ["removed", "refitted", "removed-again"]
    assert kinds(again) == ["not-stowed"]


def test_bolts_that_are_fitted_do_not_refit_the_part_that_they_hold():
    (part,) = off(days(done("remove", "fin"), done("fit", "fin", count=6, of="bolt")))
    assert part.state == "off"


def test_part_remembers_what_it_was_joined_to_from_the_joint_undone_with_it():
    spar = (Place(scheme="spar", at="front"),)
    facts = told(
        done("undo", "wing-joint", "port", count=14, of="nut", place=spar),
        done("remove", "outer-wing", "port"),
    )
    (wing,) = [part for part in off(facts) if part.item == "outer-wing"]
    assert (wing.attached_to, wing.attached_by) == (("centre-section",), "undone")
    assert [(held.count, held.of, held.joint, held.place) for held in wing.held] == [(14, "nut", "wing-joint", spar)]
    (other,) = [
        part
        for part in off(
            told(done("undo", "wing-joint", "port", count=14, of="nut"), done("remove", "outer-wing", "starboard"))
        )
    ]
    assert other.attached_by == "usual"


def test_what_is_usual_is_marked_and_gives_way_to_what_was_explained_and_undone():
    removed = told(done("remove", "aileron", "port"))
    explained = told(Fact(status="explained", act="held-by", item="aileron", side="port", count=6, of="bolt"))
    undone = told(done("undo", "aileron", "port", count=4, of="bolt"))
    assert [(one.count, one.told) for one in off(removed)[0].held] == [(5, "usual")]
    assert [(one.count, one.told) for one in off(removed + explained)[0].held] == [(6, "explained")]
    assert [(one.count, one.told) for one in off(removed + explained + undone)[0].held] == [(4, "undone")]


def test_tag_names_its_part_whatever_that_is_called():
    facts = days(
        done("remove", "main-undercarriage", "port", tag="P-0142"),
        done("store", tag="P-0142", stowage=RACK),
        done("inspect", "main-oleo", tag="P-0142"),
    )
    (part,) = off(facts)
    assert (part.stowage, part.tag) == (RACK, "P-0142")
    assert [event.called for event in part.life] == [None, None, "main-oleo"]


def test_tag_that_nobody_told_of_a_part_makes_no_line():
    assert off(told(done("store", tag="P-0142", stowage=RACK))) == ()


def test_corrected_tag_is_kept_and_both_name_the_part():
    facts = days(
        done("remove", "rudder", "port", tag="P-0142"),
        done("tag", "rudder", "port", tag="P-0143"),
        done("store", tag="P-0142", stowage=RACK),
    )
    (part,) = off(facts[:2])
    assert (part.tag, part.former_tags) == ("P-0143", ("P-0142",))
    assert part.life[-1].tag_before == "P-0142"
    assert off(facts)[0].stowage == RACK


def test_another_tag_on_one_of_many_is_another_part():
    facts = days(done("tag", "bracket", tag="P-0142"), done("tag", "bracket", tag="P-0143"))
    assert [part.tag for part in off(facts)] == ["P-0142", "P-0143"]


def test_side_that_nobody_told_is_not_guessed_when_both_are_off():
    facts = days(done("remove", "rudder", "both"), done("store", "rudder", stowage=RACK))
    assert [(part.side, part.stowage) for part in off(facts)] == [("port", None), ("starboard", None), (None, RACK)]


def test_side_that_nobody_told_is_inferred_where_only_one_of_them_waits_for_it():
    facts = days(
        done("remove", "rudder", "both"),
        done("store", "rudder", "port", stowage=Stowage(rack="1")),
        done("store", "rudder", stowage=RACK),
    )
    port, starboard = off(facts)
    assert (port.stowage, starboard.stowage) == (Stowage(rack="1"), RACK)
    assert starboard.life[-1].inferred and not port.life[-1].inferred


def test_part_that_is_moved_and_put_down_in_one_breath_is_where_it_was_put_down():
    removed = days(done("remove", "rudder", "port", stowage=RACK))
    (part,) = off(
        removed
        + told(done("store", "rudder", "port", stowage=Stowage(stand="2")), done("move", "rudder", "port"), day=1)
    )
    assert (part.stowage, part.moved_on) == (Stowage(stand="2"), None)


# Each question: what raises it, the fact that answers it, and one that does not.
ASKED = {
    "not-stowed": (
        [done("remove", "rudder", "port")],
        done("store", "rudder", "port", stowage=RACK),
        done("store", "rudder", "starboard", stowage=RACK),
    ),
    "moved-not-stowed": (
        [done("remove", "rudder", "port", stowage=RACK), done("move", "rudder", "port")],
        done("store", "rudder", "port", stowage=Stowage(stand="2")),
        done("move", "rudder", "port"),
    ),
    "not-removed": (
        [done("store", "battery", stowage=RACK)],
        done("remove", "battery"),
        done("inspect", "battery"),
    ),
    "removed-twice": (
        [done("remove", "rudder", "port", stowage=RACK), done("remove", "rudder", "port")],
        done("fit", "rudder", "port"),
        done("fit", "rudder", "starboard"),
    ),
    "not-removed-but-refitted": (
        [done("fit", "rudder", "port")],
        done("remove", "rudder", "port"),
        done("inspect", "rudder", "port"),
    ),
    "one-tag-two-parts": (
        [done("tag", "rudder", "port", tag="P-0142"), done("tag", "aileron", "port", tag="P-0142")],
        done("tag", "aileron", "port", tag="P-0143"),
        done("store", tag="P-0142", stowage=RACK),
    ),
    "tag-read-elsewhere": (
        [done("tag", "rudder", "port", tag="P-0142"), done("store", "aileron", "port", tag="P-0142", stowage=RACK)],
        done("tag", "rudder", "port", tag="P-0143"),
        done("store", "rudder", "port", stowage=RACK),
    ),
    "other-side-not-told": (
        [planned("remove", "rudder", "both"), done("remove", "rudder", "port")],
        not_done("remove", "rudder", "starboard"),
        done("inspect", "rudder", "starboard"),
    ),
}


@pytest.mark.parametrize("kind", ASKED)
def test_each_question_is_answered_by_the_fact_that_answers_it_and_by_no_other(kind):
    raising, answer, other = ASKED[kind]
    facts = days(*raising)
    raised = [question for part in off(facts) for question in part.questions if question.kind == kind]
    assert raised
    assert set(raised[0].entries) <= {logged.entry for logged in facts} and raised[0].entries
    assert kind in {one for part in off(facts + told(other, day=9)) for one in kinds(part)}
    assert kind not in {one for part in off(facts + told(answer, day=9)) for one in kinds(part)}


def test_question_about_the_other_side_is_not_asked_where_nobody_spoke_of_both():
    assert kinds(off(days(done("remove", "rudder", "port", stowage=RACK)))[0]) == []
    one_by_one = days(
        planned("remove", "rudder", "port"),
        planned("remove", "rudder", "starboard"),
        done("remove", "rudder", "port", stowage=RACK),
    )
    assert kinds(off(one_by_one)[0]) == ["other-side-not-told"]


def test_telling_it_twice_on_one_day_is_no_second_removal():
    facts = told(done("remove", "rudder", "port"), done("remove", "rudder", "port"))
    assert kinds(off(facts)[0]) == ["not-stowed"]


def test_both_that_are_off_and_told_to_be_off_again_stay_two_parts():
    facts = days(done("remove", "rudder", "both"), done("remove", "rudder"))
    assert [part.side for part in off(facts)] == ["port", "starboard"]


def test_tag_question_names_both_parts_and_every_entry():
    raising = ASKED["one-tag-two-parts"][0]
    rudder, aileron = off(days(*raising))
    (asked,) = [one for one in rudder.questions if one.kind == "one-tag-two-parts"]
    assert asked in aileron.questions
    assert (asked.tag, asked.item, asked.others) == ("P-0142", "rudder", (("aileron", "port"),))
    assert asked.entries == ("e-0", "e-1")


ITEMS = st.sampled_from(["rudder", "aileron", "bracket", "wheel", "main-undercarriage", "main-oleo"])
SIDES = st.sampled_from([None, "port", "starboard", "both"])
TAGS = st.sampled_from([None, None, "P-0001", "P-0002"])
KEPT = st.sampled_from([None, RACK, Stowage(bag="7"), Stowage(stand="2")])
PLACES = st.sampled_from([None, None, (Place(scheme="rib", at="4"),), (Place(scheme="rib", at="9"),)])
FACTS = st.builds(
    Fact,
    status=st.sampled_from(["done", "done", "done", "planned", "not-done", "explained"]),
    act=st.sampled_from(["remove", "fit", "store", "bag", "tag", "move", "undo", "inspect", "held-by", "make"]),
    item=st.one_of(st.none(), ITEMS),
    side=SIDES,
    place=PLACES,
    tag=TAGS,
    stowage=KEPT,
    count=st.sampled_from([None, 4]),
    of=st.sampled_from([None, "bolt"]),
    measure=st.sampled_from([None, (Measure(value=3, unit="mm"),)]),
)


@settings(max_examples=50, deadline=None)
@given(st.lists(st.lists(FACTS, min_size=1, max_size=4), min_size=1, max_size=4))
def test_days_taken_in_in_any_order_give_the_same_list(book):
    by_day = [told(*facts, day=day) for day, facts in enumerate(book)]
    lists = {off([one for day in order for one in day]) for order in permutations(by_day)}
    assert len(lists) == 1


class LifeOfParts(RuleBasedStateMachine):
    """A book that goes on day after day, against a plain account of what was last said of each rudder."""

    def __init__(self):
        super().__init__()
        self.facts = []
        self.day = 0
        self.last = {}
        self.kept = {}

    @rule(fact=FACTS)
    def anything_is_said(self, fact):
        if fact.item != "rudder" and fact.tag is None:
            self._say(fact)

    @rule(side=st.sampled_from(["port", "starboard"]), kept=KEPT)
    def rudder_comes_off(self, side, kept):
        self._say(done("remove", "rudder", side, stowage=kept))
        self.last[side] = "off"
        self.kept[side] = self._kept(side, kept)

    @rule(side=st.sampled_from(["port", "starboard"]))
    def rudder_goes_on(self, side):
        self._say(done("fit", "rudder", side))
        self.last[side], self.kept[side] = "refitted", None

    @rule(side=st.sampled_from(["port", "starboard"]), kept=KEPT.filter(bool))
    def rudder_is_stored(self, side, kept):
        self._say(done("store", "rudder", side, stowage=kept))
        self.kept[side] = self._kept(side, kept)
        if self.last.get(side) != "off":
            self.last[side] = "unknown"

    def _kept(self, side, kept):
        before = self.kept.get(side)
        if kept and before and before.bag and not kept.bag:
            return kept.model_copy(update={"bag": before.bag})
        return kept or before

    def _say(self, fact):
        self.facts += told(fact, day=self.day)
        self.day += 1

    @invariant()
    def each_rudder_is_where_it_was_last_said_to_be(self):
        parts = {part.side: part for part in off(self.facts) if part.item == "rudder"}
        assert {side: part.state for side, part in parts.items()} == self.last
        assert {side: part.stowage for side, part in parts.items()} == {
            side: self.kept.get(side) for side in self.last
        }

    @invariant()
    def no_part_is_both_on_and_off(self):
        for part in off(self.facts):
            assert (part.state == "refitted") == (part.refitted_on is not None)
            assert part.state != "off" or part.removed_on is not None
            assert part.state != "refitted" or part.stowage is None

    @invariant()
    def questions_stand_exactly_while_nothing_answers_them(self):
        for part in off(self.facts):
            asked = kinds(part)
            nowhere = part.state == "off" and part.stowage is None
            assert ("not-stowed" in asked) == (nowhere and part.moved_on is None)
            assert ("moved-not-stowed" in asked) == (nowhere and part.moved_on is not None)
            made = any(event.act == "make" for event in part.life)  # a new one, which never was on the aircraft
            assert ("not-removed" in asked) == (part.state == "unknown" and not made)
            assert len(asked) == len(set(asked)) or part.tag

    @invariant()
    def every_line_leads_back_to_its_entries(self):
        entries = {logged.entry for logged in self.facts}
        for part in off(self.facts):
            assert part.life and {event.entry for event in part.life} <= entries
            assert all(question.entries and set(question.entries) <= entries for question in part.questions)


TestLifeOfParts = LifeOfParts.TestCase
TestLifeOfParts.settings = settings(max_examples=40, stateful_step_count=20, deadline=None)


def spoken(fact, said, sentence, day=0):
    return [LoggedFact(at=SATURDAY + timedelta(days=day), entry=f"e-{day}", fact=fact, said=said, around=sentence)]


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ("The spinner's back on", "The spinner's back on the propeller, all twelve screws."),
        ("on", "The spinner's back on, twelve screws in and torqued."),
        ("on", "The spinner is on the starboard outer engine, twelve screws, wire locked."),
        ("Refitted the spinner", "Refitted the spinner, twelve screws."),
        ("fitted", "The spinner is fitted with its twelve screws."),
        ("Put", "Put the spinner back, all twelve screws."),
        ("Put", "Put the number three spinner on number two."),
        ("is on", "The spinner is on number one, six screws a side."),
        ("Fitted", "Fitted the spinner."),
        ("on", "The spinner is back from the welder, and on number three."),
    ],
)
def test_part_that_goes_back_with_its_fasteners_is_refitted(said, sentence):
    fact = done("fit", "spinner", count=12, of="screw")
    (part,) = off([*days(done("remove", "spinner")), *spoken(fact, said, sentence, day=7)])
    assert (part.state, part.refitted_on) == ("refitted", (SATURDAY + timedelta(days=7)).date())


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ("Twelve screws back in", "Twelve screws back in the spinner."),
        ("Put", "Put twelve screws back in the spinner."),
        ("Fitted twelve screws", "Fitted twelve screws to the spinner."),
        ("twelve screws in", "The propeller's back on, and twelve screws in the spinner."),
        ("on", "The spinner is on the engine stand, twelve screws fitted."),
        ("twelve screws back in", "The spinner's got its twelve screws back in."),
        ("Fitted twelve", "Fitted twelve to the spinner."),
        ("Put twelve", "Put all twelve in the spinner."),
    ],
)
def test_fasteners_that_go_back_alone_refit_no_part(said, sentence):
    fact = done("fit", "spinner", count=12, of="screw")
    (part,) = off([*days(done("remove", "spinner")), *spoken(fact, said, sentence, day=7)])
    assert part.state == "off"


def words(fact, said, around="", day=0):
    """One fact of an entry with the speaker's words: those that it was read from, and the sentence around them."""
    at = SATURDAY + timedelta(days=day)
    return LoggedFact(at=at, entry=f"e-{day}", fact=fact, said=said, around=around or said)


OUT_AND_IN = "I've taken the worn rudder cable out and fitted a new one."
IN_BOX_SIX = "The old cable's in box six, tagged P-0105."


def a_swap(day=0):
    return [
        words(done("remove", "control-cable"), "taken the worn rudder cable out", OUT_AND_IN, day),
        words(done("fit", "control-cable"), "fitted a new one", OUT_AND_IN, day),
        words(done("store", "control-cable", stowage=Stowage(box="6")), "box six", IN_BOX_SIX, day),
        words(done("tag", "control-cable", tag="P-0105"), "tagged", IN_BOX_SIX, day),
    ]


def test_old_one_of_a_swap_keeps_its_tag_and_store_and_the_new_one_is_on_the_aircraft():
    old, new = off(a_swap())
    assert (old.state, old.tag, old.stowage) == ("replaced", "P-0105", Stowage(box="6"))
    assert (old.removed_on, old.replaced_on) == (SATURDAY.date(), SATURDAY.date())
    assert (new.state, new.tag, new.stowage, new.refitted_on) == ("refitted", None, None, SATURDAY.date())
    assert (old.questions, new.questions) == ((), ())


def test_old_one_is_put_away_on_the_day_of_the_swap_also_where_nobody_says_old():
    facts = [*a_swap()[:2], words(done("store", "control-cable", stowage=Stowage(box="6")), "That's in box six.")]
    old, new = off(facts)
    assert (old.state, old.stowage, new.state) == ("replaced", Stowage(box="6"), "refitted")


def test_old_one_of_a_swap_is_known_by_its_tag_and_as_the_old_one_on_later_days():
    moved = words(done("move", "control-cable", stowage=Stowage(rack="2")), "The old cable's on rack two now.", day=7)
    tagged = words(
        done("move", "control-cable", tag="P-0105", stowage=Stowage(rack="3")), "P-0105, rack three", day=9
    )
    old, new = off([*a_swap(), moved])
    assert (old.stowage, new.state) == (RACK.model_copy(update={"rack": "2"}), "refitted")
    old, new = off([*a_swap(), moved, tagged])
    assert (old.stowage, new.state) == (RACK, "refitted")


def test_new_one_that_comes_off_again_is_another_line_than_the_old_one():
    facts = [*a_swap(), *told(done("remove", "control-cable"), day=3)]
    old, new = off(facts)
    assert (old.state, new.state, new.removed_on) == ("replaced", "off", SATURDAY.date() + timedelta(days=3))


def test_part_that_was_put_back_with_new_bolts_is_the_same_part():
    sentence = "The rudder is back on with new rudder bolts."
    facts = [
        *told(done("remove", "rudder", "port")),
        words(done("fit", "rudder", "port"), "back on", sentence, day=1),
    ]
    (part,) = off(facts)
    assert part.state == "refitted"


def test_part_of_which_the_bolts_were_replaced_is_off_as_it_was():
    sentence = "The bolts of the rudder have been replaced by six new ones."
    said = "The bolts of the rudder have been replaced"
    facts = [
        *told(done("remove", "rudder", "port")),
        words(done("fit", "rudder", "port", count=6, of="bolt"), said, sentence, day=1),
    ]
    (part,) = off(facts)
    assert part.state == "off"


def test_part_is_refitted_where_its_fasteners_are_told_after_it():
    sentence = "Prop's on, eight bolts, torqued and wire locked."
    fit = done("fit", "propeller", count=8, of="bolt")
    facts = told(done("remove", "propeller", count=8, of="bolt"))
    (part,) = off([*facts, words(fit, "Prop's on", sentence, day=1)])
    assert part.state == "refitted"
    (part,) = off([*facts, words(fit, "Prop's on", "Prop's on.", day=1)])  # the bolts come in the next sentence
    assert part.state == "refitted"


def panels_back(*said):
    """Three panels that came off on a Saturday, and what was said of them on each day after: words and fact."""
    facts = told(done("remove", "access-panel", "port", count=3, of="access-panel"))
    for day, (words, fact) in enumerate(said, 1):
        facts += [one.model_copy(update={"said": words, "around": words}) for one in told(fact, day=day)]
    (part,) = off(facts)
    return part


def test_one_of_three_that_is_back_leaves_two_off():
    one = done("fit", "access-panel", "port", count=1, of="access-panel")
    part = panels_back(("One access panel is back on.", one))
    assert (part.state, part.refitted_on) == ("off", None)
    assert [(one.kind, one.numbers) for one in part.questions] == [("not-stowed", ()), ("some-still-off", (2,))]
    two = done("fit", "access-panel", "port", count=2, of="access-panel")
    part = panels_back(("One access panel is back on.", one), ("Two access panels are back on.", two))
    assert (part.state, part.refitted_on, part.questions) == ("refitted", date(2026, 2, 16), ())


@pytest.mark.parametrize(
    ("words", "left"),
    [
        ("Access panel one is back on with forty screws.", 2),
        ("Access panels two and three are back on, thirty-six screws and forty screws.", 1),
        ("The access panel is back on.", 2),
        ("The access panels are back on.", 0),
        ("All three are back on.", 0),
        ("Access panels one, two and three are back on.", 0),
    ],
)
def test_how_many_are_back_is_told_by_a_number_or_by_one_name(words, left):
    part = panels_back((words, done("fit", "access-panel", "port")))
    assert (part.state, sum(one.kind == "some-still-off" for one in part.questions)) == (
        ("off", 1) if left else ("refitted", 0)
    )
    assert [one.numbers for one in part.questions if one.kind == "some-still-off"] == ([(left,)] if left else [])


def test_part_that_is_tightened_and_locked_with_what_was_fitted_is_on():
    came_off = words(done("remove", "propeller"), "The propeller is off")
    bolts = words(done("fit", "propeller", count=8, of="bolt"), "Eight bolts in the propeller", day=9)
    torqued = words(done("tighten", "propeller"), "torqued", day=9)
    locked = words(done("lock", "propeller"), "wire locked", day=9)
    assert [part.state for part in off([came_off, bolts, torqued])] == ["off"]
    (part,) = off([came_off, bolts, torqued, locked])
    assert (part.state, part.refitted_on, part.questions) == ("refitted", date(2026, 2, 23), ())


def test_part_that_is_off_and_was_locked_since_is_asked_about():
    came_off = words(done("remove", "propeller", stowage=RACK), "The propeller is off")
    locked = words(done("lock", "propeller"), "The propeller is wire locked", day=9)
    (part,) = off([came_off, locked])
    assert part.state == "off"
    assert [(one.kind, one.days) for one in part.questions] == [("fast-while-off", (date(2026, 2, 23),))]


def test_what_came_off_and_was_changed_later_is_still_asked_for_and_what_was_changed_at_once_is_not():
    new = done("fit", "elevator", "port")
    facts = told(done("remove", "elevator", "port"))
    facts += [one.model_copy(update={"said": "fitted a new elevator"}) for one in told(new, day=21)]
    old = off(facts)[0]
    assert (old.state, kinds(old)) == ("replaced", ["not-stowed"])
    facts = told(done("remove", "elevator", "port"))
    facts += [one.model_copy(update={"said": "fitted a new elevator"}) for one in told(new)]
    assert [kinds(part) for part in off(facts)] == [[], []]


def said(words, fact, day=0):
    """One entry of one fact in the words of its sentence."""
    at = SATURDAY + timedelta(days=day)
    return LoggedFact(at=at, entry=f"e-{day}", fact=fact, said=words, around=words)


def test_part_that_was_sent_away_is_told_in_the_speakers_words():
    away = "Sent the propeller away to the shop for overhaul."
    (part,) = off([*days(done("remove", "propeller", stowage=RACK)), said(away, done("store", "propeller"), day=1)])
    assert (part.stowage, part.kept_in_words, part.stowed_on, kinds(part)) == (None, away, date(2026, 2, 15), [])
    assert where_text(part) == f"as it was said on 15 February 2026: “{away}”"


def test_place_that_no_list_has_is_kept_until_another_is_told():
    first = said("The elevator's been shifted to the loft.", done("move", "elevator", "port"), day=1)
    second = said("It's on rack 3.", done("store", "elevator", "port", stowage=RACK), day=2)
    (part,) = off([*days(done("remove", "elevator", "port")), first, second])
    assert (part.stowage, part.kept_in_words) == (RACK, "")


def test_stored_without_any_place_is_still_asked():
    (part,) = off([*days(done("remove", "fin")), said("The fin's stored.", done("store", "fin"), day=1)])
    assert (part.kept_in_words, kinds(part)) == ("", ["not-stowed"])


def test_engine_that_is_back_in_is_refitted_when_its_bolts_come_in_the_next_sentence():
    fact = done("fit", "engine", count=4, of="bolt")
    (part,) = off([*days(done("remove", "engine")), said("The engine's back in.", fact, day=1)])
    assert (part.state, kinds(part)) == ("refitted", [])
    (part,) = off([*days(done("remove", "engine")), said("Back in, all four.", fact, day=1)])
    assert part.state == "off"


def test_oil_line_that_came_off_is_on_again_once_it_is_connected():
    (part,) = off(days(done("remove", "oil-line", "port"), done("connect", "oil-line", "port")))
    assert (part.state, kinds(part)) == ("refitted", [])
    (part,) = off(days(done("remove", "engine"), done("connect", "engine")))
    assert part.state == "off"


def test_number_of_parts_whose_words_name_a_single_one_is_no_number_of_them():
    gone = said("Starboard aileron's off as well.", done("remove", "aileron", "starboard", count=3, of="aileron"))
    back = said("The aileron's back on, three bolts.", done("fit", "aileron", "starboard", count=3, of="bolt"), day=1)
    (part,) = off([gone, back])
    assert (part.state, kinds(part)) == ("refitted", [])


def test_cables_that_are_called_otherwise_are_lines_of_their_own():
    bottle = said("Fire bottle cable off.", done("remove", "control-cable"))
    elevator = said("Elevator cable off and on rack 3.", done("remove", "control-cable", stowage=RACK), day=1)
    again = said("The elevator cable is back on.", done("fit", "control-cable"), day=2)
    lines = off([bottle, elevator, again])
    assert [(line.called, line.state) for line in lines] == [
        ("fire bottle cable", "off"),
        ("elevator cable", "refitted"),
    ]


def test_part_that_was_fitted_and_is_kept_again_has_no_day_on_which_it_came_off():
    off, back = done("remove", "rudder", "port"), done("fit", "rudder", "port")
    kept = done("store", "rudder", "port", stowage=RACK)
    (part,) = parts_off(days(off, kept, back, kept), VOCABULARY)
    assert (part.state, part.removed_on, part.stowage) == ("unknown", None, RACK)
    assert [question.kind for question in part.questions] == ["not-removed"]
    assert [event.what for event in part.life][:3] == ["removed", "stowed", "refitted"]


def in_words(words, *facts, day=0):
    return [one.model_copy(update={"around": words, "said": words}) for one in told(*facts, day=day)]


def test_tag_that_is_taken_back_by_name_is_the_same_parts():
    rack = done("store", "rib", "port", stowage=RACK, tag="P-0204")
    first = told(done("remove", "rib", "port")) + told(rack, day=1)
    tagged = done("tag", "rib", "port", tag="P-0214")
    (part,) = parts_off(
        first + in_words("The port rib's label should be P-0214, not P-0204.", tagged, day=2), VOCABULARY
    )
    assert (part.tag, part.former_tags, part.stowage) == ("P-0214", ("P-0204",), RACK)
    assert len(parts_off(first + in_words("The port rib is tagged P-0214.", tagged, day=2), VOCABULARY)) == 2
    both = first + told(done("remove", "rib", "starboard"), done("tag", "rib", "starboard", tag="P-0205"))
    bare = tagged.model_copy(update={"side": None})
    found = parts_off(both + in_words("The rib's tag is P-0214, not P-0204.", bare, day=2), VOCABULARY)
    assert {(one.side, one.tag) for one in found} == {("port", "P-0214"), ("starboard", "P-0205")}
    two = told(done("remove", "rib", "port"), done("tag", "rib", "port", tag="2"))
    twelve = in_words("The port rib's tag is 12, not 3.", done("tag", "rib", "port", tag="12"), day=2)
    assert [one.tag for one in parts_off(two + twelve, VOCABULARY)] == ["2", "12"]


def test_several_that_came_off_without_a_side_are_off_on_each_side_that_is_told_later():
    kept = in_words("Left magneto on rack three, right one too.", done("store", "magneto", "port", stowage=RACK))
    kept += in_words(
        "Left magneto on rack three, right one too.", done("store", "magneto", "starboard", stowage=RACK)
    )
    for words, states in (("The magnetos are off.", ["off", "off"]), ("A magneto is off.", ["off", "unknown"])):
        parts = parts_off(in_words(words, done("remove", "magneto")) + kept, VOCABULARY)
        assert [(one.side, one.state) for one in parts] == list(zip(("port", "starboard"), states, strict=True))
        assert [one.life[0].what for one in parts if one.state == "off"] == ["removed"] * states.count("off")


def test_cable_that_was_disconnected_and_tagged_is_no_part_that_is_off():
    parted, tagged = done("disconnect", "control-cable"), done("tag", "control-cable", tag="P-0301")
    assert parts_off(told(parted, tagged), VOCABULARY) == ()
    second = parted.model_copy(update={"tag": "P-0302"}), tagged
    assert parts_off(told(*second), VOCABULARY) == ()
    kept = done("store", "control-cable", stowage=RACK)
    (part,) = parts_off(told(parted, tagged, kept), VOCABULARY)
    assert (part.tag, part.stowage) == ("P-0301", RACK)


def test_what_held_a_part_is_told_once_where_one_breath_tells_it_twice():
    out = done("remove", "rudder", "port", count=3, of="bolt"), done("undo", "rudder", "port", count=3, of="bolt")
    (part,) = parts_off(told(*out), VOCABULARY)
    assert [(one.count, one.of) for one in part.held] == [(3, "bolt")]


@pytest.mark.parametrize(
    "words",
    [
        "Hung the engine on the mount for the weekend, two bolts only.",
        "The engine's on temporarily, to get the stand back.",
        "Trial fitted the engine.",
    ],
)
def test_part_that_is_fitted_for_now_is_off_still_and_kept_there_in_words(words):
    off = told(done("remove", "engine"), done("store", "engine", stowage=Stowage(stand="3")))
    (part,) = parts_off(off + in_words(words, done("fit", "engine"), day=2), VOCABULARY)
    assert (part.state, part.refitted_on, part.stowage, part.kept_in_words) == ("off", None, None, words)
    assert part.questions == ()
    again = in_words("The engine's off the mount again.", done("remove", "engine"), day=4)
    again += in_words("It's on stand three.", done("store", "engine", stowage=Stowage(stand="3")), day=4)
    (part,) = parts_off(off + in_words(words, done("fit", "engine"), day=2) + again, VOCABULARY)
    assert (part.state, part.stowage, part.kept_in_words) == ("off", Stowage(stand="3"), "")
    assert (part.removed_on, part.questions) == (SATURDAY.date(), ())
