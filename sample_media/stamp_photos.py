"""Turn the rendered pictures into the photos of the sample weekend: each camera's look, its file form and its Exif.

    python sample_media/stamp_photos.py RENDERS

Reads scenario.toml and times.json beside this file and RENDERS/<scene>.png; writes media/phone/*.jpg and *.heic,
media/camera/*.JPG, and drawn/film-*.jpg for the film. The same input gives the same files.
"""

from __future__ import annotations

import argparse
import json
import random
import sys
import tomllib
import zlib
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image, ImageFilter
from PIL.TiffImagePlugin import IFDRational

HERE = Path(__file__).resolve().parent
# How each camera sees: noise (of 255), vignette share, gains of red, green and blue, saturation,
# barrel distortion, greatest tilt (degrees), sharpening (percent).
LOOKS: dict[str, dict[str, Any]] = {
    "phone": {
        "noise": 2.2,
        "vignette": 0.10,
        "gains": (1.015, 1.0, 0.985),
        "colour": 1.06,
        "barrel": 0.0,
        "tilt": 1.1,
        "sharp": 70,
    },
    "camera": {
        "noise": 4.2,
        "vignette": 0.22,
        "gains": (1.05, 1.005, 0.93),
        "colour": 0.9,
        "barrel": 0.02,
        "tilt": 1.6,
        "sharp": 25,
    },
}
QUALITY = {"phone": 86, "camera": 84}
# Exif tag numbers: CIPA DC-008 (Exif 2.32), tables for the 0th IFD, the Exif IFD and the GPS IFD.
MAKE, MODEL, ORIENTATION, X_RESOLUTION, Y_RESOLUTION, RESOLUTION_UNIT, SOFTWARE, DATE_TIME = (
    0x010F,
    0x0110,
    0x0112,
    0x011A,
    0x011B,
    0x0128,
    0x0131,
    0x0132,
)
EXIF_IFD, GPS_IFD = 0x8769, 0x8825


def bend(pixels: np.ndarray, barrel: float, tilt: float) -> np.ndarray:
    """Turn a picture by `tilt` degrees and bend it like a cheap lens, cropped so that no edge shows."""
    high, wide = pixels.shape[:2]
    y, x = np.mgrid[0:high, 0:wide].astype(np.float32)
    x, y = (x - wide / 2) / (wide / 2), (y - high / 2) / (wide / 2)
    a = np.deg2rad(tilt)
    shrink = 1.0 / (abs(np.cos(a)) + abs(np.sin(a)) * max(wide, high) / min(wide, high)) * 0.995
    x, y = (x * np.cos(a) - y * np.sin(a)) * shrink, (x * np.sin(a) + y * np.cos(a)) * shrink
    r2 = x * x + y * y
    k = (1 + barrel * r2) / (1 + barrel * (1 + (high / wide) ** 2))
    px, py = (x * k + 1) * wide / 2 - 0.5, y * k * wide / 2 + high / 2 - 0.5
    x0, y0 = np.clip(px.astype(int), 0, wide - 2), np.clip(py.astype(int), 0, high - 2)
    fx, fy = np.clip(px - x0, 0, 1)[..., None], np.clip(py - y0, 0, 1)[..., None]
    top = pixels[y0, x0] * (1 - fx) + pixels[y0, x0 + 1] * fx
    low = pixels[y0 + 1, x0] * (1 - fx) + pixels[y0 + 1, x0 + 1] * fx
    return top * (1 - fy) + low * fy


def exposed(light: np.ndarray) -> np.ndarray:
    """Set exposure and contrast (0..1) as a camera does: black point, a dull picture lifted, a soft S-curve."""
    floor = 0.7 * min(float(np.percentile(light, 0.7)), 0.12)
    light = np.clip((light - floor) / (1 - floor), 0, 1)
    bright = float(np.clip(np.percentile(light, 97), 0.3, 0.84))
    light = light ** max(0.78, float(np.log(0.84) / np.log(bright)))
    return light + 0.45 * (light * light * (3 - 2 * light) - light)


