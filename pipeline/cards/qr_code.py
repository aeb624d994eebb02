"""The one place where QR codes are made (segno)."""

from html import escape

import segno

QUIET_MODULES = 4
"""The white border that a reader needs round a code. Source: ISO/IEC 18004, quiet zone (from memory)."""


def modules_across(text: str) -> int:
    """Return how many modules the code of a text has from side to side, its quiet zone left out."""
    return len(_code(text).matrix)


def qr_svg(text: str) -> str:
    """Return a text's QR code with its quiet zone as SVG, black on white in any light, one unit a module.

    It is as small as medium correction (15 %) allows, and then corrects as much as that size can hold.
    """
    matrix = _code(text).matrix
    across = len(matrix) + 2 * QUIET_MODULES
    dark = "".join(
        f"M{x + QUIET_MODULES} {y + QUIET_MODULES}h{length}v1h-{length}z"
        for y, row in enumerate(matrix)
        for x, length in _runs(row)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {across} {across}" role="img" '
        f'aria-label="QR code: {escape(text)}">'
        f'<path fill="#fff" d="M0 0h{across}v{across}h-{across}z"/>'
        f'<path fill="#000" shape-rendering="crispEdges" d="{dark}"/></svg>'
    )


def _code(text: str) -> segno.QRCode:
    return segno.make_qr(text, error="m", boost_error=True)


def _runs(row: bytearray | tuple[int, ...]) -> list[tuple[int, int]]:
    """Return where each stretch of dark modules in a row begins, and how long it is."""
    runs: list[tuple[int, int]] = []
    for x, module in enumerate(row):
        if not module:
            continue
        if runs and sum(runs[-1]) == x:
            runs[-1] = (runs[-1][0], runs[-1][1] + 1)
        else:
            runs.append((x, 1))
    return runs
