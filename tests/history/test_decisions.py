"""What people decided, put onto what the program reads: in any order of decisions and reruns."""

from hypothesis import given
from hypothesis import strategies as st

from pipeline.history.decisions import as_decided
from pipeline.history.events import Act
from pipeline.history.versions import version_of
from tests.history.made_entries import by_id, decision, done, made_entry, photo

FIRST = by_id(made_entry("e-1"), made_entry("e-2", words="The fin's off.", item="fin", photos=(2,), start_s=9))
AGAIN = by_id(
    made_entry("e-1", words="The port runner's off.", item="trim-tab"),
    made_entry("e-2", words="The fin's off.", item="fin", photos=(2,), start_s=9),
)


def items(stands, entry="e-1"):
    return [fact.item for fact in stands[entry].read.entry.facts]


def test_without_decisions_every_entry_stands_as_it_is_read():
    stands = as_decided(FIRST, ())
    assert list(stands) == ["e-1", "e-2"]
    assert all(one.read == FIRST[name] and one.review == "unread" for name, one in stands.items())


def test_each_decision_gives_its_state():
    for act, state in (("accept", "accepted"), ("reject", "rejected")):
        assert as_decided(FIRST, done((), decision(act, "e-1", FIRST)))["e-1"].review == state
    change = {"facts": [{"status": "done", "act": "remove", "item": "elevator"}]}
    stands = as_decided(FIRST, done((), decision("amend", "e-1", FIRST, after=change)))
    assert (stands["e-1"].review, items(stands)) == ("amended", ["elevator"])
    assert stands["e-1"].read.entry.facts[0].utterances == ("u-1",)


def test_an_entry_that_was_decided_on_says_after_a_rerun_what_it_said_then_and_is_asked_again():
    for act in ("accept", "reject"):
        acts = done((), decision(act, "e-1", FIRST))
        assert not as_decided(FIRST, acts)["e-1"].asked
        stands = as_decided(AGAIN, acts)
        assert items(stands) == ["rudder"]
        assert stands["e-1"].read.words[0].read == "The port rudder's off."
        assert stands["e-1"].asked
        assert stands["e-1"].machine == AGAIN["e-1"]
        assert not stands["e-2"].asked


def test_deciding_again_after_the_rerun_settles_it_and_changes_nothing_else():
    acts = done((), decision("accept", "e-1", FIRST))
    acts = done(acts, decision("accept", "e-1", AGAIN, acts))
    stands = as_decided(AGAIN, acts)
    assert items(stands) == ["rudder"]
    assert not stands["e-1"].asked
    assert as_decided(FIRST, acts)["e-1"].asked


def test_a_small_change_of_how_sure_the_program_is_asks_nobody():
    acts = done((), decision("accept", "e-1", FIRST))
    surer = by_id(made_entry("e-1", p=0.97), FIRST["e-2"])
    assert not as_decided(surer, acts)["e-1"].asked


def test_taking_back_the_only_decision_gives_the_programs_reading_again():
    acts = done((), decision("accept", "e-1", FIRST))
    acts = done(acts, Act("Bea Linnet", "withdraw", "e-1", None, {"withdrawn": 1}))
    stands = as_decided(AGAIN, acts)
    assert (stands["e-1"].review, items(stands)) == ("unread", ["trim-tab"])


def test_taking_back_one_amendment_leaves_the_others():
    acts = done((), decision("amend", "e-1", FIRST, after={"words": [{"utterance": "u-1", "read": "Other words."}]}))
    acts = done(acts, decision("amend", "e-1", FIRST, acts, {"photos": []}))
    acts = done(acts, Act("Bea Linnet", "withdraw", "e-1", None, {"withdrawn": 1}))
    stands = as_decided(FIRST, acts)
    assert stands["e-1"].read.words[0].read == "The port rudder's off."
    assert stands["e-1"].read.entry.photos == ()
    assert stands["e-1"].review == "amended"


def test_accepting_an_amendment_that_is_taken_back_afterwards_counts_no_more():
    acts = done((), decision("amend", "e-1", FIRST, after={"photos": []}))
    acts = done(acts, decision("accept", "e-1", FIRST, acts, who="Ted Marrack"))
    assert as_decided(FIRST, acts)["e-1"].review == "amended"
    acts = done(acts, Act("Bea Linnet", "withdraw", "e-1", None, {"withdrawn": 1}))
    assert as_decided(FIRST, acts)["e-1"].review == "unread"


