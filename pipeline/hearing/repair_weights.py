"""How much each piece of evidence counts for a repair, as fitted by ``tests/hearing/fit_repair.py``.

The sum of evidence times weight, through the logistic function, is the chance that a repair is right. The table is
written by ``python -m tests.hearing.fit_repair --heard … --notes … --everyday … --write``; the thresholds are set by
hand from the figures that it prints.
"""

# At this chance a repair is applied; down to the second it is shown as a suggestion only.
APPLY, SUGGEST = 0.25, 0.1
# Where two looks heard the sound, what they left to mend is less, and more of it is a trap.
APPLY_AFTER_TWO_LOOKS = 0.5
APPLY_IN_POOR_SOUND = 0.8

WEIGHTS: dict[str, float] = {
    "always": -8.072,
    "article before": 1.106,
    "capital": -0.26,
    "commonness": -0.498,
    "consonants": 0.37,
    "count before a plural": 0.532,
    "count before a singular": -0.099,
    "count before what is counted": 1.293,
    "doubt": 1.329,
    "each after": 0.997,
    "everyday word": -0.234,
    "first sound": 0.804,
    "heard a plural": -0.534,
    "heard a plural where one is": -0.075,
    "held by before": 1.639,
    "joiner before": -0.408,
    "kept": 0.829,
    "last sound": 0.762,
    "length": 0.267,
    "misfit": -2.112,
    "name is everyday": -1.227,
    "no other look": 0.315,
    "no probabilities": -0.759,
    "no trade near": -0.094,
    "other look differs": 0.352,
    "other look is the name": 0.797,
    "other look nearer": 1.412,
    "rarity": 0.601,
    "side before": 0.631,
    "small word first": -0.887,
    "small word last": -0.717,
    "sound": 1.632,
    "sound near the same": 2.034,
    "spelling": 2.132,
    "state after": 0.883,
    "surprise": 0.0,
    "trade beside": 0.435,
    "trade near": 0.0,
    "trust": -1.806,
    "unknown word": 0.369,
    "words changed": -0.471,
    "words heard": 1.075,
    "words named": -0.386,
}
