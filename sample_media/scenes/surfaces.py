"""Surfaces of the scenes: worn metal, primer, paint, wood, concrete, rubber and the rest, all procedural."""

from __future__ import annotations

from typing import Any

import bpy

Colour = tuple[float, float, float]


class Surface:
    """A material under construction: a few node shorthands around one principled shader."""

    def __init__(self, name: str, seed: float = 0.0) -> None:
        self.material = bpy.data.materials.new(name)
        self.material.use_nodes = True
        self.tree = self.material.node_tree
        self.shader = next(n for n in self.tree.nodes if n.type == "BSDF_PRINCIPLED")
        self.coords = self.tree.nodes.new("ShaderNodeTexCoord")
        self.seed = seed

    def put(self, node: Any, key: str | int, value: Any) -> None:
        """Set an input of a node to a value or to another node's output."""
        socket = node.inputs[key]
        if isinstance(value, bpy.types.NodeSocket):
            self.tree.links.new(value, socket)
        elif isinstance(value, tuple) and len(value) == 3 and socket.type == "RGBA":
            socket.default_value = (*value, 1.0)
        else:
            socket.default_value = value

    def set(self, **values: Any) -> None:
        """Set inputs of the shader; underscores stand for spaces (`base_color` is Base Color)."""
        for key, value in values.items():
            name = " ".join(w if w in ("IOR",) else w.capitalize() for w in key.split("_"))
            self.put(self.shader, {"Ior": "IOR"}.get(name, name), value)

    def place(self, scale: tuple[float, float, float] = (1, 1, 1), kind: str = "Object") -> Any:
        """Coordinates on the object, scaled and moved by the seed."""
        mapping = self.tree.nodes.new("ShaderNodeMapping")
        self.put(mapping, "Vector", self.coords.outputs[kind])
        mapping.inputs["Scale"].default_value = scale
        if kind == "Object":
            mapping.inputs["Location"].default_value = (self.seed * 3.1, self.seed * 1.7, self.seed * 2.3)
        return mapping.outputs[0]

    def noise(
        self,
        scale: float,
        *,
        detail: float = 5.0,
        rough: float = 0.55,
        warp: float = 0.0,
        stretch: tuple[float, float, float] = (1, 1, 1),
    ) -> Any:
        """Fractal noise, 0..1 about 0.5."""
        node = self.tree.nodes.new("ShaderNodeTexNoise")
        self.put(node, "Vector", self.place(stretch))
        for key, value in (("Scale", scale), ("Detail", detail), ("Roughness", rough), ("Distortion", warp)):
            self.put(node, key, value)
        return node.outputs[0]

    def cells(self, scale: float, feature: str = "F1") -> Any:
        """Distance to the nearest cell centre (or, with DISTANCE_TO_EDGE, cell edge)."""
        node = self.tree.nodes.new("ShaderNodeTexVoronoi")
        node.feature = feature
        self.put(node, "Vector", self.place())
        self.put(node, "Scale", scale)
        return node.outputs[0]

    def ramp(self, value: Any, low: float, high: float, to_low: float = 0.0, to_high: float = 1.0) -> Any:
        """Value mapped from low..high to to_low..to_high, held at the ends."""
        node = self.tree.nodes.new("ShaderNodeMapRange")
        for index, v in enumerate((value, low, high, to_low, to_high)):
            self.put(node, index, v)
        return node.outputs[0]

    def mix(self, share: Any, a: Any, b: Any) -> Any:
        """Colour a where share is 0, b where it is 1."""
        node = self.tree.nodes.new("ShaderNodeMix")
        node.data_type = "RGBA"
        for index, v in ((0, share), (6, a), (7, b)):
            self.put(node, index, v)
        return node.outputs[2]

    def sum(self, a: Any, b: Any, how: str = "ADD") -> Any:
        """Arithmetic on two values."""
        node = self.tree.nodes.new("ShaderNodeMath")
        node.operation = how
        self.put(node, 0, a)
        self.put(node, 1, b)
        return node.outputs[0]

    def bump(self, height: Any, distance: float, strength: float = 1.0, over: Any = None) -> Any:
        """Make a normal from a height; `over` is a normal to lay it on."""
        node = self.tree.nodes.new("ShaderNodeBump")
        self.put(node, "Strength", strength)
        self.put(node, "Distance", distance)
        self.put(node, "Height", height)
        if over is not None:
            self.put(node, "Normal", over)
        return node.outputs[0]

    def near(self, centre: Colour, reach: float) -> Any:
        """1 at a point of the object, falling to 0 at a distance."""
        node = self.tree.nodes.new("ShaderNodeVectorMath")
        node.operation = "DISTANCE"
        self.put(node, 0, self.coords.outputs["Object"])
        node.inputs[1].default_value = centre
        return self.ramp(node.outputs["Value"], 0.0, reach, 1.0, 0.0)

    def picture(self, path: str, *, data: bool = False) -> Any:
        """Image over the surface's (u, v)."""
        node = self.tree.nodes.new("ShaderNodeTexImage")
        node.image = bpy.data.images.load(path, check_existing=True)
        if data:
            node.image.colorspace_settings.name = "Non-Color"
        self.put(node, "Vector", self.coords.outputs["UV"])
        return node.outputs[0]


