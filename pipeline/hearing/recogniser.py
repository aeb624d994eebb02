"""Sound to words: the only module that knows faster-whisper.

Voice is found first; what is voice is joined into chunks of at most 30 s, and each chunk is decoded for itself. The
decoder is never given the text before: with it, one slip runs on into the next chunk. Sound that was encoded for one
look is kept for the next, because encoding is nearly half of the work.
"""

import threading
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
from ctranslate2 import get_cuda_device_count
from faster_whisper import BatchedInferencePipeline, WhisperModel, vad
from faster_whisper.transcribe import restore_speech_timestamps
from faster_whisper.vad import VadOptions, collect_chunks, get_speech_timestamps
from faster_whisper.version import __version__ as LIBRARY_VERSION  # noqa: N812

from pipeline.errors import RunFault
from pipeline.hearing.device import Device, devices_to_try
from pipeline.hearing.support import Rivals, supported
from pipeline.values import HeardSegment, HeardWord, ModelFolder

RATE_HZ = 16_000
SAMPLES = npt.NDArray[np.float32]
Stretch = tuple[float, float]

# Shorter sound than this holds no word, and the voice finder gives nothing useful for it.
SHORTEST_S = 0.1
LONGEST_CHUNK_S = 30
# Chunks decoded together: more is no faster, takes more memory, and leaves less to share out over the cores.
GROUP = 4
# As many tokens of hotwords as leave room for what is said in 30 s; 40 names of parts take about 180.
MOST_HOTWORD_TOKENS = 223
# How many readings are weighed at once where names are leaned towards: with five, as in the first look, it took a
# fifth longer and found no better words.
LEANING_BEAM = 2
# The kind of numbers that the model is loaded in, the same on every device, so that they hear alike.
NUMBERS = "int8"
# How long a step of the voice finder is.
VOICE_STEP_S = 512 / RATE_HZ

VOICE_PAD_MS = 400
_VOICE = VadOptions(max_speech_duration_s=LONGEST_CHUNK_S, min_silence_duration_ms=160, speech_pad_ms=VOICE_PAD_MS)
_DECODING: dict[str, Any] = {
    "language": "en",
    "task": "transcribe",
    "beam_size": 5,
    "batch_size": GROUP,
    "temperature": 0.0,
    "without_timestamps": True,
    "word_timestamps": True,
    "condition_on_previous_text": False,
}


class Recogniser:
    """A loaded speech model. Several threads may use one of these at once."""

    def __init__(self, model: ModelFolder, jobs: int = 1, device: Device = Device.AUTO) -> None:
        """Load the model.

        Args:
            model: as ``find_model`` gave it, its hash checked.
            jobs: how many groups of chunks are decoded at once; each uses one processor core.
            device: where it is to work.

        Raises:
            RunFault: the folder's files do not make a model that can be loaded, or there is no such device.
        """
        self.model = model
        self.jobs = jobs
        for self.device in devices_to_try(device, get_cuda_device_count()):
            try:
                self._whisper = loaded_model(model.path, self.device, jobs)
                return
            except (RuntimeError, ValueError, OSError) as error:
                why = error
        if self.device is Device.CUDA:
            raise RunFault(f"Speech cannot be heard on the GPU ({why}). Run again with --device cpu.") from why
        raise RunFault(
            f"The speech model in {model.path} cannot be loaded ({why}). Use another with --model, or base."
        ) from why

    def groups(self, voiced: "Voiced") -> list["Group"]:
        """Share the chunks of a recording out into groups that can be decoded apart from each other, in order."""
        return [
            Group(self._whisper, voiced, voiced.chunks[start : start + GROUP])
            for start in range(0, len(voiced.chunks), GROUP)
        ]

    def settings(self) -> dict[str, str]:
        """Name everything that a look depends on, but for its hotwords, so that it can be taken again."""
        return {
            "model": self.model.name,
            "model_sha256": self.model.sha256,
            "library": f"faster-whisper {LIBRARY_VERSION}",
            "device": self.device,
            "compute_type": NUMBERS,
            "beam_size_leaning": str(LEANING_BEAM),
            **{name: str(value) for name, value in _DECODING.items()},
            "voice_threshold": str(_VOICE.threshold),
            "voice_least_silence_ms": str(_VOICE.min_silence_duration_ms),
            "voice_longest_s": str(_VOICE.max_speech_duration_s),
            "voice_pad_ms": str(_VOICE.speech_pad_ms),
        }


