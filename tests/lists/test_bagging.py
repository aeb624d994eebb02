"""Which joint's fasteners were bagged, how many of each, and what becomes of them when a part comes off once more."""

from datetime import UTC, date, datetime, timedelta

from pipeline.book import vocabulary_folders
from pipeline.lists.bags import taken_out
from pipeline.lists.fasteners import fasteners
from pipeline.lists.logged import LoggedFact, sentence_of
from pipeline.reading.fact import Fact, Stowage
from pipeline.reading.vocabulary import load_vocabulary

SATURDAY = datetime(2026, 2, 14, 10, tzinfo=UTC)
VOCABULARY = load_vocabulary(vocabulary_folders("crew-trainer"))


def told(words, *facts, day=0):
    """What one entry tells: its words, and each fact with those of the words that it is read from."""
    return [
        LoggedFact(
            at=SATURDAY + timedelta(days=day), entry=f"e-{day}", fact=fact, said=said, around=sentence_of(words, said)
        )
        for said, fact in facts
    ]


def did(act, item, count=None, of="bolt", **more):
    return Fact(status="done", act=act, item=item, count=count, of=of if count else None, **more)


def bag(number, count=None, of="bolt", **more):
    return Fact(status="done", act="bag", item=of, count=count, of=of, stowage=Stowage(bag=number), **more)


def numbers(*facts, taken=()):
    """Of each line its part, its side, how many came out, were bagged and are back, and its bags."""
    return [
        (line.item, line.side, line.undone, line.bagged, line.fitted, line.bags)
        for line in fasteners([one for each in facts for one in each], VOCABULARY, taken=taken)
    ]


def out_of_bags(words, day):
    return taken_out([(f"e-{day}", SATURDAY + timedelta(days=day), words)])


def test_what_was_bagged_of_each_side_by_one_number_is_of_both():
    words = "Both flaps are off, six bolts each, in bag thirteen."
    off = ("Both flaps are off", did("remove", "flap", 12, side="both"))
    both = [("flap", side, 6, 6, None, ("13",)) for side in ("port", "starboard")]
    assert numbers(told(words, off, ("bag thirteen", bag("13", 6, side="both")))) == both
    words = "Both flaps are off, twelve bolts, six bolts in bag thirteen."
    port, starboard = numbers(told(words, off, ("bag thirteen", bag("13", 6))))
    assert [port[3], starboard[3]] != [6, 6]  # only one side's, as far as is told


def test_all_in_one_bag_is_all_that_the_sentence_undid():
    off = [
        ("Port elevator's off", did("remove", "elevator", 4, side="port")),
        ("starboard elevator's off", did("remove", "elevator", 3, side="starboard")),
    ]
    bagged = ("bag 16", bag("16", 3, side="starboard"))
    words = "Port elevator's off, four bolts, starboard elevator's off, three bolts, all in bag 16."
    both = [("elevator", "port", 4, 4, None, ("16",)), ("elevator", "starboard", 3, 3, None, ("16",))]
    assert numbers(told(words, *off, bagged)) == both
    split = "Port elevator's off, four bolts. starboard elevator's off, three bolts. They're all in bag 16."
    assert numbers(told(split, *off, ("bag 16", bag("16")))) == both
    port, starboard = numbers(told(words.replace("all in", "those in"), *off, bagged))
    assert (port[3], starboard[3]) == (None, 3)


def test_those_of_them_that_were_drilled_out_are_counted_once():
    undone = ("Took out 42 screws", did("undo", "access-panel", 42, "screw"))
    drilled = did("drill-out", "access-panel", 2, "screw")
    (line,) = fasteners(
        told("Took out 42 screws. Two of them had to be drilled out.", undone, ("Two", drilled)), VOCABULARY
    )
    assert (line.undone, line.drilled_out) == (40, 2)
    (line,) = fasteners(told("Took out 42 screws. Two more were drilled out.", undone, ("Two", drilled)), VOCABULARY)
    assert (line.undone, line.drilled_out) == (42, 2)


def test_one_more_that_is_told_by_its_place_among_all_puts_their_number_right():
    off = told("Undid five bolts, in bag 11.", ("Undid", did("undo", "rudder", 5)), ("bag 11", bag("11")))
    sixth = ("bolt", bag("11", 1))
    (line,) = fasteners([*off, *told("The sixth bolt is in bag 11 now.", sixth, day=1)], VOCABULARY)
    assert (line.undone, [move.what for move in line.moves]) == (6, ["undo 5", "bag", "undo 6", "bag 1"])
    (line,) = fasteners([*off, *told("The fifth bolt is in bag 11 now.", sixth, day=1)], VOCABULARY)
    assert line.undone == 5


def test_part_that_comes_off_once_more_has_its_fasteners_out_again():
    off = told("Rudder's off, four bolts in bag 3.", ("off", did("remove", "rudder", 4)), ("bag 3", bag("3", 4)))
    on = told("Rudder's back on, four bolts.", ("back on", did("fit", "rudder", 4)), day=1)
    again = told("The rudder's off again. Four bolts in bag 5.", ("off", did("remove", "rudder")), day=2)
    bagged = told("The rudder's off again. Four bolts in bag 5.", ("bag 5", bag("5", 4)), day=2)
    back = told("Rudder's back on, four bolts.", ("back on", did("fit", "rudder", 4)), day=3)
    assert numbers(off, on, again) == [("rudder", None, 4, None, None, ())]
    assert numbers(off, on, again, bagged) == [("rudder", None, 4, 4, None, ("5",))]
    assert numbers(off, on, again, bagged, back) == [("rudder", None, 4, 4, 4, ("5",))]
    undone = told("Undid the four bolts of the rudder again.", ("Undid", did("undo", "rudder", 4)), day=2)
    assert numbers(off, on, undone) == [("rudder", None, 4, None, None, ())]


