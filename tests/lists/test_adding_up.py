"""What goes for all lists before they are added up: the order of the work, and one form of each tag."""

from datetime import UTC, date, datetime, timedelta
from types import SimpleNamespace

from pipeline.adding_up import added_up, labels_told_otherwise
from pipeline.book import vocabulary_folders
from pipeline.lists.bags import all_told
from pipeline.reading.fact import Measure, Place, Stowage
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.records import EntryRecord, FactRecord, UtteranceRecord

START = datetime(2026, 1, 10, 10, tzinfo=UTC)
BENCH = SimpleNamespace(
    settings=SimpleNamespace(zone=UTC), vocabulary=load_vocabulary(vocabulary_folders("crew-trainer"))
)


def did(act, item, said, **more):
    return FactRecord(status="done", act=act, item=item, said=said, utterances=(), **more)


def saw(finding, item, said, **more):
    return FactRecord(status="seen", finding=finding, item=item, said=said, utterances=(), **more)


def lists_of(*entries, start=START):
    """Add up entries, each (id, minutes after the start, its words, its facts); without facts it is none: speech."""
    records, utterances = [], []
    for name, minutes, words, facts in entries:
        at = start + timedelta(minutes=minutes)
        own = [fact.model_copy(update={"utterances": (f"u-{name}",)}) for fact in facts]
        entry = EntryRecord(
            id=name, at=at, media="m", start_s=0, end_s=9, utterances=(f"u-{name}",), facts=tuple(own)
        )
        records += [entry] if own else []
        utterances.append(
            UtteranceRecord(
                id=f"u-{name}", media="m", start_s=0, end_s=9, start_at=at, end_at=at, heard=words, read=words
            )
        )
    return added_up(records, utterances, BENCH)


RACK, BOX = Stowage(rack="4"), Stowage(box="2")
ON_THE_RACK = did("store", "rudder", "The rudder's on rack four", stowage=RACK)
IN_THE_BOX = did("store", "rudder", "it was in box two", stowage=BOX)


def test_a_part_is_where_it_was_put_last_and_not_where_it_was_before_that():
    told = ("e-1", 0, "The rudder's on rack four.", [ON_THE_RACK])
    (part,) = lists_of(told, ("e-2", 1, "Before that it was in box two.", [IN_THE_BOX])).lists.parts_off
    assert (part.stowage, [event.entry for event in part.life]) == (RACK, ["e-2", "e-1"])
    (part,) = lists_of(told, ("e-2", 1, "Now it is in box two.", [IN_THE_BOX])).lists.parts_off
    assert part.stowage == BOX
    (part,) = lists_of(
        ("e-1", 0, "The rudder's on rack four. Before that it was in box two.", [ON_THE_RACK, IN_THE_BOX])
    ).lists.parts_off
    assert part.stowage == RACK


def test_a_crack_that_was_smaller_before_that_has_its_size_of_now():
    now = saw("crack", "frame", "The crack is 18 mm", measure=(Measure(value=18, unit="mm"),))
    then = saw("crack", "frame", "it was 15", measure=(Measure(value=15, unit="mm"),))
    (line,) = lists_of(
        ("e-1", 0, "The crack is 18 mm.", [now]), ("e-2", 2, "Before that it was 15.", [then])
    ).lists.findings
    assert line.measure == now.measure
    assert [one.entry for one in line.seen] == ["e-2", "e-1"]


def test_a_trestle_put_there_before_that_holds_up_what_was_undone_after_it():
    undone = did("undo", "tailplane", "I undid the tailplane bolts", count=8, of="bolt")
    trestled = did(
        "support", "tailplane", "I put a trestle under the tailplane", place=(Place(scheme="frame", at="26"),)
    )
    told = ("e-1", 0, "I undid the tailplane bolts.", [undone])
    before = ("e-2", 1, "Before that I put a trestle under the tailplane.", [trestled])
    after = ("e-2", 1, "Then I put a trestle under the tailplane.", [trestled])
    assert "support-before-undo" in [cause.rule for cause in lists_of(told, after).causes]
    found = lists_of(told, before)
    assert "support-before-undo" not in [cause.rule for cause in found.causes]
    (line,) = found.lists.holding_up
    assert (line.since, line.moves[0].entry) == (START, "e-2")


def test_each_before_that_goes_before_the_one_that_was_told_before_it():
    off = did("remove", "fin", "I took the fin off")
    freed = did("disconnect", "rudder-control-rod", "I freed the rudder rods")
    drained = did("disconnect", "wiring-loom", "I unplugged the loom")
    words = "I took the fin off. Before that I freed the rudder rods. And before that I unplugged the loom."
    parted = lists_of(("e-1", 0, words, [off, freed, drained])).lists.disconnections
    assert [line.item for line in parted] == ["wiring-loom", "rudder-control-rod"]


