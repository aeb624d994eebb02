"""Solids from which the scenes are built: gathered with numpy, made into one Blender object per surface."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import bpy
import numpy as np
from mathutils import Euler, Matrix, Vector

Point = Sequence[float]
Solid = tuple[np.ndarray, list[tuple[int, ...]]]


def pose(at: Point = (0, 0, 0), turn: Point = (0, 0, 0), size: float | Point = 1.0) -> Matrix:
    """Matrix that sizes, then turns (degrees about x, y, z), then moves a solid."""
    size3 = (size, size, size) if isinstance(size, int | float) else tuple(size)
    turned = Euler([math.radians(t) for t in turn]).to_matrix().to_4x4()
    return Matrix.Translation(Vector(at)) @ turned @ Matrix.Diagonal((*size3, 1.0))


def between(start: Point, end: Point) -> Matrix:
    """Matrix that lays a solid standing along +z from the origin along the line start to end."""
    a, b = Vector(start), Vector(end)
    return Matrix.Translation(a) @ (b - a).to_track_quat("Z", "Y").to_matrix().to_4x4()


class Heap:
    """Solids gathered for one surface; `make` turns them into one object."""

    def __init__(self, base: Matrix | None = None) -> None:
        self.base = base if base is not None else Matrix.Identity(4)
        self.points: list[np.ndarray] = []
        self.faces: list[tuple[int, ...]] = []
        self.count = 0

    def add(self, solid: Solid, matrix: Matrix | None = None) -> None:
        """Add a solid, placed by a matrix."""
        points, faces = solid
        m = np.array(self.base @ (matrix if matrix is not None else Matrix.Identity(4)))
        self.points.append(points @ m[:3, :3].T + m[:3, 3])
        self.faces.extend(tuple(i + self.count for i in face) for face in faces)
        self.count += len(points)

    def make(
        self, name: str, surface: bpy.types.Material, *, bevel: float = 0.0, crease: float = 40.0
    ) -> bpy.types.Object:
        """Object of all solids gathered; edges sharper than `crease` degrees stay sharp, `bevel` rounds them."""
        mesh = bpy.data.meshes.new(name)
        mesh.from_pydata(np.concatenate(self.points).tolist(), [], self.faces)
        mesh.polygons.foreach_set("use_smooth", [True] * len(mesh.polygons))
        mesh.set_sharp_from_angle(angle=math.radians(crease))
        mesh.materials.append(surface)
        thing = bpy.data.objects.new(name, mesh)
        bpy.context.collection.objects.link(thing)
        if bevel:
            rounding = thing.modifiers.new("bevel", "BEVEL")
            rounding.width, rounding.segments = bevel, 2
            rounding.limit_method, rounding.angle_limit = "ANGLE", math.radians(crease)
            rounding.harden_normals = True
        return thing


def box(x: float, y: float, z: float) -> Solid:
    """Box centred on the origin."""
    corners = np.array([(i, j, k) for i in (-0.5, 0.5) for j in (-0.5, 0.5) for k in (-0.5, 0.5)]) * (x, y, z)
    return corners, [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]


def lathe(profile: Sequence[tuple[float, float]], sides: int = 32, arc: float = 360.0) -> Solid:
    """Solid turned about z from (radius, height) pairs, bottom to top."""
    closed = arc >= 360.0
    columns = sides if closed else sides + 1
    angles = np.radians(arc) * np.arange(columns) / sides
    points = np.array([(r * math.cos(a), r * math.sin(a), z) for r, z in profile for a in angles])
    faces = []
    for ring in range(len(profile) - 1):
        for i in range(sides):
            j = (i + 1) % columns
            low, high = ring * columns, (ring + 1) * columns
            faces.append((low + i, low + j, high + j, high + i))
    return points, faces


def rod(radius: float, length: float, sides: int = 24, chamfer: float = 0.0) -> Solid:
    """Round bar along z from the origin, ends closed."""
    c = chamfer
    return lathe(
        [(0, 0), (radius - c, 0), (radius, c), (radius, length - c), (radius - c, length), (0, length)], sides
    )


def prism(outline: Sequence[tuple[float, float]], depth: float) -> Solid:
    """Outline in the xy plane (counter-clockwise) drawn up z by `depth`."""
    n = len(outline)
    points = np.array([(x, y, z) for z in (0.0, depth) for x, y in outline])
    sides = [(i, (i + 1) % n, n + (i + 1) % n, n + i) for i in range(n)]
    return points, [tuple(range(n - 1, -1, -1)), tuple(range(n, 2 * n)), *sides]


def smooth_line(points: Sequence[Point], steps: int = 8) -> np.ndarray:
    """Catmull-Rom line through the points."""
    p = np.array(points, dtype=float)
    p = np.vstack([2 * p[0] - p[1], p, 2 * p[-1] - p[-2]])
    out = []
    for i in range(1, len(p) - 2):
        for t in np.arange(steps) / steps:
            a, b, c, d = p[i - 1], p[i], p[i + 1], p[i + 2]
            out.append(
                0.5 * (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t**2 + (3 * b - a - 3 * c + d) * t**3)
            )
    return np.array([*out, p[-2]])


def tube(points: Sequence[Point], radius: float, *, sides: int = 12, steps: int = 8) -> Solid:
    """Pipe or cable of one radius along a smooth line through the points."""
    line = smooth_line(points, steps)
    ahead = np.gradient(line, axis=0)
    ahead /= np.linalg.norm(ahead, axis=1, keepdims=True)
    normal = np.cross(ahead[0], (0.3, 0.5, 0.81))
    rings = []
    for centre, forward in zip(line, ahead, strict=True):
        normal = normal - forward * normal.dot(forward)
        normal /= np.linalg.norm(normal)
        other = np.cross(forward, normal)
        angles = 2 * np.pi * np.arange(sides) / sides
        rings.append(centre + radius * (np.outer(np.cos(angles), normal) + np.outer(np.sin(angles), other)))
    faces: list[tuple[int, ...]] = []
    for k in range(len(line) - 1):
        for i in range(sides):
            j = (i + 1) % sides
            faces.append((k * sides + i, k * sides + j, (k + 1) * sides + j, (k + 1) * sides + i))
    last = (len(line) - 1) * sides
    faces += [tuple(range(sides - 1, -1, -1)), tuple(range(last, last + sides))]
    return np.concatenate(rings), faces


def dome(radius: float, height: float, sides: int = 12) -> Solid:
    """Rivet head on z = 0."""
    steps = [math.pi / 2 * i / 4 for i in range(5)]
    return lathe([(radius * math.cos(t), height * math.sin(t)) for t in steps], sides)


def hex_radius(angle: float, across_flats: float) -> float:
    """Distance from the centre to the edge of a hexagon at an angle (radians)."""
    return across_flats / 2 / math.cos((angle + math.pi / 6) % (math.pi / 3) - math.pi / 6)


def hex_block(across_flats: float, height: float, hole: float = 0.0, *, both: bool = False) -> Solid:
    """Bolt head (no hole) or nut, on z = 0, chamfered on top and, with `both`, below."""
    n = 48
    angles = [2 * math.pi * i / n for i in range(n)]
    points: list[tuple[float, float, float]] = []

    def ring(radius: Callable[[float], float], z: Callable[[float], float]) -> None:
        points.extend((radius(a) * math.cos(a), radius(a) * math.sin(a), z(a)) for a in angles)

    def edge(a: float) -> float:
        return hex_radius(a, across_flats)

    def drop(a: float) -> float:
        return (edge(a) - across_flats * 0.5) * 0.55

    inner = max(hole, 1e-5)
    ring(lambda a: inner, lambda a: 0.0)
    ring(lambda a: across_flats * 0.49 if both else edge(a), lambda a: 0.0)
    ring(edge, lambda a: drop(a) if both else 0.0)
    ring(edge, lambda a: height - drop(a))
    ring(lambda a: across_flats * 0.49, lambda a: height)
    ring(lambda a: inner * 1.08, lambda a: height)
    ring(lambda a: inner, lambda a: height - inner * 0.08)
    ring(lambda a: inner, lambda a: 0.0)
    faces = [
        (k * n + i, k * n + (i + 1) % n, (k + 1) * n + (i + 1) % n, (k + 1) * n + i)
        for k in range(7)
        for i in range(n)
    ]
    return np.array(points), faces


def washer(outer: float, inner: float, thick: float) -> Solid:
    """Plain washer on z = 0."""
    c = thick * 0.2
    profile = [
        (inner, 0),
        (outer - c, 0),
        (outer, c),
        (outer, thick - c),
        (outer - c, thick),
        (inner, thick),
        (inner, 0),
    ]
    return lathe(profile, 36)


def bolt(across_flats: float, shank: float, length: float, threaded: float) -> Solid:
    """Hexagon bolt standing on its head's top at z = 0, the thread uppermost."""
    head = across_flats * 0.55
    points, faces = hex_block(across_flats, head)
    points = points * (1, -1, -1) + (0, 0, head)
    profile = [(shank, head), (shank, head + length - threaded)]
    pitch, z = shank * 0.28, head + length - threaded
    while z < head + length - pitch:
        profile += [(shank * 0.86, z + pitch * 0.1), (shank * 0.985, z + pitch * 0.5), (shank * 0.86, z + pitch)]
        z += pitch
    profile += [(shank * 0.8, head + length), (0, head + length)]
    more, more_faces = lathe(profile, 28)
    return np.concatenate([points, more]), faces + [tuple(i + len(points) for i in f) for f in more_faces]


