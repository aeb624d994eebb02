"""A history played again, whole and up to a day; and what a run adds to it."""

import random
from datetime import date
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from pipeline.history.chain import append, head_file, next_file, read
from pipeline.history.check import check_signatures
from pipeline.history.events import Act
from pipeline.history.past import Past, Playing, first_made, past_of, until
from pipeline.history.recording import made_since
from pipeline.history.versions import as_json
from pipeline.records import MediaRecord
from pipeline.values import Kind, TimeSource
from tests.history.made_entries import NOON, SOUND, by_id, chained, decision, made_entry, photo

LONDON = ZoneInfo("Europe/London")
ONE, OTHER = made_entry("e-1"), made_entry("e-1", item="fin")


def media(name=SOUND, still_of=None):
    return MediaRecord(
        id=name,
        path="media/a.wav",
        kind=Kind.RECORDING,
        content_type="audio/wav",
        taken_at=NOON,
        time_source=TimeSource.FILE,
        time_error_s=1,
        shown_at=NOON,
        moved_s=0,
        device="",
        still_of=still_of,
    )


def added(acts, past, *read, files=()):
    """The acts so far with what a run would add."""
    return [*acts, *made_since(past, files, read, "saidseen 0.1.0")]


def test_a_run_writes_what_is_new_once():
    acts = added([], Past(), ONE, files=[media(), media(photo(4), still_of=SOUND)])
    assert [(act.act, act.on) for act in acts] == [("took-in", SOUND), ("read", "e-1")]
    assert acts[0].after == {"path": "media/a.wav", "sha256": "a" * 64}
    assert added(acts, past_of(chained(*acts)), ONE, files=[media()]) == acts


def test_a_run_writes_what_it_reads_otherwise_with_both_readings_and_what_is_gone():
    acts = added([], Past(), ONE)
    acts = added(acts, past_of(chained(*acts)), OTHER)
    assert (acts[1].before, acts[1].after) == (as_json(ONE), as_json(OTHER))
    acts = added(acts, past_of(chained(*acts)))
    assert (acts[2].before, acts[2].after) == (as_json(OTHER), None)
    assert past_of(chained(*acts)).machine == {}


def test_a_small_change_of_how_sure_it_is_writes_nothing():
    acts = added([], Past(), ONE)
    assert added(acts, past_of(chained(*acts)), made_entry("e-1", p=0.97)) == acts


def test_the_record_as_first_made_and_as_it_stood_on_any_day_can_be_shown():
    read = [Act("saidseen", "read", "e-1", None, as_json(ONE)), Act("saidseen", "read", "e-1", as_json(ONE), None)]
    changed = Act("saidseen", "read", "e-1", None, as_json(OTHER))
    reject = decision("reject", "e-1", by_id(OTHER))
    days = [date(2026, 2, 14), date(2026, 2, 15), date(2026, 2, 16), date(2026, 2, 17)]
    events = [
        event.model_copy(update={"at": event.at.replace(day=day.day)})
        for event, day in zip(chained(*read, changed, reject), days, strict=True)
    ]
    assert first_made(events) == {"e-1": ONE}
    shown = [past_of(until(events, day, LONDON)).stands() for day in days]
    assert [sorted(one) for one in shown] == [["e-1"], [], ["e-1"], ["e-1"]]
    assert (shown[0]["e-1"].read, shown[2]["e-1"].read) == (ONE, OTHER)
    assert [one["e-1"].review for one in (shown[2], shown[3])] == ["unread", "rejected"]


def test_a_day_ends_at_midnight_in_the_books_zone():
    (event,) = chained(Act("saidseen", "read", "e-1", None, as_json(ONE)))
    late = event.model_copy(update={"at": NOON.replace(month=6, hour=23, minute=30)})
    assert until([late], date(2026, 6, 14), LONDON) == ()
    assert until([late], date(2026, 6, 15), LONDON) == (late,)


names = st.sampled_from(["e-1", "e-2", "e-3"])
reading = st.dictionaries(names, st.sampled_from(["rudder", "fin", "elevator"]), max_size=3)


