"""How a length of time is said."""


def span_text(span_s: float) -> str:
    """Return a length of time in words: "0.5 s", "40 s", "59 min 40 s", "1 h 4 s", "2 d 3 h"; never a minus sign."""
    span_s = abs(span_s)
    if span_s < 10:
        return f"{span_s:.1f}".removesuffix(".0") + " s"
    minutes, seconds = divmod(round(span_s), 60)
    hours, minutes = divmod(minutes, 60)
    days, hours = divmod(hours, 24)
    parts = ((days, "d"), (hours, "h"), (minutes, "min"), (0 if days else seconds, "s"))
    return " ".join(f"{number} {unit}" for number, unit in parts if number)


def clock_text(offset_s: float) -> str:
    """Return how a clock is out: "1 h 7 min 23 s fast" where it shows so much more than the true time."""
    return f"{span_text(offset_s)} {'fast' if offset_s > 0 else 'slow'}"
