"""What the twelve days add up to on the evening of the last: every list, written out by hand."""

from datetime import date
from typing import Any

from pipeline.reading.fact import Stowage

D1, D2, D3, D4 = date(2025, 10, 4), date(2025, 10, 11), date(2025, 10, 18), date(2025, 11, 1)
D5, D6, D7, D8 = date(2025, 11, 8), date(2025, 11, 15), date(2025, 11, 29), date(2025, 12, 13)
D9, D10, D11, D12 = date(2026, 1, 10), date(2026, 1, 17), date(2026, 1, 31), date(2026, 2, 14)
PORT, STARBOARD = "port", "starboard"
JOINT, FLIGHT = "transport-joint", "flight controls"

PARTS: list[tuple[Any, ...]] = [
    # part, side, state, removed, refitted, tag, former tags, kept at, since, questions
    ("fin", PORT, "off", D3, None, "P-0104", (), Stowage(rack="5"), D7, ()),
    ("fin", STARBOARD, "off", D3, None, "P-0105", (), Stowage(rack="5"), D7, ()),
    ("rudder", PORT, "off", D2, None, "P-0112", ("P-0102",), Stowage(rack="2"), D2, ()),
    ("rudder", STARBOARD, "off", D2, None, "P-0103", (), Stowage(rack="2"), D2, ()),
    ("tailplane", None, "off", D6, None, "P-0107", (), Stowage(stand="1"), D6, ()),
    ("elevator", PORT, "off", D4, None, None, (), None, None, ("moved-not-stowed",)),
    ("elevator", STARBOARD, "off", D4, None, None, (), Stowage(rack="4"), D4, ()),
    ("aileron", PORT, "refitted", D1, D12, "P-0101", (), None, None, ()),
    ("trim-tab", PORT, "off", D3, None, None, (), None, None, ("not-stowed",)),
    ("tail-oleo", None, "off", D4, None, "P-0106", (), Stowage(rack="6"), D11, ()),
    ("fillet-panel", PORT, "off", D5, None, None, (), Stowage(rack="4"), D5, ()),
    ("fillet-panel", STARBOARD, "off", D5, None, None, (), Stowage(rack="4"), D5, ()),
]

FASTENERS: list[tuple[Any, ...]] = [
    # at, side, kind, expected, by whom, undone, drilled, bagged, bags, fitted, tightened, missing, left, not bagged,
    # questions with their numbers
    ("fin", PORT, "bolt", 6, "said", 6, None, 6, ("3",), None, None, None, 0, 0, ()),
    ("fin", STARBOARD, "bolt", 6, "said", 6, None, 5, ("3",), None, None, None, 0, 1, (("not-bagged", (1, 6)),)),
    ("rudder", PORT, "bolt", 3, "said", 3, None, 3, ("2",), None, None, None, 0, 0, ()),
    ("rudder", STARBOARD, "bolt", 3, "said", 3, None, 3, ("2",), None, None, None, 0, 0, ()),
    ("tailplane", None, "bolt", 8, "said", 8, None, 7, ("7",), None, None, None, 0, 1, (("not-bagged", (1, 8)),)),
    ("elevator", PORT, "bolt", 4, "said", 4, None, 4, ("5",), None, None, None, 0, 0, ()),
    ("elevator", STARBOARD, "bolt", 4, "said", 4, None, 4, ("5",), None, None, None, 0, 0, ()),
    ("aileron", PORT, "bolt", 5, "vocabulary", 5, None, 5, ("1",), 5, 5, None, 0, 0, ()),
    ("tail-oleo", None, "bolt", None, "", 2, None, 2, ("4",), None, None, None, None, 0, ()),
    ("fillet-panel", PORT, "screw", 38, "vocabulary", 38, None, 38, ("6",), None, None, None, 0, 0, ()),
    ("fillet-panel", STARBOARD, "screw", 38, "vocabulary", 38, None, 38, ("6",), None, None, None, 0, 0, ()),
    (JOINT, None, "rivet", None, "", None, 12, None, (), None, None, None, None, None, ()),
    # three of about 240 were missing when it came apart
    (JOINT, None, "nut-and-bolt", 240, "vocabulary", 237, None, 237, ("8", "9"), None, None, 3, 3, 0, ()),
]

DISCONNECTIONS: list[tuple[Any, ...]] = [
    # service, side, at, parted, blanked, with what, connected, looked at by a second person, questions
    ("control-rod", PORT, "aileron", D1, None, "", D12, FLIGHT, ()),
    ("bonding-strip", PORT, "aileron", D1, None, "", D12, "", ()),
    ("rudder-control-rod", PORT, "rudder", D2, None, "", None, FLIGHT, ()),
    ("rudder-control-rod", STARBOARD, "rudder", D2, None, "", None, FLIGHT, ()),
    ("wiring-loom", PORT, "fin", D3, None, "", None, "", ()),
    ("wiring-loom", STARBOARD, "fin", D3, None, "", None, "", ()),
    ("control-cable", None, "tail-oleo", D4, None, "", None, FLIGHT, ()),
    ("elevator-torque-tube", None, "elevator", D4, None, "", None, FLIGHT, ()),
    ("trim-jack", PORT, "tailplane", D5, None, "", None, FLIGHT, ()),
    ("trim-jack", STARBOARD, "tailplane", D5, None, "", None, FLIGHT, ()),
    ("control-cable", PORT, "transport-joint", D8, None, "", None, FLIGHT, ()),
    ("control-cable", STARBOARD, "transport-joint", D8, None, "", None, FLIGHT, ()),
    ("hydraulic-line", None, "transport-joint", D8, D8, "plastic caps", None, "", ()),
    ("pitot-static-line", None, "transport-joint", D8, D9, "bungs", None, "", ()),
    ("wiring-loom", None, "transport-joint", D8, None, "", None, "", ()),
    ("oxygen-line", None, "transport-joint", D8, None, "", None, "", (("not-blanked", D8),)),
]

