"""Facts of every shape that the models allow, for laws that hold of all of them."""

from hypothesis import strategies as st

from pipeline.reading.fact import Measure, Place, Stowage
from pipeline.records import FactRecord
from pipeline.writing.wording import ACTS, FINDINGS
from tests.writing.a_weekend import vocabulary

ITEMS = [part.notation for part in vocabulary().parts]
SIDES = st.sampled_from([None, "port", "starboard", "both"])
PLACES = st.lists(
    st.builds(
        Place,
        scheme=st.sampled_from(["frame", "station", "rib", "stringer", "spar", "bay", "longeron"]),
        at=st.sampled_from(["5", "11-12", "front", "top"]),
    ),
    max_size=2,
).map(lambda found: tuple(found) or None)
COMMON = {
    "item": st.sampled_from([None, *ITEMS]),
    "side": SIDES,
    "place": PLACES,
    "count": st.sampled_from([None, 1, 2, 240]),
    "of": st.sampled_from([None, "bolt", "nut-and-bolt", "person", "hole", "bracket"]),
    "about": st.sampled_from([None, True]),
    "measure": st.sampled_from([None, (Measure(value=1.5, unit="in"),), (Measure(value=3, unit="h"),) * 2]),
    "stowage": st.sampled_from([None, Stowage(rack="R77"), Stowage(shelf="top", room="paint store")]),
    "tag": st.sampled_from([None, "P-0142"]),
    "said": st.just("said"),
    "utterances": st.just(()),
}
WORK = st.builds(
    FactRecord,
    status=st.sampled_from(["done", "planned", "not-done", "explained"]),
    act=st.sampled_from([*ACTS, "unheard-of"]),
    **COMMON,
)
SEEN = st.builds(
    FactRecord,
    status=st.just("seen"),
    finding=st.sampled_from([*FINDINGS, "unheard-of"]),
    absent=st.sampled_from([None, True]),
    grade=st.sampled_from([None, "light", "moderate", "heavy"]),
    **COMMON,
)
FACTS = st.one_of(WORK, SEEN)
