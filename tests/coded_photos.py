"""Photos with codes in them, drawn on the spot: nothing here came from a camera."""

import io
from pathlib import Path

import numpy as np
import segno
from PIL import Image, ImageFilter


def code(text: str, width_px: int) -> Image.Image:
    """Return a QR code without its quiet zone, ``width_px`` wide, on a white card that leaves the quiet zone free."""
    drawn = io.BytesIO()
    symbol = segno.make_qr(text, error="m")
    symbol.save(drawn, kind="png", scale=12, border=4)
    across = len(symbol.matrix)
    size = round(width_px * (across + 8) / across)
    return Image.open(drawn).convert("RGB").resize((size, size), Image.Resampling.LANCZOS)


def background(width: int = 1600, height: int = 1200, seed: int = 1) -> Image.Image:
    """Return a surface of stains and grain."""
    chance = np.random.default_rng(seed)
    grey = np.full((height, width), 120.0)
    for grain, depth in ((4, 8), (32, 16), (160, 28)):
        coarse = chance.normal(0, depth, (height // grain + 2, width // grain + 2)).astype(np.float32)
        grey += np.asarray(Image.fromarray(coarse).resize((width, height), Image.Resampling.BICUBIC))
    coloured = np.stack([grey * 1.05, grey, grey * 0.9], axis=-1) + chance.normal(0, 5, (height, width, 3))
    return Image.fromarray(np.clip(coloured, 0, 255).astype(np.uint8), "RGB")


def tilted(card: Image.Image, tilt_deg: float, turn_deg: float) -> tuple[Image.Image, Image.Image]:
    """Return a card as a camera sees it that looks at it from the side, and the mask of where it is.

    ``tilt_deg`` is how far from straight on, ``turn_deg`` in which direction.
    """
    side, tilt, turn = card.width, np.radians(tilt_deg), np.radians(turn_deg)
    turned = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * side / 2 @ turned.T
    away, far = 6.0 * side, corners[:, 1] * np.sin(tilt)
    seen = np.stack([corners[:, 0], corners[:, 1] * np.cos(tilt)], axis=1) * (away / (away + far))[:, None]
    seen = seen @ turned  # the direction of the tilt is turned, not the card
    seen -= seen.min(axis=0)
    size = tuple(int(length) for length in np.ceil(seen.max(axis=0)))
    rows = _perspective(seen, np.array([[0, 0], [side, 0], [side, side], [0, side]]))
    white = Image.new("L", card.size, 255)
    how = (size, Image.Transform.PERSPECTIVE, rows, Image.Resampling.BICUBIC)
    return card.transform(*how), white.transform(*how)


def _perspective(seen: np.ndarray, flat: np.ndarray) -> list[float]:
    """Return Pillow's eight numbers that lead from four points as seen to the flat ones."""
    equations, sides = [], []
    for (x, y), (u, v) in zip(seen, flat, strict=True):
        equations += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        sides += [u, v]
    return [float(number) for number in np.linalg.solve(np.array(equations), np.array(sides))]


def photo_of(
    path: Path,
    *texts: str,
    code_px: int = 120,
    tilt_deg: float = 0,
    turn_deg: float = 0,
    spin_deg: float = 0,
    light: float = 1.0,
    blur_px: float = 0.6,
    grain: float = 3,
    size: tuple[int, int] = (1600, 1200),
    **how: object,
) -> Path:
    """Write a photo of cards with these texts, side by side, in the format that the name's ending asks for."""
    scene = background(*size)
    for number, text in enumerate(texts):
        card = code(text, code_px)
        card, mask = tilted(card, tilt_deg, turn_deg)
        card = card.rotate(spin_deg, expand=True, resample=Image.Resampling.BICUBIC)
        mask = mask.rotate(spin_deg, expand=True, resample=Image.Resampling.BICUBIC)
        left = size[0] * (2 * number + 1) // (2 * len(texts)) - card.width // 2
        scene.paste(card, (left, (size[1] - card.height) // 2), mask)
    soft = np.asarray(scene.filter(ImageFilter.GaussianBlur(blur_px)), dtype=np.float64) * light
    soft += np.random.default_rng(2).normal(0, grain, soft.shape)
    Image.fromarray(np.clip(soft, 0, 255).astype(np.uint8), "RGB").save(path, **how)  # type: ignore[arg-type]
    return path