@dataclass(frozen=True)
class Voiced:
    """The voice in a recording, and nothing else of it.

    ``samples`` is the sound of the ``clips`` joined up; ``clips`` say which samples of the recording those are;
    ``chunks`` are (start, end) in seconds of ``samples``, each to be decoded for itself. ``chances`` has the chance
    of voice in each step of 32 ms of the recording.
    """

    samples: SAMPLES
    clips: tuple[dict[str, int], ...]
    chunks: tuple[Stretch, ...]
    chances: SAMPLES

    @cached_property
    def stretches(self) -> tuple[Stretch, ...]:
        """Stretches of voice, (start, end) in seconds of the recording, without the finder's padding."""
        pad_s = VOICE_PAD_MS / 1000
        padded = [(clip["start"] / RATE_HZ, clip["end"] / RATE_HZ) for clip in self.clips]
        return tuple((start_s + pad_s, end_s - pad_s) for start_s, end_s in padded if end_s - start_s > 2 * pad_s)


def find_voice(samples: SAMPLES) -> Voiced:
    """Find the voice in a recording.

    Args:
        samples: sound, mono, 16,000 samples per second, from -1 to 1; shape (number of samples,).

    Returns:
        The voice; without chunks if the sound is empty or has no voice.
    """
    silent = Voiced(np.zeros(0, np.float32), (), (), np.zeros(0, np.float32))
    if len(samples) < SHORTEST_S * RATE_HZ or not np.any(samples):
        return silent
    clips = get_speech_timestamps(samples, _VOICE)
    if not clips:
        return silent
    pieces, about = collect_chunks(samples, clips, max_duration=LONGEST_CHUNK_S)
    chunks = tuple((one["offset"], one["offset"] + one["duration"]) for one in about if one["duration"])
    return Voiced(np.concatenate(pieces), tuple(clips), chunks, _FINDER.found)


class _Finder(threading.local):
    """The library's voice finder, which remembers what it found last, in each thread for itself.

    The library cuts stretches of voice out of the chances and throws them away; to find them again takes as long.
    """

    found: SAMPLES = np.zeros(0, np.float32)

    def __call__(self, samples: SAMPLES) -> SAMPLES:
        """Return the chance of voice in each step of 32 ms."""
        self.found = np.ravel(_library_finder()(samples))
        return self.found


_FINDER, _library_finder = _Finder(), vad.get_vad_model
vad.get_vad_model = lambda: _FINDER


class Group:
    """Some chunks of a recording, to be looked at more than once. One thread at a time may use it."""

    def __init__(self, whisper: WhisperModel, voiced: Voiced, chunks: Sequence[Stretch]) -> None:
        self._pipeline = _Looks(whisper)
        self._voiced = voiced
        self._chunks = chunks

    def look(self, hotwords: Sequence[str] = ()) -> tuple[HeardSegment | None, ...]:
        """Decode the chunks.

        Args:
            hotwords: for each chunk, words to lean towards, separated by commas, the most wanted first; () for none.

        Returns:
            What was heard in each chunk, with times in seconds of the recording; None where no word was heard.
        """
        found = self._pipeline.look(self._voiced.samples, self._chunks, hotwords)
        heard: dict[int, HeardSegment | None] = {int(start_s * 100): None for start_s, _ in self._chunks}
        for segment in restore_speech_timestamps(found, list(self._voiced.clips), RATE_HZ):
            heard[segment.seek] = _joined(heard[segment.seek], _segment(segment))
        return tuple(
            segment and supported(segment, rivals)
            for segment, rivals in zip(heard.values(), self._pipeline.rivals, strict=True)
        )


