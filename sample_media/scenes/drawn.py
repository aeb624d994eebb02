"""Flat pictures laid over the scenes' surfaces: tags, stencils, a dial, a rule, newsprint, tartan, riveted skin."""

from __future__ import annotations

import os
import random
from pathlib import Path

import numpy as np
import segno
from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont

FOLDER = Path("drawn")
FACES = {
    "bold": ("DejaVuSans-Bold.ttf", "/usr/share/fonts/truetype/dejavu/DejaVuSans-Bold.ttf"),
    "narrow": ("LiberationSansNarrow-Bold.ttf", "/usr/share/fonts/truetype/liberation/LiberationSansNarrow-Bold.ttf"),
}


def face(kind: str, size: int) -> ImageFont.FreeTypeFont:
    """Font of a kind at a size in pixels."""
    for name in (str(FOLDER.parent / FACES[kind][0]), FACES[kind][1]):
        if Path(name).exists():
            return ImageFont.truetype(name, size)
    return ImageFont.truetype(FACES[kind][0], size)


def keep(image: Image.Image, name: str) -> str:
    """Save under a name and give the path."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    path = FOLDER / f"{name}.png"
    beside = FOLDER / f"{name}.{os.getpid()}.part"
    image.save(beside, "PNG")
    beside.replace(path)
    return str(path)


def mottled(size: tuple[int, int], colour: tuple[int, int, int], seed: int, depth: float = 14.0) -> Image.Image:
    """Card or paper: an even colour with blotches and fibres."""
    r = np.random.default_rng(seed)
    field = np.zeros((size[1], size[0]))
    for cells, share in ((6, 1.0), (24, 0.6), (96, 0.4)):
        rough = Image.fromarray((r.random((cells, cells)) * 255).astype(np.uint8)).resize(
            size, Image.Resampling.BICUBIC
        )
        field += share * (np.asarray(rough, dtype=float) / 255 - 0.5)
    field += 0.35 * (r.random(field.shape) - 0.5)
    out = np.asarray(colour)[None, None, :] + depth * field[..., None]
    return Image.fromarray(np.clip(out, 0, 255).astype(np.uint8))


def tag(text: str, *, thumb: bool = False) -> str:
    """Brown card tag with an eyelet: the text, its code below, worn edges; `thumb` adds an oily print."""
    wide, high = 480, 860
    card = mottled((wide, high), (196, 154, 98), sum(map(ord, text)), 26)
    draw = ImageDraw.Draw(card)
    draw.ellipse((wide / 2 - 62, 40, wide / 2 + 62, 164), fill=(160, 82, 52))
    draw.ellipse((wide / 2 - 26, 76, wide / 2 + 26, 128), fill=(18, 14, 12))
    font = face("narrow", 118 if len(text) < 7 else 100)
    left, _, right, _ = draw.textbbox((0, 0), text, font=font)
    draw.text(((wide - right + left) / 2 - left, 205), text, font=font, fill=(24, 22, 34))
    code = Image.new("1", (segno.make(text, micro=False, error="m").symbol_size(border=0)[0],) * 2, 1)
    for y, row in enumerate(segno.make(text, micro=False, error="m").matrix):
        for x, dark in enumerate(row):
            code.putpixel((x, y), 0 if dark else 1)
    code = code.convert("L").resize((300, 300), Image.Resampling.NEAREST)
    card.paste(Image.new("RGB", (340, 340), (232, 224, 206)), (70, 350))
    card.paste(Image.merge("RGB", [code.point(lambda v: 40 if v < 128 else 228)] * 3), (90, 370))
    for k in range(3):
        draw.line((50, 745 + 42 * k, wide - 50, 745 + 42 * k), fill=(120, 88, 50), width=2)
    if thumb:
        mark = Image.new("L", (wide, high), 0)
        pen = ImageDraw.Draw(mark)
        for k in range(11):
            pen.ellipse((40 + k * 7, 650 + k * 9, 210 - k * 7, 850 - k * 8), outline=150, width=4)
        mark = mark.rotate(24, center=(125, 750)).filter(ImageFilter.GaussianBlur(2))
        card.paste(Image.new("RGB", (wide, high), (40, 28, 18)), (0, 0), mark)
    return keep(card, f"tag-{text.replace(' ', '-')}{'-thumb' if thumb else ''}")


def stencil(text: str, colour: tuple[int, int, int] = (226, 222, 205)) -> str:
    """Sprayed number with bridges and soft edges, clear around it."""
    size = 400
    mask = Image.new("L", (size, size), 0)
    draw = ImageDraw.Draw(mask)
    font = face("narrow", 330 if len(text) == 1 else 260)
    left, top, right, bottom = draw.textbbox((0, 0), text, font=font)
    draw.text(((size - right - left) / 2, (size - bottom - top) / 2), text, font=font, fill=255)
    draw.rectangle((0, size * 0.47, size, size * 0.5), fill=0)
    r = np.random.default_rng(len(text))
    worn = Image.fromarray((r.random((80, 80)) * 255).astype(np.uint8)).resize((size, size), Image.Resampling.BICUBIC)
    mask = ImageChops.multiply(mask.filter(ImageFilter.GaussianBlur(2)), worn.point(lambda v: 255 if v > 60 else 90))
    out = Image.new("RGBA", (size, size), (*colour, 0))
    out.putalpha(mask)
    return keep(out, f"stencil-{text}")


def handwriting(words: str) -> str:
    """Strip of cream tape with pen marks on it."""
    tape = mottled((500, 120), (214, 204, 170), 5)
    ImageDraw.Draw(tape).text((40, 18), words, font=face("narrow", 78), fill=(28, 36, 92))
    return keep(tape.rotate(0.6, expand=False, fillcolor=(210, 200, 166)), f"tape-{words.replace(' ', '-')}")


def dial() -> str:
    """Face of a pressure gauge, black with white figures from 0 to 2000."""
    size = 1000
    image = mottled((size, size), (22, 22, 23), 3, 8)
    draw = ImageDraw.Draw(image)
    centre = size / 2
    for k in range(41):
        a = np.radians(225 - 270 * k / 40)
        long = k % 10 == 0
        mid = k % 5 == 0
        outer, inner = 430, 430 - (75 if long else 50 if mid else 30)
        draw.line(
            [(centre + q * np.cos(a), centre - q * np.sin(a)) for q in (inner, outer)],
            fill=(232, 228, 205),
            width=10 if long else 5,
        )
        if long:
            words = str(k * 50)
            font = face("narrow", 84)
            box = draw.textbbox((0, 0), words, font=font)
            draw.text(
                (centre + 285 * np.cos(a) - box[2] / 2, centre - 285 * np.sin(a) - 50),
                words,
                font=font,
                fill=(232, 228, 205),
            )
    draw.text((centre - 62, 640), "lb/in\u00b2", font=face("narrow", 52), fill=(220, 216, 196))
    return keep(image.filter(ImageFilter.GaussianBlur(1)), "dial")


def rule() -> str:
    """Steel rule, graduated in inches and fractions."""
    image = mottled((3000, 260), (168, 170, 172), 8, 16)
    draw = ImageDraw.Draw(image)
    for k in range(6 * 16 + 1):
        x = 30 + k * 30.5
        length = {0: 130, 8: 95, 4: 75, 12: 75}.get(k % 16, 55 if k % 2 == 0 else 36)
        draw.line((x, 0, x, length), fill=(20, 20, 22), width=4)
        draw.line((x, 259, x, 259 - length * 0.6), fill=(20, 20, 22), width=3)
        if k % 16 == 0 and k:
            draw.text((x - 56, 96), str(k // 16), font=face("bold", 72), fill=(20, 20, 22))
    return keep(image, "rule")


def newsprint() -> str:
    """Old newspaper: columns of grey lines that say nothing, a few pictures."""
    r = random.Random(4)
    image = mottled((1500, 1500), (196, 187, 166), 6, 18)
    draw = ImageDraw.Draw(image)
    for column in range(5):
        x, y = 40 + column * 290, 40
        while y < 1440:
            if r.random() < 0.03 and y < 1200:
                tall = r.randint(110, 200)
                shade = mottled((255, tall), (118, 112, 104), y, 90)
                image.paste(shade, (x, y))
                y += tall + 18
                continue
            big = r.random() < 0.04
            step, cursor = (44, x) if big else (17, x)
            while cursor < x + (250 if big else 245):
                w = r.randint(20, 62) * (2 if big else 1) // (1 if big else 2)
                ink = 40 if big else 74
                draw.rectangle(
                    (cursor, y, min(cursor + w, x + 255), y + (26 if big else 7)), fill=(ink, ink, ink - 4)
                )
                cursor += w + (14 if big else 6)
            y += step
    return keep(image.filter(ImageFilter.GaussianBlur(1.2)), "newsprint")


def tartan() -> str:
    """Invented check for a tablecloth."""
    sett = (
        [(92, 22, 26)] * 60
        + [(24, 40, 30)] * 40
        + [(196, 170, 90)] * 5
        + [(24, 40, 30)] * 40
        + [(20, 24, 52)] * 26
        + [(200, 196, 184)] * 4
    )
    line = np.array((sett + sett[::-1]) * 4, dtype=float)[:1200]
    grid = np.indices((1200, 1200)).sum(axis=0) % 4 < 2
    out = np.where(grid[..., None], line[None, :, :], line[:, None, :])
    return keep(Image.fromarray(out.astype(np.uint8)), "tartan")


def riveted(
    name: str,
    size: tuple[int, int],
    lines_x: list[float],
    lines_y: list[float],
    *,
    pitch: int = 11,
    seed: int = 0,
    gaps: list[tuple[float, float, float, float]] | None = None,
) -> str:
    """Map of a riveted skin: red holds height, green dirt, blue the tone of each panel.

    `lines_x` and `lines_y` are rivet lines in 0..1; every third is a lap joint. `gaps` are deep lines, such as
    the gap round an aileron, from (x0, y0) to (x1, y1).
    """
    wide, high = size
    r = np.random.default_rng(seed)
    height = Image.new("L", size, 128)
    dirt = Image.new("L", size, 0)
    pen, smut = ImageDraw.Draw(height), ImageDraw.Draw(dirt)
    tone = np.full((high, wide), 0.5)
    xs, ys = sorted(lines_x), sorted(lines_y)
    for a, b in zip([0.0, *xs[::2]], [*xs[::2], 1.0], strict=True):
        for c, d in zip([0.0, *ys[::3]], [*ys[::3], 1.0], strict=True):
            tone[int(c * high) : int(d * high), int(a * wide) : int(b * wide)] = r.uniform(0.1, 0.9)
    for k, x in enumerate(xs):
        px = x * wide
        if k % 2 == 0:
            pen.rectangle((px - 2, 0, px + 1, high), fill=84)
            smut.rectangle((px - 2, 0, px + 2, high), fill=150)
        for y in range(pitch // 2, high, pitch):
            for dx in (-8, 8) if k % 2 == 0 else (0,):
                pen.ellipse((px + dx - 2, y - 2, px + dx + 2, y + 2), fill=205)
                smut.ellipse((px + dx - 3, y - 3, px + dx + 3, y + 3), outline=120)
    for k, y in enumerate(ys):
        py = y * high
        if k % 3 == 0:
            pen.rectangle((0, py - 2, wide, py + 1), fill=90)
            smut.rectangle((0, py - 2, wide, py + 2), fill=150)
        for x in range(pitch // 2, wide, pitch):
            dy = 7 if k % 3 == 0 else 0
            pen.ellipse((x - 2, py + dy - 2, x + 2, py + dy + 2), fill=205)
            smut.ellipse((x - 3, py + dy - 3, x + 3, py + dy + 3), outline=110)
    for x0, y0, x1, y1 in gaps or []:
        pen.line((x0 * wide, y0 * high, x1 * wide, y1 * high), fill=0, width=7)
        smut.line((x0 * wide, y0 * high, x1 * wide, y1 * high), fill=255, width=8)
    streak = r.random((high // 16 + 1, wide // 2 + 1)) ** 6 * 255
    streaks = Image.fromarray(streak.astype(np.uint8)).resize(size, Image.Resampling.BICUBIC)
    dirt = ImageChops.add(dirt.filter(ImageFilter.GaussianBlur(1.5)), streaks.point(lambda v: int(v * 0.45)))
    out = Image.merge(
        "RGB", [height.filter(ImageFilter.GaussianBlur(0.8)), dirt, Image.fromarray((tone * 255).astype(np.uint8))]
    )
    return keep(out, name)
