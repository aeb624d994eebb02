"""Where a part is: by name, by tag, by rack; what is not told off is on the aircraft as far as is told."""

from datetime import UTC, datetime, timedelta

import pytest

from pipeline.book import vocabulary_folders
from pipeline.lists.bags import bags_emptied
from pipeline.lists.disconnections import disconnections
from pipeline.lists.fasteners import fasteners
from pipeline.lists.logged import LoggedFact
from pipeline.lists.parts_off import parts_off
from pipeline.reading.fact import Fact, Stowage
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.records import BookRecord, EntryRecord, FactRecord, Lists, Records, UtteranceRecord
from pipeline.where import where

SATURDAY = datetime(2026, 2, 14, 10, tzinfo=UTC)
BAG_3 = Stowage(bag="3")
FIN_AND_BAG = Stowage(rack="2", bag="3")
VOCABULARY = load_vocabulary(vocabulary_folders("crew-trainer"))
FACTS = (
    Fact(status="done", act="remove", item="rudder", side="port", tag="P-0142"),
    Fact(status="done", act="store", item="rudder", side="port", stowage=Stowage(rack="3", shelf="top")),
    Fact(status="done", act="remove", item="fin", side="port"),
    Fact(status="done", act="remove", item="aileron", side="both", stowage=Stowage(room="paint store")),
    Fact(status="done", act="bag", item="bolt", count=6, of="bolt", stowage=Stowage(bag="14")),
    Fact(status="done", act="store", item="main-undercarriage", side="port", stowage=Stowage(stand="2")),
    Fact(status="done", act="tag", item="aileron", side="port", tag="P-0150"),
    Fact(status="done", act="tag", item="aileron", side="port", tag="P-0151"),
    Fact(status="done", act="disconnect", item="fuel-line", side="port"),
    Fact(status="done", act="undo", item="fin", count=8, of="screw"),
    Fact(status="done", act="store", item="elevator", side="port", stowage=Stowage(room="long store")),
    Fact(status="done", act="store", item="elevator", side="port", stowage=Stowage(stand="5")),
)


def ask(*words):
    logged = [LoggedFact(at=SATURDAY, entry="e", fact=fact, said="…") for fact in FACTS]
    entry = EntryRecord(
        id="e",
        at=SATURDAY,
        media="m",
        start_s=0,
        end_s=9,
        utterances=(),
        facts=tuple(FactRecord(**fact.as_marked(), said="…", utterances=()) for fact in FACTS),
    )
    book = BookRecord(title="", aircraft="", zone="UTC", program="", model="", vocabulary="")
    lists = Lists(parts_off=parts_off(logged, VOCABULARY), disconnections=disconnections(logged, VOCABULARY))
    records = Records(book=book, entries=(entry,), lists=lists)
    return where(records, VOCABULARY, UTC, words)


@pytest.mark.parametrize(
    "words",
    [
        ("where", "is", "the", "port", "rudder?"),
        ("Where's the left rudder",),
        ("P-0142",),
        ("p0142",),
        ("P-142",),
        ("tag", "p", "0142"),
        ("what", "is", "on", "rack", "3"),
        ("rack", "3?"),
    ],
)
def test_part_is_found_by_name_by_tag_and_by_rack(words):
    assert ask(*words).lines == ("port rudder (P-0142): on rack 3, top shelf since 14 February 2026",)


@pytest.mark.parametrize(
    ("words", "line"),
    [
        ("starboard rudder", "starboard rudder: on the aircraft as far as is told"),
        ("port fin", "port fin: came off on 14 February 2026, nobody said where it is kept"),
        ("where are the bolts in bag 14", "6 bolts: in bag 14, told on 14 February 2026"),
        ("P-0150", "port aileron (P-0151, before: P-0150): in the paint store since 14 February 2026"),
        (
            "port main oleo",
            "port main oleo: nothing is told of it alone; port main undercarriage: on stand 2 since 14 February 2026",
        ),
    ],
)
def test_each_state_is_told_in_one_line(words, line):
    assert ask(words).lines == (line,)


def test_other_one_of_a_pair_is_told_too():
    assert ask("rudders").lines[1] == "starboard rudder: on the aircraft as far as is told"
    assert len(ask("ailerons").lines) == 2
    assert len(ask("what is in the paint store").lines) == 2


def test_bag_that_is_asked_for_itself_is_told_first_with_where_it_is():
    book = said_book(
        ("Twelve screws in bag 3.", [(Fact(status="done", act="bag", count=12, of="screw", stowage=BAG_3), ())]),
        ("Bag 3 with the fin on rack 2.", [(Fact(status="done", act="store", item="fin", stowage=FIN_AND_BAG), ())]),
    )
    assert asked_of(book, "where is bag 3").lines[0] == "bag 3: on rack 2. In it:"
    assert asked_of(book, "what is in bag 3").lines[0].startswith("fin: on rack 2, in bag 3")