class _Looks(BatchedInferencePipeline):  # type: ignore[misc]  # the library has no types
    """A pipeline that encodes its sound once, however often it is decoded, and leans each chunk its own way."""

    def __init__(self, whisper: WhisperModel) -> None:
        super().__init__(whisper)
        # Of each chunk, the readings that the last look weighed, with their chances, the best first.
        self.rivals: list[Rivals] = []
        self._hotwords: Sequence[str] = ()
        self._batch: tuple[Any, ...] = ()
        self._encoded: Any = None

    def look(self, samples: SAMPLES, chunks: Sequence[Stretch], hotwords: Sequence[str]) -> list[Any]:
        """Decode the chunks, which are the same each time, leaning towards the hotwords of each."""
        self._hotwords = hotwords
        if self._batch:
            *batch, options = self._batch
            if hotwords:
                options = replace(options, beam_size=LEANING_BEAM)
            found = self._batched_segments_generator(*batch, GROUP, options, False)
        else:
            clips = [{"start": start_s, "end": end_s} for start_s, end_s in chunks]
            found, _ = self.transcribe(samples, clip_timestamps=clips, **_DECODING)
        return list(found)

    def forward(self, features: Any, tokenizer: Any, chunks_metadata: Any, options: Any) -> Any:
        """Decode one batch, as the library does, and remember it for the next look."""
        self._batch = self._batch or (features, tokenizer, chunks_metadata, options)
        return super().forward(features, tokenizer, chunks_metadata, options)

    def generate_segment_batched(
        self, features: Any, tokenizer: Any, options: Any
    ) -> tuple[Any, list[dict[str, Any]]]:
        """Decode one batch, in the library's stead."""
        if self._encoded is None:
            self._encoded = self.model.encode(features)
        results = self.model.model.generate(
            self._encoded,
            self._prompts(tokenizer, len(features)),
            beam_size=options.beam_size,
            length_penalty=options.length_penalty,
            max_length=self.model.max_length,
            suppress_blank=options.suppress_blank,
            suppress_tokens=options.suppress_tokens,
            num_hypotheses=options.beam_size,
            return_scores=True,
            return_no_speech_prob=True,
        )
        self.rivals = [_rivals(result, tokenizer, options.length_penalty) for result in results]
        return self._encoded, [_scored(result, options.length_penalty) for result in results]

    def _prompts(self, tokenizer: Any, count: int) -> list[list[int]]:
        start = [*tokenizer.sot_sequence, tokenizer.no_timestamps]
        if not self._hotwords:
            return [start] * count
        words = [tokenizer.encode(" " + words) for words in self._hotwords]
        # The decoder wants prompts of one length. The words most wanted stand first in each, and are kept.
        length = min(MOST_HOTWORD_TOKENS, *map(len, words))
        return [[tokenizer.sot_prev, *tokens[:length], *start] for tokens in words]


def loaded_model(folder: Path, device: Device, jobs: int) -> WhisperModel:
    """Load a model; raises RuntimeError, ValueError or OSError where its files or the device cannot be used."""
    whisper = WhisperModel(
        str(folder),
        device=device,
        compute_type=NUMBERS,
        cpu_threads=1,
        num_workers=jobs,
        local_files_only=True,
    )
    if device is Device.CUDA:  # whether the GPU's libraries are there shows only when it works
        whisper.encode(np.zeros((whisper.model.n_mels, whisper.feature_extractor.nb_max_frames), np.float32))
    return whisper


def _rivals(result: Any, tokenizer: Any, length_penalty: float) -> Rivals:
    logs = [
        score * len(tokens) ** length_penalty
        for tokens, score in zip(result.sequences_ids, result.scores, strict=True)
    ]
    chances = np.exp(np.array(logs) - max(logs))
    texts = (
        tokenizer.decode([token for token in tokens if token < tokenizer.eot]) for tokens in result.sequences_ids
    )
    return tuple(zip(texts, (chances / chances.sum()).tolist(), strict=True))


def _scored(result: Any, length_penalty: float) -> dict[str, Any]:
    tokens = result.sequences_ids[0]
    return {
        "tokens": tokens,
        "avg_logprob": result.scores[0] * len(tokens) ** length_penalty / (len(tokens) + 1),
        "no_speech_prob": result.no_speech_prob,
    }


def _segment(found: Any) -> HeardSegment | None:
    words = _words(found.words or ())
    if not words:
        return None
    return HeardSegment(
        start_s=words[0].start_s,
        end_s=words[-1].end_s,
        text=" ".join(word.text for word in words),
        words=words,
        no_speech=round(float(found.no_speech_prob), 4),
        mean_log_probability=round(float(found.avg_logprob), 4),
    )


def _joined(before: HeardSegment | None, after: HeardSegment | None) -> HeardSegment | None:
    if before is None or after is None:
        return before or after
    return before.model_copy(
        update={
            "end_s": after.end_s,
            "text": f"{before.text} {after.text}",
            "words": before.words + after.words,
        }
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
