"""Camera, light and settings of a shot, and the hangar around it."""

from __future__ import annotations

import math
import random
from pathlib import Path

import bpy
from mathutils import Matrix, Vector

from scenes.shapes import Heap, Point, between, box, lathe, pose, prism, rod, tube
from scenes.surfaces import concrete, glowing, metal, painted, plain, steel, wood

WARM, COOL = (1.0, 0.83, 0.62), (0.76, 0.87, 1.0)


def clear() -> None:
    """Empty scene, ready for one shot."""
    bpy.ops.wm.read_factory_settings(use_empty=True)
    scene = bpy.context.scene
    scene.render.engine = "CYCLES"
    scene.world = bpy.data.worlds.new("world")
    scene.world.use_nodes = True


def settle(wide: int, high: int, samples: int, seed: int) -> None:
    """Render settings: size in pixels, samples a pixel, seed of the sampler."""
    scene = bpy.context.scene
    scene.render.resolution_x, scene.render.resolution_y = wide, high
    scene.render.resolution_percentage = 100
    scene.render.threads_mode, scene.render.threads = "FIXED", 2
    c = scene.cycles
    c.samples, c.seed, c.use_adaptive_sampling, c.adaptive_threshold = samples, seed, True, 0.04
    c.use_denoising, c.denoiser = True, "OPENIMAGEDENOISE"
    c.max_bounces, c.diffuse_bounces, c.glossy_bounces, c.transparent_max_bounces = 6, 3, 3, 12
    c.caustics_reflective = c.caustics_refractive = False
    c.sample_clamp_indirect = 6.0
    scene.view_settings.view_transform = "AgX"
    scene.view_settings.look = "AgX - Medium High Contrast"
    scene.render.image_settings.file_format = "PNG"


def camera(
    where: Point,
    target: Point,
    *,
    lens: float = 35.0,
    stop: float = 4.0,
    sharp: Point | None = None,
    roll: float = 0.0,
    unit: float = 1.0,
) -> None:
    """Camera at `where` looking at `target`; `stop` is the f-number, `unit` the metres in one scene unit."""
    data = bpy.data.cameras.new("camera")
    data.lens, data.sensor_width, data.clip_start = lens, 36.0, 0.01
    data.dof.use_dof = True
    data.dof.focus_distance = (Vector(sharp or target) - Vector(where)).length
    data.dof.aperture_fstop = stop * unit
    data.dof.aperture_blades = 7
    thing = bpy.data.objects.new("camera", data)
    look = (Vector(target) - Vector(where)).to_track_quat("-Z", "Y").to_matrix().to_4x4()
    thing.matrix_world = Matrix.Translation(Vector(where)) @ look @ Matrix.Rotation(math.radians(roll), 4, "Z")
    bpy.context.collection.objects.link(thing)
    bpy.context.scene.camera = thing


def lamp(where: Point, target: Point, power: float, *, size: float = 0.5, colour: Point = (1, 1, 1)) -> None:
    """Area lamp of a size (units) and power (watts at one unit a metre)."""
    data = bpy.data.lights.new("lamp", "AREA")
    data.energy, data.size, data.color = power, size, colour
    thing = bpy.data.objects.new("lamp", data)
    turn = (Vector(target) - Vector(where)).to_track_quat("-Z", "Y").to_matrix().to_4x4()
    thing.matrix_world = Matrix.Translation(Vector(where)) @ turn
    bpy.context.collection.objects.link(thing)


def around(panorama: Path, *, turn: float = 0.0, strength: float = 1.0, tilt: float = 0.0) -> None:
    """Light and background from a panorama of the hangar, turned about the upright and tilted (degrees)."""
    tree = bpy.context.scene.world.node_tree
    back = next(n for n in tree.nodes if n.type == "BACKGROUND")
    image = tree.nodes.new("ShaderNodeTexEnvironment")
    image.image = bpy.data.images.load(str(panorama))
    mapping, coords = tree.nodes.new("ShaderNodeMapping"), tree.nodes.new("ShaderNodeTexCoord")
    mapping.inputs["Rotation"].default_value = (math.radians(tilt), 0, math.radians(turn))
    tree.links.new(coords.outputs["Generated"], mapping.inputs["Vector"])
    tree.links.new(mapping.outputs[0], image.inputs["Vector"])
    tree.links.new(image.outputs[0], back.inputs["Color"])
    back.inputs["Strength"].default_value = strength