FINDINGS: list[tuple[Any, ...]] = [
    # what, part, side, frame, size in mm or grade, telling by telling, closed, done since, planned since
    ("crack", "fin", STARBOARD, None, ((D3, 4.0), (D12, 6.0)), None, (), ()),
    ("elongated-hole", "tailplane", None, None, ((D6, None),), None, (), ((D12, "repair"),)),
    ("play", "tail-wheel", None, None, ((D1, None),), None, (), ()),
    ("leak", "tail-oleo", None, None, ((D4, None),), None, (), ()),
    ("corrosion", "fin", PORT, None, ((D1, "light"), (D3, "moderate")), None, ((D7, "treat"), (D7, "prime")), ()),
    ("dent", "rudder", STARBOARD, None, ((D1, None),), None, (), ()),
    ("sound", "elevator", PORT, None, ((D1, None),), None, (), ()),
    ("sound", "elevator", STARBOARD, None, ((D1, None),), None, (), ()),
    (
        *("wear", "aileron", PORT, None, ((D1, None),), None),
        ((D7, "repair"), (D12, "paint")),
        (),
    ),
    # told on the tenth day: "15 mm in October, 18 now"
    ("crack", "frame", None, "23", ((D1, 15.0), (D10, 15.0), (D10, 18.0)), None, ((D11, "repair"),), ()),
    ("missing", "nut-and-bolt", None, None, ((D9, None),), None, (), ()),
    ("corrosion", "frame", None, "24", ((D7, "heavy"), (D11, None)), D11, ((D7, "clean"), (D11, "prime")), ()),
]
"""By zone (tail, wing, anywhere), then worst first."""

HOLDING_UP: list[tuple[Any, ...]] = [
    # what, where, by, how, since, until, ended by, questions
    ("rear-fuselage", "frame 21", ("trestle",), "support", D2, D10, "move", ("moved-on",)),
    ("centre-fuselage", "frame 12", ("trestle",), "support", D2, D12, "remove", ()),
    ("tailplane", "", ("hoist", "sling"), "lift", D6, D6, "lower", ()),
    ("tailplane", "", ("trestle",), "support", D6, D6, "store", ()),
    ("rear-fuselage", "frame 21", ("trestle",), "support", D10, None, "", ()),
    ("centre-fuselage", "spar front", ("jack",), "support", D12, None, "", ()),
]

TO_DO: list[tuple[Any, ...]] = [
    # planned or not done, act, part, side, said on, days ago, waits for
    ("planned", "test", "hydraulic-line", None, D11, 14, ()),
    ("planned", "repair", "tailplane", None, D12, 0, ()),
    ("planned", "fit", "rudder", PORT, D12, 0, (("repair", "tailplane", "said"),)),
    ("not-done", "paint", "fin", PORT, D12, 0, ()),
]

BACK_IN_ORDER = (
    "secure-transport-joint",
    "fit-tailplane",
    "secure-tailplane",
    "fit-elevator-port",
    "fit-tail-oleo",
    "fit-fin-port",
    "secure-fin-port",
    "fit-rudder-port",
    "connect-rudder-control-rod-port-at-rudder",
)
"""The tail, from the joint of the body outwards: what came off last goes back first."""

RUNS_ACROSS_THE_JOINT = (
    "connect-control-cable-port-at-transport-joint",
    "connect-control-cable-starboard-at-transport-joint",
    "connect-hydraulic-line-at-transport-joint",
    "connect-pitot-static-line-at-transport-joint",
    "connect-wiring-loom-at-transport-joint",
    "connect-oxygen-line-at-transport-joint",
)

TRADE: dict[str, tuple[tuple[str, str], ...]] = {
    # on the way back, so the other way round than it came off; common practice, no source
    "rudder-before-fin": (
        ("fit-fin-port", "fit-rudder-port"),
        ("fit-fin-starboard", "fit-rudder-starboard"),
    ),
    "fin-before-tailplane": (("fit-tailplane", "fit-fin-port"), ("fit-tailplane", "fit-fin-starboard")),
    "elevator-before-tailplane": (
        ("fit-tailplane", "fit-elevator-port"),
        ("fit-tailplane", "fit-elevator-starboard"),
    ),
    "tail-oleo-before-tailplane": (("fit-tailplane", "fit-tail-oleo"),),
    "services-before-joint": (
        *(("secure-transport-joint", one) for one in RUNS_ACROSS_THE_JOINT),
        ("secure-tailplane", "connect-trim-jack-port-at-tailplane"),
        ("secure-rudder-port", "connect-rudder-control-rod-port-at-rudder"),
    ),
    "section-held-up-before-bolts": (
        ("secure-transport-joint", "release-rear-fuselage"),
        ("secure-transport-joint", "release-centre-fuselage"),
        ("secure-tailplane", "release-tailplane"),
    ),
}
"""By rule of order.csv: which step is before which."""

DONE_AGAIN = {
    "fit-aileron-port": D12,
    "secure-aileron-port": D12,
    "connect-control-rod-port-at-aileron": D12,
    "connect-bonding-strip-port-at-aileron": D12,
}
"""The one part that is back on, with its joint and what runs across it; nothing else is done."""
