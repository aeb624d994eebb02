"""Whether the talk explains how a job goes or a part is built, and where that ends."""

from collections.abc import Sequence

from pipeline.reading.clauses import Clause
from pipeline.reading.cues import Cues
from pipeline.reading.forms import BASE, ING, PARTICIPLE, PAST, word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.pieces import Piece

_NOT_SUBJECTS = word_set("look know see hear watch say think tell imagine remember mean find feel notice")


class Explaining(Cues):
    """Follows the clauses of one text in order."""

    def __init__(self, lexicon: Lexicon, pieces: Sequence[Piece], clauses: Sequence[Clause]) -> None:
        super().__init__(lexicon, pieces, clauses)
        self.explaining = False
        self.explained_in = -1

    def start(self, clause: Clause) -> None:
        """Take note of a clause before it is judged."""
        lows = [piece.low for piece in self.pieces[clause.first : clause.last]]
        if self.means(clause, "explained") or self._you_do(clause):
            self.explaining = True
            self.explained_in = clause.sentence
        elif {"i", "we"} & set(lows) and any(
            piece.forms & {PAST} or piece.low in ("'ve", "have", "'ll", "will", "had")
            for piece in self.pieces[clause.first : clause.last]
        ):
            self.explaining = False

    def _you_do(self, clause: Clause) -> bool:
        for at in range(clause.first, clause.last):
            if self.pieces[at].low in ("you", "you'd") and (
                at == clause.first or self.pieces[at - 1].low not in ("did", "have", "thank", "if")
            ):
                for piece in self.pieces[at + 1 : min(at + 5, clause.last)]:
                    if piece.kind == "verb":
                        return piece.verb not in _NOT_SUBJECTS and bool(piece.forms & {BASE, ING, PARTICIPLE})
                    if piece.low in ("'ve", "have", "need", "want", "'d"):
                        return True
        return False