def holed_plate(
    columns: int, rows: int, pitch: float, thick: float, hole: Callable[[int, int], tuple[float, float] | None]
) -> Solid:
    """Plate of square cells in the xy plane, top at z = 0; `hole` gives a cell's half-axes (x, y) or None."""
    n = 32
    points: list[tuple[float, float, float]] = []
    faces: list[tuple[int, ...]] = []
    half = pitch / 2
    for cx in range(columns):
        for cy in range(rows):
            x0, y0 = (cx - (columns - 1) / 2) * pitch, (cy - (rows - 1) / 2) * pitch
            first, axes = len(points), hole(cx, cy)
            if axes is None:
                points += [(x0 + sx * half, y0 + sy * half, 0.0) for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
                faces.append((first, first + 1, first + 2, first + 3))
                continue
            c = min(axes) * 0.08
            for i in range(n):
                a = 2 * math.pi * i / n
                square = half / max(abs(math.cos(a)), abs(math.sin(a)))
                points.append((x0 + square * math.cos(a), y0 + square * math.sin(a), 0.0))
                points.append((x0 + (axes[0] + c) * math.cos(a), y0 + (axes[1] + c) * math.sin(a), 0.0))
                points.append((x0 + axes[0] * math.cos(a), y0 + axes[1] * math.sin(a), -c))
                points.append((x0 + axes[0] * math.cos(a), y0 + axes[1] * math.sin(a), -thick))
            for i in range(n):
                j = (i + 1) % n
                for k in range(3):
                    faces.append((first + 4 * i + k, first + 4 * j + k, first + 4 * j + k + 1, first + 4 * i + k + 1))
    return np.array(points), faces


def sheet(
    name: str,
    surface: bpy.types.Material,
    place: Callable[[np.ndarray, np.ndarray], tuple[np.ndarray, np.ndarray, np.ndarray]],
    *,
    across: int = 60,
    along: int = 60,
    matrix: Matrix | None = None,
) -> bpy.types.Object:
    """Surface with (u, v) in 0..1 laid out by `place`, which gives x, y and z for arrays of u and v."""
    u, v = np.meshgrid(np.linspace(0, 1, across + 1), np.linspace(0, 1, along + 1), indexing="ij")
    x, y, z = place(u, v)
    points = np.stack([np.broadcast_to(c, u.shape) for c in (x, y, z)], axis=-1).reshape(-1, 3)
    step = along + 1
    faces = [
        (i * step + j, (i + 1) * step + j, (i + 1) * step + j + 1, i * step + j + 1)
        for i in range(across)
        for j in range(along)
    ]
    mesh = bpy.data.meshes.new(name)
    mesh.from_pydata(points.tolist(), [], faces)
    mesh.polygons.foreach_set("use_smooth", [True] * len(mesh.polygons))
    layer = mesh.uv_layers.new(name="uv")
    corners = np.array([loop.vertex_index for loop in mesh.loops])
    flat = np.stack([u, v], axis=-1).reshape(-1, 2)[corners]
    layer.data.foreach_set("uv", flat.ravel().tolist())
    mesh.materials.append(surface)
    thing = bpy.data.objects.new(name, mesh)
    if matrix is not None:
        thing.matrix_world = matrix
    bpy.context.collection.objects.link(thing)
    return thing