def metal(
    seed: float = 0,
    *,
    tone: Colour = (0.62, 0.63, 0.64),
    rough: float = 0.36,
    grime: float = 0.5,
    scale: float = 1.0,
    waves: float = 0.0,
    scratches: float = 1.0,
) -> bpy.types.Material:
    """Bare aluminium or steel: patchy shine, fine scratches, grime and, with `waves`, oil-canning."""
    s = Surface("metal", seed)
    patch = s.noise(1.3 * scale, detail=6)
    hair = s.noise(9 * scale, detail=3, stretch=(1, 14, 3))
    hair2 = s.noise(7 * scale, detail=3, stretch=(17, 1, 2), warp=0.4)
    dirt = s.ramp(s.noise(2.6 * scale, detail=8, rough=0.65), 0.5, 0.72, 0, grime)
    shine = s.ramp(patch, 0.3, 0.7, rough - 0.1, rough + 0.12)
    shine = s.sum(shine, s.ramp(hair, 0.45, 0.75, 0, 0.18 * scratches))
    shine = s.sum(shine, s.sum(dirt, 0.3, "MULTIPLY"))
    dark = tuple(c * 0.3 * k for c, k in zip(tone, (1.0, 0.9, 0.75), strict=True))
    tint = s.mix(s.ramp(patch, 0.35, 0.65), tone, tuple(c * 0.86 for c in tone))
    normal = s.bump(s.sum(hair, hair2), 0.004 / scale, 0.25 * scratches)
    if waves:
        normal = s.bump(s.noise(0.9 * scale, detail=1), waves, 1.0, normal)
    s.set(base_color=s.mix(dirt, tint, dark), metallic=s.ramp(dirt, 0, 1, 1.0, 0.35), roughness=shine, normal=normal)
    return s.material


def painted(
    colour: Colour,
    seed: float = 0,
    *,
    under: Colour = (0.6, 0.61, 0.62),
    chips: float = 0.3,
    rough: float = 0.45,
    grime: float = 0.5,
    scale: float = 1.0,
    waves: float = 0.0,
) -> bpy.types.Material:
    """Old paint: faded in patches, chipped to metal, dirty; `chips` 0..1 is how much has gone."""
    s = Surface("painted", seed)
    fade = s.noise(0.9 * scale, detail=5)
    chip = s.noise(5 * scale, detail=9, rough=0.68)
    gone = s.ramp(chip, 0.76 - 0.3 * chips, 0.785 - 0.3 * chips)
    dirt = s.ramp(s.noise(2.2 * scale, detail=8, rough=0.62, warp=0.5), 0.46, 0.75, 0, grime)
    pale = tuple(min(1.0, c * 1.12 + 0.025) for c in colour)
    coat = s.mix(s.ramp(fade, 0.35, 0.65), colour, pale)
    coat = s.mix(dirt, coat, tuple(c * 0.28 + 0.012 for c in colour))
    shine = s.sum(s.ramp(fade, 0.3, 0.7, rough - 0.08, rough + 0.12), s.sum(dirt, 0.25, "MULTIPLY"))
    normal = s.bump(s.sum(1.0, gone, "SUBTRACT"), 0.004 / scale, 0.6)
    normal = s.bump(s.noise(30 * scale, detail=2), 0.001 / scale, 0.4, normal)
    if waves:
        normal = s.bump(s.noise(0.9 * scale, detail=1), waves, 1.0, normal)
    s.set(base_color=s.mix(gone, coat, under), metallic=gone, roughness=shine, normal=normal)
    return s.material


