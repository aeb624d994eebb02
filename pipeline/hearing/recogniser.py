"""Sound to words: the only module that knows faster-whisper.

Voice is found first; what is voice is decoded in batches, each stretch for itself. The decoder is never given the
text before: with it, one slip runs on into the next stretch.
"""

import contextlib
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, Protocol

import numpy as np
import numpy.typing as npt
from faster_whisper import BatchedInferencePipeline, WhisperModel, available_models, download_model
from faster_whisper.vad import VadOptions
from faster_whisper.version import __version__ as LIBRARY_VERSION  # noqa: N812

from pipeline.errors import RunFault
from pipeline.values import Heard, HeardSegment, HeardWord, ModelFolder

RATE_HZ = 16_000
SAMPLES = npt.NDArray[np.float32]
Stretch = tuple[float, float]

# Shorter sound than this holds no word, and the voice finder gives nothing useful for it.
SHORTEST_S = 0.1
# Below this share of voice under its words, a segment was found to be invented (measured on noise without speech).
LEAST_VOICE = 0.3
# Voice without a word is worth telling of when it is longer than this.
LONGEST_MISSED_S = 1.0
# A word's time, as the decoder gives it, is this far off at most in clean sound.
WORD_EDGE_S = 0.3

VOICE_PAD_MS = 400
_VOICE = VadOptions(max_speech_duration_s=30, min_silence_duration_ms=160, speech_pad_ms=VOICE_PAD_MS)
_DECODING: dict[str, Any] = {
    "language": "en",
    "task": "transcribe",
    "beam_size": 5,
    "batch_size": 8,
    "temperature": 0.0,
    "without_timestamps": True,
    "word_timestamps": True,
    "condition_on_previous_text": False,
    "vad_filter": True,
}


class Cue(Protocol):
    """A timed line of a caption file."""

    @property
    def start_s(self) -> float:
        """Seconds from the recording's start."""

    @property
    def end_s(self) -> float:
        """Seconds from the recording's start."""

    @property
    def text(self) -> str:
        """What is said, without markup."""


class Recogniser:
    """A loaded speech model. Several threads may call ``hear`` on one of these at once."""

    def __init__(self, model: ModelFolder, jobs: int = 1) -> None:
        """Load the model.

        Args:
            model: as ``find_model`` gave it, its hash checked.
            jobs: how many recordings are heard at once; each uses one processor core.

        Raises:
            RunFault: the folder's files do not make a model that can be loaded.
        """
        self.model = model
        try:
            self._whisper = WhisperModel(
                str(model.path),
                device="cpu",
                compute_type="int8",
                cpu_threads=1,
                num_workers=jobs,
                local_files_only=True,
            )
        except (RuntimeError, ValueError, OSError) as error:
            raise RunFault(
                f"The speech model in {model.path} cannot be loaded ({error}). Use another with --model, or base."
            ) from error

    def hear(self, samples: SAMPLES, hotwords: str = "") -> Heard:
        """Hear one recording.

        Args:
            samples: sound, mono, 16,000 samples per second, from -1 to 1; shape (number of samples,).
            hotwords: words to lean towards, separated by commas ("" for none).

        Returns:
            What was heard. ``not_understood`` lists voice of more than 1 s under which there is no word, and also
            each segment whose words have hardly any voice under them: those words stay heard, and are to be
            taken as unsure. Sound that is empty, or without voice, gives no segments.
        """
        duration_s = len(samples) / RATE_HZ
        settings = self.settings(hotwords)
        if duration_s < SHORTEST_S or not np.any(samples):
            return Heard(by="recogniser", duration_s=duration_s, segments=(), settings=settings)
        # One pipeline per call: it keeps a time between batches, which two threads must not share.
        found, about = BatchedInferencePipeline(self._whisper).transcribe(
            samples, hotwords=hotwords or None, vad_parameters=_VOICE, **_DECODING
        )
        segments = tuple(segment for segment in map(_segment, found) if segment.words)
        voice = _voice(about.transcription_options.clip_timestamps)
        return Heard(
            by="recogniser",
            duration_s=duration_s,
            segments=segments,
            settings=settings,
            not_understood=not_understood(segments, voice),
        )

    def settings(self, hotwords: str = "") -> dict[str, str]:
        """Name everything that what is heard depends on, so that it can be heard again in the same way."""
        return {
            "model": self.model.name,
            "model_sha256": self.model.sha256,
            "library": f"faster-whisper {LIBRARY_VERSION}",
            "compute_type": "int8",
            "hotwords": hotwords,
            **{name: str(value) for name, value in _DECODING.items()},
            "voice_threshold": str(_VOICE.threshold),
            "voice_least_silence_ms": str(_VOICE.min_silence_duration_ms),
            "voice_longest_s": str(_VOICE.max_speech_duration_s),
            "voice_pad_ms": str(_VOICE.speech_pad_ms),
        }


