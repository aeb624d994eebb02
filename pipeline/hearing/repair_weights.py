"""How much each piece of evidence counts for a repair, as fitted by ``tests/hearing/fit_repair.py``.

The sum of evidence times weight, through the logistic function, is the chance that a repair is right. The table is
written by ``python -m tests.hearing.fit_repair --heard … --notes … --everyday … --write``; the thresholds are set by
hand from the figures that it prints.
"""

# At this chance a repair is applied; down to the second it is shown as a suggestion only.
APPLY, SUGGEST = 0.3, 0.12
APPLY_IN_POOR_SOUND = 0.8

WEIGHTS: dict[str, float] = {
    "always": -8.103,
    "article before": 0.905,
    "capital": -0.005,
    "commonness": -1.322,
    "consonants": 1.012,
    "count before a plural": 0.804,
    "count before a singular": 0.0,
    "doubt": 1.587,
    "each after": 0.997,
    "first sound": 0.543,
    "heard a plural": -0.528,
    "heard a plural where one is": 0.35,
    "held by before": 1.847,
    "joiner before": -0.38,
    "kept": 0.932,
    "last sound": 0.807,
    "length": 0.822,
    "misfit": -1.976,
    "name is everyday": -0.789,
    "no other look": 0.335,
    "no probabilities": -0.553,
    "no trade near": -0.039,
    "other look differs": 0.416,
    "other look is the name": 0.76,
    "other look nearer": 0.827,
    "rarity": 0.496,
    "side before": 0.997,
    "small word first": -0.872,
    "small word last": -0.735,
    "sound": 1.624,
    "sound near the same": 2.151,
    "spelling": 1.802,
    "state after": 0.929,
    "surprise": 0.0,
    "trade beside": 0.222,
    "trade near": 0.0,
    "trust": -1.633,
    "unknown word": 0.155,
    "words changed": -0.489,
    "words heard": 0.784,
    "words named": -0.65,
}