def test_rack_that_has_a_letter_is_a_rack():
    book = said_book(
        ("Fin on rack A.", [(Fact(status="done", act="store", item="fin", stowage=Stowage(rack="A")), ())])
    )
    assert asked_of(book, "what's on rack A?").lines[0].startswith("fin: on rack A")
    assert "No part is called" in asked_of(book, "a rack a long way off").advice


def test_place_that_no_list_has_is_found_by_its_words():
    gone = Fact(status="done", act="remove", item="elevator", side="port")
    moved = Fact(status="done", act="move", item="elevator", side="port")
    book = said_book(
        ("Port elevator off.", [(gone, ())]), ("The elevator's been shifted to the loft.", [(moved, ())])
    )
    told = "port elevator: as it was said on 15 February 2026: “The elevator's been shifted to the loft.”"
    assert asked_of(book, "loft").lines == (told,)
    assert asked_of(book, "elevator").lines[0] == told


def test_near_names_tags_and_racks_are_offered_where_nothing_fits():
    assert ask("ruder").lines == ()
    assert "Did you mean rudder" in ask("ruder").advice
    assert "P-0142" in ask("P-0143").advice
    assert ask("rack", "9").advice == "Nothing was told to be on rack 9. Told of: rack 3."
    assert "Say what to look for" in ask("where", "is", "it?").advice


def test_fasteners_are_where_they_were_put_and_never_on_the_aircraft():
    assert ask("where", "bolts").lines == ("6 bolts: in bag 14, told on 14 February 2026",)
    assert ask("corroded", "bolt").lines == ("6 bolts: in bag 14, told on 14 February 2026",)
    assert ask("screws").lines == ("screw: nobody said where",)


def test_service_that_was_disconnected_is_told_as_that():
    (line,) = ask("port fuel line").lines
    assert line == "port fuel line: disconnected on 14 February 2026, and nobody said that it came off"


def test_place_that_is_empty_by_now_tells_where_its_things_went():
    answer = ask("where", "long", "store")
    assert answer.lines == ()
    assert answer.advice.startswith(
        "Nothing is told to be in the long store any more. What was there: port elevator:"
    )
    assert "on stand 5" in answer.advice


def said_book(*days):
    """A book of one entry a day: its words, and its facts with the doubts of each."""
    entries, utterances, logged = [], [], []
    for day, (words, facts) in enumerate(days):
        at = SATURDAY + timedelta(days=day)
        told = tuple(
            FactRecord(**fact.as_marked(), said=words, utterances=(f"u-{day}",), check=check) for fact, check in facts
        )
        entries.append(
            EntryRecord(id=f"e-{day}", at=at, media="m", start_s=0, end_s=9, utterances=(f"u-{day}",), facts=told)
        )
        utterances.append(
            UtteranceRecord(
                id=f"u-{day}", media="m", start_s=0, end_s=9, start_at=at, end_at=at, heard=words, read=words
            )
        )
        logged += [LoggedFact(at=at, entry=f"e-{day}", fact=fact, said=words, around=words) for fact in told]
    book = BookRecord(title="", aircraft="", zone="UTC", program="", model="", vocabulary="")
    emptied = bags_emptied((one.id, one.at, days[at][0]) for at, one in enumerate(entries))
    lists = Lists(parts_off=parts_off(logged, VOCABULARY), fasteners=fasteners(logged, VOCABULARY, emptied))
    return Records(book=book, entries=tuple(entries), utterances=tuple(utterances), lists=lists)


def asked_of(records, words):
    return where(records, VOCABULARY, UTC, words.split())


def screws(number):
    return Fact(status="done", act="bag", item="screw", count=number, of="screw", stowage=Stowage(bag="3"))


TWELVE = ("That's twelve screws, and they're in bag three.", [(screws(12), ())])
NINE_LEFT = ("Three are back in, and nine are left in bag three.", [(screws(9), ())])


def test_bag_is_told_as_it_was_told_last_with_what_was_told_before():
    told = "9 screws: in bag 3, told on 15 February 2026 (before: 12 screws, told on 14 February 2026)"
    for words in ("what is in bag 3", "screws"):
        assert asked_of(said_book(TWELVE, NINE_LEFT), words).lines == (told,)
        empty = said_book(TWELVE, NINE_LEFT, ("All back in, so bag three is empty now.", []))
        assert asked_of(empty, words).lines == (f"{told}; the bag was said to be empty on 16 February 2026",)


