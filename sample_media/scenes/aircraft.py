"""The aircraft, an invented twin-engined crew trainer 17 m across. Metres, nose along +x, port +y."""

from __future__ import annotations

import math

import bpy
import numpy as np
from mathutils import Matrix
from PIL import Image

from scenes import drawn
from scenes.shapes import Heap, Point, between, bolt, box, dome, hex_block, lathe, pose, prism, rod, sheet, tube
from scenes.surfaces import chrome, glass, metal, painted, plain, plated, primer, rubber, skinned, steel

SILVER, YELLOW, CREAM = (0.5, 0.51, 0.52), (0.5, 0.29, 0.035), (0.44, 0.41, 0.33)
JOINT_Y, WING_Z, DIHEDRAL = 3.0, 1.55, 5.0
# Stations of the fuselage: x, height of the centre, half width, half height.
STATIONS = [
    (3.95, 1.85, 0.03, 0.03),
    (3.85, 1.86, 0.24, 0.25),
    (3.5, 1.9, 0.46, 0.48),
    (2.8, 1.98, 0.63, 0.68),
    (1.6, 2.05, 0.72, 0.84),
    (0.2, 2.08, 0.74, 0.9),
    (-1.5, 2.08, 0.72, 0.87),
    (-3.2, 2.12, 0.58, 0.7),
    (-5.2, 2.2, 0.36, 0.44),
    (-6.8, 2.28, 0.16, 0.22),
    (-7.35, 2.32, 0.02, 0.04),
]


def cut(thing: bpy.types.Object, cutters: Heap) -> None:
    """Cut the cutters' solids out of an object."""
    tool = cutters.make("cutter", thing.data.materials[0])
    tool.hide_render = True
    step = thing.modifiers.new("cut", "BOOLEAN")
    step.operation, step.object, step.solver = "DIFFERENCE", tool, "EXACT"


def airfoil(u: np.ndarray, chord: float = 1.0, thick: float = 0.17) -> tuple[np.ndarray, np.ndarray]:
    """Aerofoil section for u 0..1, from the trailing edge over the top to the nose and back below.

    Gives distance behind the leading edge, and height. Four-digit thickness form, 2 % camber (from memory).
    """
    x = 0.5 * (1 + np.cos(2 * np.pi * u))
    half = 5 * thick * (0.2969 * np.sqrt(x) - 0.126 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1036 * x**4)
    camber = 0.08 * x * (1 - x)
    return x * chord, (camber + np.where(u < 0.5, half, -half)) * chord


def section_outline(chord: float, n: int = 56, shrink: float = 1.0) -> list[tuple[float, float]]:
    """Outline of the aerofoil as (-x, z) pairs, leading edge forward, counter-clockwise seen from outboard."""
    x, z = airfoil(np.arange(n) / n, chord)
    middle = -0.45 * chord
    return [
        (middle + (-a - middle) * shrink, 0.02 * chord + (b - 0.02 * chord) * shrink)
        for a, b in zip(x, z, strict=True)
    ]


