"""Make the sample weekend's sound, captions and film from scenario.toml.

    python make_sound.py                 everything but the film; writes times.json and build/
    python make_sound.py --film          the film alone, from build/ and drawn/film-1.jpg, drawn/film-2.jpg

See README.md for what has to be installed. The program itself never runs this.
"""

import argparse
import json
import sys
import tomllib
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from typing import Any
from zlib import crc32
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray
from scipy.io import wavfile
from sound import hangar, written
from sound.timeline import Said, times

HERE = Path(__file__).parent
MEDIA = HERE / "media"
BUILD = HERE / "build"
DRAWN = HERE / "drawn"
RATE_HZ = 24_000
TAIL_S = 0.9
# How each speaker talks when nothing else is said: 1 is the voice's own pace.
PACES = {"ailsa": 0.97, "ted": 1.0, "norris": 0.94}

Samples = NDArray[np.float32]
Entry = dict[str, Any]


def speak(recording: Entry, voices: dict[str, str], seed: int) -> tuple[Samples, list[Said]]:
    """Say a recording's phrases one after another, with its pauses, without room or noise.

    Arguments: the recording; the voice of each speaker; a seed.
    Result: samples at RATE_HZ, and each phrase with the seconds between which it is said.
    """
    from sound.voices import say

    rng = np.random.default_rng(seed)
    pieces = [np.zeros(round(recording["lead_s"] * RATE_HZ), np.float32)]
    said = []
    at = len(pieces[0])
    for number, phrase in enumerate(recording["phrases"]):
        speaker = phrase.get("speaker", recording["speaker"])
        pace = PACES[speaker] * rng.uniform(0.96, 1.05)
        sound = say(voices[speaker], phrase.get("say", phrase["text"]), pace, seed + 100 * number)
        drawn_s = rng.uniform(0.5, 1.6)
        pause = np.zeros(round(phrase.get("pause_s", drawn_s) * RATE_HZ), np.float32)
        said.append(Said(phrase["text"], round(at / RATE_HZ, 3), round((at + len(sound)) / RATE_HZ, 3)))
        pieces += [sound, pause]
        at += len(sound) + len(pause)
    pieces.append(np.zeros(round(TAIL_S * RATE_HZ), np.float32))
    return np.concatenate(pieces), said


def in_the_hangar(dry: Samples, said: list[Said], recording: Entry, seed: int) -> Samples:
    """Put speech in its room, with its noise at noise_db under it, at the level that recorders aim for."""
    rng = np.random.default_rng(seed)
    spoken = np.concatenate([dry[round(p.from_s * RATE_HZ) : round(p.to_s * RATE_HZ)] for p in said])
    speech_rms = float(np.sqrt(np.mean(spoken**2)))
    sound = hangar.echoed(dry, recording.get("room", "near"), RATE_HZ, rng)
    if recording.get("noise"):
        under = speech_rms * 10 ** (-recording["noise_db"] / 20)
        sound = sound + np.float32(under) * hangar.noise(recording["noise"], len(dry), RATE_HZ, rng)
    return written.levelled(sound + hangar.hiss(len(dry), rng), RATE_HZ)


def write(sound: Samples, recording: Entry, device: Entry, zone: ZoneInfo) -> None:
    """Write a recording as its device would; the film's sound goes to build/ only."""
    path = MEDIA / recording["file"]
    starts_at = datetime.fromisoformat(recording["starts_at"])
    match path.suffix.lower():
        case ".m4a":
            written.write_m4a(sound, RATE_HZ, path, starts_at, device["make"], device["model"])
        case ".wav":
            written.write_wav(sound, RATE_HZ, path, starts_at, zone, f"{device['make']} {device['model']}")
        case ".mp3":
            written.write_mp3(sound, RATE_HZ, path)
        case ".opus":
            written.write_opus(sound, RATE_HZ, path)
        case ".mp4":
            wavfile.write(BUILD / f"{recording['id']}.wav", RATE_HZ, sound)
        case _:
            raise ValueError(f"scenario.toml: no device writes {path.name}")


