import errno
import multiprocessing
import os
import signal
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path

import numpy as np
import pytest

from pipeline.errors import ItemFault, RunFault
from pipeline.intake import codes, decoding, pictures
from pipeline.intake.containers.film_stills import still
from pipeline.intake.containers.sound_track import SoundBlocks, write_listening_copy
from pipeline.intake.decoding import Decoders
from pipeline.intake.probe import probe
from tests.coded_photos import photo_of
from tests.small_media import FILMS, SOUNDS, film_file, photo, sound_file

ODD = (sys.executable, "-P", "-m", "tests.intake.odd_decoder")
HERE = Path("a.jpg")


@pytest.fixture
def odd():
    decoders = Decoders(ODD, quiet_s=20.0)
    yield decoders
    decoders.end()


def _gone(pid: int) -> bool:
    for _ in range(200):
        state = Path(f"/proc/{pid}/stat")
        if not state.exists() or state.read_text().split()[2] == "Z":
            return True
        time.sleep(0.05)
    return False


def test_one_child_does_file_after_file(odd):
    assert odd.value("pid", HERE) == odd.value("pid", HERE)
    assert odd.value("pid", HERE)["pid"] != os.getpid()


def test_child_that_dies_costs_one_file_and_a_fresh_one_does_the_next(odd):
    with pytest.raises(ItemFault, match=r"stopped on it.*save it anew") as fault:
        odd.value("die", HERE)
    assert fault.value.passing
    assert odd.value("pid", HERE)


def test_child_that_has_done_other_files_and_dies_gives_the_file_a_second_chance(odd):
    first = odd.value("pid", HERE)
    assert odd.value("die if used", HERE) != first


def test_file_on_which_a_fresh_child_dies_too_is_set_aside(odd):
    odd.value("pid", HERE)
    with pytest.raises(ItemFault, match="stopped on it"):
        odd.value("die", HERE)


def test_child_that_hangs_is_stopped():
    decoders = Decoders(ODD, quiet_s=0.3)
    with pytest.raises(ItemFault, match=r"got nowhere for 0 s.*save it anew"):
        decoders.value("hang", HERE)
    decoders.end()


def test_child_that_is_busy_for_longer_than_its_file_is_worth_is_stopped(odd, tmp_path):
    (tmp_path / "small.wav").write_bytes(b"x")
    with pytest.raises(ItemFault, match=r"busy without end.*save it anew"):
        odd.value("busy", tmp_path / "small.wav")
    assert odd.value("pid", HERE)


def test_child_may_not_fill_the_memory(odd):
    with pytest.raises(ItemFault, match=r"fill the memory.*Save it"):
        odd.value("fill", HERE)
    assert odd.value("pid", HERE)


def test_what_libraries_print_does_not_get_among_the_answers(odd):
    assert odd.value("print", HERE) == {"said": True}
    assert odd.value("print", HERE) == {"said": True}


def test_fault_of_the_file_comes_as_the_child_told_it(odd):
    with pytest.raises(ItemFault) as fault:
        odd.value("refuse", HERE)
    assert (fault.value.why, fault.value.passing) == ("It is odd. Leave it out.", True)


def test_fault_of_the_program_comes_with_its_traceback_and_is_none_of_the_files(odd):
    with pytest.raises(RuntimeError, match="ZeroDivisionError: a fault of ours"):
        odd.value("fail", HERE)
    assert odd.value("pid", HERE)


def test_full_disk_is_an_error_of_the_system_and_no_fault_of_the_file(odd):
    with pytest.raises(OSError, match=r"copy\.m4a") as error:
        odd.value("full", HERE)
    assert error.value.errno == errno.ENOSPC


def test_blocks_come_in_order_and_the_value_at_the_end(odd):
    *blocks, (_, end) = odd.answers("blocks", HERE, count=40)
    assert [np.frombuffer(content, np.float32)[0] for _, content in blocks] == list(range(40))
    assert end == b'{"count": 40}'


def test_child_that_dies_after_some_blocks_is_the_files_fault(odd):
    odd.value("pid", HERE)
    with pytest.raises(ItemFault, match="stopped on it"):
        list(odd.answers("die after blocks", HERE))


