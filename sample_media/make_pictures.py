"""Render the sample pictures: every scene of scenario.toml, without words, dates or places.

Needs Blender as a Python module (`pip install bpy==5.0.1 pillow segno`, Python 3.11); no graphics card is needed.

    python sample_media/make_pictures.py OUT [SCENE…] [--width 1280] [--samples 48] [--device cpu|cuda] [--again]
"""

from __future__ import annotations

import argparse
import sys
import time
import tomllib
import zlib
from pathlib import Path

HERE = Path(__file__).resolve().parent


def sizes(scenario: dict[str, list[dict[str, object]]], width: int) -> dict[str, tuple[int, int]]:
    """Width and height in pixels for every scene: phone 4:3, camera 3:2, film as the scenario says."""
    from scenes.shots import UPRIGHT

    out: dict[str, tuple[int, int]] = {}
    for photo in scenario["photo"]:
        scene, shape = str(photo["scene"]), (4, 3) if photo["device"] == "phone" else (3, 2)
        size = (width, round(width * shape[1] / shape[0] / 2) * 2)
        out[scene] = size[::-1] if scene in UPRIGHT else size
    for film in scenario["film_picture"]:
        out[str(film["scene"])] = (int(str(film["width"])), int(str(film["height"])))
    return out


def panorama(out: Path, samples: int) -> None:
    """Render the hangar all round, once: the light and the background of the close views."""
    import bpy
    from scenes import stage

    path = out / "pano_a.exr"
    if path.exists():
        return
    stage.clear()
    stage.hangar(1)
    stage.gloom()
    stage.settle(1024, 512, samples, 1)
    stage.camera((2, -6, 1.2), (3, -6, 1.2))
    eye = bpy.context.scene.camera.data
    eye.type, eye.panorama_type, eye.dof.use_dof = "PANO", "EQUIRECTANGULAR", False
    bpy.context.scene.render.image_settings.file_format = "OPEN_EXR"
    bpy.context.scene.render.filepath = str(path)
    bpy.ops.render.render(write_still=True)


def use_card() -> None:
    """Render on a CUDA card."""
    import bpy

    settings = bpy.context.preferences.addons["cycles"].preferences
    settings.compute_device_type = "CUDA"
    settings.refresh_devices()
    for device in settings.devices:
        device.use = device.type == "CUDA"


def main() -> None:
    """Render the scenes asked for, or all that are not there yet."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("out", type=Path)
    parser.add_argument("scene", nargs="*")
    parser.add_argument("--width", type=int, default=1280)
    parser.add_argument("--samples", type=int, default=48)
    parser.add_argument("--threads", type=int, default=2)
    parser.add_argument("--device", choices=("cpu", "cuda"), default="cpu")
    parser.add_argument("--again", action="store_true", help="also render what is there already")
    asked = parser.parse_args()
    asked.out.mkdir(parents=True, exist_ok=True)
    sys.path.insert(0, str(HERE))

    from scenes import drawn, structure

    drawn.FOLDER = asked.out / "drawn"
    structure.PANORAMA = asked.out / "pano_a.exr"

    import bpy
    from scenes import floor, stage
    from scenes.shots import SHOTS

    floor.PANORAMA = structure.PANORAMA
    with (HERE / "scenario.toml").open("rb") as stream:
        plan = sizes(tomllib.load(stream), asked.width)
    panorama(asked.out, asked.samples)
    for name in asked.scene or plan:
        path = asked.out / f"{name}.png"
        if path.exists() and not asked.again:
            continue
        began = time.monotonic()
        stage.clear()
        SHOTS[name]()
        stage.settle(*plan[name], asked.samples, zlib.crc32(name.encode()) % 10000)
        scene = bpy.context.scene
        scene.render.threads = asked.threads
        if asked.device == "cuda":
            use_card()
            scene.cycles.device = "GPU"
        scene.render.filepath = str(path)
        bpy.ops.render.render(write_still=True)
        print(f"{name}: {time.monotonic() - began:.0f} s", file=sys.stderr)


if __name__ == "__main__":
    main()