@given(st.lists(reading, max_size=6))
def test_whatever_runs_read_the_history_gives_back_each_of_them_and_a_rerun_adds_nothing(runs):
    acts, ends = [], []
    for run in runs:
        read = [made_entry(name, item=item) for name, item in run.items()]
        acts = added(acts, past_of(chained(*acts)), *read)
        ends.append((len(acts), by_id(*read)))
        assert added(acts, past_of(chained(*acts)), *read) == acts
    events = chained(*acts)
    for end, read in ends:
        assert past_of(events[:end]).machine == read


def test_a_history_that_was_changed_is_played_again_as_far_as_it_goes(tmp_path):
    machine = by_id(ONE)
    facts = [{"status": "done", "act": "remove", "item": "fin", "place": [{"scheme": "frame", "at": "12"}]}]
    change = {"facts": facts, "words": [{"utterance": "u-1", "read": "Other."}], "photos": []}
    acts = [
        *added([], Past(), ONE, files=[media()]),
        decision("amend", "e-1", machine, after=change),
        Act("Bea Linnet", "sign", "e-1", None, {"entry": "e-1", "version": "0" * 64, "for": "checked the words"}),
        Act("Bea Linnet", "withdraw", "e-1", None, {"withdrawn": 3}),
    ]
    path = tmp_path / "history.jsonl"
    append(path, acts, NOON)
    whole, chance = path.read_bytes(), random.Random(7)
    assert past_of(read(path).events).stands()["e-1"].review == "unread"
    for _ in range(2000):
        start = chance.randrange(len(whole))
        cut = chance.choice([1, 2, 8])
        path.write_bytes(whole[:start] + chance.choice([b"", b"x", b"1", b"null", b"[]"]) + whole[start + cut :])
        past_of(read(path).events).stands()
        list(check_signatures(past_of(read(path).events).acts, ()))


def test_events_taken_one_by_one_from_their_lines_add_up_to_the_same(tmp_path):
    path = tmp_path / "history.jsonl"
    acts = added([], Past(), ONE, made_entry("e-2"), files=[media()])
    for some in (acts, added([], past_of(chained(*acts)), OTHER)):
        append(path, some, NOON)
    playing = Playing(path)
    chain, whole = read(path, playing.take), read(path)
    assert (chain.events, chain.number, chain.head) == ((), len(whole.events), whole.head)
    past, expected = playing.past(), past_of(whole.events)
    assert dict(past.read) == dict(expected.read) == {"e-1": as_json(OTHER)}
    assert (past.took_in, past.acts, past.machine) == (expected.took_in, expected.acts, expected.machine)
    assert [one.at for one in playing.latest] == [max(one.at for one in whole.events)]


def test_entry_is_found_in_its_line_also_where_that_is_still_being_added(tmp_path):
    path, other = tmp_path / "history.jsonl", tmp_path / "other.jsonl"
    append(path, added([], Past(), ONE), NOON)
    held = path.read_bytes()
    other.write_bytes(held)
    head_file(other).write_bytes(head_file(path).read_bytes())
    append(other, added([], past_of(read(path).events), ONE, made_entry("e-2")), NOON)
    next_file(path).write_bytes(f"{len(held)}\n".encode() + other.read_bytes().removeprefix(held))
    playing = Playing(path)
    read(path, playing.take)
    assert dict(playing.past().read) == {"e-1": as_json(ONE), "e-2": as_json(made_entry("e-2"))}


def test_entry_whose_line_was_changed_meanwhile_is_not_there_any_more(tmp_path):
    path = tmp_path / "history.jsonl"
    append(path, added([], Past(), ONE, made_entry("e-2")), NOON)
    playing = Playing(path)
    read(path, playing.take)
    past, content = playing.past(), path.read_bytes()
    for change in (b"", content[1:], content.replace(b'"on":"e-1"', b'"on":"e-9"'), b"[" * 100_000):
        path.write_bytes(change)
        assert past.read.get("e-1") is None and past.read_last("e-1") is None
    path.unlink()
    assert past.machine == {}
    assert [act.on for act in made_since(past, [], [], "saidseen")] == ["e-1", "e-2"]