def test_whoever_stops_half_way_leaves_no_child_behind(odd):
    pid = odd.value("pid", HERE)["pid"]
    with closing(odd.answers("blocks", HERE, count=10_000)) as answers:
        next(answers)
    assert _gone(pid)
    assert odd.value("pid", HERE)["pid"] != pid


def test_threads_have_a_child_each_and_no_more(odd):
    with ThreadPoolExecutor(3) as pool:
        pids = set(pool.map(lambda _: odd.value("pid", HERE)["pid"], range(30)))
    assert 1 <= len(pids) <= 3


def test_copy_of_this_process_begins_children_of_its_own(odd):
    ours = odd.value("pid", HERE)["pid"]
    os.register_at_fork(after_in_child=odd.forget)
    context = multiprocessing.get_context("fork")
    theirs = context.Queue()
    process = context.Process(target=lambda: theirs.put(odd.value("pid", HERE)["pid"]))
    process.start()
    assert theirs.get(timeout=60) != ours
    process.join()
    assert odd.value("pid", HERE)["pid"] == ours


@pytest.mark.parametrize("doing", ["pid", "hang"])
def test_child_ends_when_whoever_asked_is_killed(tmp_path, doing):
    script = (
        "import sys; from pathlib import Path; from threading import Thread\n"
        "from pipeline.intake.decoding import Decoders\n"
        f"odd = Decoders({ODD!r})\n"
        "print(odd.value('pid', Path('a'))['pid'], flush=True)\n"
        f"odd.value({doing!r}, Path('a'))\n"
        "import time; time.sleep(600)\n"
    )
    asking = subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, text=True)
    pid = int(asking.stdout.readline())
    time.sleep(0.3)
    asking.send_signal(signal.SIGKILL)
    asking.wait()
    asking.stdout.close()
    assert _gone(pid)


def test_decoder_that_cannot_be_begun_stops_the_run():
    with pytest.raises(RunFault, match="install saidseen again"):
        Decoders((sys.executable, "-c", "pass")).value("look", HERE)


def test_what_is_seen_in_the_child_is_what_is_seen_here(tmp_path):
    for name in ("a.jpg", "a.png", "a.heic"):
        path = photo(tmp_path / name)
        assert decoding.look(path) == probe(path)
        assert decoding.resized_jpeg(path, 80) == pictures.resized_jpeg(path, 80)
        assert np.array_equal(decoding.grey_pixels(path, 5_000), pictures.grey_pixels(path, 5_000))
    tag = photo_of(tmp_path / "tag.jpg", "P-0142")
    assert decoding.codes_in(tag, "image/jpeg") == codes.read_codes(tag, "image/jpeg")
    assert decoding.codes_in(tag, "image/jpeg").tags == ("P-0142",)
    (tmp_path / "empty.jpg").write_bytes(b"")
    with pytest.raises(ItemFault, match="empty"):
        decoding.look(tmp_path / "empty.jpg")


@pytest.mark.parametrize("name", ["note.m4a", "note.amr", "film.mkv"])
def test_what_is_heard_in_the_child_is_what_is_heard_here(tmp_path, name):
    path = sound_file(tmp_path, name) if name in SOUNDS else film_file(tmp_path, name)
    media_type = (SOUNDS.get(name) or FILMS[name])[-1]
    here, there = SoundBlocks(path, media_type), decoding.sound(path, media_type)
    assert np.array_equal(np.concatenate([*here]), there.samples)
    assert (here.duration_s, here.lost_s, here.early_s) == (there.duration_s, there.lost_s, there.early_s)
    decoding.listening_copy(path, media_type, tmp_path / "copy.m4a")
    write_listening_copy(path, media_type, tmp_path / "here.m4a")
    assert (tmp_path / "copy.m4a").read_bytes() == (tmp_path / "here.m4a").read_bytes()
    if name in FILMS:
        assert decoding.still(path, media_type, 0.5) == still(path, media_type, 0.5)
    assert not list(tmp_path.glob("*.part"))
