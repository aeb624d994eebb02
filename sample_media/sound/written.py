"""Files as the devices write them: m4a, wav with bext, mp3, opus, mp4 and WebVTT. FFmpeg does the encoding."""

import subprocess
from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from .timeline import Said

Samples = NDArray[np.float32]
TARGET_LUFS = -20.0
PEAK = 0.6  # -4.4 dBFS, which leaves room for what the codecs add
WAV_RATE_HZ = 16_000
QUIET = ["ffmpeg", "-hide_banner", "-loglevel", "error", "-nostdin", "-y"]
PLAIN = ["-map_metadata", "-1", "-fflags", "+bitexact", "-flags:a", "+bitexact", "-flags:v", "+bitexact"]


def loudness_lufs(sound: Samples, rate_hz: int) -> float:
    """Measure the integrated loudness of a sound by ITU-R BS.1770 as FFmpeg's ebur128 does."""
    command = ["ffmpeg", "-hide_banner", "-nostats", *_raw_input(rate_hz), "-af", "ebur128", "-f", "null", "-"]
    run = subprocess.run(command, input=_bytes(sound), capture_output=True, check=True)
    summary = run.stderr.decode().rsplit("Integrated loudness:", 1)[1]
    return float(summary.split("I:", 1)[1].split("LUFS", 1)[0])


def levelled(sound: Samples, rate_hz: int) -> Samples:
    """Bring a sound to TARGET_LUFS; what would then pass PEAK is bent under it and never clipped."""
    gain = 10 ** ((TARGET_LUFS - loudness_lufs(sound, rate_hz)) / 20)
    louder = sound * np.float32(gain)
    knee = 0.45
    over = np.maximum(np.abs(louder) - knee, 0) / (PEAK - knee)
    bent = np.sign(louder) * (knee + (PEAK - knee) * np.tanh(over))
    return np.where(np.abs(louder) > knee, bent, louder).astype(np.float32)


def write_m4a(sound: Samples, rate_hz: int, path: Path, starts_at: datetime, maker: str, model: str) -> None:
    """Write a phone's voice memo: AAC in MPEG-4, creation_time at its start."""
    encode = ["-ar", "44100", "-c:a", "aac", "-b:a", "56k", "-f", "mp4", "-movflags", "+use_metadata_tags+faststart"]
    _encode(sound, rate_hz, [*PLAIN, *_phone_tags(starts_at, maker, model), *encode], path)


def write_wav(sound: Samples, rate_hz: int, path: Path, starts_at: datetime, zone: ZoneInfo, originator: str) -> None:
    """Write a recorder's 16-bit wav with a bext chunk whose date and time are local and mark the start."""
    local = starts_at.astimezone(zone)
    midnight = local.replace(hour=0, minute=0, second=0, microsecond=0)
    tags = {
        "originator": originator,
        "origination_date": local.strftime("%Y-%m-%d"),
        "origination_time": local.strftime("%H:%M:%S"),
        "time_reference": str(round((local - midnight) / timedelta(seconds=1) * WAV_RATE_HZ)),
        "coding_history": f"A=PCM,F={WAV_RATE_HZ},W=16,M=mono,T={originator}",
    }
    options = [part for key, value in tags.items() for part in ("-metadata", f"{key}={value}")]
    encode = ["-ar", str(WAV_RATE_HZ), "-c:a", "pcm_s16le", "-write_bext", "1", "-f", "wav"]
    _encode(sound, rate_hz, [*PLAIN, *options, *encode], path)


def write_mp3(sound: Samples, rate_hz: int, path: Path) -> None:
    """Write an old recorder's mp3, without a tag of any kind."""
    encode = ["-ar", "22050", "-c:a", "libmp3lame", "-b:a", "48k", "-id3v2_version", "0", "-write_id3v1", "0"]
    _encode(sound, rate_hz, [*PLAIN, *encode, "-write_xing", "0", "-f", "mp3"], path)


def write_opus(sound: Samples, rate_hz: int, path: Path) -> None:
    """Write a message app's voice message: Opus in Ogg, without tags."""
    encode = ["-ar", "48000", "-c:a", "libopus", "-b:a", "32k", "-application", "voip", "-f", "ogg"]
    _encode(sound, rate_hz, [*PLAIN, *encode], path)


def write_mp4(
    sound: Samples, rate_hz: int, picture: list[str], path: Path, starts_at: datetime, maker: str, model: str
) -> None:
    """Write a phone's film: H.264 and AAC in MPEG-4, creation_time at its start. picture: FFmpeg's options for it."""
    encode = ["-c:v", "libx264", "-preset", "slow", "-crf", "29", "-pix_fmt", "yuv420p", "-threads", "1"]
    encode += ["-ar", "44100", "-c:a", "aac", "-b:a", "64k", "-shortest", "-f", "mp4"]
    encode += ["-movflags", "+use_metadata_tags+faststart"]
    _encode(sound, rate_hz, [*picture, *PLAIN, *_phone_tags(starts_at, maker, model), *encode], path)


def write_captions(said: Sequence[Said], path: Path, note: str | None) -> None:
    """Write phrases as WebVTT, with a NOTE before them when there is one."""
    blocks = ["WEBVTT", *([f"NOTE {note}"] if note else [])]
    blocks += [f"{_stamp(phrase.from_s)} --> {_stamp(phrase.to_s)}\n{phrase.text}" for phrase in said]
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("\n\n".join(blocks) + "\n", encoding="utf-8", newline="\n")


def _phone_tags(starts_at: datetime, maker: str, model: str) -> list[str]:
    created = starts_at.strftime("%Y-%m-%dT%H:%M:%S.000000Z")
    pairs = (f"creation_time={created}", f"make={maker}", f"model={model}")
    return [part for pair in pairs for part in ("-metadata", pair)]


def _encode(sound: Samples, rate_hz: int, options: list[str], path: Path) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    subprocess.run([*QUIET, *_raw_input(rate_hz), *options, str(path)], input=_bytes(sound), check=True)


def _raw_input(rate_hz: int) -> list[str]:
    return ["-f", "f32le", "-ar", str(rate_hz), "-ac", "1", "-i", "-"]


def _bytes(sound: Samples) -> bytes:
    return sound.astype("<f4").tobytes()


def _stamp(seconds: float) -> str:
    minutes, thousandths = divmod(round(seconds * 1000), 60_000)
    return f"{minutes // 60:02d}:{minutes % 60:02d}:{thousandths // 1000:02d}.{thousandths % 1000:03d}"
