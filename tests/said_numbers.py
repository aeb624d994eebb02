"""Numbers said in words, spelled here independently of the reader that is tested with them."""

_ONES = [
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"),
    *("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"),
]
_TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]


def in_words(number: int, *, joint: str = " ") -> str:
    """Return 0 to 999,999 as it is said in Britain; ``joint`` stands inside "forty two"."""
    if number < 20:
        return _ONES[number]
    if number < 100:
        return _TENS[number // 10 - 2] + (f"{joint}{_ONES[number % 10]}" if number % 10 else "")
    if number < 1000:
        rest = f" and {in_words(number % 100, joint=joint)}" if number % 100 else ""
        return f"{_ONES[number // 100]} hundred{rest}"
    below = number % 1000
    middle = " and " if 0 < below < 100 else " "
    thousands = f"{in_words(number // 1000, joint=joint)} thousand"
    return thousands + (middle + in_words(below, joint=joint) if below else "")