def make_sound(scenario: Entry) -> None:
    """Make every recording and caption file, then times.json."""
    BUILD.mkdir(exist_ok=True)
    voices = {speaker["id"]: speaker["voice"] for speaker in scenario["speaker"]}
    devices = {device["id"]: device for device in scenario["device"]}
    zone = ZoneInfo(scenario["weekend"]["zone"])
    said: dict[str, list[Said]] = {}
    lengths_s: dict[str, float] = {}
    for recording in scenario["recording"]:
        seed = scenario["weekend"]["seed"] + crc32(recording["id"].encode()) % 100_000
        dry, said[recording["id"]] = speak(recording, voices, seed)
        sound = in_the_hangar(dry, said[recording["id"]], recording, seed)
        lengths_s[recording["id"]] = len(sound) / RATE_HZ
        write(sound, recording, devices[recording["device"]], zone)
        if "captions" in recording:
            written.write_captions(said[recording["id"]], MEDIA / recording["captions"], None)
        print(f"{recording['file']}: {len(sound) / RATE_HZ:.1f} s")
    for captions in scenario["caption_file"]:
        phrases = [Said(p["text"], p["from_s"], p["to_s"]) for p in captions["phrases"]]
        said[captions["id"]] = phrases
        written.write_captions(phrases, MEDIA / captions["file"], f"taken {captions['starts_at']}")
    made = json.dumps(times(scenario, said, lengths_s), indent=1, ensure_ascii=False)
    (HERE / "times.json").write_text(made + "\n", encoding="utf-8", newline="\n")


def make_film(scenario: Entry) -> None:
    """Make the film: a hand-held look along the first picture, then down to the second where the speaker says so."""
    when = json.loads((HERE / "times.json").read_text(encoding="utf-8"))["recordings"]
    devices = {device["id"]: device for device in scenario["device"]}
    for recording in scenario["recording"]:
        if not recording["file"].endswith(".mp4"):
            continue
        pictures = [DRAWN / f"{picture['scene']}.jpg" for picture in scenario["film_picture"]]
        for needed in (*pictures, BUILD / f"{recording['id']}.wav"):
            if not needed.is_file():
                raise SystemExit(f"make_sound.py --film: {needed} is missing; make the pictures and the sound first.")
        rate_hz, sound = wavfile.read(BUILD / f"{recording['id']}.wav")
        down_s = when[recording["id"]]["phrases"][recording["look_down_at"]]["from_s"]
        bracket_s = when[recording["id"]]["phrases"][1]["from_s"]
        points = [(0.0, 420, 190), (1.5, 400, 180), (bracket_s + 1.0, 150, 120), (down_s - 0.3, 110, 150)]
        points += [(down_s + 0.8, 170, 1180), (down_s + 5.0, 330, 1230), (len(sound) / rate_hz, 260, 1210)]
        picture = _hand_held(pictures, points, len(sound) / rate_hz)
        device = devices[recording["device"]]
        starts_at = datetime.fromisoformat(recording["starts_at"])
        path = MEDIA / recording["file"]
        written.write_mp4(sound, rate_hz, picture, path, starts_at, device["make"], device["model"])
        print(f"{recording['file']}: {len(sound) / rate_hz:.1f} s, {path.stat().st_size / 1e6:.2f} MB")


def _hand_held(pictures: list[Path], points: list[tuple[float, float, float]], length_s: float) -> list[str]:
    """Give FFmpeg's options for a 1280 x 720 film that wanders over two pictures, the second below the first.

    points: second, and left and top edge of the view in the joined picture (1920 x 2160), joined by smooth moves.
    """
    left = _moves([(at_s, x) for at_s, x, _ in points]) + "+7*sin(2.1*t)+4*sin(5.3*t+1)"
    top = _moves([(at_s, y) for at_s, _, y in points]) + "+6*sin(1.7*t+2)+3*sin(6.1*t)"
    look = (
        "[1:v]scale=1920:1080[a];[2:v]scale=1920:1080[b];[a][b]vstack,"
        f"crop=w=1440:h=810:x='{left}':y='{top}',scale=1280:720,tmix=frames=2,format=yuv420p[v]"
    )
    inputs = [
        part
        for picture in pictures
        for part in ("-loop", "1", "-framerate", "25", "-t", f"{length_s:.3f}", "-i", str(picture))
    ]
    return [*inputs, "-filter_complex", look, "-map", "[v]", "-map", "0:a"]


def _moves(points: list[tuple[float, float]]) -> str:
    """Write an expression in t that eases from each (second, value) to the next and stays at the last."""
    expression = f"{points[-1][1]:.1f}"
    for (from_s, start), (to_s, end) in reversed(list(pairwise(points))):
        part = f"(t-{from_s:.3f})/{to_s - from_s:.3f}"
        eased = f"{start:.1f}+{end - start:.1f}*({part})*({part})*(3-2*({part}))"
        expression = f"if(lt(t,{to_s:.3f}),{eased},{expression})"
    return expression


def main() -> int:
    """Read the command line and make what it asks for."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--film", action="store_true", help="make the film alone")
    scenario = tomllib.loads((HERE / "scenario.toml").read_text(encoding="utf-8"))
    if parser.parse_args().film:
        make_film(scenario)
    else:
        make_sound(scenario)
    return 0


if __name__ == "__main__":
    sys.exit(main())