def test_plans_are_owed_in_the_order_of_the_work():
    off = FactRecord(status="planned", act="remove", item="fin", said="we'll take the fin off", utterances=())
    freed = off.model_copy(update={"act": "disconnect", "item": "rudder-control-rod", "said": "we free the rods"})
    owed = lists_of(("e-1", 0, "Next week we'll take the fin off. Before that we free the rods.", [off, freed]))
    assert [line.item for line in owed.lists.to_do] == ["rudder-control-rod", "fin"]


def test_work_keeps_its_entry_and_its_day():
    late = datetime(2026, 1, 10, 23, 55, tzinfo=UTC)
    off, freed = did("remove", "fin", "The fin's off"), did("remove", "rudder", "I took the rudder off")
    words = "Before that I took the rudder off."
    fin, rudder = lists_of(
        ("e-1", 0, "The fin's off.", [off]), ("e-2", 10, words, [freed]), start=late
    ).lists.parts_off
    assert (fin.item, rudder.removed_on) == ("fin", date(2026, 1, 11))
    rudder, fin = lists_of(("e-1", 0, "The fin's off.", [off]), ("e-2", 10, words, [freed])).lists.parts_off
    assert (rudder.item, rudder.life[0].entry, fin.life[0].entry) == ("rudder", "e-2", "e-1")
    fin, rudder = lists_of(("e-1", 0, "The fin's off.", [off]), ("e-2", 20, words, [freed])).lists.parts_off
    assert rudder.item == "rudder"  # twenty minutes later it is another talk


def test_tag_that_was_said_with_fewer_zeros_is_the_labels():
    tagged = did("tag", "rudder", "tagged P-0142", tag="P-0142")
    again = did("store", "rudder", "P-142 is on rack four", stowage=RACK, tag="P-142")
    (part,) = lists_of(
        ("e-1", 0, "Tagged P-0142.", [tagged]), ("e-2", 60, "P-142 is on rack four.", [again])
    ).lists.parts_off
    assert (part.tag, part.former_tags, part.stowage) == ("P-0142", (), RACK)
    (part,) = lists_of(("e-2", 60, "P-142 is on rack four.", [again])).lists.parts_off
    assert part.tag == "P-142"  # as a team's own tags may be


BAGGED = did("bag", "bolt", "Four bolts in bag five", count=4, of="bolt", stowage=Stowage(bag="5"))
OFF = did("remove", "fin", "The fin's off", count=4, of="bolt")


def test_what_is_said_of_a_bag_counts_where_no_fact_was_read_and_it_is_in_no_entry():
    off = ("e-1", 0, "The fin's off, four bolts. Four bolts in bag five.", [OFF, BAGGED])
    (line,) = lists_of(off, ("e-2", 60, "Bag five is empty now.", [])).lists.fasteners
    assert (line.emptied_on, line.moves[-1].entry) == (START.date(), "u-e-2")
    (line,) = lists_of(off, ("e-2", 60, "Put the contents of bag five in bag nine.", [])).lists.fasteners
    assert (line.bags, line.moves[-1].entry) == (("9",), "u-e-2")


def test_what_a_person_rejected_says_nothing_of_a_bag():
    told = [("e", START, "Bag five is empty now.")]
    entry = EntryRecord(id="e", at=START, media="m", start_s=0, end_s=9, utterances=("u",), facts=(OFF,))
    said = UtteranceRecord(
        id="u", media="m", start_s=0, end_s=9, start_at=START, end_at=START, heard=told[0][2], read=told[0][2]
    )
    assert list(all_told([entry], [said])) == told
    assert list(all_told([entry.model_copy(update={"review": "rejected"})], [said])) == []


def test_what_is_said_of_a_bag_is_the_same_whether_a_photo_makes_an_entry_of_it_or_not():
    words = "Bag five is empty now."
    said = UtteranceRecord(
        id="u", media="m", start_s=0, end_s=9, start_at=START, end_at=START, heard=words, read=words
    )
    photos_alone = EntryRecord(id="e", at=START, media="m", start_s=0, end_s=9, utterances=("u",))
    assert list(all_told([photos_alone], [said])) == list(all_told([], [said])) == [("u", START, words)]


def test_a_tag_stands_as_the_label_has_it_that_a_photo_shows():
    off = did("remove", "rudder", "The rudder's off, tag P-7", tag="P-7")
    entry = EntryRecord(id="e-1", at=START, media="m", start_s=0, end_s=9, utterances=("u",), facts=(off,))

    def tags(*labels):
        seen = labels_told_otherwise([entry], [SimpleNamespace(labels=labels), SimpleNamespace(labels=())])
        return seen, [part.tag for part in added_up([entry], [], BENCH, seen).lists.parts_off]

    assert tags() == ((), ["P-7"])
    assert tags("P-007", "P-0008") == (("P-007",), ["P-007"])
    assert tags("P-7") == ((), ["P-7"])
    assert tags("P-007", "P-0007") == ((), ["P-7"])  # which of the two was meant nobody knows
