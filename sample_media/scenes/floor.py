"""Views on the hangar floor: aircraft, trestles, the wing coming off, legs on stands, racks. Metres."""

from __future__ import annotations

import math
import random

import bpy
import numpy as np
from mathutils import Matrix

from scenes import drawn
from scenes.aircraft import DIHEDRAL, JOINT_Y, SILVER, WING_Z, aircraft, airfoil, main_leg, outer_wing, wheel
from scenes.shapes import Heap, Point, between, bolt, box, lathe, pose, prism, rod, sheet, tube
from scenes.stage import COOL, WARM, camera, gloom, hangar, lamp, trestle
from scenes.structure import PANORAMA, card_tag, label_plate
from scenes.surfaces import (
    Surface,
    brick,
    chrome,
    metal,
    painted,
    plain,
    plated,
    polythene,
    primer,
    skinned,
    sprayed,
    steel,
    wood,
    woven,
)

STANCE = pose((0.75, 0, 0), (0, -11.2, 0)) @ pose((-0.75, 0, 0))
PORT_WING = pose((1.45, JOINT_Y, WING_Z), (DIHEDRAL, 0, 0))
BLUE, OCHRE, RED = (0.045, 0.09, 0.2), (0.45, 0.27, 0.03), (0.34, 0.03, 0.025)


def inside(seed: int, *, lights: float = 1.0, day: float = 1.0, clutter: tuple[int, ...] = (-1, 1)) -> None:
    """Put the hangar about the scene, with its own light."""
    hangar(seed, lights=lights, day=day, clutter=clutter)
    gloom(strength=0.1 * day + 0.02)
    bpy.context.scene.view_settings.exposure = -0.5 if day > 0.3 else -0.2


def supports(*, wing: bool, tail: bool = True, lift: float = 0.0) -> None:
    """Set the trestles that hold the aircraft up."""
    for side in (-1, 1):
        trestle((0.92, side * 1.35, 0), 1.31 + lift, turn=90, wide=0.9, paint=OCHRE, seed=3 + side)
    if wing:
        for y, z in ((4.9, 1.52), (6.7, 1.72)):
            trestle((0.75, y, 0), z, turn=0, wide=0.8, seed=round(y))
    if tail:
        trestle((-5.3, 0, 0), 1.73 + lift, turn=0, wide=0.9, paint=OCHRE, seed=9)


