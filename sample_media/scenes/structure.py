"""Close views of the structure: joint, skin, ribs, cables, pipes. Decimetres; local z is the surface's normal."""

from __future__ import annotations

import math
import random
from itertools import pairwise
from pathlib import Path

import bpy
import numpy as np
from mathutils import Matrix

from scenes import drawn
from scenes.aircraft import cut
from scenes.shapes import (
    Heap,
    Point,
    between,
    bolt,
    box,
    dome,
    hex_block,
    holed_plate,
    lathe,
    pose,
    prism,
    rod,
    sheet,
    tube,
    washer,
)
from scenes.stage import COOL, WARM, around, camera, lamp
from scenes.surfaces import (
    Surface,
    chrome,
    corroded,
    metal,
    painted,
    plain,
    plated,
    primer,
    printed,
    steel,
    waxy,
    woven,
)

PANORAMA = Path("pano_a.exr")
UNDER, WALL, FLAT = pose(turn=(180, 0, 0)), pose(turn=(90, 0, 0)), Matrix.Identity(4)
BLACK = (0.006, 0.006, 0.006)


def shoot(
    base: Matrix,
    where: Point,
    target: Point,
    *,
    lens: float = 40,
    stop: float = 8,
    turn: float = 0.0,
    strength: float = 0.8,
    sharp: Point | None = None,
    roll: float = 0.0,
) -> None:
    """Camera and hangar light for a close view, placed in the local axes of `base`."""
    m = [(base @ pose(p)).translation for p in (where, target, sharp or target)]
    camera(m[0], m[1], lens=lens, stop=stop, sharp=m[2], roll=roll, unit=0.1)
    around(PANORAMA, turn=turn, strength=strength)


def spot(base: Matrix, where: Point, target: Point, power: float, size: float = 0.6, colour: Point = WARM) -> None:
    """Work lamp in local axes."""
    a, b = ((base @ pose(p)).translation for p in (where, target))
    lamp(a, b, power, size=size, colour=colour)


def rivets(
    heap: Heap, start: Point, end: Point, pitch: float = 0.28, radius: float = 0.05, skip: tuple[int, ...] = ()
) -> list[Point]:
    """Line of rivet heads; gives the places that were skipped."""
    count = max(1, round(math.dist(start, end) / pitch))
    left = []
    for k in range(count + 1):
        at = [a + (b - a) * k / count for a, b in zip(start, end, strict=True)]
        if k in skip:
            left.append(at)
        else:
            heap.add(dome(radius, radius * 0.62), pose(at, (0, 0, 37 * k)))
    return left


def screw(heap: Heap, slots: Heap, at: Point, turn: float, radius: float = 0.075) -> None:
    """Add a raised countersunk screw with a slot."""
    heap.add(dome(radius, radius * 0.35, 20), pose(at))
    slots.add(
        box(radius * 1.7, radius * 0.26, radius * 0.2), pose((at[0], at[1], at[2] + radius * 0.28), (0, 0, turn))
    )


def castle_nut(nuts: Heap, pins: Heap, m: Matrix, af: float, *, pin: bool = True, hole: float | None = None) -> None:
    """Castellated nut on z = 0 with its split pin."""
    h, bore = af * 0.5, (hole if hole is not None else af * 0.3)
    nuts.add(hex_block(af, h, bore), m)
    for k in range(6):
        nuts.add(
            lathe(
                [
                    (bore, h),
                    (af * 0.42, h),
                    (af * 0.43, h + af * 0.2),
                    (af * 0.41, h + af * 0.23),
                    (bore * 1.05, h + af * 0.23),
                    (bore, h),
                ],
                8,
                arc=38,
            ),
            m @ pose(turn=(0, 0, 60 * k + 11)),
        )
    if pin:
        z, r = h + af * 0.12, af * 0.05
        pins.add(
            tube(
                [
                    (-af * 0.62, 0, z),
                    (-af * 0.5, 0, z + 0.01),
                    (af * 0.45, 0, z),
                    (af * 0.56, 0, z + af * 0.06),
                    (af * 0.4, 0, z + af * 0.32),
                    (af * 0.16, 0, z + af * 0.34),
                ],
                r,
                sides=8,
            ),
            m @ pose(turn=(0, 0, 0)),
        )
        pins.add(
            tube(
                [
                    (-af * 0.5, r, z),
                    (af * 0.45, r, z),
                    (af * 0.54, r * 2, z - af * 0.1),
                    (af * 0.5, r * 2, z - af * 0.35),
                ],
                r,
                sides=8,
            ),
            m,
        )
        pins.add(
            lathe([(r * 1.2, -r), (r * 2.4, -r), (r * 2.4, r), (r * 1.2, r)], 14),
            m @ pose((-af * 0.66, 0, z), (90, 0, 0)),
        )


