"""Close views on the bench and the racks: bolts, bags, jacks, gauges, spigots, boxes and tea. Decimetres."""

from __future__ import annotations

import math
import random

import bpy
import numpy as np
from mathutils import Matrix

from scenes import drawn
from scenes.aircraft import cut
from scenes.shapes import Heap, Point, between, bolt, box, hex_block, lathe, pose, prism, rod, sheet, tube
from scenes.stage import bench_top
from scenes.structure import (
    FLAT,
    card_tag,
    castle_nut,
    jack_body,
    label_plate,
    pipe_end,
    rule_surface,
    screw,
    shoot,
    spot,
)
from scenes.surfaces import (
    glass,
    glowing,
    metal,
    painted,
    plain,
    plated,
    polythene,
    primer,
    printed,
    rubber,
    sprayed,
    steel,
    wood,
    woven,
)


def cloth(
    colour: Point,
    wide: float,
    deep: float,
    *,
    at: Point = (0, 0),
    turn: float = 0.0,
    seed: int = 0,
    folds: float = 0.12,
) -> None:
    """Cloth spread on the bench, rumpled."""
    r = np.random.default_rng(seed)
    waves = [(r.uniform(-1.2, 1.2), r.uniform(-1.2, 1.2), r.uniform(0, 6), r.uniform(0.3, 1)) for _ in range(9)]

    def place(u: np.ndarray, v: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        x, y = (u - 0.5) * wide, (v - 0.5) * deep
        z = sum(a * np.abs(np.sin(kx * x + ky * y + p)) ** 3 for kx, ky, p, a in waves) * folds * 0.3
        edge = 0.12 * np.sin(7 * u + seed) * (np.abs(v - 0.5) > 0.4) + 0.1 * np.sin(9 * v)
        return x + edge * 0.6, y + edge, 0.02 + z

    sheet("cloth", woven(tuple(colour), seed), place, across=120, along=100, matrix=pose((*at, 0), (0, 0, turn)))


def paper(at: Point, turn: float, wide: float = 9.0, z: float = 0.01, curl: float = 0.1) -> None:
    """Old newspaper lying on the bench."""
    sheet(
        "paper",
        printed(drawn.newsprint(), 0.9),
        lambda u, v: (
            (u - 0.5) * wide,
            (v - 0.5) * wide,
            z + curl * (np.sin(5 * u + 2 * v) ** 2 * 0.3 + 0.6 * np.abs(v - 0.5) ** 2),
        ),
        across=40,
        along=40,
        matrix=pose((*at, 0), (0, 0, turn)),
    )


def bag(m: Matrix, wide: float, tall: float, fat: float, *, seed: int = 0) -> None:
    """Clear bag lying on the bench, puffed and creased, tied at its far end."""
    r = np.random.default_rng(seed)
    ph = r.uniform(0, 6, 6)

    def side(sign: float):
        def place(u: np.ndarray, v: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
            neck = np.interp(v, [0, 0.7, 0.86, 0.92, 1.0], [1.0, 0.92, 0.3, 0.22, 0.5])
            puff = np.sin(np.pi * u) ** 0.6 * np.interp(v, [0, 0.12, 0.6, 0.86, 1], [0.05, 0.8, 0.9, 0.2, 0.15])
            ripple = 0.07 * (
                np.sin(9 * u + 5 * v + ph[0]) + np.sin(17 * v - 6 * u + ph[1]) + np.sin(23 * u + 11 * v + ph[2]) * 0.6
            )
            z = fat * puff * (1.0 if sign > 0 else 0.03) + (np.abs(ripple) * puff if sign > 0 else 0) + 0.03
            return (u - 0.5) * wide * neck + 0.03 * np.sin(9 * v + ph[3]), (v - 0.5) * tall, z

        return place

    film = polythene(seed, 0.9)
    for sign in (1.0, -1.0):
        sheet("bag", film, side(sign), across=70, along=70, matrix=m)
    tie = Heap(m)
    tie.add(
        lathe([(0.2, -0.06), (0.26, 0), (0.2, 0.06)], 24),
        pose((0, tall * 0.4, 0.14), (90, 0, 0), (wide * 0.55, 0.7, 1)),
    )
    tie.make("tie", woven((0.55, 0.5, 0.36)))


def spanner(heap: Heap, m: Matrix, length: float, jaw: float) -> None:
    """Open-ended spanner lying flat."""
    heap.add(
        prism(
            [
                (-length / 2 + jaw, -jaw * 0.34),
                (length / 2 - jaw, -jaw * 0.3),
                (length / 2 - jaw, jaw * 0.3),
                (-length / 2 + jaw, jaw * 0.34),
            ],
            0.09,
        ),
        m,
    )
    for s, k in ((-1, 1.0), (1, 0.85)):
        outline = []
        for a in np.linspace(40, 320, 22):
            outline.append((jaw * k * math.cos(math.radians(a)), jaw * k * math.sin(math.radians(a))))
        outline += [
            (jaw * k * 0.95, -0.42 * jaw * k),
            (0.05, -0.42 * jaw * k),
            (-0.1, 0),
            (0.05, 0.42 * jaw * k),
            (jaw * k * 0.95, 0.42 * jaw * k),
        ]
        heap.add(
            prism(outline, 0.13), m @ pose((s * (length / 2 - jaw * 0.35), 0, -0.02), (0, 0, 15 if s > 0 else 195))
        )


def tools() -> None:
    """Spanners, drift, mallet and red caps laid out in a row in morning light."""
    bench_top(16, seed=1)
    steel_heap, handle, head, drift, caps = (Heap() for _ in range(5))
    for k in range(6):
        spanner(
            steel_heap,
            pose((-4.2 + 0.95 * k, 0.1 * (k % 2), 0.08), (0, 0, 88 + 3 * (k % 3))),
            1.7 + 0.32 * k,
            0.26 + 0.05 * k,
        )
    drift.add(
        lathe([(0, 0), (0.12, 0), (0.13, 0.06), (0.15, 1.2), (0.2, 1.3), (0.2, 2.4), (0.18, 2.5), (0, 2.5)], 24),
        pose((2.0, -1.3, 0.22), (-90, 0, 4)),
    )
    handle.add(
        lathe([(0.0, 0), (0.17, 0.05), (0.2, 0.6), (0.16, 1.6), (0.17, 2.9), (0, 2.95)], 24),
        pose((3.2, -1.6, 0.3), (-90, 0, -3)),
    )
    head.add(lathe([(0, 0), (0.5, 0), (0.55, 0.06), (0.55, 0.6)], 36), pose((2.55, 1.35, 0.55), (0, 90, -3)))
    head.add(lathe([(0.55, 0), (0.55, 0.6), (0.5, 0.66), (0, 0.66)], 36), pose((3.12, 1.35, 0.55), (0, 90, -3)))
    for k in range(7):
        caps.add(
            lathe(
                [
                    (0.18, 0.02),
                    (0.2, 0),
                    (0.24, 0.0),
                    (0.24, 0.07),
                    (0.2, 0.08),
                    (0.18, 0.42),
                    (0.14, 0.46),
                    (0, 0.46),
                ],
                28,
            ),
            pose((4.7 + 0.05 * (k % 2), -1.3 + 0.43 * k, 0.0)),
        )
    steel_heap.make("spanners", metal(2, tone=(0.5, 0.5, 0.51), rough=0.3, grime=0.6), bevel=0.025)
    drift.make("drift", metal(3, tone=(0.68, 0.45, 0.16), rough=0.3))
    handle.make("handle", wood(5, along="y", scale=1.4))
    head.make("mallet", plain((0.06, 0.055, 0.05), 0.6), bevel=0.02)
    caps.make("caps", plain((0.5, 0.015, 0.012), 0.36))
    cloth((0.3, 0.31, 0.33), 4.5, 3.4, at=(6.2, 3.6), turn=25, seed=3)
    shoot(FLAT, (-0.4, -8.2, 6.6), (0.55, 0.0, 0.1), lens=34, stop=7, turn=80, strength=0.6)
    spot(FLAT, (-11, 3.5, 5.5), (0, 0, 0), 1900, 2.5, (0.85, 0.9, 1.0))


def clevis() -> None:
    """Clevis pin and bent split pin on a clear bag; the push rod's fork behind."""
    bench_top(14, seed=4)
    bag(pose((0.2, -0.1, 0), (0, 0, 14)), 4.4, 5.4, 0.16, seed=5)
    split, fork = Heap(), Heap()
    m = pose((-0.5, -0.3, 0.47), (0, 90, 24))
    body = Heap(m)
    body.add(
        lathe(
            [
                (0, -1.3),
                (0.28, -1.3),
                (0.3, -1.27),
                (0.3, 1.02),
                (0.5, 1.04),
                (0.52, 1.08),
                (0.52, 1.22),
                (0.46, 1.27),
                (0, 1.27),
            ],
            40,
        )
    )
    body.make("pin", plated(2, 2))
    hole = Heap(m)
    hole.add(rod(0.085, 0.606, 24), pose((-0.303, 0, -1.0), (0, 90, 0)))
    hole.make("hole", plain((0.01, 0.009, 0.008), 0.9))
    for s in (-1, 1):
        split.add(
            tube(
                [
                    (0.7, -1.25, 0.22),
                    (1.2, -1.05, 0.22 + 0.02 * s),
                    (1.7, -0.85, 0.24),
                    (2.1, -0.7 + 0.1 * s, 0.26),
                    (2.5, -0.55 + 0.42 * s, 0.3 + 0.05 * s),
                ],
                0.045,
                sides=10,
            )
        )
    split.add(
        lathe([(0.05, -0.04), (0.17, -0.05), (0.17, 0.05), (0.05, 0.04), (0.05, -0.04)], 20), pose((0.55, -1.3, 0.22))
    )
    for z in (0.3, 1.0):
        fork.add(
            prism([(0, -0.42), (1.5, -0.45), (1.85, -0.3), (1.95, 0), (1.85, 0.3), (1.5, 0.45), (0, 0.42)], 0.22),
            pose((0.2, 3.0, z), (0, 0, -160)),
        )
    fork.add(rod(0.36, 0.5, 36, 0.05), pose((0.1, 2.97, 0.76), (0, 90, 20)))
    fork.add(rod(0.3, 9, 36, 0.02), pose((0.4, 3.1, 0.76), (0, 90, 20)))
    split.make("split-pin", metal(4, rough=0.3))
    fork.make("fork", painted((0.2, 0.21, 0.2), 3, chips=0.4, scale=1.4), bevel=0.04)
    card_tag("BAG 22", pose((-2.3, 2.4, 0.12), (4, 3, 32)), tall=2.0, string_to=(1.2, 0.9, 0.1), curl=0.05)
    shoot(FLAT, (-1.0, -5.0, 4.0), (-0.15, 0.2, 0.2), lens=46, stop=6, turn=15, strength=0.75, sharp=(0, -0.6, 0.4))
    spot(FLAT, (5, 3, 5), (0, 0, 0), 330, 0.9)


def terminals() -> None:
    """Bakelite terminal block with six screws, sleeved wires, some freed."""
    plate, body, screws, slots, brass = (Heap() for _ in range(5))
    plate.add(box(40, 30, 0.1), pose((0, 0, -0.05)))
    plate.make("plate", primer(6, scale=0.8))
    body.add(box(7.4, 2.2, 0.7), pose((0, 0, 0.35)))
    for k in range(7):
        body.add(box(0.12, 2.0, 0.5), pose((-3.45 + 1.15 * k, 0, 0.9)))
    for k in range(6):
        x = -2.87 + 1.15 * k
        brass.add(box(0.8, 1.7, 0.06), pose((x, 0, 0.73)))
        for y in (-0.5, 0.5):
            screws.add(lathe([(0.2, 0.8), (0.3, 0.8), (0.3, 0.95), (0.26, 1.0), (0, 1.0)], 28), pose((x, y, 0)))
            slots.add(box(0.52, 0.07, 0.05), pose((x, y, 0.985), (0, 0, 30 + 50 * k + 20 * y)))
    colours = [
        (0.35, 0.03, 0.025),
        (0.03, 0.09, 0.22),
        (0.4, 0.3, 0.04),
        (0.05, 0.16, 0.06),
        (0.32, 0.3, 0.26),
        (0.02, 0.02, 0.02),
    ]
    for k, colour in enumerate(colours):
        x, wire, sleeve, lug = -2.87 + 1.15 * k, Heap(), Heap(), Heap()
        freed = k in (1, 2, 4)
        end = (x + 0.25, -2.1 - 0.2 * k % 0.5, 1.5 + 0.2 * (k % 3)) if freed else (x, -0.95, 0.86)
        wire.add(
            tube(
                [(0.6 + 0.25 * k, -8.5, 0.3), (0.5 + 0.33 * (k - 2) + x * 0.2, -5.2, 0.5), (x * 0.8, -3.4, 0.9), end],
                0.12,
                sides=14,
                steps=10,
            )
        )
        d = np.array(end) - np.array((x * 0.8, -3.4, 0.9))
        d = d / np.linalg.norm(d)
        back = tuple(np.array(end) - d * 0.62)
        sleeve.add(rod(0.16, 0.5, 20, 0.02), between(back, end))
        lug.add(
            prism([(-0.12, 0), (0.12, 0), (0.24, 0.35), (0.24, 0.6), (0, 0.75), (-0.24, 0.6), (-0.24, 0.35)], 0.05),
            pose(end, (25 if freed else 0, 0, 12 * (k % 3 - 1) if freed else 0)),
        )
        top = Heap()
        top.add(
            tube([(x, 0.8, 0.85), (x + 0.05, 2.2, 1.0), (x * 0.7 + 0.3, 4.6, 0.6), (x * 0.3, 9, 0.3)], 0.12, sides=14)
        )
        top.make("wire", plain(colours[(k + 2) % 6], 0.55, seed=k + 9))
        wire.make("wire", plain(colour, 0.55, seed=k))
        sleeve.make("sleeve", plain((0.62, 0.58, 0.45), 0.6, seed=k))
        lug.make("lug", metal(k, tone=(0.62, 0.55, 0.42), rough=0.35))
        label_plate(
            drawn.stencil(str(k + 1), (20, 20, 24)),
            pose(tuple(np.array(end) - d * 0.35 + np.array((0, 0, 0.165))), (0, 0, 90)),
            0.26,
            0.26,
            sprayed(drawn.stencil(str(k + 1), (20, 20, 24))),
        )
    for x in (-4.2, 4.2):
        body.add(box(0.9, 1.2, 0.3), pose((x * 0.97, 0, 0.15)))
        screw(screws, slots, (x, 0, 0.3), 40 * x, 0.22)
    body.make("block", plain((0.075, 0.028, 0.014), 0.28), bevel=0.07)
    brass.make("straps", metal(6, tone=(0.6, 0.42, 0.18), rough=0.35))
    screws.make("screws", metal(7, tone=(0.6, 0.46, 0.22), rough=0.33))
    slots.make("slots", plain((0.01, 0.01, 0.01)))
    shoot(FLAT, (-3.0, -6.6, 7.2), (0.1, -1.0, 0.5), lens=40, stop=7, turn=210, strength=0.9)
    spot(FLAT, (5, 4, 6), (0, 0, 0), 420, 0.8)


def gauge() -> None:
    """Round black pressure gauge, needle at nought."""
    b = pose(turn=(90, 0, 0))
    panel, rim, needle, screws, slots = (Heap(b) for _ in range(5))
    panel.add(box(40, 30, 0.2), pose((0, 0, -0.1)))
    panel.make("panel", painted((0.035, 0.037, 0.04), 3, chips=0.24, rough=0.5, scale=0.9))
    rim.add(lathe([(2.05, 0), (2.6, 0.0), (2.62, 0.2), (2.5, 0.42), (2.2, 0.46), (2.05, 0.36)], 96))
    sheet(
        "face",
        printed(drawn.dial(), 0.6),
        lambda u, v: ((u - 0.5) * 4.5, (v - 0.5) * 4.5, 0.1 + 0 * u),
        across=2,
        along=2,
        matrix=b,
    )
    a = math.radians(225)
    needle.add(
        prism([(-0.5, -0.1), (0, -0.12), (1.55, -0.02), (1.55, 0.02), (0, 0.12), (-0.5, 0.1)], 0.03),
        pose((0, 0, 0.2), (0, 0, math.degrees(a))),
    )
    needle.add(rod(0.2, 0.1, 32), pose((0, 0, 0.18)))
    for k in range(4):
        t = math.radians(45 + 90 * k)
        screw(screws, slots, (2.95 * math.cos(t), 2.95 * math.sin(t), 0.0), 63 * k, 0.2)
    rim.make("rim", painted((0.02, 0.02, 0.021), 5, chips=0.35, rough=0.35, scale=1.6))
    needle.make("needle", plain((0.78, 0.76, 0.68), 0.5))
    screws.make("screws", plated(2, 2))
    slots.make("slots", plain((0.01, 0.01, 0.01)))
    sheet(
        "lens",
        glass((0.9, 0.95, 0.95), 0.0),
        lambda u, v: (2.1 * v * np.cos(6.2832 * u), 2.1 * v * np.sin(6.2832 * u), 0.42 - 0.06 * v**2),
        across=64,
        along=8,
        matrix=b,
    )
    pane = bpy.data.materials["glass"]
    shader = next(n for n in pane.node_tree.nodes if n.type == "BSDF_PRINCIPLED")
    for link in list(shader.inputs["Alpha"].links):
        pane.node_tree.links.remove(link)
    shader.inputs["Alpha"].default_value = 0.05
    for x, y in ((-6.2, 1.4), (6.4, -0.8)):
        other = Heap(b)
        other.add(lathe([(1.4, 0), (1.75, 0), (1.75, 0.25), (1.5, 0.32), (1.4, 0.2), (0, 0.15)], 60), pose((x, y, 0)))
        other.make("other", painted((0.02, 0.02, 0.02), 6, chips=0.2, rough=0.35))
    shoot(b, (-2.4, 1.2, 9.5), (0.1, 0, 0), lens=46, stop=6, turn=290, strength=1.9, roll=3)
    spot(b, (-6, 5, 7), (0, 0, 0), 1100, 1.0)


def tin() -> None:
    """Dented tin of dark fluid, a hose over its rim, drips on newspaper."""
    bench_top(16, seed=6, z=-0.02)
    paper((0.2, 0.1), 12, 9.5)

    def wall(u: np.ndarray, v: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        a, r = 2 * np.pi * u, 1.75 + 0.0 * u
        r = (
            r
            - 0.3 * np.exp(-(((a - 4.2) / 0.4) ** 2) - ((v - 0.6) / 0.22) ** 2)
            - 0.22 * np.exp(-(((a - 5.6) / 0.3) ** 2) - ((v - 0.35) / 0.2) ** 2)
        )
        r = r + 0.03 * np.cos(2 * np.pi * v * 9) * (v > 0.25) * (v < 0.8)
        return r * np.cos(a), r * np.sin(a), 0.05 + 2.9 * v

    sheet("tin", metal(8, tone=(0.58, 0.57, 0.54), rough=0.28, grime=0.8, scale=0.9), wall, across=120, along=60)
    rim, fluid, drips, hose = Heap(), Heap(), Heap(), Heap()
    rim.add(lathe([(1.72, 2.9), (1.8, 2.93), (1.8, 3.0), (1.74, 3.02), (1.7, 2.96)], 80))
    fluid.add(lathe([(0, 2.25), (1.74, 2.25)], 60))
    for x, y, s in (
        (-2.3, -1.6, 0.4),
        (-2.9, -0.8, 0.2),
        (-1.6, -2.4, 0.28),
        (1.4, -2.6, 0.22),
        (2.6, -1.4, 0.34),
        (0.2, -2.9, 0.14),
        (2.2, -2.3, 0.1),
        (-2.6, -2.2, 0.1),
    ):
        drips.add(lathe([(s, 0.03), (s * 0.85, 0.055), (0, 0.07)], 28), pose((x, y, 0.03), (0, 0, 0), (1, 0.86, 1)))
    hose.add(
        tube(
            [(7, 5, 0.3), (4.6, 3.2, 1.2), (2.9, 1.6, 3.4), (1.6, 0.9, 3.5), (0.9, 0.5, 2.9), (0.75, 0.42, 2.3)],
            0.28,
            sides=24,
            steps=14,
        )
    )
    rim.make("rim", metal(9, rough=0.3))
    fluid.make("fluid", plain((0.04, 0.012, 0.004), 0.03))
    drips.make("drips", plain((0.05, 0.016, 0.005), 0.08))
    hose.make("hose", rubber(4, 0.8))
    shoot(FLAT, (-2.6, -6.2, 6.4), (0.25, -0.1, 1.4), lens=36, stop=7, turn=60, strength=0.85)
    spot(FLAT, (5, 4, 7), (0, 0, 1), 420, 1.0)


def jack_caps() -> None:
    """Flap jack with two red caps, two capped pipe ends beside it."""
    bench_top(18, seed=7)
    cloth((0.2, 0.22, 0.25), 14, 8, at=(0.3, 0.2), turn=6, seed=4, folds=0.06)
    caps, pipes, nuts = Heap(), Heap(), Heap()
    jack_body(pose((-4.2, 0.6, 0.72), (0, 0, 9)), seed=9, length=5.4, rod_out=2.2, caps=caps, dark=True)
    pipe_end([(-8, -4.6, 1.2), (-4.5, -3.4, 0.5), (-2.6, -2.5, 0.35), (-0.6, -1.9, 0.4)], pipes, nuts, caps, 0.16)
    pipe_end([(9, -3.8, 1.4), (5.4, -3.0, 0.6), (3.6, -2.6, 0.35), (1.7, -2.4, 0.4)], pipes, nuts, caps, 0.16)
    pipes.make("pipes", metal(11, rough=0.3))
    nuts.make("nuts", metal(12, tone=(0.4, 0.45, 0.55), rough=0.36))
    caps.make("caps", plain((0.55, 0.015, 0.012), 0.34))
    shoot(FLAT, (-2.0, -9.6, 6.9), (-0.5, -0.5, 0.3), lens=40, stop=8, turn=330, strength=0.8)
    spot(FLAT, (-6, 5, 7), (0, 0, 0), 520, 1.0)


def bolts_on_cloth() -> None:
    """Eight large bolts in a row on an oily blue cloth, their castellated nuts in front."""
    bench_top(20, seed=8)
    cloth((0.05, 0.11, 0.27), 13, 9, at=(0, 0.2), turn=-3, seed=6, folds=0.05)
    r = random.Random(5)
    bolts, nuts, pins = Heap(), Heap(), Heap()
    for k in range(8):
        x = -4.1 + 1.25 * k
        bolts.add(
            bolt(0.86, 0.27, 3.2, 1.0),
            pose((x + r.uniform(-0.05, 0.05), 1.9, 0.46), (90, r.uniform(0, 60), r.uniform(-4, 4))),
        )
        castle_nut(
            nuts,
            pins,
            pose((x + r.uniform(-0.08, 0.08), -2.6 + r.uniform(-0.1, 0.1), 0.06), (0, 0, r.uniform(0, 60))),
            0.86,
            pin=False,
            hole=0.26,
        )
    bolts.make("bolts", plated(4, 1.6))
    nuts.make("nuts", plated(5, 1.6))
    shoot(FLAT, (-2.4, -9.8, 7.4), (0.35, -0.3, 0.2), lens=36, stop=8, turn=100, strength=0.85, sharp=(0, -1.2, 0.3))
    spot(FLAT, (6, 5, 6), (0, 0, 0), 620, 1.0)


def bags_of_bolts() -> None:
    """Two clear bags of bolts, each with its card tag."""
    bench_top(20, seed=9)
    r = random.Random(8)
    for side, name, count in ((-1, "BAG 31", 9), (1, "BAG 32", 8)):
        bolts, nuts, pins = Heap(), Heap(), Heap()
        x0 = side * 2.7
        for k in range(count):
            at = (x0 + r.uniform(-0.45, 0.45), -0.7 + r.uniform(-0.5, 0.5), 0.34 + 0.4 * (k % 3))
            turn = r.uniform(0, 360)
            m = pose(at, (90 + r.uniform(-6, 6), r.uniform(0, 60), turn)) @ pose((0, 0, -1.2))
            bolts.add(bolt(0.74, 0.23, 2.1, 0.8), m)
            at = (x0 + r.uniform(-1.3, 1.3), -0.8 + r.uniform(-1.7, 1.2), 0.2 + 0.35 * (k % 2))
            castle_nut(
                nuts,
                pins,
                pose(at, (r.uniform(-60, 60), r.uniform(-60, 60), r.uniform(0, 60))),
                0.74,
                pin=False,
                hole=0.22,
            )
        bolts.make("bolts", plated(4 + side, 1.6))
        nuts.make("nuts", plated(8 + side, 1.6))
        bag(pose((x0, 0.1, 0), (0, 0, -6 * side)), 5.0, 6.8, 1.95, seed=11 + side)
        card_tag(
            name,
            pose((x0 + 0.35 * side, 0.75, 2.55), (34, 0, -9 * side)),
            tall=2.1,
            string_to=(-0.3 * side, 1.4, -1.7),
            curl=0.06,
        )
    shoot(FLAT, (-0.8, -9.8, 8.2), (0, 0.35, 0.7), lens=40, stop=9, turn=30, strength=0.9)
    spot(FLAT, (-7, 3, 6), (0, 0, 0), 620, 1.0)


def tea() -> None:
    """Mugs of tea and a tin of flapjack among spanners and gloves."""
    bench_top(20, seed=10)
    colours = [(0.5, 0.05, 0.04), (0.75, 0.73, 0.68), (0.06, 0.14, 0.3), (0.62, 0.5, 0.12), (0.12, 0.28, 0.2)]
    places = [(-3.2, 0.2, 20), (-1.6, 1.7, 130), (-4.6, 2.2, 200), (3.9, 2.6, 70), (-0.6, -0.9, 300)]
    for k, ((x, y, t), colour) in enumerate(zip(places, colours, strict=True)):
        mug, brew = Heap(pose((x, y, 0), (0, 0, t))), Heap(pose((x, y, 0)))
        mug.add(
            lathe(
                [
                    (0, 0.05),
                    (0.34, 0.0),
                    (0.4, 0.03),
                    (0.43, 0.1),
                    (0.44, 0.95),
                    (0.425, 0.97),
                    (0.4, 0.95),
                    (0.39, 0.12),
                    (0, 0.1),
                ],
                56,
            )
        )
        mug.add(
            tube([(0.42, 0, 0.78), (0.62, 0, 0.8), (0.74, 0, 0.55), (0.64, 0, 0.26), (0.42, 0, 0.22)], 0.06, sides=14)
        )
        brew.add(lathe([(0, 0.8), (0.395, 0.8)], 40))
        mug.make("mug", painted(colour, k, chips=0.0, rough=0.16, grime=0.2, scale=1.4))
        brew.make("tea", plain((0.23, 0.09, 0.03), 0.05))
    box_heap, cakes, steel_heap = (
        Heap(pose((1.5, 0.6, 0), (0, 0, -14))),
        Heap(pose((1.5, 0.6, 0), (0, 0, -14))),
        Heap(),
    )
    for x, y, w, d in ((0, -1.2, 3.0, 0.05), (0, 1.2, 3.0, 0.05), (-1.5, 0, 0.05, 2.4), (1.5, 0, 0.05, 2.4)):
        box_heap.add(box(w, d, 0.75), pose((x, y, 0.375)))
    box_heap.add(box(3, 2.4, 0.05), pose((0, 0, 0.03)))
    box_heap.add(box(3.1, 2.5, 0.25), pose((2.3, 1.9, 0.14), (0, 0, 30)))
    r = random.Random(3)
    for k in range(12):
        if k in (3, 7, 8):
            continue
        cakes.add(
            box(0.8, 0.64, 0.34),
            pose(
                (
                    -1.0 + 0.95 * (k % 3) + r.uniform(-0.05, 0.05),
                    -0.85 + 0.62 * (k // 3 % 4) * 0.9,
                    0.25 + (0.3 if k > 9 else 0),
                ),
                (r.uniform(-5, 5), r.uniform(-5, 5), r.uniform(-9, 9)),
            ),
        )
    box_heap.make("cake-tin", painted((0.07, 0.15, 0.3), 5, chips=0.25, rough=0.25), bevel=0.03)
    cakes.make("flapjack", flapjack(), bevel=0.05)
    for k, (x, y, t) in enumerate(((4.4, -0.6, 35), (4.9, -1.5, 20), (-5.4, -1.0, 100))):
        spanner(steel_heap, pose((x, y, 0.05), (0, 0, t)), 2.4 + 0.3 * k, 0.34)
    steel_heap.make("spanners", metal(2, tone=(0.5, 0.5, 0.51), rough=0.3, grime=0.6), bevel=0.025)
    glove((-2.6, -1.9, 0.12), 24)
    glove((2.4, -1.9, 0.12), -60)
    shoot(FLAT, (-1.2, -8.0, 6.0), (-0.1, 0.3, 0.3), lens=35, stop=6, turn=340, strength=0.95)
    spot(FLAT, (6, 5, 6), (0, 0, 0), 520, 1.0)


def flapjack() -> bpy.types.Material:
    """Oats and syrup."""
    from scenes.surfaces import Surface

    s = Surface("oat-bake", 2)
    grain = s.cells(7.0)
    s.set(
        base_color=s.mix(s.ramp(grain, 0.1, 0.7), (0.55, 0.34, 0.12), (0.2, 0.09, 0.025)),
        roughness=0.42,
        normal=s.bump(s.sum(1.0, grain, "SUBTRACT"), 0.06, 0.9),
    )
    return s.material


def glove(at: Point, turn: float) -> None:
    """Work glove lying flat."""
    heap, cuff = Heap(pose(at, (0, 0, turn))), Heap(pose(at, (0, 0, turn)))
    heap.add(
        lathe([(0.01, -0.9), (0.5, -0.7), (0.56, 0.0), (0.5, 0.7), (0.01, 0.85)], 28),
        pose((0, 0, 0), (0, 90, 90), (0.3, 1, 1)),
    )
    for k, (x, long) in enumerate(((-0.36, 0.75), (-0.12, 0.92), (0.12, 0.9), (0.35, 0.7))):
        heap.add(
            tube(
                [(x, 0.5, 0.02), (x * 1.15, 0.8 + long * 0.4, 0.06 + 0.03 * k), (x * 1.35, 0.6 + long, 0.02)],
                0.14,
                sides=14,
            )
        )
    heap.add(tube([(0.4, -0.2, 0.02), (0.72, 0.15, 0.1), (0.82, 0.5, 0.04)], 0.15, sides=14))
    cuff.add(
        lathe([(0.42, -1.4), (0.5, -0.65)], 28), pose((0, 0, 0), (0, 90, 90), (0.3, 1, 1)) @ pose(turn=(0, 0, 0))
    )
    heap.make("glove", woven((0.5, 0.36, 0.16), 3, scale=0.8))
    cuff.make("cuff", woven((0.2, 0.22, 0.3), 4, scale=0.8))


def open_box(m: Matrix, wide: float, deep: float, high: float, mark: str, *, seed: int = 0) -> None:
    """Open plywood box with a stencilled number on its front."""
    heap = Heap(m)
    t = 0.18
    for y in (-deep / 2, deep / 2):
        heap.add(box(wide, t, high), pose((0, y, high / 2)))
    for x in (-wide / 2 + t / 2, wide / 2 - t / 2):
        heap.add(box(t, deep - t, high), pose((x, 0, high / 2)))
    heap.add(box(wide, deep, t), pose((0, 0, t / 2)))
    heap.make("box", wood(seed, colour=(0.5, 0.36, 0.19), scale=0.8, worn=0.5), bevel=0.025)
    path = drawn.stencil(mark, (26, 22, 20))
    size = high * 0.8
    label_plate(
        path, m @ pose((-wide * 0.24, -deep / 2 - t / 2 - 0.01, high * 0.48), (90, 0, 0)), size, size, sprayed(path)
    )


def lamp_in_box() -> None:
    """Landing lamp with its lens on a folded towel in box 5."""
    bench_top(24, seed=12)
    open_box(pose(turn=(0, 0, 10)), 6.6, 5.6, 2.6, "5", seed=3)
    cloth((0.5, 0.2, 0.17), 6.0, 5.0, turn=10, seed=9, folds=0.3)
    for thing in bpy.data.objects:
        if thing.name.startswith("cloth"):
            thing.location.z += 0.75
    m = pose((0.1, 0.4, 2.25), (38, 8, 0))
    rim, back, bulb = Heap(m), Heap(m), Heap(m)
    rim.add(lathe([(1.55, 0.0), (1.8, 0.02), (1.84, 0.16), (1.74, 0.3), (1.58, 0.3), (1.55, 0.2)], 80))
    for k in range(3):
        rim.add(hex_block(0.24, 0.16), pose((1.72 * math.cos(2.1 * k), 1.72 * math.sin(2.1 * k), 0.3)))
    back.add(lathe([(0.12, -1.35), (0.5, -1.2), (1.1, -0.75), (1.45, -0.2), (1.55, 0.05)], 64))
    bulb.add(lathe([(0, -0.3), (0.2, -0.38), (0.26, -0.6), (0.12, -0.9), (0.14, -1.3)], 28))
    rim.make("rim", painted((0.5, 0.5, 0.5), 4, chips=0.4, scale=1.3))
    back.make("reflector", metal(5, tone=(0.85, 0.85, 0.84), rough=0.12, grime=0.25))
    bulb.make("bulb", plain((0.7, 0.68, 0.6), 0.1))
    sheet(
        "lens",
        glass((0.86, 0.92, 0.93), 0.08),
        lambda u, v: (1.56 * v * np.cos(6.2832 * u), 1.56 * v * np.sin(6.2832 * u), 0.2 + 0.3 * (1 - v**2)),
        across=64,
        along=12,
        matrix=m,
    )
    lead = Heap(m)
    lead.add(tube([(0, 0, -1.3), (0.5, 1.0, -1.4), (1.6, 1.8, -0.6), (2.3, 1.0, 0.2)], 0.1, sides=12))
    lead.make("lead", plain((0.02, 0.02, 0.02), 0.5))
    shoot(FLAT, (-2.6, -7.4, 7.4), (0.1, 0.0, 1.3), lens=38, stop=7, turn=50, strength=0.85)
    spot(FLAT, (6, -3, 7), (0, 0, 1), 420, 0.8)


def spigot(m: Matrix, surface: bpy.types.Material, *, flange: bool = True) -> None:
    """Steel spigot along x, centred on the origin: polished barrel, shoulder and flange."""
    heap, dull = Heap(m), Heap(m)
    heap.add(lathe([(0.3, -2.6), (0.72, -2.6), (0.82, -2.5), (0.82, 1.6), (0.8, 1.62)], 72), pose(turn=(0, 90, 0)))
    dull.add(
        lathe(
            [
                (0.8, 1.6),
                (1.0, 1.62),
                (1.04, 1.68),
                (1.04, 2.05),
                (1.5, 2.07),
                (1.54, 2.12),
                (1.54, 2.4),
                (1.5, 2.45),
                (0.35, 2.45),
                (0.33, 2.2),
            ],
            72,
        ),
        pose(turn=(0, 90, 0)),
    )
    heap.make("barrel", surface)
    dull.make("shoulder", steel(3, 1.4), bevel=0.0)
    if flange:
        dark = Heap(m)
        for k in range(4):
            a = math.radians(45 + 90 * k)
            dark.add(
                lathe([(0, 2.452), (0.11, 2.452)], 20),
                pose(turn=(0, 90, 0)) @ pose((1.27 * math.cos(a), 1.27 * math.sin(a), 0)),
            )
        dark.make("holes", plain((0.006, 0.006, 0.006), 0.9))
    bore = Heap(m)
    bore.add(lathe([(0, -2.602), (0.34, -2.602)], 32), pose(turn=(0, 90, 0)))
    bore.make("bore", plain((0.008, 0.008, 0.008), 0.9))


def ruled(m: Matrix) -> None:
    """Steel rule lying flat, graduations up."""
    label_plate(drawn.rule(), m @ pose((0, 0, 0.045)), 6.2, 0.54, rule_surface())
    heap = Heap(m)
    heap.add(box(6.22, 0.55, 0.04), pose((0, 0, 0.02)))
    heap.make("rule", metal(2, rough=0.25))


def scored() -> None:
    """Polished spigot with a few fine score lines, a steel rule beside it."""
    bench_top(16, seed=13)
    cloth((0.55, 0.54, 0.5), 11, 8.5, turn=8, seed=12, folds=0.08)
    m = pose((0, 0.5, 1.56), (0, 0, -12))
    spigot(m, metal(21, tone=(0.74, 0.74, 0.75), rough=0.16, grime=0.12, scratches=0.5))
    lines = Heap(m)
    r = random.Random(2)
    for k in range(7):
        a = math.radians(232 + 4.2 * k + r.uniform(-1, 1))
        y, z = 0.822 * math.cos(a), 0.822 * math.sin(a) * -1
        x0, x1 = -1.5 + r.uniform(0, 0.5), 0.4 + r.uniform(-0.5, 0.3)
        lines.add(tube([(x0, y, z), ((x0 + x1) / 2, y, z), (x1, y, z)], 0.005 + 0.003 * (k % 2), sides=6))
    lines.make("scores", plain((0.12, 0.11, 0.1), 0.6))
    ruled(pose((0.1, -1.9, 0.12), (0, 0, -10)))
    shoot(FLAT, (-1.6, -5.8, 5.2), (0.0, -0.2, 1.0), lens=44, stop=7, turn=10, strength=0.9, sharp=(-0.4, -0.3, 1.9))
    spot(FLAT, (4, -5, 6), (0, 0, 1), 260, 0.8)


def bush() -> None:
    """Bronze bush in its housing, torch light in the bore."""
    b = pose(turn=(90, 0, 0))
    housing, bronze, dots = Heap(b), Heap(b), Heap(b)
    housing.add(
        lathe(
            [
                (1.62, -5),
                (1.62, -0.12),
                (1.7, 0.0),
                (2.5, 0.0),
                (2.62, -0.08),
                (2.7, -0.6),
                (4.2, -0.7),
                (4.3, -0.8),
                (4.3, -3),
            ],
            96,
        )
    )
    bronze.add(lathe([(1.3, -4.2), (1.3, -0.02), (1.36, 0.1), (1.58, 0.1), (1.62, 0.05), (1.62, -0.1)], 96))
    dark = Heap(b)
    dark.add(lathe([(0, -4.2), (1.4, -4.2)], 40))
    dark.make("end", plain((0.2, 0.15, 0.1), 0.8))
    wall = Heap(b)
    wall.add(box(40, 30, 0.1), pose((0, 0, -2.4)))
    thing = wall.make("wall", painted((0.18, 0.21, 0.1), 5, chips=0.25))
    cutters = Heap(b)
    cutters.add(rod(4.25, 2, 64), pose((0, 0, -3)))
    cut(thing, cutters)
    for k in range(4):
        a = math.radians(40 + 90 * k)
        dots.add(hex_block(0.7, 0.4, 0.15), pose((3.45 * math.cos(a), 3.45 * math.sin(a), -0.66), (0, 0, 20 * k)))
    housing.make("housing", painted((0.2, 0.21, 0.2), 6, chips=0.42, scale=0.9))
    bronze.make("bush", metal(6, tone=(0.85, 0.55, 0.24), rough=0.34, grime=0.1, scratches=0.6))
    dots.make("dots", plated(3, 1.4))
    shoot(b, (1.9, 1.2, 8.2), (0.0, 0.0, -0.6), lens=46, stop=7, turn=200, strength=0.6, sharp=(-0.8, 0, -0.3))
    spot(b, (1.9, 1.3, 7.5), (-0.5, -0.4, -2), 200, 0.25, (1.0, 0.93, 0.82))
    spot(b, (0.55, 0.45, 1.2), (-0.7, -0.5, -1.8), 60, 0.3, (1.0, 0.93, 0.82))


def puller() -> None:
    """Three-legged screw puller on the end of a rusty spigot, oil running down."""
    b = pose(turn=(90, 0, 0))
    wall, boss, tool, thread = (Heap(b) for _ in range(4))
    wall.add(box(40, 40, 0.2), pose((0, 0, -1.5)))
    wall.make("wall", painted((0.18, 0.21, 0.1), 8, chips=0.3, scale=0.8))
    boss.add(lathe([(3.2, -1.4), (3.1, -0.9), (2.2, -0.7), (2.0, -0.4), (2.0, 0.0), (1.3, 0.0)], 72))
    boss.make("boss", painted((0.18, 0.19, 0.18), 9, chips=0.4, scale=0.9))
    spig = Heap(b)
    spig.add(lathe([(1.15, -0.5), (1.15, 1.2), (1.05, 1.3), (0, 1.3)], 64))
    spig.add(lathe([(1.15, 0.75), (1.5, 0.76), (1.55, 0.8), (1.55, 1.1), (1.5, 1.14), (1.15, 1.15)], 64))
    spig.make("spigot", rusty(4))
    tool.add(lathe([(0.4, 3.6), (0.75, 3.6), (0.85, 3.7), (0.85, 4.4), (0.75, 4.5), (0.4, 4.5)], 40))
    for k in range(3):
        m = pose(turn=(0, 0, 120 * k + 25))
        tool.add(box(1.9, 0.5, 0.55), m @ pose((1.35, 0, 4.05)))
        tool.add(
            prism(
                [
                    (1.75, 0.2),
                    (2.35, 0.5),
                    (2.45, 3.9),
                    (2.3, 4.5),
                    (1.95, 4.5),
                    (1.9, 3.8),
                    (1.95, 0.9),
                    (1.45, 0.72),
                    (1.45, 0.42),
                ],
                0.42,
            ),
            m @ pose((0, 0.21, 0), (90, 0, 0)),
        )
        tool.add(hex_block(0.55, 0.3), m @ pose((2.15, -0.25, 4.05), (90, 0, 0)))
    profile, z = [(0.3, 1.35), (0.3, 1.6)], 1.6
    while z < 6.6:
        profile += [(0.31, z + 0.03), (0.39, z + 0.1), (0.31, z + 0.19)]
        z += 0.2
    thread.add(lathe([*profile, (0.0, z)], 32))
    thread.add(hex_block(1.0, 0.8), pose((0, 0, 6.6)))
    thread.add(rod(0.16, 6.4, 20, 0.05), pose((-3.0, 0.9, 7.05), (0, 90, -18)))
    tool.make("puller", painted((0.035, 0.06, 0.12), 3, chips=0.42, rough=0.4, scale=1.2), bevel=0.06)
    thread.make("screw", steel(5, 2))
    oil = Heap(b)
    for k, (x, long) in enumerate(((-0.5, 2.4), (0.1, 3.4), (0.55, 1.8), (-0.95, 1.1))):
        top = -math.sqrt(max(0.2, 4.0 - x * x))
        oil.add(
            tube(
                [
                    (x, top + 0.3, 0.02),
                    (x + 0.03, top, -0.35),
                    (x + 0.06, top - long * 0.3, -0.78),
                    (x + 0.02, top - long, -1.36),
                ],
                0.07 + 0.02 * (k % 2),
                sides=12,
            )
        )
    oil.make("oil", plain((0.06, 0.028, 0.006), 0.04))
    shoot(b, (-6.2, 2.6, 11.5), (0, -0.2, 1.8), lens=38, stop=7, turn=140, strength=0.8, sharp=(-0.5, 0, 3))
    spot(b, (6, 6, 8), (0, 0, 1), 620, 0.8)


def rusty(seed: int) -> bpy.types.Material:
    """Steel gone brown, bright only where rubbed."""
    from scenes.surfaces import Surface

    s = Surface("rusty", seed)
    a, fine = s.noise(1.6, detail=9, rough=0.66), s.noise(9, detail=8, rough=0.7)
    tint = s.mix(s.ramp(fine, 0.35, 0.65), (0.19, 0.075, 0.025), (0.07, 0.028, 0.014))
    tint = s.mix(s.ramp(a, 0.56, 0.64), tint, (0.33, 0.31, 0.3))
    s.set(
        base_color=tint,
        metallic=s.ramp(a, 0.56, 0.64, 0.1, 0.9),
        roughness=s.ramp(a, 0.56, 0.64, 0.85, 0.4),
        normal=s.bump(fine, 0.05, 0.7),
    )
    return s.material


def pitted() -> None:
    """Spigot with a band of brown corrosion and pits, on newspaper."""
    from scenes.surfaces import Surface

    bench_top(16, seed=14, z=-0.02)
    paper((0, 0), -9, 11, curl=0.14)
    s = Surface("pitted", 6)
    band = s.sum(
        s.ramp(
            s.sum(s.near((-0.35, 0.55, 1.6), 2.4), s.sum(s.noise(1.8, detail=8, rough=0.7), 0.9, "MULTIPLY")),
            0.75,
            1.05,
        ),
        1.0,
        "MULTIPLY",
    )
    pits = s.sum(s.ramp(s.cells(5.5), 0.16, 0.26, 1, 0), band, "MULTIPLY")
    fine = s.noise(10, detail=8, rough=0.7)
    rust = s.mix(s.ramp(fine, 0.35, 0.65), (0.24, 0.1, 0.03), (0.09, 0.035, 0.015))
    tint = s.mix(pits, s.mix(band, (0.66, 0.66, 0.66), rust), (0.018, 0.01, 0.007))
    s.set(
        base_color=tint,
        metallic=s.ramp(band, 0, 1, 1.0, 0.15),
        roughness=s.ramp(band, 0, 1, 0.22, 0.8),
        normal=s.bump(s.sum(s.sum(fine, band, "MULTIPLY"), pits, "SUBTRACT"), 0.07, 0.9),
    )
    spigot(pose((0, 0.4, 1.58), (0, 0, 16)), s.material)
    shoot(FLAT, (-2.2, -5.4, 5.6), (0.05, 0.1, 1.2), lens=44, stop=7, turn=240, strength=0.9, sharp=(-0.3, -0.3, 1.9))
    spot(FLAT, (5, -3, 6), (0, 0, 1), 320, 0.8)


def drum(m: Matrix, *, seed: int) -> None:
    """Brake drum lying open, its linings inside."""
    heap, lining, hub = Heap(m), Heap(m), Heap(m)
    heap.add(
        lathe(
            [
                (1.95, 0.0),
                (2.2, 0.02),
                (2.22, 0.3),
                (2.14, 0.34),
                (2.14, 1.0),
                (2.25, 1.04),
                (2.25, 1.3),
                (2.12, 1.34),
                (2.0, 1.3),
                (1.98, 0.2),
                (0.6, 0.2),
                (0.0, 0.2),
            ],
            72,
        )
    )
    for a in (20, 200):
        lining.add(
            lathe([(1.6, 0.35), (1.92, 0.35), (1.93, 1.12), (1.6, 1.12), (1.6, 0.35)], 40, arc=136),
            pose(turn=(0, 0, a)),
        )
        hub.add(
            lathe([(1.45, 0.55), (1.6, 0.5), (1.6, 0.95), (1.45, 0.9), (1.45, 0.55)], 40, arc=140),
            pose(turn=(0, 0, a - 2)),
        )
        hub.add(
            tube(
                [
                    (1.5 * math.cos(math.radians(a - 8)), 1.5 * math.sin(math.radians(a - 8)), 0.75),
                    (0.4, 1.2 if a < 90 else -1.2, 0.8),
                    (-1.5 * math.cos(math.radians(a - 40)), 1.2 if a < 90 else -1.2, 0.75),
                ],
                0.1,
            )
        )
    hub.add(lathe([(0.35, 0.2), (0.62, 0.2), (0.66, 0.3), (0.66, 0.8), (0.58, 0.85), (0.35, 0.85), (0.33, 0.4)], 40))
    for k in range(6):
        hub.add(
            hex_block(0.28, 0.2), pose((0.98 * math.cos(k * 1.047), 0.98 * math.sin(k * 1.047), 0.2), (0, 0, 31 * k))
        )
    heap.make("drum", painted((0.1, 0.1, 0.105), seed, under=(0.25, 0.14, 0.08), chips=0.42, rough=0.5, scale=0.8))
    lining.make(
        "lining", painted((0.2, 0.15, 0.1), seed + 1, under=(0.12, 0.1, 0.08), chips=0.2, rough=0.8, scale=1.5)
    )
    hub.make("hub", steel(seed, 1.5))


def brakes() -> None:
    """Two brake drums with linings in boxes 12 and 13."""
    bench_top(30, seed=15)
    for side, mark in ((-1, "12"), (1, "13")):
        m = pose((side * 3.2, 0.1 * side, 0), (0, 0, -5 * side))
        open_box(m, 5.6, 5.6, 1.9, mark, seed=5 + side)
        paper_m = m @ pose((0, 0, 0.25))
        sheet(
            "paper",
            printed(drawn.newsprint(), 0.9),
            lambda u, v: ((u - 0.5) * 5.0, (v - 0.5) * 5.0, 0.05 + 0.1 * np.sin(9 * u + 3 * v) ** 2),
            across=30,
            along=30,
            matrix=paper_m,
        )
        drum(m @ pose((0.05, 0, 0.62), (7 * side, 5, 70 * side)), seed=20 + side)
    shoot(FLAT, (-1.2, -10.6, 9.6), (0, -0.3, 0.5), lens=37, stop=9, turn=120, strength=1.3)
    spot(FLAT, (5, 5, 9), (0, 0, 1), 820, 1.2)


def cake() -> None:
    """Birthday cake with lit candles on a tartan cloth at home."""
    sheet(
        "cloth",
        printed(drawn.tartan(), 0.9),
        lambda u, v: ((u - 0.5) * 16, (v - 0.5) * 16, 0.05 * np.sin(9 * u) ** 2 * (np.abs(v - 0.5) > 0.3)),
        across=40,
        along=40,
    )
    plate, body, cream, sticks, wicks, flames = (Heap() for _ in range(6))
    plate.add(lathe([(0, 0.08), (1.9, 0.08), (2.3, 0.2), (2.32, 0.22), (2.28, 0.25), (1.9, 0.14), (0, 0.14)], 80))
    body.add(lathe([(0, 0.15), (1.55, 0.15), (1.6, 0.2), (1.6, 0.6)], 72))
    body.add(lathe([(1.6, 0.72), (1.6, 1.15)], 72))
    cream.add(lathe([(1.58, 0.58), (1.68, 0.62), (1.68, 0.7), (1.58, 0.74)], 72))
    cream.add(lathe([(1.6, 1.08), (1.66, 1.15), (1.64, 1.3), (1.5, 1.36), (0, 1.36)], 72))
    for k in range(16):
        a = k * math.pi / 8
        cream.add(
            lathe([(0.2, 0), (0.22, 0.06), (0.12, 0.18), (0.0, 0.26)], 20),
            pose((1.42 * math.cos(a), 1.42 * math.sin(a), 1.34)),
        )
        if k < 9:
            t = k * 2 * math.pi / 9
            x, y = 0.85 * math.cos(t), 0.85 * math.sin(t)
            sticks.add(rod(0.05, 0.62, 16), pose((x, y, 1.34)))
            wicks.add(rod(0.008, 0.08, 6), pose((x, y, 1.96)))
            flames.add(lathe([(0.0, 0), (0.045, 0.07), (0.04, 0.13), (0.0, 0.26)], 14), pose((x, y, 2.0)))
    plate.make("plate", plain((0.75, 0.75, 0.72), 0.15))
    body.make("sponge", flapjack())
    cream.make("cream", plain((0.86, 0.8, 0.68), 0.45))
    sticks.make("candles", plain((0.2, 0.4, 0.66), 0.4))
    wicks.make("wicks", plain((0.02, 0.02, 0.02)))
    flames.make("flames", glowing((1.0, 0.55, 0.16), 34))
    wall = Heap()
    wall.add(box(60, 0.5, 40), pose((0, 13, 10)))
    wall.make("wall", plain((0.34, 0.25, 0.17), 0.8))
    curtain = Heap()
    for k in range(14):
        curtain.add(lathe([(0.5, -6), (0.45, 20)], 16), pose((-9 + 0.72 * k, 12, 0)))
    curtain.make("curtain", woven((0.16, 0.05, 0.06), 2))
    shelf = Heap()
    shelf.add(box(7, 1, 0.3), pose((6, 12.2, 3.4)))
    r = random.Random(1)
    for k in range(9):
        shelf.add(box(0.4, 0.8, r.uniform(1.3, 2.1)), pose((3.2 + 0.48 * k, 12.1, 4.4)))
    shelf.make("shelf", wood(3))
    from scenes.stage import camera, gloom, lamp

    camera((-1.6, -7.4, 4.2), (0, 0.1, 1.1), lens=42, stop=5, sharp=(0, -0.8, 1.5), unit=0.1)
    gloom((0.5, 0.36, 0.24), 0.55)
    lamp((0, 0, 3.0), (0, 0, 0), 110, size=1.0, colour=(1.0, 0.6, 0.25))
    lamp((8, -2, 11), (0, 0, 0), 1300, size=2.5, colour=(1.0, 0.78, 0.52))