def from_captions(cues: Sequence[Cue]) -> Heard:
    """Take a transcript that a person made or checked as what was heard.

    Args:
        cues: timed lines, in order of time.

    Returns:
        One segment per cue that has words; word times are shared out over the cue by the number of characters.
    """
    segments = tuple(_cue_segment(cue) for cue in cues if cue.text.split())
    return Heard(by="captions", duration_s=max((cue.end_s for cue in cues), default=0.0), segments=segments)


def not_understood(segments: Iterable[HeardSegment], voice: Sequence[Stretch]) -> tuple[Stretch, ...]:
    """Find voice without words, and words without voice.

    Args:
        segments: what was heard.
        voice: stretches of voice, (start, end) in seconds, in order and not overlapping.

    Returns:
        Stretches in order of time, in seconds rounded to milliseconds.
    """
    segments = tuple(segments)
    words = [(word.start_s, word.end_s) for segment in segments for word in segment.words]
    around = [(start_s - WORD_EDGE_S, end_s + WORD_EDGE_S) for start_s, end_s in words]
    doubtful = [part for part in _without(voice, around) if part[1] - part[0] > LONGEST_MISSED_S]
    doubtful += [
        (segment.start_s, segment.end_s) for segment in segments if _share_of_voice(segment, voice) < LEAST_VOICE
    ]
    return tuple(sorted((round(start_s, 3), round(end_s, 3)) for start_s, end_s in doubtful))


def usual_names() -> tuple[str, ...]:
    """List the model names that can be fetched where there is a network."""
    return tuple(available_models())


def fetch(name: str) -> Path:
    """Give the folder of a model with one of the usual names: as fetched before, or fetched now.

    Raises:
        RunFault: it is not on this machine and cannot be fetched.
    """
    # Whatever keeps it from being found on this machine, the network is asked next.
    with contextlib.suppress(Exception):
        return Path(download_model(name, local_files_only=True))
    try:
        return Path(download_model(name))
    except Exception as error:
        raise RunFault(
            f"The speech model {name!r} is not on this machine and could not be fetched. Connect to a network and "
            "run again, give the folder of a model with --model, or use base or tiny.en, which need no network."
        ) from error


def _segment(found: Any) -> HeardSegment:
    words = _words(found.words or ())
    return HeardSegment(
        start_s=words[0].start_s if words else float(found.start),
        end_s=words[-1].end_s if words else float(found.end),
        text=" ".join(word.text for word in words),
        words=words,
        no_speech=round(float(found.no_speech_prob), 4),
        mean_log_probability=round(float(found.avg_logprob), 4),
    )


def _words(found: Iterable[Any]) -> tuple[HeardWord, ...]:
    """Take the decoder's words; it parts "wire-locked" and "P-0142" at the hyphen, and only a space parts words."""
    words: list[HeardWord] = []
    for piece in found:
        word = HeardWord(
            start_s=round(float(piece.start), 3),
            end_s=round(float(piece.end), 3),
            text="".join(piece.word.split()),
            probability=round(float(piece.probability), 4),
        )
        if not word.text:
            continue
        if words and not piece.word[:1].isspace():
            before = words.pop()
            word = HeardWord(
                start_s=before.start_s,
                end_s=word.end_s,
                text=before.text + word.text,
                probability=min(before.probability, word.probability),
            )
        words.append(word)
    return tuple(words)


def _cue_segment(cue: Cue) -> HeardSegment:
    texts = cue.text.split()
    per_character_s = (cue.end_s - cue.start_s) / (sum(map(len, texts)) + len(texts) - 1)
    words, at = [], 0
    for text in texts:
        start_s = cue.start_s + at * per_character_s
        end_s = start_s + len(text) * per_character_s
        words.append(HeardWord(start_s=round(start_s, 3), end_s=round(end_s, 3), text=text, probability=1.0))
        at += len(text) + 1
    return HeardSegment(start_s=cue.start_s, end_s=cue.end_s, text=" ".join(texts), words=tuple(words))


def _voice(clips: Sequence[dict[str, int]]) -> list[Stretch]:
    """Turn the voice finder's padded clips, in samples, into stretches of voice in seconds."""
    pad_s = VOICE_PAD_MS / 1000
    padded = [(clip["start"] / RATE_HZ, clip["end"] / RATE_HZ) for clip in clips]
    return [(start_s + pad_s, end_s - pad_s) for start_s, end_s in padded if end_s - start_s > 2 * pad_s]


def _share_of_voice(segment: HeardSegment, voice: Sequence[Stretch]) -> float:
    pad_s = VOICE_PAD_MS / 1000
    said_s = sum(word.end_s - word.start_s for word in segment.words)
    voiced_s = sum(
        max(0.0, min(word.end_s, end_s + pad_s) - max(word.start_s, start_s - pad_s))
        for word in segment.words
        for start_s, end_s in voice
    )
    return voiced_s / said_s if said_s > 0 else 1.0


def _without(stretches: Iterable[Stretch], holes: Iterable[Stretch]) -> list[Stretch]:
    """Cut the holes out of the stretches."""
    left = list(stretches)
    for hole_start, hole_end in holes:
        left = [
            part
            for start, end in left
            for part in ((start, min(end, hole_start)), (max(start, hole_end), end))
            if part[1] > part[0]
        ]
    return left