def primer(seed: float = 0, *, scale: float = 1.0, grime: float = 0.6, chips: float = 0.15) -> bpy.types.Material:
    """Yellow-green protective primer of the inside of a structure."""
    return painted((0.185, 0.215, 0.1), seed, chips=chips, rough=0.55, grime=grime, scale=scale)


def plated(seed: float = 0, scale: float = 1.0) -> bpy.types.Material:
    """Bolts and nuts: cadmium plate gone dull, a trace of yellow."""
    return metal(seed, tone=(0.55, 0.52, 0.43), rough=0.34, grime=0.55, scale=scale)


def steel(seed: float = 0, scale: float = 1.0) -> bpy.types.Material:
    """Dark forged steel."""
    return metal(seed, tone=(0.33, 0.33, 0.34), rough=0.42, grime=0.7, scale=scale)


def chrome(seed: float = 0, scale: float = 1.0, worn: bool = False) -> bpy.types.Material:
    """Polished oleo rod; worn shows fine scoring along z."""
    s = Surface("chrome", seed)
    marks = s.noise(6 * scale, detail=6, stretch=(9, 9, 0.35))
    scored = s.ramp(marks, 0.6, 0.66) if worn else s.ramp(marks, 0.7, 0.9, 0, 0.3)
    smear = s.noise(1.6 * scale, detail=6)
    s.set(
        base_color=s.mix(scored, (0.78, 0.78, 0.79), (0.28, 0.26, 0.24)),
        metallic=1.0,
        roughness=s.sum(s.ramp(smear, 0.4, 0.75, 0.06, 0.24), s.sum(scored, 0.3, "MULTIPLY")),
        normal=s.bump(s.sum(1.0, scored, "SUBTRACT"), 0.004 / scale, 0.7),
    )
    return s.material


def plain(colour: Colour, rough: float = 0.6, *, metallic: float = 0.0, seed: float = 0) -> bpy.types.Material:
    """Even colour with a slight mottle."""
    s = Surface("plain", seed)
    spots = s.noise(4, detail=6)
    s.set(
        base_color=s.mix(s.ramp(spots, 0.35, 0.7), colour, tuple(c * 0.72 for c in colour)),
        roughness=s.ramp(spots, 0.3, 0.7, rough - 0.06, rough + 0.1),
        metallic=metallic,
    )
    return s.material


def rubber(seed: float = 0, scale: float = 1.0) -> bpy.types.Material:
    """Old tyre rubber with dust."""
    s = Surface("rubber", seed)
    dust = s.ramp(s.noise(3 * scale, detail=8, rough=0.7), 0.42, 0.8)
    s.set(
        base_color=s.mix(dust, (0.018, 0.018, 0.019), (0.13, 0.12, 0.105)),
        roughness=0.78,
        normal=s.bump(s.noise(28 * scale, detail=4), 0.004 / scale, 0.5),
    )
    return s.material


def wood(
    seed: float = 0, *, colour: Colour = (0.42, 0.27, 0.13), along: str = "x", scale: float = 1.0, worn: float = 0.5
) -> bpy.types.Material:
    """Timber with grain along an axis, stains and dirt."""
    s = Surface("wood", seed)
    stretch = {"x": (0.06, 1, 1), "y": (1, 0.06, 1), "z": (1, 1, 0.06)}[along]
    grain = s.noise(9 * scale, detail=7, rough=0.6, warp=0.6, stretch=stretch)
    fine = s.noise(60 * scale, detail=3, stretch=stretch)
    stain = s.ramp(s.noise(1.1 * scale, detail=7, rough=0.65), 0.5, 0.68, 0, worn)
    tint = s.mix(s.ramp(grain, 0.35, 0.66), colour, tuple(c * 0.5 for c in colour))
    tint = s.mix(s.ramp(fine, 0.5, 0.8, 0, 0.5), tint, tuple(c * 0.45 for c in colour))
    tint = s.mix(stain, tint, (0.035, 0.028, 0.022))
    s.set(
        base_color=tint,
        roughness=s.ramp(stain, 0, 1, 0.68, 0.42),
        normal=s.bump(s.sum(grain, s.sum(fine, 0.5, "MULTIPLY")), 0.02 / scale, 0.35),
    )
    return s.material