def test_fasteners_of_the_new_one_stay_in_when_the_old_one_is_told_of_as_off():
    off = told("Rudder's off, four bolts.", ("off", did("remove", "rudder", 4)))
    on = told("A new rudder is on, four bolts.", ("on", did("fit", "rudder", 4)), day=1)
    old = told("The old rudder is off and gone.", ("The old rudder is off", did("remove", "rudder")), day=2)
    ((*_, fitted, _),) = numbers(off, on, old)
    assert fitted == 4


def test_mount_bolts_out_of_their_bag_are_back_in_with_the_engine():
    undone = ("Undid four engine mount bolts", did("undo", "engine-mount", 4))
    off = told("Undid four engine mount bolts, in bag nine.", undone, ("bag nine", bag("9", 4)))
    on = told("Engine's back in.", ("Engine's back in", did("fit", "engine")), day=1)
    four = out_of_bags("Engine's back in. Four mount bolts from bag nine.", 1)
    (line,) = fasteners([*off, *on], VOCABULARY, taken=four)
    assert (line.fitted, line.emptied_on) == (4, date(2026, 2, 15))


def test_what_is_out_of_a_bag_for_a_part_that_has_fasteners_of_its_own_is_not_of_others():
    flap = told("Flap's off, six bolts in bag 13.", ("off", did("remove", "flap", 6)), ("bag 13", bag("13", 6)))
    rudder = told(
        "Rudder's off, six bolts in bag 2.", ("off", did("remove", "rudder", 6)), ("bag 2", bag("2", 6)), day=1
    )
    on = told("Rudder's on.", ("Rudder's on", did("fit", "rudder")), day=2)
    lines = fasteners([*flap, *rudder, *on], VOCABULARY, taken=out_of_bags("Rudder's on, six bolts from bag 13.", 2))
    assert [line.emptied_on for line in lines] == [None, None]


def test_so_many_each_out_of_a_bag_are_so_many_of_each_side():
    off = told(
        "Both flap jacks are off. Two bolts each, in bag 14.",
        ("off", did("remove", "flap-jack", 4, side="both")),
        ("bag 14", bag("14", 4)),
    )
    on = told("Both flap jacks are on.", ("on", did("fit", "flap-jack", side="both")), day=1)
    two_each = out_of_bags("Both flap jacks are on, two bolts each out of bag fourteen.", 1)
    lines = fasteners([*off, *on], VOCABULARY, taken=two_each)
    assert [(line.side, line.fitted, line.emptied_on) for line in lines] == [
        (side, 2, date(2026, 2, 15)) for side in ("port", "starboard")
    ]


def test_bolt_that_is_missing_at_a_part_is_that_parts():
    missing = Fact(status="seen", finding="missing", item="bolt", count=1, of="bolt")
    (line,) = fasteners(told("Found a bolt missing at the fin.", ("a bolt missing", missing)), VOCABULARY)
    assert (line.item, line.missing) == ("fin", 1)


def test_what_was_bagged_of_a_joint_on_both_sides_by_one_number_is_twice_as_many():
    words = "The control columns are out, both of them, four bolts each, bag 35."
    off = ("are out", did("remove", "control-column", 8, side="both"))
    (line,) = fasteners(told(words, off, ("bag 35", bag("35", 4, side="both"))), VOCABULARY)
    assert (line.undone, line.bagged, line.questions) == (8, 8, ())


def test_those_that_are_broken_are_accounted_for():
    words = "The rudder's off, six bolts, two of them sheared. The good four are in bag 31."
    off, good = ("The rudder's off", did("remove", "rudder", 6)), ("bag 31", bag("31", 4))
    sheared = ("sheared", Fact(status="seen", finding="broken", item="bolt", count=2, of="bolt"))
    (line,) = fasteners(told(words, off, sheared, good), VOCABULARY)
    assert (line.broken, line.not_bagged, line.questions) == (2, 0, ())
    (line,) = fasteners(told(words, off, good), VOCABULARY)
    assert line.not_bagged == 2


def test_bag_that_was_split_holds_the_rest_of_what_was_alone_in_it():
    off = told("Rudder's off, eight bolts in bag 35.", ("off", did("remove", "rudder", 8)), ("bag 35", bag("35", 8)))
    words = "Bag 35 has been split, the rudder's bolts from the top are in bag 37 now."
    (line,) = fasteners([*off, *told(words, ("bag 37", bag("37")), day=1)], VOCABULARY)
    assert (line.bags, line.bagged) == (("35", "37"), 8)
    (line,) = fasteners([*off, *told("The rudder's bolts are in bag 37.", ("bag 37", bag("37")), day=1)], VOCABULARY)
    assert line.bags == ("37",)


def test_bolts_of_a_part_are_known_by_its_name_with_an_s():
    rudder = told("Rudder's off, four bolts.", ("Rudder's off", did("remove", "rudder", 4)))
    fin = told("Fin's off, four bolts.", ("Fin's off", did("remove", "fin", 4)), day=1)
    bagged = told("The rudder's bolts are in bag 3.", ("bag 3", bag("3")), day=2)
    assert [line.bags for line in fasteners([*rudder, *fin, *bagged], VOCABULARY)] == [("3",), ()]