@pytest.mark.parametrize("those", ["of the fin screws", "of the screws"])
def test_bag_that_was_split_holds_what_is_left_in_it_and_not_both_numbers(those):
    off = Fact(status="done", act="undo", item="fin", count=12, of="screw")
    in_6 = screws(3).model_copy(update={"stowage": Stowage(bag="6")})
    words = f"I've put three {those} in bag six, the other nine are in bag three still."
    first = ("Twelve screws out of the fin, bag three.", [(off, ()), (screws(12), ())])
    book = said_book(first, (words, [(in_6, ()), (screws(9), ())]))
    (line,) = asked_of(book, "what is in bag 3").lines
    assert line.startswith("9 screws: in bag 3, told on 15 February 2026 (before: 12 screws")
    (line,) = asked_of(book, "what is in bag 6").lines
    assert line.startswith("3 screws: in bag 6, told on 15 February 2026")


def test_what_is_out_of_its_bag_since_is_told():
    book = said_book(TWELVE, ("The cover is on, ten screws out of bag three.", []))
    told = "12 screws: in bag 3, told on 14 February 2026; 10 were said to be out of it on 15 February 2026"
    assert asked_of(book, "bag 3").lines[1:] == (told,)


def test_what_is_in_a_bag_that_was_put_together_with_another_is_told_there_and_no_more_in_its_own():
    four = Fact(status="done", act="bag", item="bolt", count=4, of="bolt", stowage=Stowage(bag="7", rack="2"))
    together = ("Bag three is in bag seven now.", [])
    book = said_book(TWELVE, ("Four bolts in bag seven.", [(four, ())]), together, ("Bag 7 is in bag 9.", []))
    moved = "12 screws: in bag 3, told on 14 February 2026; in bag 9 since 17 February 2026"
    there = (moved, "4 bolts: on rack 2, in bag 7, told on 15 February 2026; in bag 9 since 17 February 2026")
    assert asked_of(book, "bag 9").lines[1:] == there
    assert asked_of(book, "screws").lines == (moved,)
    for bag in ("bag 3", "bag 7"):
        answer = asked_of(book, bag)
        assert answer.lines == ()
        assert answer.advice.startswith(f"Nothing is told to be in {bag} any more. What was there: {moved}")
    ten_out = said_book(TWELVE, together, ("Ten screws out of bag seven.", []), ("Bag seven is empty.", []))
    (line,) = asked_of(ten_out, "screws").lines
    assert line.endswith(
        "in bag 7 since 15 February 2026; 10 were said to be out of it on 16 February 2026; "
        "the bag was said to be empty on 17 February 2026"
    )


def test_bag_that_was_spoken_of_alone_where_no_fact_was_read_is_told_all_the_same():
    book = said_book(TWELVE, ("Bag three is empty now.", []))
    alone = book.model_copy(update={"entries": book.entries[:1]})
    told = "12 screws: in bag 3, told on 14 February 2026; the bag was said to be empty on 15 February 2026"
    assert asked_of(alone, "bag 3").lines[1:] == (told,)


def test_place_that_was_spoken_of_is_never_said_not_to_have_been_told_of():
    answer = asked_of(said_book(("The four instruments are in box two.", [])), "box 2")
    assert answer.lines == ()
    assert "Nothing was told" not in answer.advice
    assert "14 February 2026: \u201cThe four instruments are in box two.\u201d" in answer.advice


def test_what_rests_on_a_fact_to_check_says_so_and_no_more_once_a_person_has_looked():
    store = Fact(status="done", act="store", item="rudder", side="port", stowage=Stowage(rack="3"))
    book = said_book(("Rudder on rack three.", [(store, ("it may be the starboard one",))]))
    assert asked_of(book, "rudder").lines[0] == "port rudder: on rack 3 since 14 February 2026 (to check)"
    accepted = book.model_copy(update={"entries": (book.entries[0].model_copy(update={"review": "accepted"}),)})
    assert asked_of(accepted, "rudder").lines[0] == "port rudder: on rack 3 since 14 February 2026"


def test_both_parts_of_a_swap_are_told():
    out_and_in = "Taken the old compass out and fitted a new one."
    remove = (Fact(status="done", act="remove", item="compass"), ())
    fit = (Fact(status="done", act="fit", item="compass"), ())
    store = (Fact(status="done", act="store", item="compass", stowage=Stowage(box="6"), tag="P-0105"), ())
    book = said_book((f"{out_and_in} The old one is in box six.", [remove, fit, store]))
    assert asked_of(book, "compass").lines == (
        "compass (P-0105): replaced by another one on 14 February 2026: in box 6 since 14 February 2026",
        "compass: on the aircraft: fitted on 14 February 2026",
    )