def concrete(seed: float = 0) -> bpy.types.Material:
    """Hangar floor: worn, patchy, oil stained, with a slight sheen."""
    s = Surface("concrete", seed)
    broad = s.noise(0.35, detail=8, rough=0.6)
    grit = s.noise(14, detail=5)
    oil = s.ramp(s.noise(0.55, detail=7, rough=0.6, warp=0.7), 0.57, 0.7)
    tint = s.mix(s.ramp(broad, 0.3, 0.7), (0.115, 0.112, 0.106), (0.205, 0.2, 0.19))
    tint = s.mix(s.ramp(grit, 0.5, 0.8, 0, 0.35), tint, (0.1, 0.097, 0.09))
    tint = s.mix(s.sum(oil, 0.75, "MULTIPLY"), tint, (0.035, 0.033, 0.03))
    s.set(
        base_color=tint,
        roughness=s.sum(s.ramp(broad, 0.3, 0.7, 0.34, 0.6), s.sum(oil, -0.15, "MULTIPLY")),
        normal=s.bump(grit, 0.006, 0.35),
    )
    return s.material


def corroded(
    seed: float = 0, scale: float = 1.0, amount: float = 0.5, centre: Colour = (0, 0, 0), reach: float = 0.0
) -> bpy.types.Material:
    """Primer lifted by corrosion: grey-white bloom, pits, flaking edges; with `reach`, only about a centre."""
    s = Surface("corroded", seed)
    field = s.noise(1.1 * scale, detail=9, rough=0.66, warp=0.3)
    if reach:
        close = s.near(centre, reach)
        field = s.sum(s.sum(field, 1.6, "MULTIPLY"), s.ramp(close, 0.0, 0.9, -0.75, -0.08))
    spread = s.ramp(field, 0.61 - 0.2 * amount, 0.74 - 0.2 * amount)
    rim = s.ramp(field, 0.58 - 0.2 * amount, 0.63 - 0.2 * amount)
    crumb = s.noise(24 * scale, detail=6, rough=0.7)
    old = s.mix(s.ramp(s.noise(2 * scale, detail=7), 0.45, 0.7), (0.19, 0.22, 0.105), (0.085, 0.095, 0.055))
    edge = s.mix(rim, old, (0.2, 0.115, 0.045))
    bloom = s.mix(s.ramp(crumb, 0.4, 0.66), (0.46, 0.45, 0.42), (0.68, 0.68, 0.65))
    height = s.sum(s.sum(crumb, spread, "MULTIPLY"), s.sum(spread, 0.4, "MULTIPLY"))
    s.set(base_color=s.mix(spread, edge, bloom), roughness=0.8, normal=s.bump(height, 0.03 / scale, 0.7))
    return s.material


def woven(colour: Colour, seed: float = 0, scale: float = 1.0) -> bpy.types.Material:
    """Cloth: weave, soft sheen, a few stains."""
    s = Surface("woven", seed)
    warp, weft = (s.noise(70 * scale, detail=1, stretch=k) for k in ((1, 0.12, 1), (0.12, 1, 1)))
    stain = s.ramp(s.noise(0.9 * scale, detail=7), 0.55, 0.72, 0, 0.65)
    tint = s.mix(s.ramp(s.sum(warp, weft), 0.8, 1.2), tuple(c * 0.7 for c in colour), colour)
    s.set(
        base_color=s.mix(stain, tint, tuple(c * 0.3 for c in colour)),
        roughness=0.9,
        sheen_weight=0.3,
        normal=s.bump(s.sum(warp, weft), 0.01 / scale, 0.6),
    )
    return s.material


def polythene(seed: float = 0, scale: float = 1.0) -> bpy.types.Material:
    """Clear bag: mostly see-through, with bright creases."""
    s = Surface("polythene", seed)
    crease = s.noise(1.1 * scale, detail=3, warp=1.2)
    s.set(
        base_color=(0.93, 0.95, 0.96),
        roughness=0.12,
        IOR=1.25,
        alpha=s.ramp(crease, 0.45, 0.75, 0.1, 0.42),
        normal=s.bump(crease, 0.3 / scale, 0.9),
    )
    return s.material


def printed(path: str, rough: float = 0.75) -> bpy.types.Material:
    """Picture laid over (u, v): labels, tags, dials."""
    s = Surface("printed")
    s.set(base_color=s.picture(path), roughness=rough, normal=s.bump(s.noise(6, detail=3), 0.01, 0.3))
    return s.material