def ring_mark(name: str, surface: bpy.types.Material, m: Matrix, radius: float, wide: float, seed: int = 0) -> None:
    """Hand-drawn ring lying just above the surface, its ends overshooting."""
    r = np.random.default_rng(seed)
    a0, wob = r.uniform(0, 6), r.uniform(-0.12, 0.12, 6)

    def place(u: np.ndarray, v: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        a = a0 + u * 2 * np.pi * 1.07
        q = radius * (1 + wob[0] * np.sin(2 * a) + wob[1] * np.cos(3 * a) * 0.6 + 0.09 * u) + (v - 0.5) * wide
        return q * np.cos(a), q * np.sin(a) * 0.94, 0.006 + 0.004 * u

    sheet(name, surface, place, across=90, along=3, matrix=m)


def stroke(
    name: str,
    surface: bpy.types.Material,
    m: Matrix,
    points: list[tuple[float, float]],
    wide: float,
    z: float = 0.006,
) -> None:
    """Chalk or crayon line through points, just above the surface."""
    line = np.array(points, dtype=float)

    def place(u: np.ndarray, v: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        t = u * (len(line) - 1)
        x, y = (np.interp(t, np.arange(len(line)), line[:, k]) for k in (0, 1))
        dx, dy = np.gradient(x, axis=0), np.gradient(y, axis=0)
        size = np.hypot(dx, dy) + 1e-9
        return x - dy / size * (v - 0.5) * wide, y + dx / size * (v - 0.5) * wide, np.full_like(x, z)

    sheet(name, surface, place, across=40, along=2, matrix=m)


def crack(m: Matrix, points: list[tuple[float, float]], wide: float, seed: int = 1, z: float = 0.008) -> None:
    """Jagged dark crack through the points, widest at its start."""
    r = random.Random(seed)
    line: list[tuple[float, float]] = []
    for (x0, y0), (x1, y1) in pairwise(points):
        steps = max(2, round(math.hypot(x1 - x0, y1 - y0) / 0.06))
        for k in range(steps):
            j = 0.028 if line else 0.0
            line.append(
                (x0 + (x1 - x0) * k / steps + r.uniform(-j, j), y0 + (y1 - y0) * k / steps + r.uniform(-j, j))
            )
    line.append(points[-1])
    left, right = [], []
    for k, (x, y) in enumerate(line):
        ax, ay = (
            line[min(k + 1, len(line) - 1)][0] - line[max(k - 1, 0)][0],
            line[min(k + 1, len(line) - 1)][1] - line[max(k - 1, 0)][1],
        )
        n = math.hypot(ax, ay) or 1
        w = wide * (1 - 0.6 * k / len(line)) * r.uniform(0.6, 1.2) / 2
        left.append((x - ay / n * w, y + ax / n * w))
        right.append((x + ay / n * w, y - ax / n * w))
    dark = Heap(m)
    points3 = np.array([(x, y, z) for pair in zip(left, right, strict=True) for x, y in pair])
    dark.add((points3, [(2 * k, 2 * k + 1, 2 * k + 3, 2 * k + 2) for k in range(len(line) - 1)]))
    dark.make("crack", plain((0.006, 0.004, 0.003), 0.9))


def card_tag(
    text: str,
    m: Matrix,
    *,
    tall: float = 1.1,
    string_to: Point | None = None,
    thumb: bool = False,
    curl: float = 0.12,
) -> None:
    """Card tag hanging from its eyelet at the origin of `m`, face towards local z; string to a local point."""
    wide = tall * 480 / 860

    def place(u: np.ndarray, v: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        return (u - 0.5) * wide, (v - 0.88) * tall, curl * tall * (0.35 * (1 - v) ** 2 + 0.25 * (u - 0.5) ** 2)

    sheet("tag", printed(drawn.tag(text, thumb=thumb)), place, across=12, along=20, matrix=m)
    back = Heap(m)
    back.add(rod(0.001, 0.001))
    back.make("none", plain((0.3, 0.22, 0.12)))
    if string_to is not None:
        x, y, z = string_to
        twine = Heap(m)
        for s in (-1, 1):
            twine.add(
                tube(
                    [
                        (0.0, 0.0, -0.02),
                        (0.02 * s, 0.02, 0.06),
                        (x * 0.5 + 0.06 * s * tall, y * 0.5 - 0.05 * s, z * 0.5 + 0.05),
                        (x, y, z),
                    ],
                    0.016 * tall,
                    sides=8,
                )
            )
        twine.make("twine", woven((0.6, 0.52, 0.36), scale=0.6))


def label_plate(path: str, m: Matrix, wide: float, high: float, surface: bpy.types.Material) -> None:
    """Flat picture centred on the origin of `m`."""
    sheet("plate", surface, lambda u, v: ((u - 0.5) * wide, (v - 0.5) * high, u * 0.0), across=2, along=2, matrix=m)


def skin(
    base: Matrix,
    x: float,
    y: float,
    *,
    at: Point = (0, 0, 0),
    seed: int = 0,
    waves: float = 0.12,
    tone: Point = (0.6, 0.61, 0.62),
    thick: float = 0.03,
) -> bpy.types.Object:
    """Flat panel of skin with oil-canning, top at z = 0."""
    heap = Heap(base)
    heap.add(box(x, y, thick), pose((at[0], at[1], at[2] - thick / 2)))
    return heap.make("skin", metal(seed, tone=tuple(tone), rough=0.27, grime=0.22, scale=0.22, waves=waves * 1.6))


def fillet_on() -> None:
    """Underside of the wing joint with the fillet panel in place."""
    b = UNDER
    for x, seed in ((-11.9, 3), (11.9, 4)):
        skin(b, 20, 60, at=(x, 0, 0), seed=seed)
    sheet(
        "fillet",
        metal(5, tone=(0.46, 0.47, 0.49), rough=0.34, grime=0.3, scale=0.3, waves=0.08),
        lambda u, v: ((u - 0.5) * 4.4, (v - 0.5) * 60, 0.06 + 0.55 * np.sin(np.pi * u) ** 0.8),
        across=40,
        along=8,
        matrix=b,
    )
    heads, slots, dots = Heap(b), Heap(b), Heap(b)
    for side in (-1, 1):
        for k in range(80):
            screw(heads, slots, (side * 1.93, -20 + k * 0.62, 0.225), 41 * k * side, 0.11)
        for x in (2.6, 3.0, 7.5, 12.5):
            rivets(dots, (side * x, -20, 0), (side * x, 25, 0), 0.33, 0.06)
    for y in (-15, -9, -3, 3, 9, 15, 21):
        for side in (-1, 1):
            rivets(dots, (side * 3.3, y, 0), (side * 20, y, 0), 0.33, 0.06)
    heads.make("screws", plated(2, 2))
    slots.make("slots", plain(BLACK))
    dots.make("rivets", metal(7, rough=0.4))
    shoot(b, (-3.2, -8.5, 6.0), (0.4, 1.5, 0), lens=30, stop=9, turn=20, strength=0.8)
    spot(b, (9, -3, 4.5), (0, 2, 0), 900, 1.2)


def openings() -> None:
    """Riveted underside with four access openings in a row."""
    b = UNDER
    plate, cutters, dots, holes, inside = skin(b, 60, 30, seed=11), Heap(b), Heap(b), Heap(b), Heap(b)
    for k in range(4):
        x = -6.6 + 4.4 * k
        cutters.add(box(2.5, 3.4, 1), pose((x, 0, 0)))
        for i in range(8):
            for y in (-1.98, 1.98):
                holes.add(lathe([(0, 0.002), (0.055, 0.002)], 14), pose((x - 1.12 + 0.32 * i, y, 0)))
        for i in range(9):
            for dx in (-1.5, 1.5):
                holes.add(lathe([(0, 0.002), (0.055, 0.002)], 14), pose((x + dx, -1.6 + 0.4 * i, 0)))
        inside.add(box(0.12, 9, 2.6), pose((x + 2.2, 0, -1.4)))
        inside.add(box(0.7, 9, 0.05), pose((x + 1.9, 0, -0.08)))
        for y in (-1.1, 1.2):
            inside.add(box(4.4, 0.28, 0.5), pose((x, y, -2.3)))
    inside.add(box(60, 30, 0.1), pose((0, 0, -2.8)))
    cut(plate, cutters)
    pipe = Heap(b)
    pipe.add(tube([(-14, 0.3, -1.6), (-5, 0.5, -1.5), (3, 0.2, -1.7), (14, 0.5, -1.6)], 0.13))
    pipe.add(tube([(-14, -0.5, -1.3), (14, -0.4, -1.3)], 0.05))
    for y in (-4.2, -2.6, 2.6, 4.2, 8):
        rivets(dots, (-28, y, 0), (28, y, 0), 0.36, 0.06)
    for x in (-13, -8.8, 8.8, 13):
        rivets(dots, (x, -14, 0), (x, 14, 0), 0.36, 0.06)
    dots.make("rivets", metal(7, rough=0.4))
    holes.make("holes", plain(BLACK, 0.9))
    inside.make("inside", primer(3, scale=0.6))
    pipe.make("pipe", metal(9, rough=0.3))
    shoot(b, (-9.5, -9, 9.0), (-1.2, 0.2, 0), lens=32, stop=11, turn=150, strength=0.8)
    spot(b, (10, -3, 6), (0, 0, 0), 900, 3.5)


def bay_back(b: Matrix, *, seed: int = 0, wide: float = 20, high: float = 12, depth: float = 3) -> None:
    """Primed inside of a structure behind a close view: web, stiffeners, stringers, rivets."""
    green, dots = Heap(b), Heap(b)
    green.add(box(wide, high, 0.08), pose((0, 0, -depth)))
    for k in range(-3, 4):
        x = k * wide / 7 + 0.6
        green.add(box(0.07, high, 0.8), pose((x, 0, -depth + 0.4)))
        green.add(box(0.6, high, 0.07), pose((x + 0.3, 0, -depth + 0.08)))
        rivets(dots, (x + 0.4, -high / 2, -depth + 0.115), (x + 0.4, high / 2, -depth + 0.115), 0.4, 0.08)
    for y in (-high * 0.38, high * 0.36):
        green.add(box(wide, 0.09, 0.7), pose((0, y, -depth + 0.5)))
        green.add(box(wide, 0.6, 0.08), pose((0, y - 0.3, -depth + 0.85)))
    green.make("bay", primer(seed, scale=0.7), bevel=0.02)
    dots.make("bay-rivets", primer(seed + 1, scale=2))


def turnbuckle(b: Matrix, x: float, y: float, z: float, brass: Heap, ends: Heap, wire: Heap) -> None:
    """Barrel turnbuckle on a cable along x, wire-locked."""
    along = pose((x, y, z), (0, 90, 0))
    brass.add(
        lathe(
            [
                (0, -0.75),
                (0.1, -0.75),
                (0.13, -0.68),
                (0.13, -0.3),
                (0.17, -0.22),
                (0.17, 0.22),
                (0.13, 0.3),
                (0.13, 0.68),
                (0.1, 0.75),
                (0, 0.75),
            ],
            24,
        ),
        along,
    )
    for s in (-1, 1):
        ends.add(rod(0.075, 0.5, 20), along @ pose((0, 0, 0.72 if s > 0 else -1.22)))
        ends.add(
            lathe([(0.07, 0), (0.1, 0.05), (0.1, 0.8), (0.05, 0.9)], 20),
            along @ pose((0, 0, 1.2 * s), (0 if s > 0 else 180, 0, 0)),
        )
    wire.add(
        tube(
            [
                (x - 0.8, y + 0.11, z + 0.05),
                (x - 0.3, y + 0.16, z + 0.1),
                (x, y, z + 0.19),
                (x + 0.3, y - 0.15, z + 0.1),
                (x + 0.8, y - 0.1, z + 0.05),
            ],
            0.016,
            sides=6,
        )
    )


def cable_strand(heap: Heap, points: list[Point], radius: float = 0.06) -> None:
    """Stranded cable: six strands wound round the line."""
    line = np.array(tube(points, radius, sides=6, steps=40)[0]).reshape(-1, 6, 3)
    for k in range(6):
        path = [line[i, (k + i // 2) % 6] * 0.62 + line[i].mean(axis=0) * 0.38 for i in range(0, len(line), 2)]
        heap.add(tube([tuple(p) for p in path], radius * 0.42, sides=5, steps=2))


def aileron_cables() -> None:
    """Two cables with turnbuckles passing a fairlead on a rib."""
    b = WALL
    bay_back(b, seed=21)
    rib, brass, ends, wire, strand, block = (Heap(b) for _ in range(6))
    rib.add(box(0.09, 9, 3.2), pose((3.4, 0, -1.2)))
    rib.add(box(0.8, 9, 0.08), pose((3.05, 0, 0.4)))
    block.add(box(0.55, 2.6, 0.75), pose((3.3, -0.1, 0.85)))
    dots = Heap(b)
    rivets(dots, (2.85, -4.5, 0.44), (2.85, 4.5, 0.44), 0.42, 0.07)
    for y in (-1.15, 0.95):
        dots.add(hex_block(0.24, 0.12), pose((3.3, y, 1.225), (0, 0, 20)))
    for y, x in ((0.52, -1.2), (-0.62, -2.4)):
        turnbuckle(b, x, y, 0.9, brass, ends, wire)
        cable_strand(strand, [(-9, y + 0.1, 0.9), (x - 1.9, y, 0.9)])
        cable_strand(strand, [(x + 1.9, y, 0.9), (9, y + 0.05, 0.9)])
    rib.make("rib", primer(5, scale=0.8), bevel=0.02)
    block.make("fairlead", painted((0.13, 0.06, 0.03), 2, chips=0, rough=0.5), bevel=0.06)
    brass.make("barrels", metal(2, tone=(0.65, 0.45, 0.18), rough=0.32))
    ends.make("ends", steel(2, 2))
    wire.make("wire", metal(3, rough=0.3))
    strand.make("cable", metal(4, tone=(0.4, 0.39, 0.37), rough=0.4, grime=0.7), crease=80)
    dots.make("dots", plated(1, 2))
    shoot(b, (-3.6, 1.9, 8.6), (-0.5, 0, 0.6), lens=40, stop=5.6, turn=70, strength=0.8, sharp=(-1.0, 0, 0.9))
    spot(b, (-6, 5, 7), (0, 0, 0), 520, 1.0)


def cable_label(tag: str, *, thumb: bool, seed: int) -> None:
    """Card label tied to the end fitting of a freed cable."""
    b = WALL
    bay_back(b, seed=seed, depth=4)
    ends, strand, pin = Heap(b), Heap(b), Heap(b)
    s = -1 if thumb else 1
    m = pose((0, 0.35, 0.3), (0, 0, 28 * s - (12 if thumb else 0)))
    along = m @ pose(turn=(0, 90, 0))
    ends.add(lathe([(0.07, -1.2), (0.14, -1.1), (0.14, -0.1), (0.2, 0.0), (0.2, 0.25), (0.0, 0.3)], 24), along)
    for z in (-0.14, 0.14):
        ends.add(
            prism([(0.2, -0.2), (0.95, -0.22), (1.1, -0.12), (1.15, 0), (1.1, 0.12), (0.95, 0.22), (0.2, 0.2)], 0.09),
            m @ pose((0, 0, z - 0.045)),
        )
    cable_strand(
        strand,
        [
            tuple((m @ pose(p)).translation)
            for p in ((-8, -2.5 * s, -1.2), (-4, -0.5 * s, -0.3), (-2.2, 0, 0), (-1.1, 0, 0))
        ],
    )
    pin.add(rod(0.1, 0.62, 20, 0.02), m @ pose((0.85, 0, -0.31)))
    ends.make("ends", steel(seed, 2), bevel=0.02)
    strand.make("cable", metal(4, tone=(0.4, 0.39, 0.37), rough=0.4, grime=0.7), crease=80)
    pin.make("pin", plated(seed, 2))
    tag_m = b @ pose(
        (0.95 if not thumb else 0.55, -0.25 if not thumb else -0.15, 0.75), (-6, 10 * s, -7 * s if not thumb else 16)
    )
    card_tag(tag, tag_m, tall=2.2, string_to=(-0.2 * s, 0.95 if not thumb else 0.55, -0.5), thumb=thumb, curl=0.1)
    if thumb:
        shoot(
            b, (2.4, -1.9, 6.0), (0.35, -0.85, 0.4), lens=46, stop=5, turn=210, strength=0.75, sharp=(0.6, -1.0, 0.8)
        )
    else:
        shoot(
            b, (-1.6, 0.6, 6.4), (0.4, -0.75, 0.4), lens=44, stop=5, turn=130, strength=0.75, sharp=(0.9, -1.0, 0.8)
        )
    spot(b, (-4 * s, 4, 6), (0.5, -0.5, 0), 260, 0.8)


def pitot_capped() -> None:
    """Thin pipe parted at a union, a small blue cap on each end."""
    b = WALL
    bay_back(b, seed=31, depth=2.2)
    pipe, nuts, caps, clips = (Heap(b) for _ in range(4))
    for s in (-1, 1):
        end = (0.55 * s, 0.1 * s + 0.2, 0.55 if s > 0 else 0.8)
        pipe.add(
            tube(
                [(9 * s, 1.2 * s, -1.2), (5 * s, 0.5 * s, -1.1), (2.2 * s, 0.25 * s + 0.1, 0.1), end],
                0.11,
                sides=20,
                steps=14,
            )
        )
        m = pose(end, (0, -90 * s, 8 * s))
        nuts.add(
            hex_block(0.42, 0.4, 0.1, both=True),
            pose((end[0] + 0.45 * s, end[1] + 0.03 * s, end[2] - 0.08), (0, -90 * s, 4)),
        )
        caps.add(
            lathe([(0.2, -0.02), (0.215, 0.0), (0.2, 0.42), (0.15, 0.46), (0, 0.46)], 28), m @ pose((0, 0, -0.1))
        )
        caps.add(lathe([(0.2, 0), (0.26, 0.01), (0.26, 0.08), (0.2, 0.09)], 28), m @ pose((0, 0, -0.12)))
        clips.add(box(0.35, 0.6, 0.06), pose((4.2 * s, 0.45 * s, -1.0)))
    pipe.make("pipe", metal(8, tone=(0.66, 0.67, 0.68), rough=0.27, grime=0.3))
    nuts.make("nuts", metal(3, tone=(0.35, 0.42, 0.55), rough=0.35))
    caps.make("caps", plain((0.015, 0.08, 0.42), 0.38))
    clips.make("clips", metal(2), bevel=0.02)
    shoot(b, (1.2, 1.4, 6.0), (0.05, 0.15, 0.5), lens=48, stop=5, turn=250, strength=0.8, sharp=(0.3, 0.2, 0.7))
    spot(b, (4, 5, 6), (0, 0, 0), 300, 0.8)


def joint_face(b: Matrix, *, count: int, seed: int, holes: bool, bottom_long: bool = False) -> None:
    """Front spar fitting: forged strip with a column of bolts or empty holes, riveted skin and web round it."""
    strip = holed_plate(1, count, 1.25, 0.5, lambda _c, r: (0.3, 0.42 if bottom_long and r == 0 else 0.3))
    block, edge = Heap(b), Heap(b)
    block.add(strip, pose((0, 0, 0.42)))
    high = 1.25 * count
    for s in (-1, 1):
        edge.add(box(0.32, high + 0.8, 0.5), pose((s * 0.785, 0, 0.17)))
        edge.add(box(1.24, 0.42, 0.5), pose((0, s * (high / 2 + 0.2), 0.165)))
        edge.add(box(1.0, high + 1.4, 0.2), pose((s * 1.3, 0, 0.05)))
    edge.add(box(2, high, 0.05), pose((0, 0, -0.5)))
    block.make("block", steel(seed, 1.2))
    edge.make("edge", steel(seed, 1.2), bevel=0.05)
    dots = Heap(b)
    for s in (-1, 1):
        rivets(dots, (s * 1.55, -high / 2 - 0.4, 0.15), (s * 1.55, high / 2 + 0.4, 0.15), 0.5, 0.11)
        rivets(dots, (s * 3.4, -14, 0), (s * 3.4, 14, 0), 0.36, 0.075)
        rivets(dots, (s * 3.9, -14, 0), (s * 3.9, 14, 0), 0.36, 0.075)
        skin(b, 14, 40, at=(s * 10.4, 0, 0), seed=seed + s, waves=0.1)
    for y in (-9, -4.5, 0.2, 4.4, 9):
        for s in (-1, 1):
            rivets(dots, (s * 4.2, y, 0), (s * 14, y, 0), 0.36, 0.075)
    web = Heap(b)
    web.add(box(7, 40, 0.06), pose((0, 0, -0.04)))
    web.make("web", primer(seed, scale=0.8))
    dots.make("rivets", metal(seed + 3, rough=0.42, grime=0.6))


def bolts_in() -> None:
    """Joint fitting with its eight bolt ends, castellated nuts and split pins in place."""
    b = WALL
    joint_face(b, count=8, seed=41, holes=False)
    nuts, pins, ends, rings = (Heap(b) for _ in range(4))
    for k in range(8):
        y = (k - 3.5) * 1.25
        m = pose((0, y, 0.5), (0, 0, 23 * k * k))
        rings.add(washer(0.52, 0.28, 0.07), pose((0, y, 0.42)))
        castle_nut(nuts, pins, m, 0.86, hole=0.27)
        ends.add(lathe([(0.26, -0.1), (0.26, 0.6), (0.21, 0.66), (0, 0.66)], 28), m)
    nuts.make("nuts", plated(3, 1.6))
    pins.make("pins", metal(3, rough=0.35))
    ends.make("ends", steel(6, 2))
    rings.make("washers", plated(8, 2))
    shoot(
        b,
        (-4.4, -2.6, 6.4),
        (0.1, 0.2, 0.4),
        lens=38,
        stop=7,
        turn=40,
        strength=0.8,
        sharp=(0, -0.6, 0.9),
        roll=-90 + 12,
    )
    spot(b, (-6, 4, 7), (0, 0, 0), 520, 1.0)


def empty_holes() -> None:
    """Joint fitting with a column of eight empty holes, bright where the nuts sat."""
    b = WALL
    joint_face(b, count=8, seed=43, holes=True)
    rings = Heap(b)
    for k in range(8):
        rings.add(lathe([(0.335, 0.4235), (0.5, 0.4235)], 40), pose((0, (k - 3.5) * 1.25, 0)))
    rings.make("bright", metal(5, tone=(0.78, 0.77, 0.74), rough=0.24, grime=0.35, scale=2))
    shoot(b, (5.6, 3.4, 8.2), (0.0, 0.25, 0.2), lens=36, stop=7, turn=10, strength=0.85, sharp=(0, 0.9, 0.4), roll=4)
    spot(b, (7, 6, 7), (0, 0, 0), 650, 1.0)


def long_hole() -> None:
    """One bolt hole worn long, a steel rule beside it."""
    b = WALL
    joint_face(b, count=3, seed=47, holes=True, bottom_long=True)
    rings = Heap(b)
    for k in (1, 2):
        rings.add(lathe([(0.335, 0.4235), (0.5, 0.4235)], 40), pose((0, (k - 1) * 1.25, 0)))
    rings.make("bright", metal(5, tone=(0.78, 0.77, 0.74), rough=0.24, grime=0.35, scale=2))
    sheet(
        "bright-long",
        metal(6, tone=(0.78, 0.77, 0.74), rough=0.22, grime=0.3, scale=2),
        lambda u, v: (
            (0.33 + 0.2 * v) * np.cos(6.2832 * u),
            -1.25 + (0.455 + 0.17 * v) * np.sin(6.2832 * u),
            0.4235 + 0 * u,
        ),
        across=48,
        along=2,
        matrix=b,
    )
    label_plate(drawn.rule(), b @ pose((-0.86, -0.9, 0.5), (0, 0, 84)), 5.0, 0.42, rule_surface())
    back = Heap(b)
    back.add(box(5.02, 0.43, 0.04), pose((-0.86, -0.9, 0.475), (0, 0, 84)))
    back.make("rule", metal(2, rough=0.25))
    shoot(b, (0.9, -2.6, 4.6), (-0.1, -1.15, 0.4), lens=46, stop=5.6, turn=120, strength=0.85, sharp=(0, -1.25, 0.42))
    spot(b, (3.5, 1.5, 4), (0, -1.2, 0), 190, 0.6)


def rule_surface() -> bpy.types.Material:
    """Steel rule: the drawn graduations on satin metal."""
    surface = printed(drawn.rule(), 0.3)
    shader = next(n for n in surface.node_tree.nodes if n.type == "BSDF_PRINCIPLED")
    shader.inputs["Metallic"].default_value = 0.85
    return surface


def bracket(b: Matrix, *, seed: int, crank: bool = True) -> None:
    """L-shaped bracket with a bolt hole, cracked to its edge, ringed in crayon; the bellcrank behind."""
    outline = [(-1.5, -2.2), (1.5, -2.2), (1.5, 0.9), (1.15, 1.6), (0.5, 2.0), (-0.5, 2.0), (-1.15, 1.6), (-1.5, 0.9)]
    plate, foot, holes, dots = Heap(b), Heap(b), Heap(b), Heap(b)
    plate.add(prism(outline, 0.22))
    thing = plate.make("bracket", painted((0.18, 0.21, 0.1), seed, chips=0.32, scale=1.1, grime=0.5))
    cutters = Heap(b)
    cutters.add(rod(0.42, 1, 40), pose((0.15, 0.6, -0.4)))
    cut(thing, cutters)
    foot.add(box(3.0, 0.24, 2.2), pose((0, -2.25, 0.95)))
    foot.add(prism([(0, 0), (1.6, 0), (0, 1.8)], 0.16), pose((-1.42, -2.15, 0.2), (0, -90, 0)))
    foot.make("foot", painted((0.18, 0.21, 0.1), seed + 1, chips=0.3, scale=1.1), bevel=0.05)
    rim = Heap(b)
    rim.add(lathe([(0.43, 0.222), (0.66, 0.222)], 40), pose((0.15, 0.6, 0.002)))
    rim.make("rim", metal(seed, tone=(0.75, 0.75, 0.74), rough=0.25, grime=0.4, scale=2))
    for x in (-0.95, 0.95):
        dots.add(hex_block(0.5, 0.26), pose((x, -2.13, 1.3), (-90, 0, 12)))
        dots.add(washer(0.36, 0.1, 0.05), pose((x, -2.13, 1.3), (-90, 0, 0)))
        dots.add(hex_block(0.5, 0.26), pose((x, -1.35, 0.22), (0, 0, 33 * x)))
        dots.add(washer(0.36, 0.1, 0.04), pose((x, -1.35, 0.22)))
    dots.make("bolts", plated(seed, 1.5))
    holes.add(rod(0.001, 0.001))
    holes.make("none", plain(BLACK))
    crack(b @ pose((0, 0, 0.215)), [(0.42, 0.92), (0.66, 1.1), (0.86, 1.34), (1.17, 1.58)], 0.085, seed)
    ring_mark("crayon", waxy((0.85, 0.58, 0.02), 0.75, 1.4), b @ pose((0.75, 1.12, 0.222)), 0.78, 0.13, seed)


def cracked_bracket() -> None:
    """Close view of the cracked bracket in the root rib."""
    b = WALL
    bay_back(b, seed=51, depth=2.6)
    bracket(b, seed=52)
    floor = Heap(b)
    floor.add(box(14, 0.12, 5), pose((0, -2.45, 0.2)))
    floor.make("rib", primer(5, scale=0.8), bevel=0.02)
    shoot(b, (2.4, 1.7, 6.6), (0.2, 0.25, 0.2), lens=42, stop=6, turn=300, strength=0.8, sharp=(0.7, 1.1, 0.22))
    spot(b, (-4, 4.5, 5.5), (0.3, 0.6, 0), 300, 0.7)


def root_film() -> None:
    """Root rib seen square on in a torch's light: lightening holes, bellcrank on its cracked bracket."""
    b = WALL
    plate = Heap(b)
    plate.add(box(26, 13, 0.1), pose((0, 0, -1.2)))
    rib = plate.make("rib", primer(61, scale=0.6))
    cutters, flange, dots, green = (Heap(b) for _ in range(4))
    for x, r in ((-8.2, 1.5), (3.6, 1.9), (8.4, 1.7), (12.3, 1.3)):
        cutters.add(rod(r, 2, 56), pose((x, 0.2, -2)))
        flange.add(lathe([(r - 0.02, -1.32), (r + 0.06, -1.06), (r + 0.42, -1.15)], 64), pose((x, 0.2, 0)))
    cut(rib, cutters)
    for x in (-11, -5.6, 0.9, 6.1, 10.5):
        green.add(box(0.5, 11, 0.09), pose((x, 0, -1.1)))
        green.add(box(0.07, 11, 0.5), pose((x + 0.22, 0, -0.9)))
        rivets(dots, (x - 0.1, -5.4, -1.055), (x - 0.1, 5.4, -1.055), 0.45, 0.085)
    for y in (-5.4, 5.4):
        green.add(box(26, 0.12, 1.6), pose((0, y * 1.02, -0.5)))
        green.add(box(26, 0.9, 0.1), pose((0, y * 0.94, -1.1)))
        for dy in (-0.22, 0.22):
            rivets(dots, (-12.8, y * 0.94 + dy, -1.05), (12.8, y * 0.94 + dy, -1.05), 0.42, 0.085)
    back = Heap(b)
    back.add(box(40, 20, 0.1), pose((0, 0, -7)))
    back.make("back", primer(3, scale=0.4))
    flange.make("flanges", primer(62, scale=0.8))
    green.make("green", primer(63, scale=0.8), bevel=0.02)
    dots.make("rivets", primer(64, scale=2))
    bracket(b @ pose((-3.1, -0.4, -1.0)), seed=52)
    rodd = Heap(b)
    rodd.add(tube([(-2.1, -2.8, -0.3), (5, -4.2, -0.4), (13, -4.4, -0.5)], 0.2, sides=20))
    rodd.make("rod", metal(5, rough=0.35))
    side_crank(b)
    shoot(b, (-0.6, 0.3, 13.5), (-0.5, 0.0, -1), lens=30, stop=9, turn=20, strength=0.36)
    spot(b, (-2.5, 3.2, 8.0), (-2.9, 0.3, -0.8), 700, 0.35, (1.0, 0.86, 0.66))
    spot(b, (8, 6, 14), (2, 0, 0), 500, 3.0, COOL)


def side_crank(b: Matrix) -> None:
    """Bellcrank pivoted beside the bracket, with a rod to each arm."""
    crank, pins = Heap(b), Heap(b)
    at = pose((-5.9, -0.2, 0.1))
    crank.add(
        prism(
            [
                (-0.5, -0.5),
                (2.0, -0.45),
                (2.3, -0.1),
                (2.0, 0.25),
                (0.5, 0.55),
                (0.3, 2.4),
                (-0.05, 2.7),
                (-0.4, 2.4),
            ],
            0.22,
        ),
        at,
    )
    pins.add(rod(0.34, 0.9, 28, 0.05), at @ pose((0, 0, -0.8)))
    pins.add(hex_block(0.66, 0.32), at @ pose((0, 0, 0.22), (0, 0, 17)))
    pins.add(tube([(-5.95, 2.3, 0.4), (-6.2, 6, 0.2)], 0.15, sides=16))
    for x, y in ((2.0, -0.1), (-0.05, 2.4)):
        pins.add(hex_block(0.36, 0.2), at @ pose((x, y, 0.22)))
    crank.make("bellcrank", painted((0.2, 0.2, 0.21), 3, chips=0.3), bevel=0.06)
    pins.make("pins", plated(4, 1.5))


def spar_cap(*, film: bool = False) -> None:
    """Rear spar cap between two ribs with a patch of white powdery corrosion."""
    b = WALL
    cap, ribs, dots = Heap(b), Heap(b), Heap(b)
    cap.add(box(26, 1.9, 0.35), pose((0, 0, 0)))
    cap.add(box(26, 0.35, 1.5), pose((0, 0.9, -0.6)))
    web = Heap(b)
    web.add(box(26, 6, 0.08), pose((0, 2.2, -1.3)))
    for x in (-4.6, 4.8):
        ribs.add(box(0.1, 9, 4), pose((x, 3, 1.0)))
        ribs.add(box(0.9, 8, 0.08), pose((x + 0.45, 4.4, -1.2)))
        ribs.add(box(1.0, 1.4, 0.1), pose((x + 0.5, 0, 0.23)))
        for dy in (-0.4, 0.4):
            dots.add(hex_block(0.34, 0.18), pose((x + 0.6, dy, 0.28), (0, 0, 20 + x)))
    for y in (-0.65, 0.62):
        rivets(dots, (-13, y, 0.175), (13, y, 0.175), 0.62, 0.12)
    lower = Heap(b)
    lower.add(box(30, 8, 0.08), pose((0, -4.6, -0.4)))
    cap.make("cap", corroded(73, 0.8, 0.3, (0.2, -0.3, 0.2), 3.8), bevel=0.05)
    web.make("web", primer(6, scale=0.6))
    ribs.make("ribs", primer(7, scale=0.6), bevel=0.02)
    lower.make("skin", primer(8, scale=0.5))
    dots.make("dots", plated(3, 2))
    if film:
        shoot(b, (0.1, -0.6, 9.8), (0.0, 0.3, 0), lens=34, stop=9, turn=60, strength=0.3)
        spot(b, (-1.5, 3, 6.5), (0, -0.2, 0), 420, 0.35, (1.0, 0.88, 0.7))
    else:
        shoot(b, (-3.6, -1.6, 6.6), (0.1, 0.2, 0), lens=40, stop=6, turn=330, strength=0.75, sharp=(0.2, -0.2, 0.2))
        spot(b, (5, 4, 6), (0, 0, 0), 360, 0.8)


def spar_web() -> None:
    """Look up in the wheel bay at a stiffened web with a patch of corrosion and a chalk arrow."""
    b = pose(turn=(62, 0, 0))
    web, stiff, dots = Heap(b), Heap(b), Heap(b)
    web.add(box(40, 16, 0.1))
    for x in (-9.5, -4.4, 4.6, 9.2):
        stiff.add(box(0.09, 16, 0.9), pose((x, 0, 0.5)))
        stiff.add(box(0.8, 16, 0.09), pose((x + 0.4, 0, 0.09)))
        rivets(dots, (x + 0.5, -8, 0.135), (x + 0.5, 8, 0.135), 0.45, 0.09)
    for y in (-6.6, 6.6):
        stiff.add(box(40, 1.4, 0.4), pose((0, y, 0.2)))
        for dy in (-0.35, 0.35):
            rivets(dots, (-18, y + dy, 0.4), (18, y + dy, 0.4), 0.5, 0.11)
    stiff.add(box(40, 0.12, 6), pose((0, 7.4, 3)))
    web.make("web", corroded(81, 0.6, 0.2, tuple((b @ pose((0.6, 0.7, 0))).translation), 2.7))
    stiff.make("stiffeners", primer(9, scale=0.6), bevel=0.03)
    dots.make("rivets", primer(10, scale=2))
    pipe = Heap(b)
    for k, y in enumerate((4.3, 4.9)):
        pipe.add(tube([(-16, y, 1.2), (-3, y + 0.1 * k, 1.15), (16, y, 1.25)], 0.14, sides=14))
    pipe.make("pipes", metal(6, rough=0.32))
    chalk = waxy((0.8, 0.8, 0.76), 0.62, 1.2)
    stroke("shaft", chalk, b @ pose((0, 0, 0.056)), [(-3.9, -3.9), (-2.6, -2.5), (-1.3, -1.1)], 0.2)
    stroke("barb", chalk, b @ pose((0, 0, 0.06)), [(-2.25, -1.25), (-1.75, -1.1), (-1.2, -1.02)], 0.2)
    stroke("barb", chalk, b @ pose((0, 0, 0.062)), [(-1.45, -2.05), (-1.3, -1.6), (-1.2, -1.02)], 0.2)
    shoot(b, (-2.6, -5.2, 12), (-0.3, -0.3, 0), lens=36, stop=9, turn=200, strength=0.5)
    spot(b, (4, -4, 10), (0, 0.5, 0), 900, 0.5, (1.0, 0.9, 0.75))


def chafed_pipe() -> None:
    """Aluminium pipe with a bright flat worn where it crosses the edge of a rib."""
    b = WALL
    bay_back(b, seed=91, depth=3)
    rib, pipe = Heap(b), Heap(b)
    rib.add(box(0.14, 6, 3), pose((0.5, -3.1, -0.6)))
    rib.add(box(1.1, 0.12, 3), pose((1.0, -0.12, -0.6)))
    rib.make("rib", primer(15, scale=1.0, chips=0.35), bevel=0.03)
    pipe.add(
        tube(
            [(-9, 0.5, 0.2), (-3, 0.26, 0.35), (0, 0.2, 0.45), (3, 0.24, 0.4), (9, 0.9, 0.0)],
            0.26,
            sides=40,
            steps=16,
        )
    )
    other = Heap(b)
    other.add(tube([(-9, 1.9, -0.6), (0, 1.8, -0.7), (9, 2.3, -0.9)], 0.2, sides=24))
    other.add(hex_block(0.7, 0.6, 0.1, both=True), pose((-2.6, 1.82, -0.65), (0, 90, 2)))
    thing = pipe.make("pipe", metal(16, tone=(0.5, 0.51, 0.52), rough=0.36, grime=0.6))
    cutters = Heap(b)
    cutters.add(box(1.3, 0.6, 0.6), pose((0.25, 0.25, 0.94), (0, 0, 3)))
    cut(thing, cutters)
    other.make("other", metal(17, tone=(0.5, 0.51, 0.52), rough=0.36, grime=0.6))
    bright = Heap(b)
    bright.add(lathe([(0, 0), (1, 0.0)], 40), pose((0.25, 0.22, 0.643), (0, 0, 3), (0.62, 0.13, 1)))
    bright.make("bright", metal(18, tone=(0.72, 0.72, 0.73), rough=0.3, grime=0.25, scale=4, scratches=2.5))
    clip = Heap(b)
    clip.add(
        lathe([(0.28, -0.25), (0.34, -0.25), (0.34, 0.25), (0.28, 0.25)], 32), pose((-3.2, 0.27, 0.34), (0, 90, 0))
    )
    clip.make("clip", plain((0.02, 0.02, 0.02), 0.5))
    shoot(b, (-0.8, 1.6, 5.0), (0.2, 0.15, 0.3), lens=44, stop=6, turn=180, strength=0.75, sharp=(0.25, 0.25, 0.6))
    spot(b, (3.4, 3.6, 4), (0, 0, 0.4), 220, 0.7)


def nest() -> None:
    """Old bird's nest of twigs and moss in a corner between a rib and the skin."""
    bay = Heap()
    bay.add(box(24, 16, 0.12), pose((0, 0, -0.06)))
    bay.add(box(24, 0.12, 12), pose((0, 3.2, 5)))
    bay.add(box(0.12, 14, 12), pose((-3.6, 0, 5)))
    for x in (-1.6, 3.2):
        bay.add(box(0.1, 0.8, 12), pose((x, 2.8, 5)))
    for y in (-2.6, 1.9):
        bay.add(box(24, 0.1, 0.7), pose((0, y, 0.3)))
    bay.make("bay", primer(101, scale=0.6, grime=0.8), bevel=0.03)
    dots = Heap()
    for x in (-0.9, 3.9):
        rivets(dots, (x, -7, 0), (x, 3, 0), 0.4, 0.08)
    dots.make("dots", primer(4, scale=2))
    r = random.Random(7)
    kinds = [Heap() for _ in range(4)]
    middle = np.array([-1.5, 1.0, 0.7])
    for k in range(900):
        a, q = r.uniform(0, 2 * math.pi), r.gauss(1.35, 0.3)
        z = r.uniform(-0.7, 0.75) * (1 if q > 1.0 else 0.4)
        p = middle + np.array([q * math.cos(a) * 1.15, q * math.sin(a), z])
        along = np.array([-math.sin(a), math.cos(a), r.uniform(-0.35, 0.35)]) + np.array(
            [r.gauss(0, 0.45) for _ in range(3)]
        )
        along *= r.uniform(0.35, 1.1) / np.linalg.norm(along)
        bend = np.array([r.gauss(0, 0.06) for _ in range(3)])
        kinds[k % 4].add(
            tube([tuple(p - along), tuple(p + bend), tuple(p + along)], r.uniform(0.012, 0.035), sides=5, steps=3)
        )
    for heap, colour in zip(
        kinds, ((0.16, 0.1, 0.055), (0.25, 0.18, 0.09), (0.34, 0.27, 0.15), (0.09, 0.06, 0.035)), strict=True
    ):
        heap.make("twigs", plain(colour, 0.85))
    moss = Heap()
    for _ in range(1500):
        a, q = r.uniform(0, 2 * math.pi), r.uniform(0.2, 1.3)
        p = (
            middle[0] + q * math.cos(a) * 1.15,
            middle[1] + q * math.sin(a),
            middle[2] - 0.55 + 0.5 * q**2 * r.uniform(0.4, 1),
        )
        moss.add(
            tube(
                [
                    p,
                    (p[0] + r.gauss(0, 0.08), p[1] + r.gauss(0, 0.08), p[2] + 0.06),
                    (p[0] + r.gauss(0, 0.14), p[1] + r.gauss(0, 0.14), p[2] + 0.14),
                ],
                0.014,
                sides=4,
                steps=2,
            )
        )
    moss.make("moss", plain((0.075, 0.11, 0.025), 0.9))
    shoot(FLAT, (2.6, -5.0, 4.8), (-1.2, 0.9, 0.6), lens=38, stop=6, turn=160, strength=0.6)
    spot(FLAT, (3.5, -4.5, 6), (-1.2, 0.8, 0.5), 500, 0.5, (1.0, 0.9, 0.74))


def rivets_missing() -> None:
    """Bottom skin with a row of rivets, three of them gone and ringed in chalk."""
    b = UNDER
    dots, holes = Heap(b), Heap(b)
    skin(b, 24, 30, at=(-12, 0, 0), seed=111, waves=0.1)
    skin(b, 24, 30, at=(11.2, 0, 0.035), seed=113, waves=0.1)
    left = rivets(dots, (0.5, -9, 0.035), (0.5, 9, 0.035), 0.6, 0.13, skip=(11, 14, 17))
    rivets(dots, (1.4, -9, 0.035), (1.4, 9, 0.035), 0.6, 0.13)
    for y in (-6.3, 6.4):
        for x in (-12, 2):
            rivets(
                dots,
                (x, y, 0.0 if x < 0 else 0.035),
                (x + (11.5 if x < 0 else 10), y, 0.0 if x < 0 else 0.035),
                0.6,
                0.13,
            )
    for k, at in enumerate(left):
        holes.add(lathe([(0, 0.004), (0.1, 0.004)], 28), pose(at))
        holes.add(lathe([(0.1, 0.004), (0.125, 0.012)], 28), pose(at))
        ring_mark("chalk", waxy((0.8, 0.8, 0.77), 0.66, 1.5), b @ pose((at[0], at[1], 0.04)), 0.5, 0.11, k)
    dots.make("rivets", metal(9, rough=0.38, grime=0.5, scale=2))
    holes.make("holes", plain(BLACK, 0.9))
    shoot(b, (-4.3, -4.4, 5.0), (0.6, -0.4, 0), lens=38, stop=7, turn=110, strength=0.85, sharp=(0.5, -0.6, 0))
    spot(b, (5, -4, 5), (0.5, 0, 0), 350, 0.8)


def jack_body(
    m: Matrix, *, seed: int, length: float = 6.0, rod_out: float = 3.0, caps: Heap, dark: bool = False
) -> None:
    """Hydraulic jack along +x from the origin: cylinder, gland nut, chromed rod, eyes and two ports (capped)."""
    body, gland, rodd, eye = (Heap(m) for _ in range(4))
    along = pose(turn=(0, 90, 0))
    body.add(
        lathe(
            [
                (0, -0.1),
                (0.5, -0.1),
                (0.62, 0.0),
                (0.62, 0.5),
                (0.55, 0.55),
                (0.55, length - 0.5),
                (0.62, length - 0.45),
                (0.62, length),
                (0.5, length),
            ],
            44,
        ),
        along,
    )
    gland.add(hex_block(1.1, 0.45, 0.24), along @ pose((0, 0, length)))
    gland.add(
        lathe([(0.24, 0), (0.42, 0), (0.42, 0.2), (0.36, 0.26), (0.24, 0.26)], 40),
        along @ pose((0, 0, length + 0.45)),
    )
    rodd.add(rod(0.23, rod_out + 0.4, 40), along @ pose((0, 0, length)))
    for x, r in ((-0.55, 0.55), (length + rod_out + 0.7, 0.45)):
        eye.add(
            lathe(
                [
                    (r * 0.5, -r * 0.55),
                    (r * 0.97, -r * 0.55),
                    (r, -r * 0.5),
                    (r, r * 0.5),
                    (r * 0.97, r * 0.55),
                    (r * 0.5, r * 0.55),
                    (r * 0.5, -r * 0.55),
                ],
                40,
            ),
            pose((x, 0, 0)),
        )
        eye.add(box(0.5, r, r * 0.9), pose((x + (0.5 if x < 0 else -0.45), 0, 0)))
    for x in (0.5, length - 0.6):
        eye.add(hex_block(0.5, 0.25), pose((x, 0.0, 0.5)))
        eye.add(rod(0.17, 0.4, 24), pose((x, 0, 0.6)))
        caps.add(lathe([(0.22, 0), (0.24, 0.02), (0.22, 0.5), (0.17, 0.55), (0, 0.55)], 28), m @ pose((x, 0, 0.85)))
        caps.add(lathe([(0.22, 0), (0.3, 0.01), (0.3, 0.09), (0.22, 0.1)], 28), m @ pose((x, 0, 0.84)))
    body.make("jack", painted((0.1, 0.11, 0.12) if dark else (0.36, 0.37, 0.36), seed, chips=0.3, scale=0.9))
    gland.make("gland", metal(seed, tone=(0.55, 0.47, 0.3), rough=0.34), crease=30)
    rodd.make("rod", chrome(seed, 1.0))
    eye.make("eyes", steel(seed + 2, 1.5), bevel=0.02)


def pipe_end(points: list[Point], pipes: Heap, nuts: Heap, caps: Heap, radius: float = 0.16) -> None:
    """Pipe through the points with a union nut and a cap on its last end."""
    pipes.add(tube(points, radius, sides=18, steps=10))
    a, z = points[-2], points[-1]
    m = between(a, z)
    far = math.dist(a, z)
    nuts.add(hex_block(radius * 3.6, radius * 3.0, radius, both=True), m @ pose((0, 0, far - radius * 3.4)))
    caps.add(
        lathe(
            [
                (radius * 1.5, 0),
                (radius * 1.6, 0.02),
                (radius * 1.45, radius * 3),
                (radius * 1.1, radius * 3.3),
                (0, radius * 3.3),
            ],
            28,
        ),
        m @ pose((0, 0, far - 0.04)),
    )
    caps.add(
        lathe([(radius * 1.5, 0), (radius * 1.95, 0.01), (radius * 1.95, 0.09), (radius * 1.5, 0.1)], 28),
        m @ pose((0, 0, far - 0.06)),
    )


def retraction_jack() -> None:
    """Retraction jack in its bay, two pipe ends capped in red, tape on one."""
    b = WALL
    bay_back(b, seed=121, wide=30, high=16, depth=3)
    caps, pipes, nuts = Heap(b), Heap(b), Heap(b)
    jack_body(b @ pose((-5.5, -1.6, -0.4), (0, 0, 17)), seed=122, length=7, rod_out=1.6, caps=caps)
    pipe_end([(-8, 5.5, -1.8), (-5, 4.2, -1.0), (-3.6, 2.6, 0.2), (-3.0, 1.5, 0.7)], pipes, nuts, caps, 0.2)
    pipe_end([(7, 5.2, -1.8), (3.5, 4.4, -1.0), (2.2, 3.4, 0.3), (1.8, 2.5, 0.9)], pipes, nuts, caps, 0.2)
    pipes.make("pipes", metal(11, rough=0.32))
    nuts.make("nuts", metal(12, tone=(0.4, 0.45, 0.55), rough=0.36))
    caps.make("caps", plain((0.5, 0.015, 0.012), 0.36))
    sheet(
        "tape",
        printed(drawn.handwriting("R-J UP")),
        lambda u, v: (2.62 + 0.9 * u, 3.82 + 0.42 * u + (v - 0.5) * 0.62, 0.28 - 0.7 * u + 0.3 * np.sin(np.pi * v)),
        across=8,
        along=8,
        matrix=b,
    )
    shoot(b, (-1.2, -0.6, 12.5), (-0.8, 0.7, 0), lens=40, stop=7, turn=90, strength=0.6, sharp=(-1, 1.5, 0.6))
    spot(b, (5, 5, 9), (0, 1, 0), 800, 0.6)


def gland_leak() -> None:
    """Gland nut and chromed rod of the flap jack with a bead of fluid running from it."""
    b = pose(turn=(0, 0, 0))
    caps = Heap(b)
    jack_body(b @ pose((-6, 0, 0), (0, 6, 0)), seed=131, length=5.6, rod_out=4, caps=caps)
    caps.make("caps", plain((0.5, 0.015, 0.012), 0.36))
    wet = Heap(b @ pose((-6, 0, 0), (0, 6, 0)))
    for x, y, z, s in (
        (6.02, -0.02, -0.4, 0.15),
        (6.4, -0.03, -0.2, 0.11),
        (6.75, -0.02, -0.2, 0.07),
        (5.75, -0.05, -0.52, 0.08),
    ):
        wet.add(
            lathe([(0.001, -1.6), (0.5, -1.35), (0.85, -0.75), (0.9, -0.1), (0.6, 0.8), (0.42, 1.4), (0.6, 2.0)], 28),
            pose((x, y, z - 2 * s), (0, -6, 0), s),
        )
    wet.add(lathe([(0.235, -0.02), (0.262, 0.03), (0.258, 0.08), (0.236, 0.16)], 48), pose((6.31, 0, 0), (0, 90, 0)))
    for angle, long in ((-70, 0.5), (-100, 0.8), (-125, 0.35)):
        y, z = 0.43 * math.cos(math.radians(angle)), 0.43 * math.sin(math.radians(angle))
        wet.add(tube([(6.04, y, z), (6.04 + long * 0.2, y, z - 0.01), (6.3, y, z)], 0.045, sides=12))
    fluid = Surface("fluid", 1)
    fluid.set(base_color=(0.62, 0.17, 0.03), roughness=0.02, transmission_weight=0.85, IOR=1.45)
    wet.make("fluid", fluid.material)
    floor = Heap()
    floor.add(box(60, 60, 0.1), pose((0, 6, -4)))
    floor.make("bench", painted((0.18, 0.19, 0.19), 4, chips=0.2))
    shoot(FLAT, (1.8, -4.4, 0.1), (0.35, 0, -0.75), lens=52, stop=5, turn=60, strength=0.9, sharp=(0.6, -0.3, -0.7))
    spot(FLAT, (-3, -4, 4), (0.2, 0, 0), 170, 0.6)


def loose_bolts(heap: Heap, places: list[tuple[Point, Point]], af: float = 0.62, length: float = 2.2) -> None:
    """Bolts lying at places (point, turn)."""
    for at, turn in places:
        heap.add(bolt(af, af * 0.32, length, length * 0.35), pose(at, turn))