def test_fasteners_in_a_bag_are_told_with_what_they_hold():
    off = Fact(status="done", act="remove", item="rudder", side="port", count=12, of="screw")
    book = said_book(("The port rudder is off, twelve screws, in bag three.", [(off, ()), (screws(12), ())]))
    told = "12 screws of the port rudder: in bag 3, told on 14 February 2026"
    assert asked_of(book, "bag 3").lines[1:] == (told,)
    some = screws(None).model_copy(update={"side": "port", "of": None})
    uncounted = said_book(("The port rudder is off, twelve screws, in bag three.", [(off, ()), (some, ())]))
    assert asked_of(uncounted, "bag 3").lines[1].startswith("screws of the port rudder: ")


def test_the_pump_is_the_one_that_the_book_tells_of():
    off = Fact(status="done", act="remove", item="vacuum-pump")
    book = said_book(("The vacuum pump is off.", [(off, ())]))
    (line,) = asked_of(book, "where is the pump").lines
    assert line.startswith("vacuum pump: ")
    assert len(asked_of(said_book(("Nothing.", [])), "pump").lines) > 1  # of none is told: any of them


def test_place_in_the_speakers_words_is_found_before_a_part_that_nobody_told_of():
    sill = "The rudder's in a jar on the windowsill."
    stored = Fact(status="done", act="store", item="rudder")
    book = said_book(
        ("Rudder's off.", [(Fact(status="done", act="remove", item="rudder"), ())]), (sill, [(stored, ())])
    )
    for words in ("window sill", "windowsill"):
        (line,) = asked_of(book, words).lines
        assert line.startswith("rudder: ") and sill in line


def test_a_rack_that_has_a_letter_is_told_with_its_capital():
    assert ask("rack", "a").advice.startswith("Nothing was told to be on rack A.")


def test_a_numbered_tag_is_found_on_its_part_and_in_the_words_that_tell_a_range():
    tagged = Fact(status="done", act="tag", item="rudder", side="port", tag="2")
    book = said_book(
        ("Rudder has tag 2.", [(Fact(status="done", act="remove", item="rudder", side="port"), ()), (tagged, ())]),
        ("I put tags 4 to 9 on the six panels.", []),
    )
    assert asked_of(book, "where is tag 2").lines[0].startswith("port rudder (2): ")
    spoken = asked_of(book, "tag 5")
    assert spoken.lines == ()
    assert "15 February 2026: \u201cI put tags 4 to 9 on the six panels.\u201d" in spoken.advice
    assert asked_of(book, "tag 10").advice.startswith("No part carries the tag 10.")


def test_fasteners_of_a_part_are_asked_for_by_both_names_and_are_no_parts():
    hinge = Fact(status="done", act="remove", item="rudder-hinge", side="port", count=4, of="bolt")
    bolts = Fact(status="done", act="bag", item="bolt", count=4, of="bolt", stowage=Stowage(bag="3"))
    fin = Fact(status="done", act="undo", item="fin", count=8, of="bolt")
    book = said_book(
        ("The port rudder hinge is off, four bolts in bag 3.", [(hinge, ()), (bolts, ())]), ("", [(fin, ())])
    )
    bagged = "bolts of the port rudder hinge: 4 undone; bagged: 4, bag 3"
    for words in ("hinge bolt", "where are the rudder hinge bolts", "bolts of the port hinge", "rudder bolts"):
        assert asked_of(book, words).lines == (bagged,), words
    aileron = Fact(status="done", act="undo", item="aileron-hinge", side="port", count=5, of="bolt")
    other = Fact(status="done", act="undo", item="aileron", side="starboard", count=6, of="bolt")
    both = asked_of(said_book(("", [(aileron, ()), (other, ())])), "aileron bolts").lines
    assert [line.partition(":")[0] for line in both] == [
        "bolts of the port aileron hinge",
        "bolts of the starboard aileron",
    ]
    assert asked_of(book, "fin bolts").lines == ("bolts of the fin: 8 undone; nobody said where",)
    assert asked_of(book, "rudder hinge").lines[0].startswith("port rudder hinge: came off")
    assert asked_of(book, "fuel tank bolts").advice == 'Nothing is told of any "fuel tank bolts".'
    assert asked_of(book, "wing nut").lines == ("nut: nobody said where",)


def test_engine_that_came_off_by_its_number_is_found_by_its_place():
    off = Fact(status="done", act="remove", item="engine", stowage=Stowage(stand="2"))
    book = said_book(("Number one engine is off and on stand 2.", [(off, ())]))
    for words in ("number one engine", "port outer engine"):
        assert asked_of(book, words).lines[0].startswith("number 1 engine: on stand 2"), words
    assert asked_of(book, "starboard outer engine").lines == ()