def test_an_amended_fact_that_is_told_as_before_keeps_the_words_that_tell_it():
    fact = FIRST["e-1"].entry.facts[0]
    change = {"facts": [{"status": "done", "act": "remove", "item": "rudder", "side": "port"}, {"status": "seen"}]}
    kept, new = as_decided(FIRST, done((), decision("amend", "e-1", FIRST, after=change)))["e-1"].read.entry.facts
    assert kept == fact
    assert new.rule == "as a person amended it"


def test_an_entry_that_the_program_no_longer_makes_stands_if_a_person_decided_on_it():
    acts = done((), decision("accept", "e-1", FIRST))
    only = by_id(FIRST["e-2"])
    stands = as_decided(only, acts)
    assert list(stands) == ["e-2", "e-1"]
    assert stands["e-1"].asked and stands["e-1"].machine is None
    assert list(as_decided(only, ())) == ["e-2"]


def test_words_and_photos_that_a_person_decided_on_are_in_no_other_entry_after_a_rerun():
    acts = done((), decision("accept", "e-1", FIRST))
    # the program now begins the entry later, and the same words and photo are in another one
    moved = made_entry("e-3", photos=(1, 3))
    moved = moved.model_copy(
        update={
            "entry": moved.entry.model_copy(update={"utterances": ("u-1",), "facts": FIRST["e-1"].entry.facts}),
            "words": FIRST["e-1"].words,
        }
    )
    stands = as_decided(by_id(moved), acts)
    assert [link.media for link in stands["e-1"].read.entry.photos] == [photo(1)]
    assert [link.media for link in stands["e-3"].read.entry.photos] == [photo(3)]
    assert stands["e-3"].read.entry.utterances == ()
    assert stands["e-3"].read.entry.facts == ()
    assert "e-3" not in as_decided(by_id(_with_photos(moved, (1,))), acts)


def _with_photos(one, numbers):
    photos = made_entry(photos=numbers).entry.photos
    return one.model_copy(update={"entry": one.entry.model_copy(update={"photos": photos})})


def test_a_photo_that_a_person_put_to_another_entry_leaves_the_first():
    acts = done((), decision("amend", "e-2", FIRST, after={"photos": [photo(2), photo(1)]}))
    stands = as_decided(FIRST, acts)
    assert stands["e-1"].read.entry.photos == ()
    assert [link.media for link in stands["e-2"].read.entry.photos] == [photo(2), photo(1)]
    assert stands["e-2"].read.entry.photos[1].why == ("placed here by Bea Linnet",)


def test_clocks_are_put_right_also_under_what_a_person_decided():
    acts = done((), decision("accept", "e-1", FIRST))
    later = made_entry("e-1", at=FIRST["e-1"].entry.at.replace(hour=13))
    stands = as_decided(by_id(later), acts)
    assert stands["e-1"].read.entry.at == later.entry.at
    assert not stands["e-1"].asked


WORDS = ("The port rudder's off.", "The port runner's off.", "The fort rudder's off.")
steps = st.lists(
    st.tuples(st.just("rerun"), st.sampled_from(WORDS), st.sampled_from(["rudder", "fin"]))
    | st.tuples(st.sampled_from(["accept", "reject"]))
    | st.tuples(st.just("amend"), st.sampled_from(["elevator", "aileron"]))
    | st.tuples(st.just("withdraw"), st.integers(1, 12)),
    max_size=12,
)


@given(steps)
def test_no_order_of_reruns_and_decisions_undoes_what_a_person_decided(taken):
    machine, acts, decided, photos = FIRST, [], None, {photo(1), photo(2)}
    for step in taken:
        if step[0] == "rerun":
            machine = by_id(made_entry("e-1", words=step[1], item=step[2]), FIRST["e-2"])
        elif step[0] == "withdraw":
            standing = [act.n for act in as_decided(machine, acts)["e-1"].decided]
            if step[1] in standing:
                acts = done(acts, Act("Bea Linnet", "withdraw", "e-1", None, {"withdrawn": step[1]}))
                decided = None
        else:
            change = {"facts": [{"status": "done", "item": step[1]}]} if step[0] == "amend" else None
            acts = done(acts, decision(step[0], "e-1", machine, acts, change))
            decided = as_decided(machine, acts)["e-1"]
        stands = as_decided(machine, acts)
        if decided is not None:
            assert stands["e-1"].review == decided.review
            assert stands["e-1"].version == decided.version
        if not stands["e-1"].decided:
            assert stands["e-1"].read == machine["e-1"]
        last = stands["e-1"].decided[-1:]
        assert stands["e-1"].asked == bool(last and last[0].before["read"] != version_of(machine["e-1"]))
        assert {link.media for one in stands.values() for link in one.read.entry.photos} == photos
        assert stands["e-2"].read == FIRST["e-2"]
