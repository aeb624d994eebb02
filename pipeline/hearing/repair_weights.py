"""How much each piece of evidence counts for a repair, as fitted by ``tests/hearing/fit_repair.py``.

The sum of evidence times weight, through the logistic function, is the chance that a repair is right. The table is
written by ``python -m tests.hearing.fit_repair --heard … --notes … --everyday … --write``; the thresholds are set by
hand from the figures that it prints.
"""

# At this chance a repair is applied; down to the second it is shown as a suggestion only.
APPLY, SUGGEST = 0.3, 0.12
APPLY_IN_POOR_SOUND = 0.8

WEIGHTS: dict[str, float] = {
    "always": -8.283,
    "article before": 0.944,
    "capital": -0.13,
    "commonness": -1.094,
    "consonants": 0.799,
    "count before a plural": 0.754,
    "count before a singular": 0.0,
    "count before what is counted": 1.111,
    "doubt": 1.352,
    "each after": 0.996,
    "first sound": 0.684,
    "heard a plural": -0.27,
    "heard a plural where one is": -0.511,
    "held by before": 1.478,
    "joiner before": -0.499,
    "kept": 0.612,
    "last sound": 0.846,
    "length": 0.363,
    "misfit": -2.239,
    "name is everyday": -1.534,
    "no other look": 0.212,
    "no probabilities": -0.677,
    "no trade near": -0.341,
    "other look differs": 0.172,
    "other look is the name": 0.888,
    "other look nearer": 1.04,
    "rarity": 0.024,
    "side before": 0.599,
    "small word first": -1.153,
    "small word last": -0.815,
    "sound": 1.994,
    "sound near the same": 1.69,
    "spelling": 3.031,
    "state after": 0.83,
    "surprise": 0.0,
    "trade beside": 0.241,
    "trade near": 0.0,
    "trust": -1.97,
    "unknown word": 0.302,
    "words changed": -0.161,
    "words heard": 0.603,
    "words named": -0.265,
}
