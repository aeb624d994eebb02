"""The device that a run is told to hear on, with a recogniser that says what it is told to."""

from datetime import UTC, date, datetime
from pathlib import Path

from pipeline.bench import Bench
from pipeline.book import new_book
from pipeline.hearing.captioned import from_captions
from pipeline.hearing.device import Device
from pipeline.intake.captions import Cue
from pipeline.runner import Choices, run
from pipeline.values import Heard, ModelFolder
from tests.small_media import make_sound

NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)


class TellsItsDevice(Bench):
    """A bench whose recogniser hears the same words in every recording, and notes on which device."""

    model = ModelFolder(path=Path("none"), name="none", sha256="0" * 64)
    heard_on: list[Device] = []  # noqa: RUF012 - what all benches of a test heard on

    def hear(self, samples: object) -> Heard:
        self.heard_on.append(self.device)
        cue = Cue(start_s=0.0, end_s=2.0, text="The port rudder's off, three bolts.")
        return from_captions([cue]).model_copy(update={"by": "recogniser"})


def test_a_run_hears_on_the_device_that_was_chosen_and_what_is_heard_counts_for_every_device(tmp_path: Path) -> None:
    sound = make_sound(tmp_path / "media" / "note.wav")
    book = new_book(tmp_path / "book", date(2026, 1, 1))
    TellsItsDevice.heard_on.clear()
    run(book, [sound], NOW, Choices(device=Device.CUDA), bench=TellsItsDevice)
    assert TellsItsDevice.heard_on == [Device.CUDA]
    make_sound(tmp_path / "media" / "more.wav", seconds=3.0)
    outcome = run(book, [sound.parent], NOW, Choices(device=Device.CPU), bench=TellsItsDevice)
    assert (outcome.made["hear"], outcome.already["hear"]) == (1, 1)
    assert TellsItsDevice.heard_on == [Device.CUDA, Device.CPU]


def test_another_process_hears_on_the_same_device(tmp_path: Path) -> None:
    book = new_book(tmp_path / "book", date(2026, 1, 1))
    settings = book.settings()
    make, arguments = Bench(settings, book.vocabulary(settings), jobs=1, device=Device.CPU).in_another_process()
    assert make(*arguments).device is Device.CPU