def skinned(path: str, colour: Colour, *, bare: float, seed: float = 0, depth: float = 0.01) -> bpy.types.Material:
    """Large riveted skin over (u, v): the picture holds height, dirt and panel tone in its three channels."""
    s = Surface("skinned", seed)
    split = s.tree.nodes.new("ShaderNodeSeparateColor")
    s.put(split, 0, s.picture(path, data=True))
    height, dirt, tone = split.outputs
    wear = s.noise(0.8, detail=8, rough=0.62)
    gone = s.ramp(s.noise(3.5, detail=9, rough=0.68), 0.66, 0.69)
    tint = s.mix(tone, tuple(c * 0.8 for c in colour), tuple(min(1.0, c * 1.08) for c in colour))
    tint = s.mix(s.sum(gone, 1 - bare, "MULTIPLY"), tint, (0.55, 0.56, 0.57))
    grey = s.sum(s.sum(dirt, 0.62, "MULTIPLY"), s.ramp(wear, 0.5, 0.75, 0, 0.35))
    tint = s.mix(grey, tint, tuple(c * 0.22 + 0.01 for c in colour))
    normal = s.bump(s.noise(1.1, detail=2), 0.035, 0.55)
    s.set(
        base_color=tint,
        metallic=s.sum(bare, s.sum(grey, 0.8, "MULTIPLY"), "SUBTRACT") if bare else 0.0,
        roughness=s.sum(s.ramp(wear, 0.3, 0.7, 0.27, 0.46), s.sum(tone, 0.1, "MULTIPLY")),
        normal=s.bump(height, depth, 1.0, normal),
    )
    return s.material


def glowing(colour: Colour, strength: float) -> bpy.types.Material:
    """Lamp or window that gives light."""
    s = Surface("glowing")
    s.set(base_color=(0, 0, 0), emission_color=colour, emission_strength=strength)
    return s.material


def glass(tint: Colour = (0.75, 0.82, 0.82), dusty: float = 0.25) -> bpy.types.Material:
    """Old dusty transparency, thin."""
    s = Surface("glass")
    s.set(base_color=tint, roughness=0.08, alpha=s.ramp(s.noise(1.5, detail=7), 0.35, 0.7, 0.22, 0.3 + dusty))
    return s.material


def waxy(colour: Colour, cover: float = 0.6, scale: float = 1.0) -> bpy.types.Material:
    """Crayon or chalk on metal: broken, see-through where the surface is low."""
    s = Surface("waxy")
    s.set(
        base_color=colour,
        roughness=0.8,
        alpha=s.ramp(s.noise(16 * scale, detail=6, rough=0.7), 0.62 - cover * 0.4, 0.72 - cover * 0.4),
    )
    return s.material


def sprayed(path: str) -> bpy.types.Material:
    """Stencil: a picture with clear ground over (u, v)."""
    s = Surface("sprayed")
    node = s.tree.nodes.new("ShaderNodeTexImage")
    node.image = bpy.data.images.load(path, check_existing=True)
    s.put(node, "Vector", s.coords.outputs["UV"])
    s.set(base_color=node.outputs[0], alpha=node.outputs[1], roughness=0.7)
    return s.material


def brick(seed: float = 0) -> bpy.types.Material:
    """Old whitewashed brick wall, in metres, on the xz plane."""
    s = Surface("brick", seed)
    node = s.tree.nodes.new("ShaderNodeTexBrick")
    mapping = s.tree.nodes.new("ShaderNodeMapping")
    s.put(mapping, "Vector", s.coords.outputs["Object"])
    mapping.inputs["Rotation"].default_value = (1.5708, 0, 0)
    s.put(node, "Vector", mapping.outputs[0])
    for key, value in (
        ("Scale", 1.0),
        ("Mortar Size", 0.006),
        ("Brick Width", 0.225),
        ("Row Height", 0.075),
        ("Mortar Smooth", 0.3),
    ):
        s.put(node, key, value)
    for key, value in (
        ("Color1", (0.23, 0.085, 0.05)),
        ("Color2", (0.14, 0.055, 0.035)),
        ("Mortar", (0.2, 0.18, 0.16)),
    ):
        s.put(node, key, value)
    wash = s.ramp(s.noise(0.7, detail=9, rough=0.68), 0.42, 0.5)
    tint = s.mix(
        wash,
        s.mix(s.ramp(s.noise(6, detail=6), 0.4, 0.7, 0, 0.6), node.outputs[0], (0.06, 0.035, 0.025)),
        (0.5, 0.48, 0.43),
    )
    s.set(
        base_color=tint,
        roughness=0.85,
        normal=s.bump(s.sum(1.0, node.outputs[1], "SUBTRACT"), 0.008, 0.9, s.bump(s.noise(30, detail=4), 0.003, 0.6)),
    )
    return s.material
