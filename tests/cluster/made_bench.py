"""A bench whose recogniser does what a test asks of it by the length of the sound."""

import os
import signal
import time
from pathlib import Path

from pipeline.bench import Bench
from pipeline.errors import RunFault
from pipeline.hearing.captioned import from_captions
from pipeline.intake.captions import Cue
from pipeline.values import ModelFolder

LETHAL_S, SLOW_S = 7, 5
DIARY = "DIARY_OF_A_TEST"
"""Names the file to which every recording that is begun adds a line: its seconds, and the process that hears it."""


class MadeBench(Bench):
    """Kills its process over sound of ``LETHAL_S``, and is in no hurry over sound of ``SLOW_S``."""

    model = ModelFolder(path=Path("none"), name="none", sha256="0" * 64)

    def hear(self, samples):
        seconds = round(len(samples) / 16000)
        if DIARY in os.environ:
            with Path(os.environ[DIARY]).open("a", encoding="utf-8") as diary:
                diary.write(f"{seconds} {os.getpid()}\n")
        if seconds == LETHAL_S:
            os.kill(os.getpid(), signal.SIGKILL)
        if seconds == SLOW_S:
            time.sleep(1)
        cue = Cue(start_s=0.0, end_s=float(seconds), text=f"The port rudder's off, {seconds} bolts.")
        return from_captions([cue]).model_copy(update={"by": "recogniser"})


class OtherModel(MadeBench):
    """A bench whose model is another one in each process."""

    model = ModelFolder(path=Path("none"), name="none", sha256=f"{os.getpid():x}".ljust(64, "0"))


class NoModel(MadeBench):
    """A bench that finds a model in the process of the run, and in no other."""

    @property
    def model(self):
        if DIARY in os.environ:
            raise RunFault("The speech model is missing.")
        return MadeBench.model