def gloom(colour: Point = (0.35, 0.4, 0.5), strength: float = 0.12) -> None:
    """Faint even light for a shot inside the hangar itself."""
    back = next(n for n in bpy.context.scene.world.node_tree.nodes if n.type == "BACKGROUND")
    back.inputs["Color"].default_value = (*colour, 1)
    back.inputs["Strength"].default_value = strength


def hangar(  # noqa: C901
    seed: int = 1, *, clutter: tuple[int, ...] = (-1, 1), lights: float = 1.0, day: float = 1.0, door: bool = True
) -> None:
    """Hangar 36 m by 28 m about the origin: floor, walls, trusses, windows, lamps, and things along the walls."""
    half_x, half_y, eaves, ridge = 18.0, 14.0, 6.5, 9.5
    floor, wall, frame, glow = Heap(), Heap(), Heap(), Heap()
    floor.add(box(60, 50, 0.1), pose((0, 0, -0.05)))
    for y in (-half_y, half_y):
        side = 1 if y > 0 else -1
        for k in range(180):
            x = -half_x + 0.1 + k * 0.2
            wall.add(box(0.11, 0.06, 3.6), pose((x, y, 1.8)))
        wall.add(box(2 * half_x, 0.04, 3.6), pose((0, y + 0.03 * side, 1.8)))
        wall.add(box(2 * half_x, 0.06, eaves - 5.6), pose((0, y, (eaves + 5.6) / 2)))
        glow.add(box(2 * half_x, 0.02, 2.0), pose((0, y + 0.1 * side, 4.6)))
        for k in range(25):
            frame.add(box(0.07, 0.08, 2.0), pose((-half_x + k * 1.5, y, 4.6)))
        for z in (3.65, 4.6, 5.55):
            frame.add(box(2 * half_x, 0.08, 0.06), pose((0, y, z)))
        frame_roof = box(2 * half_x, 0.05, math.hypot(half_y, ridge - eaves) + 0.1)
        slope = math.degrees(math.atan2(half_y, ridge - eaves))
        wall.add(frame_roof, pose((0, y / 2, (eaves + ridge) / 2), (side * slope, 0, 0)))
    for x in (-half_x, half_x):
        if x < 0 or not door:
            wall.add(box(0.06, 2 * half_y, eaves), pose((x, 0, eaves / 2)))
        else:
            wall.add(box(0.06, half_y * 1.55, eaves), pose((x, -half_y * 0.225, eaves / 2)))
            glow.add(box(0.02, half_y * 0.45, 5.2), pose((x + 0.4, half_y * 0.775, 2.6)))
            wall.add(box(0.06, half_y * 0.45, eaves - 5.2), pose((x, half_y * 0.775, (eaves + 5.2) / 2)))
        wall.add(prism([(-half_y, eaves), (half_y, eaves), (0, ridge)], 0.06), pose((x, 0, 0), (90, 0, 90)))
        for k in range(90):
            wall.add(box(0.05, 0.14, 3.4), pose((x * 0.998, -half_y + 0.15 + k * 0.31, 1.7))) if x < 0 else None
    for k in range(7):
        x = -half_x + 3 + k * 5
        for side in (-1, 1):
            frame.add(
                rod(0.09, math.hypot(half_y, ridge - eaves), 8), between((x, side * half_y, eaves), (x, 0, ridge))
            )
            frame.add(box(0.2, 0.25, eaves), pose((x, side * (half_y - 0.15), eaves / 2)))
            for j in range(1, 7):
                y0 = side * half_y * j / 7
                frame.add(
                    rod(0.04, 1, 6),
                    between((x, y0, eaves), (x, y0, ridge - (ridge - eaves) * j / 7))
                    @ pose(size=(1, 1, (ridge - eaves) * (1 - j / 7))),
                )
        frame.add(rod(0.08, 2 * half_y, 8), between((x, -half_y, eaves), (x, half_y, eaves)))
    bulb, shade = Heap(), Heap()
    for k in range(6):
        for y in (-8, 0, 8):
            x = -half_x + 5.5 + k * 5
            shade.add(lathe([(0.05, 0.35), (0.1, 0.33), (0.33, 0.0)], 20), pose((x, y, 5.9)))
            shade.add(rod(0.012, 2.0, 6), pose((x, y, 6.2)))
            bulb.add(lathe([(0, -0.02), (0.24, 0.03), (0, 0.1)], 16), pose((x, y, 5.9)))
            lamp((x, y, 5.8), (x, y, 0), 260 * lights, size=1.3, colour=WARM)
    floor.make("floor", concrete(seed))
    wall.make("wall", painted((0.21, 0.25, 0.24), seed, under=(0.3, 0.2, 0.13), chips=0.25, rough=0.6, scale=0.5))
    frame.make("frame", painted((0.11, 0.14, 0.13), seed + 1, chips=0.2, rough=0.6, scale=0.5))
    glow.make("glow", glowing((0.8, 0.9, 1.0) if day > 0.3 else (0.16, 0.3, 0.7), 3.2 * day))
    bulb.make("bulb", glowing(WARM, 40.0 * lights))
    shade.make("shade", painted((0.05, 0.09, 0.07), 3, chips=0.1))
    for y in (-half_y + 0.6, half_y - 0.6):
        lamp((0, y, 4.6), (0, 0, 0.5), 900 * day, size=9.0, colour=COOL)
    if clutter:
        along_walls(seed, clutter)