def through_camera(image: Image.Image, kind: str, seed: int) -> Image.Image:
    """See the picture as a camera would have taken it: tilt, colour, vignette, grain, sharpening."""
    look, r = LOOKS[kind], np.random.default_rng(seed)
    pixels = np.asarray(image.convert("RGB"), dtype=np.float32)
    pixels = bend(pixels, look["barrel"], float(r.uniform(-look["tilt"], look["tilt"])))
    pixels = 255 * exposed(pixels / 255)
    high, wide = pixels.shape[:2]
    y, x = np.mgrid[-1 : 1 : high * 1j, -1 : 1 : wide * 1j]
    pixels = pixels * (1 - look["vignette"] * ((x * x + y * y) / 2) ** 1.3)[..., None] * np.asarray(look["gains"])
    grey = pixels.mean(axis=2, keepdims=True)
    pixels = grey + (pixels - grey) * look["colour"] * r.uniform(0.97, 1.03)
    out = Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8)).filter(
        ImageFilter.UnsharpMask(1.2, look["sharp"], 2)
    )
    pixels = np.asarray(out, dtype=np.float32)
    shade = 0.55 + 0.9 * (1 - pixels.mean(axis=2, keepdims=True) / 255)
    fine = r.normal(0, look["noise"], (high, wide, 1)) + r.normal(0, look["noise"] * 0.35, (high, wide, 3))
    coarse = Image.fromarray(r.normal(0, 1, (high // 2, wide // 2)).astype(np.float32)).resize(
        (wide, high), Image.Resampling.BILINEAR
    )
    pixels = pixels + (fine + np.asarray(coarse)[..., None] * look["noise"] * 0.5) * shade * 0.6
    return Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8))


def degrees(value: float) -> tuple[IFDRational, IFDRational, IFDRational]:
    """Degrees, minutes and seconds as Exif rationals."""
    whole = int(value)
    minutes = (value - whole) * 60
    return IFDRational(whole), IFDRational(int(minutes)), IFDRational(round((minutes - int(minutes)) * 60 * 100), 100)


def exif_of(
    photo: dict[str, Any],
    device: dict[str, Any],
    when: dict[str, Any],
    position: dict[str, float],
    size: tuple[int, int],
    orientation: int,
) -> Image.Exif:
    """Exif as the device writes it, with its clock's error.

    photo, device: entries of scenario.toml; when: the photo's entry of times.json; position: degrees and metres;
    size: pixels as stored. Source: CIPA DC-008 (Exif 2.32).
    """
    r = random.Random(photo["file"])
    shown = datetime.fromisoformat(when["shown"])
    stamp = shown.strftime("%Y:%m:%d %H:%M:%S")
    exif = Image.Exif()
    exif[MAKE], exif[MODEL], exif[SOFTWARE] = device["make"], device["model"], device["software"]
    exif[ORIENTATION], exif[DATE_TIME] = orientation, stamp
    exif[X_RESOLUTION], exif[Y_RESOLUTION], exif[RESOLUTION_UNIT] = IFDRational(72), IFDRational(72), 2
    own = exif.get_ifd(EXIF_IFD)
    phone = device["kind"] == "phone"
    own[0x9000] = b"0232" if phone else b"0221"
    own[0x9101], own[0xA000] = b"\x01\x02\x03\x00", b"0100"
    exif[0x0213] = 1
    own[0x9003] = own[0x9004] = stamp
    own[0x829A] = IFDRational(1, r.choice((25, 33, 40, 50, 60, 80)))
    own[0x829D] = IFDRational(18, 10) if phone else IFDRational(r.choice((28, 32, 40)), 10)
    own[0x8827] = r.choice((200, 250, 320, 400, 640, 800))
    own[0x920A] = IFDRational(54, 10) if phone else IFDRational(r.choice((62, 74, 98)), 10)
    own[0xA001], own[0xA002], own[0xA003] = 1, size[0], size[1]
    if phone:
        own[0x9010] = own[0x9011] = own[0x9012] = "+00:00"
        own[0x9290] = own[0x9291] = own[0x9292] = f"{shown.microsecond // 1000:03d}"
    if photo["gps"]:
        at = datetime.fromisoformat(when["gps_at"])
        gps = exif.get_ifd(GPS_IFD)
        gps[0] = b"\x02\x03\x00\x00"
        gps[1], gps[2] = "N", degrees(position["latitude"] + r.uniform(-1, 1) * 1.2e-4)
        gps[3], gps[4] = "E", degrees(position["longitude"] + r.uniform(-1, 1) * 2.0e-4)
        gps[5], gps[6] = b"\x00", IFDRational(round((position["altitude_m"] + r.uniform(-3, 3)) * 10), 10)
        gps[7] = (IFDRational(at.hour), IFDRational(at.minute), IFDRational(at.second))
        gps[18], gps[29] = "WGS-84", at.strftime("%Y:%m:%d")
    return exif