def strap(points: list[Point], wide: float, across: Point, surface: bpy.types.Material) -> None:
    """Flat webbing along a line of points, its width along `across`."""
    line, a = np.array(points, dtype=float), np.array(across, dtype=float)

    def place(u: np.ndarray, v: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        t = u * (len(line) - 1)
        return tuple(np.interp(t, np.arange(len(line)), line[:, k]) + (v - 0.5) * wide * a[k] for k in range(3))

    sheet("strap", surface, place, across=len(line) * 6, along=2)


def whole() -> None:
    """Show the whole aircraft from its front port quarter, nothing removed."""
    inside(1)
    aircraft(STANCE, seed=1)
    chocks(0.75, 2.15)
    camera((8.6, 7.0, 1.6), (-0.3, 0.75, 1.75), lens=27, stop=5)


def chocks(x: float, y: float) -> None:
    """Wooden wedge before and behind a main wheel, yellow rope between."""
    timber, rope = Heap(), Heap()
    for s in (-1, 1):
        timber.add(
            prism(
                [(0, 0), (0.34, 0), (0.05, 0.2), (0, 0.2)] if s > 0 else [(0, 0), (0, 0.2), (-0.05, 0.2), (-0.34, 0)],
                0.34,
            ),
            pose((x + s * 0.3, y + 0.17, 0), (90, 0, 0)),
        )
    rope.add(
        tube(
            [
                (x + 0.42, y + 0.2, 0.1),
                (x + 0.4, y + 0.3, 0.03),
                (x, y + 0.36, 0.015),
                (x - 0.36, y + 0.31, 0.02),
                (x - 0.42, y + 0.2, 0.1),
            ],
            0.012,
        )
    )
    rope.add(
        tube(
            [
                (x + 0.42, y + 0.2, 0.1),
                (x + 0.7, y + 0.34, 0.02),
                (x + 0.95, y + 0.3, 0.015),
                (x + 1.1, y + 0.45, 0.015),
            ],
            0.012,
        )
    )
    timber.make("chocks", wood(6, along="y", scale=3), bevel=0.008)
    rope.make("rope", woven((0.75, 0.55, 0.04), scale=8))


def trestle_centre() -> None:
    """Painted trestle under the centre section at the front spar."""
    inside(2)
    aircraft(None, seed=2, propeller=95)
    supports(wing=True)
    chocks(0.75, 2.15)
    camera((3.9, 3.15, 1.0), (0.7, 1.2, 0.95), lens=28, stop=5.6, sharp=(0.95, 1.4, 1.2))
    lamp((4, 1.5, 0.3), (0.9, 1.3, 1.2), 60, size=1.0, colour=WARM)


def trestle_wing() -> None:
    """A-frame trestle under the outer wing, the underside sloping up to the tip."""
    inside(3)
    aircraft(None, seed=3)
    supports(wing=True)
    camera((2.6, 3.5, 0.85), (0.2, 6.2, 1.35), lens=27, stop=5.6, sharp=(0.75, 4.9, 1.4))
    lamp((2.6, 5.2, 0.2), (0.6, 5.2, 1.6), 70, size=1.4, colour=WARM)


def trestle_tail() -> None:
    """Tail trestle under the rear fuselage, strapped down to a ring in the floor."""
    inside(4)
    aircraft(None, seed=4)
    supports(wing=True)
    web = woven((0.62, 0.2, 0.03), 3, scale=5)
    arc = [(-5.3, 0.37 * math.cos(t), 2.2 + 0.45 * math.sin(t)) for t in np.linspace(-0.25, math.pi + 0.25, 20)]
    strap([(-5.3, 0.62, 0.05), *arc, (-5.3, -0.62, 0.05)], 0.055, (1, 0, 0), web)
    hardware = Heap()
    for s in (-1, 1):
        hardware.add(
            lathe([(0.045, -0.009), (0.063, -0.009), (0.063, 0.009), (0.045, 0.009), (0.045, -0.009)], 24),
            pose((-5.3, s * 0.62, 0.04), (0, 90, 0)),
        )
        hardware.add(lathe([(0.09, 0), (0.09, 0.012), (0, 0.012)], 24), pose((-5.3, s * 0.62, 0)))
    m = pose((-5.3, 0.515, 1.0), (-8.5, 0, 0))
    for dx in (-0.042, 0.042):
        hardware.add(box(0.008, 0.05, 0.2), m @ pose((dx, 0.02, 0)))
        hardware.add(
            lathe([(0.02, 0), (0.03, 0), (0.03, 0.012), (0, 0.012)], 20), m @ pose((dx, 0.025, 0.0), (0, 90, 0))
        )
    hardware.add(rod(0.012, 0.1, 12), m @ pose((-0.05, 0.025, 0.0), (0, 90, 0)))
    hardware.add(box(0.075, 0.02, 0.13), m @ pose((0, 0.06, 0.11), (-18, 0, 0)))
    hardware.make("ratchet", steel(3, 6), bevel=0.002)
    camera((-3.3, 3.1, 1.35), (-5.35, 0.1, 1.3), lens=30, stop=5.6, sharp=(-5.3, 0.5, 1.1))
    lamp((-3.4, 2.4, 0.5), (-5.3, 0.2, 1.4), 60, size=1.0, colour=WARM)


def chocked() -> None:
    """Show a main wheel on the floor, chocked on each side, yellow rope between."""
    inside(5)
    aircraft(STANCE, seed=5)
    chocks(0.75, 2.15)
    camera((2.55, 4.35, 0.92), (0.72, 2.2, 0.4), lens=38, stop=4, sharp=(0.75, 2.35, 0.4))
    lamp((2.2, 4.2, 2.6), (0.75, 2.2, 0.4), 60, size=0.8, colour=WARM)


def gap() -> None:
    """Outer wing drawn a foot away from the centre section, fittings facing each other."""
    inside(6)
    aircraft(None, port=False, seed=1, propeller=95)
    supports(wing=False)
    outer_wing(PORT_WING @ pose((0, 0.42, 0.02)), seed=8)
    trestle((0.75, 5.4, 0), 1.55, wide=0.8, seed=2)
    tails = Heap()
    for k, (x, z) in enumerate(((0.35, 1.62), (0.5, 1.6), (-0.1, 1.66))):
        tails.add(
            tube(
                [(x, 3.0, z), (x + 0.02, 3.12, z - 0.02), (x - 0.02, 3.2, z - 0.22 - 0.05 * k), (x, 3.18, z - 0.42)],
                0.009,
            )
        )
    tails.make("tails", steel(3, 5))
    camera((2.45, 3.34, 2.02), (0.5, 3.17, 1.5), lens=24, stop=10, sharp=(0.95, 3.2, 1.6))
    lamp((1.6, 3.9, 3.4), (0.7, 3.2, 1.5), 70, size=0.5, colour=WARM)
    lamp((0.4, 3.25, 0.2), (0.6, 3.2, 1.6), 25, size=0.5, colour=COOL)


def hoist(top: Point, hook: Point) -> None:
    """Chain hoist from a beam down to a hook."""
    body, chain = Heap(), Heap()
    body.add(box(0.3, 0.22, 0.34), pose((top[0], top[1], top[2] - 0.2)))
    body.add(
        lathe([(0, 0), (0.07, 0.0), (0.08, 0.1), (0.05, 0.16), (0, 0.16)], 24),
        pose((hook[0], hook[1], hook[2] + 0.12)),
    )
    body.add(
        tube(
            [
                (hook[0], hook[1], hook[2] + 0.12),
                (hook[0] + 0.06, hook[1], hook[2] + 0.05),
                (hook[0], hook[1], hook[2] - 0.03),
                (hook[0] - 0.06, hook[1], hook[2] + 0.03),
            ],
            0.018,
        )
    )
    body.add(box(0.16, 9.0, 0.26), pose((top[0], top[1], top[2] + 0.15)))
    for y in (-4.4, 4.4):
        for s in (-1, 1):
            body.add(tube([(top[0], top[1] + y, top[2] + 0.1), (top[0] + s * 1.1, top[1] + y, 0.0)], 0.055, sides=10))
    z = hook[2] + 0.28
    while z < top[2] - 0.3:
        chain.add(
            lathe([(0.012, -0.006), (0.02, 0.0), (0.012, 0.006)], 12),
            pose((hook[0], hook[1], z), (90, 0, 90 * (round(z / 0.03) % 2)), (1, 1.5, 1)),
        )
        z += 0.03
    chain.add(
        tube(
            [
                (top[0] + 0.1, top[1], top[2] - 0.3),
                (top[0] + 0.14, top[1] + 0.1, 1.2),
                (top[0] + 0.22, top[1] + 0.1, 1.15),
                (top[0] + 0.18, top[1], top[2] - 0.3),
            ],
            0.01,
        )
    )
    body.make("hoist", painted(OCHRE, 4, chips=0.35, scale=1.6), bevel=0.006)
    chain.make("chain", steel(4, 5))


def slings() -> None:
    """Outer wing hanging level from a gantry hoist in two broad slings."""
    inside(7)
    aircraft(pose((-4.6, -6.0, 0)), port=False, seed=1)
    m = pose((1.3, -1.2, 2.55))
    outer_wing(m, seed=8)
    apex = (0.2, 1.15, 5.1)
    hoist((0.2, 1.15, 6.0), apex)
    web = woven((0.5, 0.42, 0.04), 5, scale=4)
    for y, chord in ((1.1, 2.5), (3.4, 2.0)):
        x, z = airfoil(np.linspace(0.5, 1.0, 12)[1:-2], chord)
        v = y / 5.2
        under = [(1.3 - a - 0.28 * v, -1.2 + y, 2.55 + b * (1 - 0.25 * v) - 0.012) for a, b in zip(x, z, strict=True)]
        front, back = under[0], under[-1]
        beam_y = -1.2 + y
        high = (0.2, beam_y, 4.75)
        strap(
            [
                high,
                (front[0] + 0.06, front[1], front[2] + 0.15),
                *under,
                (back[0] - 0.05, back[1], back[2] + 0.12),
                high,
            ],
            0.15,
            (0, 1, 0),
            web,
        )
    spread = Heap()
    spread.add(box(0.1, 2.6, 0.12), pose((0.2, 1.05, 4.78)))
    for y in (-0.1, 2.2):
        spread.add(tube([(0.2, y, 4.84), apex], 0.014))
    spread.make("spreader", painted(RED, 5, chips=0.3, scale=2))
    line = Heap()
    line.add(tube([(-0.6, 3.9, 2.5), (-0.9, 4.6, 1.6), (-1.2, 5.2, 0.5), (-0.9, 5.4, 0.02)], 0.012))
    line.make("line", woven((0.6, 0.55, 0.4), scale=6))
    camera((6.0, -3.9, 1.55), (0.2, 0.95, 2.95), lens=29, stop=5.6)


def on_edge(at: Point, turn: float = 0.0, *, seed: int = 8) -> Matrix:
    """Matrix that stands an outer wing on its leading edge, root at the near end of +y."""
    return pose(at, (0, 0, turn)) @ pose(turn=(0, 90, 0))


def cradle(m: Matrix, spans: tuple[float, ...], *, mark: str = "", seed: int = 0, facing: int = 1) -> None:
    """Wooden cradle with padded cheeks at places along the span; `mark` is stencilled on the first."""
    timber, pad = Heap(m), Heap(m)
    for y in spans:
        for s in (-1, 1):
            timber.add(box(0.09, 0.12, 1.45), pose((s * 0.3, y, 0.72), (0, s * -7, 0)))
            pad.add(box(0.05, 0.16, 0.5), pose((s * 0.215, y, 0.95), (0, s * -5, 0)))
            timber.add(box(0.75, 0.07, 0.09), pose((s * 0.5, y + 0.09, 0.35), (0, s * 32, 0)))
        timber.add(box(1.5, 0.14, 0.12), pose((0, y, 0.06)))
        timber.add(box(0.6, 0.1, 0.16), pose((0, y, 0.2)))
    for s in (-0.6, 0.6):
        timber.add(box(0.1, spans[-1] - spans[0] + 0.5, 0.1), pose((s, (spans[0] + spans[-1]) / 2, 0.05)))
    timber.make(
        "cradle",
        painted((0.13, 0.2, 0.26), seed, under=(0.3, 0.2, 0.1), chips=0.3, scale=1.6)
        if mark
        else wood(seed, along="z"),
        bevel=0.006,
    )
    pad.make("pads", woven((0.24, 0.25, 0.28), 2, scale=4), bevel=0.015)
    if mark:
        plate = Heap(m)
        plate.add(box(0.03, 0.5, 0.42), pose((facing * 0.42, spans[0] + 0.2, 0.55)))
        plate.make(
            "plate", painted((0.13, 0.2, 0.26), seed, under=(0.3, 0.2, 0.1), chips=0.25, scale=1.6), bevel=0.004
        )
        path = drawn.stencil(mark)
        label_plate(
            path, m @ pose((facing * 0.437, spans[0] + 0.2, 0.55), (90, 0, 90 * facing)), 0.36, 0.36, sprayed(path)
        )


def on_cradle() -> None:
    """Wing standing on its leading edge in a wooden cradle, red carpet under the edge."""
    inside(8)
    m = on_edge((2.0, -4.6, 0.3))
    outer_wing(m, seed=8)
    cradle(pose((2.0, -4.6, 0)), (1.0, 3.7), seed=5)
    sheet(
        "carpet",
        woven((0.4, 0.03, 0.03), 4, scale=3),
        lambda u, v: (
            1.75 + 0.5 * u,
            -4.5 + 5.0 * v,
            0.285 + 0.02 * np.sin(17 * v) - 0.22 * (np.abs(u - 0.5) * 2) ** 4,
        ),
        across=20,
        along=40,
    )
    aircraft(pose((-5.4, 3.4, 0)), port=False, seed=1)
    camera((6.8, -6.9, 1.65), (1.6, -2.4, 1.35), lens=30, stop=5.6)
    lamp((6, -3, 4), (2, -2, 1), 160, size=2.0, colour=WARM)


def stand_four() -> None:
    """Wing on stand 4 against a brick wall, its tag in the foreground."""
    inside(9)
    wall = Heap()
    wall.add(box(30, 0.2, 8), pose((0, 5.6, 4)))
    wall.make("brick", brick(3))
    m = on_edge((0.0, 4.3, 0.3), 90)
    outer_wing(m, seed=8)
    cradle(pose((0, 4.3, 0), (0, 0, 90)), (0.9, 3.7), mark="4", seed=5, facing=-1)
    sheet(
        "wrap",
        polythene(5, 2.0),
        lambda u, v: (0.12 - 0.1 * v + 0.05 * np.sin(9 * u), 4.0 + 0.75 * u + 0.04 * np.sin(12 * v), 0.35 + 2.3 * v),
        across=30,
        along=30,
    )
    card_tag("P-0310", pose((0.16, 3.72, 1.84), (86, 0, 42)), tall=0.3, string_to=(0.02, 0.3, -0.28), curl=0.08)
    camera((1.45, 2.2, 1.72), (-0.62, 4.25, 1.42), lens=29, stop=9, sharp=(0.16, 3.72, 1.7))
    lamp((1.6, 1.4, 2.8), (-0.3, 4.0, 1.4), 60, size=1.0, colour=WARM)


def root_end() -> None:
    """Open root end of the wing, standing on its leading edge."""
    inside(10)
    outer_wing(on_edge((1.0, 0.0, 0.3)), seed=8)
    cradle(pose((1.0, 0.0, 0)), (0.55, 3.7), seed=5)
    camera((1.75, -3.15, 1.7), (1.02, 0.0, 1.6), lens=37, stop=6.3)
    lamp((2.6, -2.8, 2.9), (1.0, 0, 1.5), 90, size=0.8, colour=WARM)
    lamp((-1.2, -2.0, 1.0), (1.0, 0, 1.5), 30, size=1.0, colour=COOL)


def stub() -> None:
    """End of the centre section with the wing gone: fittings, capped pipes, hanging cables."""
    inside(11)
    aircraft(None, port=False, seed=1)
    supports(wing=False)
    pipes, caps, cables = Heap(), Heap(), Heap()
    for k, (x, z) in enumerate(((0.62, 1.72), (0.5, 1.73), (0.36, 1.66))):
        end = (x, 3.22 + 0.05 * k, z - 0.05)
        pipes.add(tube([(x, 2.8, z), (x, 3.05, z), end], 0.014, sides=14))
        caps.add(
            lathe([(0.021, 0), (0.027, 0.004), (0.027, 0.014), (0.021, 0.016), (0.019, 0.055), (0, 0.058)], 20),
            between((x, 3.05, z), end) @ pose((0, 0, math.dist((x, 3.05, z), end) - 0.01)),
        )
    for k, (x, z) in enumerate(((0.1, 1.68), (0.0, 1.64))):
        cables.add(
            tube([(x, 2.8, z), (x, 3.06, z), (x - 0.02, 3.14, z - 0.1), (x + 0.03, 3.15, z - 0.5 - 0.12 * k)], 0.006)
        )
    pipes.make("pipes", metal(3, rough=0.3, scale=5))
    caps.make("caps", plain((0.5, 0.015, 0.012), 0.36))
    cables.make("cables", steel(4, 5))
    for k, z in enumerate((1.12, 1.0)):
        card_tag(f"P-030{k + 1}", pose((0.13 - 0.1 * k, 3.17, z), (90, 0, 158 + 20 * k)), tall=0.13, curl=0.1)
    camera((1.7, 5.9, 1.72), (0.15, 3.0, 1.52), lens=40, stop=5.6)
    lamp((2.2, 5.2, 2.8), (0.2, 3, 1.5), 120, size=0.8, colour=WARM)


def dusk() -> None:
    """Hangar at dusk, the aircraft without its port wing, one lamp on."""
    inside(12, lights=0.0, day=0.09)
    aircraft(None, port=False, seed=1)
    supports(wing=False)
    lamp((2.5, 3.5, 4.2), (1.5, 2.5, 1.0), 420, size=0.4, colour=WARM)
    bulb = Heap()
    bulb.add(lathe([(0, -0.08), (0.09, 0), (0, 0.1)], 16), pose((2.5, 3.5, 4.35)))
    from scenes.surfaces import glowing

    bulb.make("bulb", glowing(WARM, 90))
    camera((11.5, 8.8, 1.8), (-0.2, 0.4, 2.0), lens=27, stop=4)


def leg_front() -> None:
    """Port main leg from the front under its nacelle."""
    inside(13)
    aircraft(None, seed=1, propeller=95)
    supports(wing=True)
    camera((2.5, 2.62, 0.5), (0.74, 2.13, 0.8), lens=36, stop=5.6, sharp=(0.75, 2.15, 0.9))
    lamp((2.6, 3.4, 0.4), (0.75, 2.15, 1.3), 60, size=0.6, colour=WARM)


def tripod_jack(at: Point, height: float) -> None:
    """Hydraulic tripod jack."""
    m = pose(at)
    body, ram = Heap(m), Heap(m)
    body.add(rod(0.09, height * 0.62, 28, 0.01), pose((0, 0, 0.06)))
    body.add(lathe([(0, 0), (0.16, 0), (0.16, 0.05), (0.1, 0.08)], 32))
    for k in range(3):
        a = 2 * math.pi * k / 3 + 0.4
        foot = (0.5 * math.cos(a), 0.5 * math.sin(a), 0.02)
        body.add(tube([(0.09 * math.cos(a), 0.09 * math.sin(a), height * 0.6), foot], 0.024, sides=12))
        body.add(tube([(0.09 * math.cos(a), 0.09 * math.sin(a), 0.1), foot], 0.016, sides=12))
        body.add(lathe([(0, 0), (0.07, 0), (0.06, 0.02), (0, 0.02)], 24), pose((*foot[:2], 0.0)))
    body.add(tube([(0.1, 0, 0.14), (0.22, -0.02, 0.16), (0.62, -0.2, 0.4)], 0.013))
    ram.add(rod(0.05, height * 0.4, 28), pose((0, 0, height * 0.6)))
    ram.add(lathe([(0.05, 0), (0.075, 0.01), (0.075, 0.05), (0, 0.05)], 24), pose((0, 0, height - 0.05)))
    body.make("jack", painted(RED, 4, chips=0.3, scale=3), bevel=0.004)
    ram.make("ram", chrome(4, 4))


def off_floor() -> None:
    """Both main wheels clear of the floor, jacks and trestles under the centre section."""
    inside(14)
    lift = 0.14
    aircraft(pose((0, 0, lift)), port=False, seed=1, propeller=95)
    supports(wing=False, lift=lift)
    for s in (-1, 1):
        tripod_jack((0.5, s * 2.84, 0), 1.36 + lift)
    camera((6.2, 2.6, 0.62), (0.3, 0.35, 1.0), lens=27, stop=6.3, sharp=(0.75, 2.1, 0.6))
    lamp((5, 3.5, 3), (0.7, 2, 0.4), 120, size=1.2, colour=WARM)


def on_trolley() -> None:
    """Show the main leg lying on a low trolley under the nacelle, the empty bay above."""
    inside(15)
    aircraft(None, port=False, seed=1, legs=(False, True), propeller=95)
    supports(wing=False)
    tripod_jack((0.5, 2.84, 0), 1.36)
    deck, castors = Heap(), Heap()
    deck.add(box(2.3, 0.85, 0.06), pose((1.0, 2.2, 0.25)))
    for x in (-0.1, 2.1):
        for y in (1.85, 2.55):
            castors.add(
                lathe([(0.02, -0.025), (0.08, -0.025), (0.085, 0), (0.08, 0.025), (0.02, 0.025)], 28),
                pose((x, y, 0.085), (90, 0, 20)),
            )
            castors.add(box(0.06, 0.08, 0.12), pose((x, y, 0.17)))
    deck.add(box(0.1, 0.7, 0.18), pose((0.25, 2.2, 0.37)))
    deck.add(box(0.1, 0.7, 0.14), pose((0.75, 2.2, 0.35)))
    deck.make("trolley", wood(4, along="x"), bevel=0.008)
    castors.make("castors", steel(3, 3))
    main_leg(pose((0.05, 2.2, 0.55), (0, -90, 0)) @ pose(turn=(0, 0, 0)), seed=1, strut=False)
    camera((3.9, 5.0, 1.2), (0.7, 2.2, 0.85), lens=29, stop=6.3, sharp=(0.8, 2.4, 0.6))
    lamp((2.8, 4.8, 2.4), (0.8, 2.2, 0.6), 110, size=1.0, colour=WARM)


def leg_stand(m: Matrix, mark: str, *, seed: int = 0) -> None:
    """Set a main leg upright on a steel stand with its number."""
    frame = Heap(m)
    for s in (-1, 1):
        for d in (-1, 1):
            frame.add(tube([(d * 0.48, s * 0.44, 0.02), (d * 0.07, s * 0.3, 1.8)], 0.028, sides=4))
        frame.add(box(1.0, 0.05, 0.05), pose((0, s * 0.43, 0.12)))
        frame.add(box(0.5, 0.04, 0.04), pose((0, s * 0.36, 0.95)))
        frame.add(box(0.2, 0.1, 0.06), pose((0, s * 0.3, 1.79)))
        frame.add(
            lathe([(0.06, -0.04), (0.075, -0.04), (0.075, 0.04), (0.06, 0.04), (0.06, -0.04)], 28),
            pose((0, s * 0.3, 1.86), (90, 0, 0)),
        )
    for x in (-0.47, 0.47):
        frame.add(box(0.05, 0.9, 0.05), pose((x, 0, 0.12)))
    frame.add(box(0.02, 0.36, 0.32), pose((0.51, 0, 0.27)))
    frame.make("stand", painted(BLUE, seed + 3, chips=0.3, scale=2.5), bevel=0.003)
    path = drawn.stencil(mark)
    label_plate(path, m @ pose((0.522, 0, 0.27), (90, 0, 90)), 0.3, 0.3, sprayed(path))
    main_leg(m @ pose((0, 0, 1.84)), seed=seed, strut=False)


def port_stand() -> None:
    """Port leg upright on stand 2, wheel on, tag on the oleo."""
    inside(16)
    m = pose((9.0, -9.6, 0), (0, 0, 62))
    leg_stand(m, "2", seed=1)
    card_tag("P-0320", m @ pose((0.17, 0.06, 1.14), (88, 0, 88)), tall=0.3, string_to=(-0.04, 0.06, -0.1), curl=0.08)
    camera((10.3, -7.2, 1.3), (9.02, -9.55, 0.97), lens=38, stop=4.5, sharp=(9.1, -9.45, 0.95))
    lamp((11.4, -7.6, 2.6), (9, -9.6, 1), 90, size=0.8, colour=WARM)


def starboard_stand() -> None:
    """Starboard leg on stand 3 beside the first."""
    inside(17)
    leg_stand(pose((8.0, -10.4, 0), (0, 0, 80)), "2", seed=1)
    m = pose((9.75, -10.0, 0), (0, 0, 70))
    leg_stand(m, "3", seed=6)
    card_tag("P-0321", m @ pose((0.18, 0.05, 1.14), (88, 0, 80)), tall=0.3, string_to=(-0.04, 0.06, -0.1), curl=0.08)
    card_tag(
        "P-0320",
        pose((8.0, -10.4, 0), (0, 0, 80)) @ pose((0.17, 0.06, 1.14), (88, 0, 100)),
        tall=0.3,
        string_to=(-0.04, 0.06, -0.1),
        curl=0.08,
    )
    camera((10.3, -7.1, 1.45), (9.1, -10.1, 0.95), lens=33, stop=6.3, sharp=(9.7, -9.85, 0.95))
    lamp((7.2, -7.8, 2.8), (9, -10, 1), 110, size=0.8, colour=WARM)


def pallet() -> None:
    """Two main wheels lying on pallet 6."""
    inside(18)
    m = pose((8.5, -9.0, 0), (0, 0, 24))
    boards = Heap(m)
    for k in range(9):
        boards.add(box(0.12, 1.2, 0.022), pose((-0.98 + k * 0.245, 0, 0.135)))
    for y in (-0.52, 0, 0.52):
        boards.add(box(2.1, 0.1, 0.1), pose((0, y, 0.072)))
        boards.add(box(2.1, 0.1, 0.022), pose((0, y, 0.011)))
    boards.add(box(2.1, 0.02, 0.115), pose((0, -0.59, 0.066)))
    boards.make("pallet", wood(7, along="y", scale=1.6), bevel=0.004)
    path = drawn.stencil("6", (20, 18, 18))
    label_plate(path, m @ pose((-0.6, -0.602, 0.068), (90, 0, 0)), 0.1, 0.1, sprayed(path))
    side = Heap(m)
    side.add(box(0.4, 0.015, 0.3), pose((0.62, -0.615, 0.16)))
    side.make("board", wood(3, colour=(0.5, 0.38, 0.22), scale=2), bevel=0.003)
    label_plate(path, m @ pose((0.62, -0.625, 0.16), (90, 0, 0)), 0.26, 0.26, sprayed(path))
    wheel(m @ pose((-0.5, 0.0, 0.3), (90, 0, 0)), seed=3)
    wheel(m @ pose((0.5, 0.04, 0.3), (90, 0, 40)), seed=9)
    camera((8.0, -11.3, 1.55), (8.5, -9.1, 0.2), lens=33, stop=5.6, sharp=(8.5, -9.5, 0.4))
    lamp((10.4, -10.6, 2.4), (8.5, -9, 0.2), 70, size=0.8, colour=WARM)


def tyre() -> None:
    """Old tyre sidewall crazed with cracks, close."""
    from scenes.stage import around

    s = Surface("perished", 3)
    edge = s.tree.nodes.new("ShaderNodeTexVoronoi")
    edge.feature = "DISTANCE_TO_EDGE"
    s.put(edge, "Vector", s.place((1, 1, 1)))
    s.put(edge, "Scale", 34.0)
    small = s.tree.nodes.new("ShaderNodeTexVoronoi")
    small.feature = "DISTANCE_TO_EDGE"
    s.put(small, "Vector", s.place((1, 1, 1)))
    s.put(small, "Scale", 92.0)
    dust = s.ramp(s.noise(9, detail=8, rough=0.7), 0.38, 0.75)
    where = s.ramp(s.noise(5, detail=5), 0.36, 0.56)
    open_ = s.sum(s.ramp(edge.outputs[0], 0.015, 0.075, 1, 0), where, "MULTIPLY")
    fine = s.sum(s.ramp(small.outputs[0], 0.01, 0.07, 0.75, 0), s.ramp(s.noise(8, detail=5), 0.4, 0.6), "MULTIPLY")
    gapped = s.sum(open_, fine, "MAXIMUM")
    tint = s.mix(gapped, s.mix(dust, (0.05, 0.048, 0.046), (0.15, 0.135, 0.115)), (0.006, 0.005, 0.005))
    s.set(
        base_color=tint,
        roughness=0.72,
        normal=s.bump(s.sum(1.0, gapped, "SUBTRACT"), 0.004, 0.9, s.bump(s.noise(120, detail=4), 0.0008, 0.6)),
    )
    wheel(pose((0, 0, 0.48)), seed=4)
    for thing in bpy.data.objects:
        if thing.name.startswith("tyre"):
            thing.data.materials[0] = s.material
    floor = Heap()
    floor.add(box(20, 20, 0.1), pose((0, 0, -0.05)))
    from scenes.surfaces import concrete

    floor.make("floor", concrete(3))
    around(PANORAMA, turn=70, strength=0.85)
    camera((0.42, -0.72, 0.78), (0.22, -0.14, 0.6), lens=46, stop=9, sharp=(0.24, -0.15, 0.62), roll=6)
    lamp((1.2, -0.7, 1.3), (0.2, -0.1, 0.55), 16, size=0.3, colour=WARM)


def rack(  # noqa: C901
    at: Point,
    mark: str,
    *,
    wide: float = 2.6,
    deep: float = 0.7,
    levels: tuple[float, ...] = (0.2, 0.9, 1.6),
    seed: int = 0,
    full: bool = True,
    bare_level: int | None = None,
) -> None:
    """Steel rack facing -y with its number on the near upright, and boxes and parts on the shelves."""
    r = random.Random(seed)
    m = pose(at)
    iron, card, dull, green = Heap(m), Heap(m), Heap(m), Heap(m)
    top = levels[-1] + 0.6
    for x in (-wide / 2, wide / 2):
        for y in (-deep / 2, deep / 2):
            iron.add(box(0.07, 0.06, top), pose((x, y, top / 2)))
        for k in range(3):
            iron.add(
                tube([(x, -deep / 2, 0.2 + k * top / 3.2), (x, deep / 2, 0.2 + (k + 1) * top / 3.4)], 0.012, sides=8)
            )
    for z in levels:
        for y in (-deep / 2, deep / 2):
            iron.add(box(wide, 0.05, 0.1), pose((0, y, z - 0.05)))
    shelf = Heap(m)
    for z in levels:
        shelf.add(box(wide - 0.05, deep - 0.03, 0.03), pose((0, 0, z + 0.01)))
    shelf.make("shelf", wood(seed, colour=(0.5, 0.37, 0.2), scale=1.5), bevel=0.003)
    for k, z in enumerate(levels):
        if k == bare_level or not full:
            continue
        x = -wide / 2 + 0.15
        while x < wide / 2 - 0.4:
            w, h, d = r.uniform(0.16, 0.5), r.uniform(0.1, 0.4), r.uniform(0.3, 0.55)
            kind = r.choice((card, dull, green, card))
            if r.random() < 0.25:
                kind.add(rod(h * 0.35, w, 24, 0.01), pose((x, -0.1, z + 0.025 + h * 0.35), (0, 90, 0)))
            else:
                kind.add(
                    box(w, d, h),
                    pose((x + w / 2, r.uniform(-0.06, 0.06), z + 0.025 + h / 2), (0, 0, r.uniform(-7, 7))),
                )
            x += w + r.uniform(0.03, 0.16)
    iron.make("rack", painted(BLUE, seed, chips=0.28, scale=2), bevel=0.004)
    for heap, surface in (
        (card, plain((0.4, 0.28, 0.16), 0.85)),
        (dull, painted((0.3, 0.31, 0.31), 2, chips=0.3, scale=3)),
        (green, primer(4, scale=3)),
    ):
        if heap.points:
            heap.make("stock", surface, bevel=0.005)
    path = drawn.stencil(mark)
    plate = Heap(m)
    plate.add(box(0.2, 0.01, 0.24), pose((-wide / 2 + 0.06, -deep / 2 - 0.036, levels[-1] + 0.28)))
    plate.make("plate", painted(BLUE, seed, chips=0.2, scale=2), bevel=0.003)
    label_plate(
        path, m @ pose((-wide / 2 + 0.06, -deep / 2 - 0.043, levels[-1] + 0.28), (90, 0, 0)), 0.2, 0.2, sprayed(path)
    )


def panel_on_rack() -> None:
    """Curved fillet panel on the top shelf of rack 2, its tag hanging down."""
    inside(19, clutter=(1,))
    rack((9, -11.6, 0), "2", seed=4, levels=(0.2, 0.85, 1.5), bare_level=2)
    rack((11.75, -11.6, 0), "3", seed=8, levels=(0.2, 0.85, 1.5))
    sheet(
        "fillet",
        painted((0.47, 0.48, 0.48), 5, chips=0.3, scale=4, waves=0.01),
        lambda u, v: (
            9 - 0.85 + 1.75 * u,
            -11.6 + (v - 0.5) * 0.5 + 0.05 * u,
            1.53 + 0.2 * np.sin(np.pi * v) ** 0.7 * (1 - 0.35 * u) + 0.03,
        ),
        across=50,
        along=30,
    )
    holes = Heap()
    for k in range(24):
        for s, v in ((-1, 0.03), (1, 0.97)):
            u = (k + 0.5) / 24
            holes.add(
                lathe([(0, 0.004), (0.008, 0.004)], 10),
                pose(
                    (
                        9 - 0.85 + 1.75 * u,
                        -11.6 + (v - 0.5) * 0.5 + 0.05 * u,
                        1.56 + 0.2 * math.sin(math.pi * 0.03) ** 0.7 * (1 - 0.35 * u),
                    ),
                    (s * -52, 0, 0),
                ),
            )
    holes.make("holes", plain((0.01, 0.01, 0.01), 0.9))
    card_tag("P-0311", pose((8.72, -12.02, 1.4), (90, -6, 8)), tall=0.22, string_to=(0.02, 0.17, -0.08), curl=0.08)
    camera((8.05, -13.45, 2.08), (8.6, -11.75, 1.5), lens=30, stop=6.3, sharp=(8.75, -12.0, 1.4))
    lamp((10.2, -13.4, 2.4), (8.9, -11.9, 1.5), 26, size=0.5, colour=WARM)


def aileron_on_rack() -> None:
    """Aileron lying along rack 3, tag hanging from its end."""
    inside(20, clutter=(1,))
    rack((9, -11.6, 0), "3", seed=6, levels=(0.25, 0.8, 1.3), wide=3.2, bare_level=2)
    path = drawn.riveted("aileron", (500, 2200), [0.25, 0.75], [k / 11 for k in range(1, 11)], seed=5, pitch=10)

    def place(u: np.ndarray, v: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        x, z = airfoil(u, 1.0, 0.24)
        chord = 0.44 - 0.12 * v
        return 7.5 + 2.75 * v, -11.82 + x * chord, 1.42 + z * chord * 0.95

    sheet("aileron", skinned(path, SILVER, bare=0.6, seed=4, depth=0.003), place, across=60, along=40)
    ends, brackets = Heap(), Heap()
    outline = [
        (float(a) * 0.44, float(b) * 0.42) for a, b in zip(*airfoil(np.arange(40) / 40, 1.0, 0.24), strict=True)
    ]
    ends.add(prism(outline, 0.01), pose((7.5, -11.82, 1.42), (90, 0, 90)))
    for k in range(5):
        x = 7.75 + 0.56 * k
        brackets.add(
            prism([(0.06, -0.04), (-0.1, -0.035), (-0.15, 0.0), (-0.1, 0.035), (0.06, 0.05)], 0.02),
            pose((x, -11.82, 1.42), (90, 0, 90)),
        )
        brackets.add(
            lathe([(0.012, -0.02), (0.026, -0.02), (0.026, 0.04), (0.012, 0.04)], 20),
            pose((x, -11.95, 1.42), (0, 90, 0)),
        )
    ends.make("end", primer(4, scale=5))
    brackets.make("hinges", steel(4, 5), bevel=0.002)
    pads = Heap()
    for x in (7.9, 9.6):
        pads.add(box(0.3, 0.6, 0.05), pose((x, -11.62, 1.345)))
    pads.make("pads", woven((0.3, 0.2, 0.16), 3, scale=5), bevel=0.015)
    card_tag("P-0312", pose((7.62, -12.03, 1.28), (90, 4, -10)), tall=0.22, string_to=(0.0, 0.14, -0.06), curl=0.08)
    camera((6.95, -13.4, 1.98), (8.3, -11.75, 1.28), lens=31, stop=6.3, sharp=(7.65, -12.0, 1.3))
    lamp((7.6, -13.6, 2.4), (8.2, -11.8, 1.4), 26, size=0.5, colour=WARM)


def strut_on_rack() -> None:
    """Forked drag strut on rack 4, a small bag with two bolts tied to it."""
    from scenes.bench import bag

    inside(21, clutter=(1,))
    rack((9, -11.6, 0), "4", seed=11, levels=(0.25, 0.85, 1.4), bare_level=2)
    strut, pin = Heap(), Heap()
    strut.add(tube([(8.15, -11.5, 1.52), (8.9, -11.58, 1.52), (9.15, -11.6, 1.52)], 0.045, sides=24))
    for s in (-1, 1):
        strut.add(
            tube([(9.1, -11.6, 1.52), (9.3, -11.62 + 0.1 * s, 1.52), (9.75, -11.66 + 0.17 * s, 1.5)], 0.032, sides=18)
        )
        strut.add(
            lathe([(0.022, -0.03), (0.052, -0.03), (0.055, 0), (0.052, 0.03), (0.022, 0.03), (0.022, -0.03)], 28),
            pose((9.8, -11.665 + 0.17 * s, 1.5), (90, 0, 5)),
        )
    strut.add(
        lathe([(0.03, -0.05), (0.07, -0.05), (0.07, 0.05), (0.03, 0.05), (0.03, -0.05)], 32),
        pose((8.09, -11.49, 1.52), (90, 0, -6)),
    )
    strut.make("strut", painted((0.26, 0.27, 0.27), 4, chips=0.38, scale=4))
    size = 0.06
    m = pose((8.62, -11.78, 1.43), (0, 0, 8), size)
    for k in range(2):
        pin.add(bolt(0.62, 0.2, 2.0, 0.7), m @ pose((-0.35 + 0.7 * k, 0.7, 0.45), (90, 10, 12 * k)))
    pin.make("bolts", plated(3, 6))
    bag(m, 2.6, 3.6, 0.9, seed=3)
    card_tag("BAG 41", pose((8.7, -12.0, 1.43), (80, 0, -6)), tall=0.24, string_to=(-0.06, 0.02, -0.14), curl=0.06)
    twine = Heap()
    twine.add(tube([(8.62, -11.71, 1.45), (8.66, -11.64, 1.5), (8.68, -11.56, 1.57), (8.68, -11.5, 1.5)], 0.004))
    twine.make("twine", woven((0.6, 0.52, 0.36), scale=6))
    camera((8.1, -13.4, 2.0), (8.4, -11.75, 1.5), lens=31, stop=7, sharp=(8.8, -11.9, 1.5))
    lamp((10.0, -13.2, 2.4), (8.9, -11.8, 1.5), 24, size=0.5, colour=WARM)