def along_walls(seed: int, sides: tuple[int, ...] = (-1, 1)) -> None:  # noqa: C901
    """Benches, racks, drums, boxes, ladders and a tool chest along the hangar's walls."""
    r = random.Random(seed)
    colours = [
        (0.32, 0.06, 0.04),
        (0.05, 0.12, 0.25),
        (0.3, 0.24, 0.08),
        (0.08, 0.17, 0.1),
        (0.36, 0.35, 0.32),
        (0.25, 0.15, 0.08),
    ]
    heaps = [Heap() for _ in colours]
    timber, iron, card = Heap(), Heap(), Heap()
    for side in sides:
        x = -16.5
        while x < 16:
            y, kind = (
                side * (13.0 - r.uniform(0, 0.4)),
                r.choice(["bench", "rack", "rack", "drums", "boxes", "ladder", "chest"]),
            )
            if kind == "bench":
                timber.add(box(2.4, 0.75, 0.07), pose((x + 1.2, y, 0.9)))
                for dx in (0.1, 2.3):
                    for dy in (-0.3, 0.3):
                        timber.add(box(0.1, 0.1, 0.88), pose((x + dx, y + dy, 0.44)))
                for _ in range(9):
                    h = r.uniform(0.06, 0.34)
                    r.choice(heaps).add(
                        box(r.uniform(0.1, 0.4), r.uniform(0.1, 0.3), h),
                        pose(
                            (x + r.uniform(0.2, 2.2), y + r.uniform(-0.2, 0.2), 0.935 + h / 2),
                            (0, 0, r.uniform(0, 60)),
                        ),
                    )
                x += 2.8
            elif kind == "rack":
                for dx in (0, 1.9):
                    for dy in (-0.3, 0.3):
                        iron.add(box(0.05, 0.05, 2.3), pose((x + dx, y + dy, 1.15)))
                for z in (0.25, 0.85, 1.45, 2.05):
                    iron.add(box(1.95, 0.65, 0.04), pose((x + 0.95, y, z)))
                    dx = 0.1
                    while dx < 1.6:
                        w, h = r.uniform(0.15, 0.5), r.uniform(0.1, 0.42)
                        (card if r.random() < 0.4 else r.choice(heaps)).add(
                            box(w, r.uniform(0.25, 0.5), h),
                            pose((x + dx + w / 2, y, z + 0.02 + h / 2), (0, 0, r.uniform(-8, 8))),
                        )
                        dx += w + r.uniform(0.03, 0.2)
                x += 2.3
            elif kind == "drums":
                for k in range(3):
                    r.choice(heaps).add(
                        lathe(
                            [
                                (0, 0),
                                (0.29, 0),
                                (0.29, 0.28),
                                (0.305, 0.3),
                                (0.29, 0.32),
                                (0.29, 0.58),
                                (0.305, 0.6),
                                (0.29, 0.62),
                                (0.29, 0.88),
                                (0, 0.87),
                            ],
                            24,
                        ),
                        pose((x + 0.4 + k * 0.66, y + r.uniform(-0.2, 0.2), 0)),
                    )
                x += 2.4
            elif kind == "boxes":
                for k in range(4):
                    w = r.uniform(0.4, 0.8)
                    timber.add(
                        box(w, w, w * 0.8),
                        pose((x + 0.4 + (k % 2) * 0.9, y, w * 0.4 + (k // 2) * 0.6), (0, 0, r.uniform(-12, 12))),
                    )
                x += 2.2
            elif kind == "ladder":
                for dx in (0, 0.4):
                    timber.add(box(0.05, 0.08, 3.2), pose((x + dx, y + side * 0.3, 1.55), (side * 10, 0, 0)))
                for k in range(10):
                    timber.add(
                        rod(0.018, 0.4, 8), pose((x, y + side * (0.05 + k * 0.055), 0.3 + k * 0.29), (0, 90, 0))
                    )
                x += 1.2
            else:
                h = 0.95
                heaps[0].add(box(0.75, 0.5, h), pose((x + 0.5, y, 0.1 + h / 2)))
                for k in range(5):
                    iron.add(box(0.6, 0.03, 0.02), pose((x + 0.5, y - side * 0.26, 0.28 + k * 0.16)))
                x += 1.5
            x += r.uniform(0.1, 0.6)
    for k, (heap, colour) in enumerate(zip(heaps, colours, strict=True)):
        if heap.points:
            heap.make("things", painted(colour, seed + k, chips=0.3), bevel=0.01)
    timber.make("timber", wood(seed, along="x"), bevel=0.006)
    iron.make("iron", painted((0.13, 0.16, 0.2), seed, chips=0.4), bevel=0.004)
    if card.points:
        card.make("card", plain((0.42, 0.3, 0.18), 0.8), bevel=0.004)


def trestle(
    at: Point,
    height: float,
    *,
    turn: float = 0.0,
    wide: float = 1.1,
    pad: bool = True,
    paint: Point | None = None,
    seed: int = 0,
) -> None:
    """Wooden or, with `paint`, painted A-frame trestle with a padded top beam at a height."""
    base = pose(at, (0, 0, turn))
    timber, cloth = Heap(base), Heap(base)
    timber.add(box(0.14, wide, 0.14), pose((0, 0, height - 0.07)))
    for y in (-wide / 2 + 0.12, wide / 2 - 0.12):
        for side in (-1, 1):
            foot = (side * height * 0.32, y + (0.12 if y > 0 else -0.12), 0.0)
            timber.add(
                box(0.09, 0.07, math.dist(foot, (0, y, height - 0.1))),
                between(foot, (side * 0.04, y, height - 0.1))
                @ pose((0, 0, math.dist(foot, (0, y, height - 0.1)) / 2)),
            )
        timber.add(box(height * 0.42, 0.04, 0.09), pose((0, y + (0.07 if y > 0 else -0.07), height * 0.38)))
    timber.add(box(0.04, wide * 0.95, 0.09), pose((height * 0.13, 0, height * 0.55), (0, -18, 0)))
    timber.make(
        "trestle",
        painted(tuple(paint), seed, under=(0.3, 0.2, 0.1), chips=0.3, scale=2)
        if paint
        else wood(seed + 4, along="z", colour=(0.46, 0.31, 0.16)),
        bevel=0.006,
    )
    if pad:
        cloth.add(box(0.2, wide * 0.82, 0.06), pose((0, 0, height + 0.02)))
        cloth.make("pad", painted((0.16, 0.17, 0.2), seed, chips=0, rough=0.9, grime=0.7), bevel=0.02)


def bench_top(
    size: float, z: float = 0.0, *, seed: int = 0, unit: float = 0.1, colour: Point = (0.36, 0.23, 0.11)
) -> None:
    """Planked bench top seen from above, planks along x."""
    planks, gap, width = Heap(), 0.02, 1.15
    r = random.Random(seed)
    count = int(size / width) + 1
    for k in range(count):
        y = (k - count / 2) * width
        planks.add(
            box(size * 1.6, width - gap, 0.5), pose((r.uniform(-1, 1), y, z - 0.25 + r.uniform(-0.012, 0.012)))
        )
    planks.make("bench", wood(seed, scale=unit * 6, worn=0.7, colour=tuple(colour)), bevel=0.025)


def steel_stand(at: Point, *, seed: int = 0) -> Heap:
    """Heap for a welded steel stand, placed at a point."""
    return Heap(pose(at))


def cable(points: list[Point], radius: float, surface: bpy.types.Material) -> None:
    """Loose cable or hose through the points."""
    heap = Heap()
    heap.add(tube(points, radius))
    heap.make("cable", surface)


def dark_steel(seed: int = 0) -> bpy.types.Material:
    """Steel for stands and tools."""
    return steel(seed)


def bare(seed: int = 0) -> bpy.types.Material:
    """Bare aluminium for small things."""
    return metal(seed)