def as_phones_write(heic: bytes) -> bytes:
    """Give item places as phones do: in the extent, with no base offset (some Exif readers heed only the extent).

    Source: ISO/IEC 14496-12, 8.11.3, the item location box; from memory.
    """
    out, at = bytearray(heic), heic.index(b"iloc") + 4
    if out[at] != 0 or out[at + 4] != 0x44 or out[at + 5] >> 4 != 4:
        return heic
    place = at + 8
    for _ in range(int.from_bytes(out[at + 6 : at + 8], "big")):
        base, extents = (
            int.from_bytes(out[place + 4 : place + 8], "big"),
            int.from_bytes(out[place + 8 : place + 10], "big"),
        )
        out[place + 4 : place + 8] = bytes(4)
        for extent in range(place + 10, place + 10 + 8 * extents, 8):
            out[extent : extent + 4] = (int.from_bytes(out[extent : extent + 4], "big") + base).to_bytes(4, "big")
        place += 10 + 8 * extents
    return bytes(out)


def stamp(
    photo: dict[str, Any], device: dict[str, Any], when: dict[str, Any], position: dict[str, float], renders: Path
) -> Path:
    """Write one photo, and give where."""
    with Image.open(renders / f"{photo['scene']}.png") as render:
        image = through_camera(render, device["kind"], zlib.crc32(photo["file"].encode()))
    path = HERE / "media" / photo["file"]
    path.parent.mkdir(parents=True, exist_ok=True)
    heic = path.suffix.lower() == ".heic"
    sideways = image.height > image.width and not heic
    if sideways:
        image = image.transpose(Image.Transpose.ROTATE_90)
    exif = exif_of(photo, device, when, position, image.size, 6 if sideways else 1)
    if heic:
        import pillow_heif

        pillow_heif.register_heif_opener()
        image.save(path, format="HEIF", quality=70, exif=exif.tobytes())
        path.write_bytes(as_phones_write(path.read_bytes()))
    else:
        image.save(
            path, format="JPEG", quality=QUALITY[device["kind"]], subsampling="4:2:0", optimize=True, exif=exif
        )
    if photo.get("broken") == "truncated":
        whole = path.read_bytes()
        path.write_bytes(whole[: len(whole) * 2 // 5])
    return path


def main() -> None:
    """Write every photo whose render is there, and say which are not."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("renders", type=Path)
    renders: Path = parser.parse_args().renders
    scenario = tomllib.loads((HERE / "scenario.toml").read_text(encoding="utf-8"))
    times = json.loads((HERE / "times.json").read_text(encoding="utf-8"))["photos"]
    devices = {device["id"]: device for device in scenario["device"]}
    total = 0
    for photo in scenario["photo"]:
        if not (renders / f"{photo['scene']}.png").exists():
            print(f"{photo['scene']}: no render yet; run make_pictures.py", file=sys.stderr)
            continue
        path = stamp(photo, devices[photo["device"]], times[photo["file"]], scenario["weekend"]["position"], renders)
        total += path.stat().st_size
    for film in scenario["film_picture"]:
        if (renders / f"{film['scene']}.png").exists():
            (HERE / "drawn").mkdir(exist_ok=True)
            with Image.open(renders / f"{film['scene']}.png") as render:
                through_camera(render, "phone", 7).save(HERE / "drawn" / f"{film['scene']}.jpg", quality=92)
    print(f"{total / 1e6:.1f} MB of photos", file=sys.stderr)


if __name__ == "__main__":
    main()