def outer_wing(
    matrix: Matrix,
    *,
    seed: int = 1,
    length: float = 5.2,
    root: float = 2.75,
    open_root: bool = True,
    aileron: bool = True,
) -> None:
    """Build an outer wing: root at the origin, leading edge at x = 0, span along +y; mirror through the matrix."""

    def place(u: np.ndarray, v: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        span = v * length
        chord = (root - 1.15 * v) * np.sqrt(np.clip(1 - np.clip((v - 0.86) / 0.14, 0, 1) ** 2.2, 0.0004, 1))
        x, z = airfoil(u)
        sweep = 0.28 * v + (root - 1.15 * v - chord) * 0.4
        return -x * chord - sweep, span, z * chord * (1 - 0.25 * v)

    gaps = [(0.0, 0.12, 1.0, 0.12)]
    if aileron:
        gaps = [(a, 0.48, a, 0.9) for a in (0.155, 0.845)] + [
            (0.0, 0.48, 0.155, 0.48),
            (0.845, 0.48, 1, 0.48),
            (0.0, 0.9, 0.155, 0.9),
            (0.845, 0.9, 1.0, 0.9),
        ]
        gaps += [(0.845, 0.03, 0.845, 0.46), (0.845, 0.46, 1.0, 0.46)]
    path = drawn.riveted(
        f"wing-{aileron}",
        (2048, 2600),
        [0.07, 0.17, 0.26, 0.36, 0.42, 0.47, 0.53, 0.58, 0.64, 0.74, 0.83, 0.93],
        [k / 13 for k in range(1, 13)],
        seed=seed,
        gaps=gaps,
    )
    surface = skinned(path, SILVER, bare=0.75, seed=seed, depth=0.006)
    sheet("wing", surface, place, across=90, along=60, matrix=matrix)
    if open_root:
        wing_root(matrix, root, seed=seed)


def wing_root(matrix: Matrix, chord: float, *, seed: int = 0, depth: float = 0.02, facing: int = -1) -> None:
    """Root rib of a wing in primer with lightening holes, and its spar fittings; `facing` is the side that shows."""
    turn = matrix @ pose((0, 0.03 if facing < 0 else -0.03, 0), (90, 0, 0))
    rib = Heap(turn)
    rib.add(prism(section_outline(chord, shrink=0.985), 0.012))
    plate = rib.make("root-rib", primer(seed, scale=2.0))
    cutters, flange = Heap(turn), Heap(turn)
    for x, radius in (
        (0.13, 0.05),
        (0.28, 0.08),
        (0.75, 0.115),
        (1.03, 0.125),
        (1.33, 0.12),
        (1.96, 0.07),
        (2.15, 0.045),
    ):
        middle = 0.02 * chord + (0.02 if x < 2 else 0.0)
        cutters.add(rod(radius, 0.2), pose((-x * chord / 2.75 * 1.02, middle, -0.1)))
        for z in (0.0, 0.012):
            flange.add(
                lathe([(radius - 0.006, z - 0.006), (radius + 0.004, z + 0.008), (radius + 0.02, z)], 40),
                pose((-x * chord / 2.75 * 1.02, middle, 0.0)),
            )
    cut(plate, cutters)
    flange.make("flange", primer(seed + 1, scale=2.0))
    rivets, stiff = Heap(turn), Heap(turn)
    for k, (x, z) in enumerate(section_outline(chord, 150, 0.955)):
        if k > 3:
            rivets.add(dome(0.006, 0.004, 8), pose((x, z, 0.012)))
            rivets.add(dome(0.006, 0.004, 8), pose((x, z, 0.0), (180, 0, 0)))
    for x in (0.38, 0.61, 0.89, 1.18, 1.48, 1.84):
        high = float(np.interp(x / 2.75, [0.1, 0.3, 0.5, 0.7], [0.3, 0.38, 0.32, 0.22])) * chord / 2.75
        for z in (-0.012, 0.024):
            stiff.add(box(0.03, high, 0.016), pose((-x * chord / 2.75, 0.025 * chord, z)))
    rivets.make("rivets", metal(seed))
    stiff.make("stiffeners", primer(seed + 2, scale=2.0), bevel=0.004)
    for at, tall in ((0.5, 0.4), (1.7, 0.3)):
        spar_fitting(
            turn
            @ pose(
                (-at * chord / 2.75, 0.025 * chord, 0.012 if facing < 0 else 0.0), (0, 0 if facing < 0 else 180, 0)
            ),
            tall,
            seed=seed,
        )
    inside = Heap(turn)
    inside.add(prism(section_outline(chord, shrink=0.97), 0.01), pose((0, 0, -0.35 if facing < 0 else 0.35)))
    inside.make("inside", painted((0.09, 0.115, 0.035), seed, chips=0.05))


def spar_fitting(matrix: Matrix, tall: float, *, seed: int = 0, bolts: bool = False) -> None:
    """Forged joint fitting on a spar's end: two heavy blocks with four empty holes each, top and bottom."""
    block, holes, shiny, bars = Heap(matrix), Heap(matrix), Heap(matrix), Heap(matrix)
    for side in (-1, 1):
        y = side * (tall / 2 - 0.055)
        block.add(box(0.12, 0.11, 0.09), pose((0, y, 0.045)))
        block.add(box(0.07, 0.09, 0.16), pose((0, y - side * 0.005, 0.08)))
        for dx in (-0.034, 0.034):
            for dy in (-0.03, 0.03):
                holes.add(rod(0.011, 0.06, 20), pose((dx * 1.25, y + dy, 0.0405)))
                shiny.add(lathe([(0.012, 0.0905), (0.02, 0.0905)], 24), pose((dx * 1.25, y + dy, 0.0003)))
    bars.add(box(0.1, tall - 0.1, 0.03), pose((0, 0, 0.015)))
    thing = block.make("fitting", steel(seed, 3.0), bevel=0.006)
    thing.visible_shadow = True
    bars.make("web", primer(seed + 3, scale=3.0), bevel=0.003)
    dark = Heap(matrix)
    for side in (-1, 1):
        y = side * (tall / 2 - 0.055)
        for dx in (-0.0425, 0.0425):
            for dy in (-0.03, 0.03):
                dark.add(lathe([(0, 0.0908), (0.012, 0.0908)], 24), pose((dx, y + dy, 0.0)))
    dark.make("holes", plain((0.004, 0.004, 0.004), 0.9))
    shiny.make("rings", metal(seed, tone=(0.8, 0.8, 0.79), rough=0.2, grime=0.05))


def fuselage(matrix: Matrix, *, seed: int = 2) -> None:
    """Fuselage with canopy, side windows, glazed nose and door outline."""
    st = np.array(STATIONS)

    def at(v: np.ndarray) -> tuple[np.ndarray, ...]:
        x = 3.95 - 11.3 * v
        ease = np.array([np.interp(x, st[::-1, 0], st[::-1, k]) for k in (1, 2, 3)])
        return (x, *ease)

    def point(u: np.ndarray, v: np.ndarray, off: float = 0.0) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        x, zc, w, h = at(v)
        a = 2 * np.pi * u
        c, s = np.cos(a), np.sin(a)
        p = 2 / 2.4
        return x, (w + off) * np.sign(s) * np.abs(s) ** p, zc - (h + off) * np.sign(c) * np.abs(c) ** p

    path = drawn.riveted(
        "fuselage", (2600, 1600), [k / 24 for k in range(1, 24)], [k / 18 for k in range(18)], seed=seed, pitch=9
    )
    path = turned(path, "fuselage-round")
    sheet(
        "fuselage",
        skinned(path, SILVER, bare=0.7, seed=seed, depth=0.006),
        point,
        across=72,
        along=120,
        matrix=matrix,
    )
    dark, frame = glass((0.03, 0.04, 0.045), 0.9), Heap(matrix)
    for u0, u1, v0, v1 in [
        (s, s + 0.075, v, v + 0.032) for v in (0.36, 0.415, 0.47, 0.525, 0.58) for s in (0.29, 0.635)
    ] + [(0.2, 0.8, 0.006, 0.05), (0.26, 0.46, 0.056, 0.1), (0.54, 0.74, 0.056, 0.1)]:

        def pane(u: np.ndarray, v: np.ndarray, b: tuple[float, ...] = (u0, u1, v0, v1)) -> tuple[np.ndarray, ...]:
            return point(b[0] + (b[1] - b[0]) * u, b[2] + (b[3] - b[2]) * v, 0.008)

        sheet("pane", dark, pane, across=10, along=8, matrix=matrix)
        rim = [
            point(np.array(u0 + (u1 - u0) * a), np.array(v0 + (v1 - v0) * b), 0.01)
            for a, b in [(0, 0), (0.5, 0), (1, 0), (1, 0.5), (1, 1), (0.5, 1), (0, 1), (0, 0.5), (0, 0)]
        ]
        frame.add(tube([[float(q) for q in r] for r in rim], 0.012, sides=6, steps=3))

    def canopy(u: np.ndarray, v: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        x = 2.75 - 2.6 * v
        a = np.pi * u
        tall = np.interp(v, [0, 0.22, 0.35, 0.75, 1], [0.0, 0.42, 0.5, 0.42, 0.05])
        return x, 0.54 * np.cos(a) * np.interp(v, [0, 0.3, 1], [0.85, 1, 0.95]), 2.5 + tall * np.sin(a) ** 0.7

    sheet("canopy", glass((0.05, 0.065, 0.07), 0.75), canopy, across=32, along=30, matrix=matrix)
    for v in (0.02, 0.22, 0.38, 0.56, 0.75, 0.97):
        line = [[float(q) for q in canopy(np.array(u), np.array(v))] for u in np.linspace(0, 1, 13)]
        frame.add(tube(line, 0.022, sides=6, steps=3))
    for u in (0.02, 0.3, 0.5, 0.7, 0.98):
        line = [[float(q) for q in canopy(np.array(u), np.array(v))] for v in np.linspace(0.02, 0.97, 10)]
        frame.add(tube(line, 0.02, sides=6, steps=3))
    frame.make("frames", painted(SILVER, seed, chips=0.2))


def turned(path: str, name: str) -> str:
    """Swap a map's axes, under another name, so that u runs round the fuselage."""
    with Image.open(path) as image:
        return drawn.keep(image.transpose(Image.Transpose.ROTATE_90), name)


def nacelle(matrix: Matrix, *, seed: int = 3, propeller: float | None = 40.0) -> None:
    """Engine nacelle about its own x axis: cowl, radial engine, propeller at an angle (degrees)."""
    along_x = matrix @ pose(turn=(0, 90, 0))
    cowl, body, fins, dark = Heap(along_x), Heap(along_x), Heap(along_x), Heap(along_x)
    cowl.add(
        lathe(
            [
                (0.42, 0.98),
                (0.46, 1.04),
                (0.53, 1.02),
                (0.6, 0.85),
                (0.62, 0.55),
                (0.6, 0.15),
                (0.575, 0.13),
                (0.58, 0.5),
                (0.5, 0.9),
                (0.42, 0.98),
            ],
            56,
        )
    )
    body.add(lathe([(0.05, -2.9), (0.2, -2.3), (0.4, -1.4), (0.53, -0.4), (0.55, 0.2)], 48))
    dark.add(lathe([(0, 0.35), (0.57, 0.35)], 32))
    for k in range(9):
        a = 360 * k / 9
        for j in range(9):
            fins.add(
                box(0.16, 0.19, 0.012) if j % 2 else box(0.13, 0.15, 0.014),
                pose(turn=(0, 0, a)) @ pose((0.22 + 0.028 * j, 0, 0.62), (0, 90, 0)),
            )
    fins.add(lathe([(0, 0.95), (0.1, 0.93), (0.17, 0.8), (0.2, 0.5)], 28))
    cowl.make("cowl", painted(YELLOW, seed, chips=0.22, scale=1.2, waves=0.01), bevel=0.0)
    body.make("nacelle", painted(SILVER, seed + 1, chips=0.3, waves=0.03))
    dark.make("dark", plain((0.01, 0.01, 0.01)))
    fins.make("cylinders", steel(seed, 2.0))
    if propeller is not None:
        blades = Heap(along_x)
        for k in range(3):
            outline = [
                (-0.05, 0.1),
                (0.05, 0.1),
                (0.1, 0.5),
                (0.1, 1.0),
                (0.06, 1.3),
                (0.0, 1.36),
                (-0.06, 1.3),
                (-0.09, 1.0),
                (-0.085, 0.5),
            ]
            blades.add(prism(outline, 0.022), pose((0, 0, 1.12), (0, 0, propeller + 120 * k)) @ pose(turn=(0, 24, 0)))
        hub = Heap(along_x)
        hub.add(lathe([(0.11, 0.98), (0.12, 1.1), (0.1, 1.22), (0.05, 1.3), (0, 1.31)], 28))
        blades.make("propeller", painted((0.02, 0.021, 0.023), seed, chips=0.28, rough=0.4), bevel=0.006)
        hub.make("hub", metal(seed, rough=0.25))


def empty_bay(matrix: Matrix, *, seed: int = 0) -> None:
    """Open wheel bay under a nacelle: dark inside, a green rim, doors hanging."""

    def patch(grow: float, sink: float):
        def place(u: np.ndarray, v: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
            x = -0.15 - (1.25 + grow) * v + grow / 2
            r = np.interp(x, [-1.4, -0.4, 0.2], [0.4, 0.53, 0.55]) + sink
            a = (u - 0.5) * (1.15 + grow)
            return x, r * np.sin(a), -r * np.cos(a)

        return place

    sheet("bay-rim", primer(seed, scale=2), patch(0.1, 0.006), across=20, along=20, matrix=matrix)
    sheet("bay", plain((0.012, 0.014, 0.009), 0.9), patch(0.0, 0.012), across=20, along=20, matrix=matrix)
    doors, ribs = Heap(matrix), Heap(matrix)
    for s in (-1, 1):
        doors.add(box(1.25, 0.02, 0.42), pose((-0.78, s * 0.36, -0.62), (s * 14, 0, 0)))
        for k in range(4):
            ribs.add(box(0.03, 0.03, 0.4), pose((-0.3 - 0.32 * k, s * 0.34, -0.62), (s * 14, 0, 0)))
    doors.make("doors", painted(SILVER, seed, chips=0.3, scale=2), bevel=0.004)
    ribs.make("door-ribs", primer(seed, scale=3))


def wheel(matrix: Matrix, *, radius: float = 0.48, wide: float = 0.3, seed: int = 0) -> None:
    """Build a main wheel about its own y axis."""
    m = matrix @ pose(turn=(90, 0, 0))
    h, r = wide / 2, radius
    tyre, hub, bolts, dark = Heap(m), Heap(m), Heap(m), Heap(m)
    profile = [
        (r * 0.52, -h * 0.62),
        (r * 0.62, -h * 0.9),
        (r * 0.78, -h),
        (r * 0.9, -h * 0.88),
        (r * 0.97, -h * 0.58),
    ]
    tread = []
    for k in range(-3, 4):
        z = k * h * 0.15
        tread += [
            (r * 0.975, z - h * 0.055),
            (r * (1 - abs(k) * 0.004), z - h * 0.05),
            (r * (1 - abs(k) * 0.004), z + h * 0.05),
            (r * 0.975, z + h * 0.055),
        ]
    tyre.add(lathe(profile + tread + [(a, -z) for a, z in profile[::-1]], 72))
    for s in (-1, 1):
        hub.add(
            lathe(
                [
                    (0.0, s * h * 0.5),
                    (r * 0.1, s * h * 0.5),
                    (r * 0.13, s * h * 0.42),
                    (r * 0.2, s * h * 0.38),
                    (r * 0.42, s * h * 0.3),
                    (r * 0.47, s * h * 0.36),
                    (r * 0.52, s * h * 0.66),
                    (r * 0.56, s * h * 0.7),
                    (r * 0.57, s * h * 0.64),
                ],
                56,
            )
        )
        for k in range(8):
            a = 2 * math.pi * k / 8
            dark.add(
                lathe([(0, 0), (r * 0.05, 0)], 20),
                pose((0.31 * r * math.cos(a), 0.31 * r * math.sin(a), s * (h * 0.35))),
            )
            bolts.add(
                hex_block(r * 0.045, r * 0.03),
                pose((0.15 * r * math.cos(a), 0.15 * r * math.sin(a), s * h * 0.42), (0 if s > 0 else 180, 0, 0)),
            )
    tyre.make("tyre", rubber(seed, 1.5), crease=30)
    hub.make("hub", painted((0.32, 0.33, 0.33), seed, chips=0.25, scale=3))
    dark.make("holes", plain((0.008, 0.008, 0.008), 0.9))
    bolts.make("bolts", plated(seed, 4))


def main_leg(matrix: Matrix, *, seed: int = 0, wheels: bool = True, strut: bool = True, worn: bool = False) -> None:
    """Hang a main leg from the origin, spigot axis along y: cylinder, oleo, links, fork, wheel 1.36 m below."""
    cylinder, rods, fork, links, plate = (Heap(matrix) for _ in range(5))
    cylinder.add(
        lathe([(0.055, 0.1), (0.075, 0.08), (0.078, -0.5), (0.085, -0.52), (0.085, -0.58), (0.06, -0.6)][::-1], 40)
    )
    cylinder.add(rod(0.055, 0.52, 28, 0.004), pose((0, -0.26, 0.02), (-90, 0, 0)))
    for s in (-1, 1):
        cylinder.add(
            lathe([(0.055, 0), (0.095, 0), (0.095, 0.03), (0.055, 0.035)], 32),
            pose((0, s * 0.2, 0.02), (-90 * s, 0, 0)),
        )
        cylinder.add(
            prism([(-0.02, -0.28), (0.02, -0.28), (0.03, 0.02), (-0.03, 0.02)], 0.03),
            pose((0, s * 0.13, 0), (90, 0, 0)) @ pose((0, 0, -0.015)),
        )
    rods.add(rod(0.056, 0.42, 40), pose((0, 0, -1.0)))
    plate.add(lathe([(0.06, -0.63), (0.08, -0.62), (0.08, -0.6)], 40))
    fork.add(lathe([(0.0, -1.1), (0.075, -1.09), (0.08, -0.98), (0.06, -0.96)], 36))
    for s in (-1, 1):
        fork.add(
            tube([(0, 0, -1.04), (0, s * 0.13, -1.02), (0, s * 0.205, -1.12), (0, s * 0.205, -1.36)], 0.042, sides=16)
        )
        fork.add(rod(0.06, 0.05, 28, 0.006), pose((0, s * 0.235 - 0.025, -1.36), (-90, 0, 0)))
    fork.add(rod(0.025, 0.56, 20), pose((0, -0.28, -1.36), (-90, 0, 0)))
    for s in (-1, 1):
        for top, foot in (
            ((-0.07, 0.055 * s, -0.55), (-0.26, 0.02 * s, -0.8)),
            ((-0.26, 0.02 * s, -0.8), (-0.07, 0.055 * s, -1.04)),
        ):
            links.add(rod(0.016, math.dist(top, foot), 12), between(top, foot))
    links.add(rod(0.026, 0.1, 16), pose((-0.26, -0.05, -0.8), (-90, 0, 0)))
    if strut:
        for s in (-1, 1):
            links.add(
                tube([(-0.05, 0.07 * s, -0.45), (-0.5, 0.14 * s, -0.12), (-0.85, 0.17 * s, 0.12)], 0.026, sides=14)
            )
        links.add(rod(0.02, 0.36, 14), pose((-0.5, -0.18, -0.12), (-90, 0, 0)))
    hose = Heap(matrix)
    hose.add(
        tube(
            [(0.06, 0.07, -0.05), (0.09, 0.09, -0.5), (0.12, 0.13, -0.8), (0.05, 0.2, -1.1), (0.02, 0.2, -1.3)],
            0.011,
            sides=10,
        )
    )
    cylinder.make("cylinder", painted((0.28, 0.29, 0.29), seed, chips=0.3, scale=4), bevel=0.003)
    rods.make("oleo", chrome(seed, 4, worn=worn))
    plate.make("gland", metal(seed, tone=(0.6, 0.5, 0.3), rough=0.3))
    fork.make("fork", painted((0.28, 0.29, 0.29), seed + 1, chips=0.35, scale=4))
    links.make("links", painted((0.2, 0.21, 0.21), seed + 2, chips=0.4, scale=4))
    hose.make("hose", plain((0.02, 0.02, 0.02), 0.5))
    if wheels:
        wheel(matrix @ pose((0, 0, -1.36)), seed=seed)


def centre_section(matrix: Matrix, *, seed: int = 5, open_ends: tuple[bool, bool] = (False, False)) -> None:
    """Wing between the joints; `open_ends` (port, starboard) shows the bare end with its fittings."""

    def place(u: np.ndarray, v: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        x, z = airfoil(u, 2.75)
        return 1.45 - x, (v - 0.5) * 2 * JOINT_Y, WING_Z + z

    path = drawn.riveted(
        "centre",
        (2048, 2400),
        [0.07, 0.17, 0.26, 0.36, 0.42, 0.47, 0.53, 0.58, 0.64, 0.74, 0.83, 0.93],
        [k / 16 for k in range(1, 16)],
        seed=seed,
        gaps=[(0.845, 0.2, 0.845, 0.8)],
    )
    sheet(
        "centre", skinned(path, SILVER, bare=0.75, seed=seed, depth=0.006), place, across=90, along=40, matrix=matrix
    )
    for side, is_open in ((1, open_ends[0]), (-1, open_ends[1])):
        if is_open:
            wing_root(matrix @ pose((1.45, side * JOINT_Y, WING_Z)), 2.75, seed=seed, facing=side)


def tail(matrix: Matrix, *, seed: int = 6) -> None:
    """Tailplane with twin fins and rudders, and the tail wheel."""

    def plane(u: np.ndarray, v: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        x, z = airfoil(u, 1.25, 0.11)
        return -5.9 - x, (v - 0.5) * 4.4, 2.42 + z

    path = drawn.riveted(
        "tail",
        (1200, 1600),
        [0.1, 0.2, 0.32, 0.42, 0.58, 0.7, 0.8, 0.9],
        [k / 15 for k in range(1, 15)],
        seed=seed,
        gaps=[(0.2, 0, 0.2, 1), (0.8, 0, 0.8, 1)],
    )
    skin = skinned(path, SILVER, bare=0.7, seed=seed, depth=0.005)
    sheet("tailplane", skin, plane, across=50, along=24, matrix=matrix)
    for side in (-1, 1):

        def fin(u: np.ndarray, v: np.ndarray, s: int = side) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
            a = (v - 0.5) * 2
            chord = 1.35 * np.sqrt(np.clip(1 - np.abs(a) ** 2.6, 0.0005, 1))
            x, t = airfoil(u, 1.0, 0.1)
            return -6.62 + chord * (0.52 - x), s * 2.2 + t * chord * 0.9, 2.5 + 0.88 * a + 0.1 * (1 - np.abs(a))

        sheet(
            "fin",
            skinned(path, YELLOW if side > 3 else SILVER, bare=0.6, seed=seed + side, depth=0.005),
            fin,
            across=50,
            along=30,
            matrix=matrix,
        )
    wheel(matrix @ pose((-6.4, 0, 1.62)), radius=0.19, wide=0.14, seed=seed)
    leg = Heap(matrix)
    leg.add(tube([(-6.2, 0, 2.1), (-6.35, 0, 1.85)], 0.035))
    for s in (-1, 1):
        leg.add(tube([(-6.33, 0, 1.86), (-6.36, 0.1 * s, 1.82), (-6.4, 0.1 * s, 1.62)], 0.022))
    leg.make("tail-leg", steel(seed, 3))


def aircraft(
    matrix: Matrix | None = None,
    *,
    port: bool = True,
    starboard: bool = True,
    legs: tuple[bool, bool] = (True, True),
    seed: int = 1,
    propeller: float = 25.0,
) -> None:
    """Build the aircraft, level, wheels on z = 0; `port` and `starboard` say which outer wings are on."""
    m = matrix if matrix is not None else Matrix.Identity(4)
    fuselage(m, seed=seed)
    centre_section(m, seed=seed + 1, open_ends=(not port, not starboard))
    for side, fitted, leg in ((1, port, legs[0]), (-1, starboard, legs[1])):
        nacelle(m @ pose((1.35, side * 2.15, WING_Z + 0.08)), seed=seed + side + 4, propeller=propeller * side)
        if not leg:
            empty_bay(m @ pose((1.35, side * 2.15, WING_Z + 0.08)), seed=seed)
        else:
            main_leg(m @ pose((0.75, side * 2.15, 1.36 + 0.48)), seed=seed)
        if fitted:
            outer_wing(
                m @ pose((1.45, side * JOINT_Y, WING_Z), (DIHEDRAL * side, 0, 0)) @ pose(size=(1, side, 1)),
                seed=seed + 7,
                open_root=False,
            )
    tail(m, seed=seed + 2)
    mast = Heap(m)
    mast.add(rod(0.02, 0.6, 8), pose((-1.2, 0, 2.9)))
    mast.make("mast", painted(SILVER, 1))


def bolt_row(heap: Heap, matrix: Matrix, count: int, pitch: float, across_flats: float) -> None:
    """Row of bolt heads along x."""
    for k in range(count):
        heap.add(
            hex_block(across_flats, across_flats * 0.55),
            matrix @ pose(((k - (count - 1) / 2) * pitch, 0, 0), (0, 0, 13 * k)),
        )


def loose_bolt(heap: Heap, at: Point, turn: Point, length: float = 0.6) -> None:
    """One bolt lying about."""
    heap.add(bolt(0.16, 0.05, length, 0.2), pose(at, turn))
