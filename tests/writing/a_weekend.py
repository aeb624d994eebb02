"""An invented weekend: two days, four recordings, the records that a run would leave. Built, not recorded."""

import hashlib
from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path

from pipeline.reading.fact import Measure, Place, Stowage
from pipeline.reading.vocabulary import Part, Vocabulary
from pipeline.records import (
    BookRecord,
    Caution,
    CorrectionRecord,
    DisconnectionLine,
    EntryRecord,
    FactRecord,
    FastenerLine,
    FindingLine,
    Held,
    LineQuestion,
    Lists,
    MediaRecord,
    Move,
    NotUnderstood,
    PartEvent,
    PartOff,
    PhotoLink,
    Question,
    Records,
    SetAside,
    SupportLine,
    ToDo,
    UnplacedPhoto,
    UnplacedSpeech,
    UnsureRecord,
    UtteranceRecord,
)
from pipeline.settings import Person, Settings, SupportersSettings, TimeSettings, Withhold
from pipeline.values import Clock, Kind, TimeSource
from pipeline.writing.viewing_copies import Makers

SATURDAY = datetime(2026, 2, 14, 9, 30, tzinfo=UTC)
SUNDAY = datetime(2026, 2, 15, 10, 5, tzinfo=UTC)


# notation, preferred term, kind, zone, broader part, explanation: a list of its own, so that the shipped one can grow
_PARTS = """
aileron|aileron|control-surface|wing|outer-wing|The flap on the outer wing that makes the aircraft bank.
aileron-hinge|aileron hinge|control-surface|wing|aileron|What the aileron swings on.
bolt|bolt|fastener|any||A bolt.
bracket|bracket|structure|any||A small metal arm that carries something else.
brake-unit|brake unit|undercarriage|gear|wheel|What slows the wheel.
centre-section|centre section|structure|centre|mainplane|The middle of the wing that runs through the body.
control-cable|control cable|controls|any||A wire rope from the cockpit to a control surface.
drag-strut|drag strut|undercarriage|gear|main-undercarriage|The brace that keeps the leg from folding.
flap|flap|control-surface|wing|mainplane|The part of the wing that is lowered to fly slowly.
flap-jack|flap jack|hydraulic|wing|flap|The ram that moves the flap.
fuel-line|fuel line|fuel|any||A petrol pipe.
hydraulic-line|hydraulic line|hydraulic|any||A pipe of the oil system that moves heavy parts.
hydraulic-reservoir|hydraulic reservoir|hydraulic|any||What holds the hydraulic oil.
joint-fitting|joint fitting|structure|wing|wing-joint|The heavy metal piece that takes the joint's bolts.
main-oleo|main oleo|undercarriage|gear|main-undercarriage|The spring leg of a main wheel.
main-undercarriage|main undercarriage|undercarriage|gear||The big wheels' leg.
nut|nut|fastener|any||A nut.
outer-wing|outer wing|structure|wing|mainplane|The part of the wing outside the engine.
pitot-static-line|pitot static line|instruments|any||The thin pipe to the airspeed dial.
rivet|rivet|fastener|any||A metal peg that joins sheets for good.
skin|skin|structure|any||The thin metal outside.
spar-cap|spar cap|structure|wing|front-spar|The strong top or bottom edge of a spar.
spigot|spigot|structure|any||A stout peg that one part hangs on in another.
stringer|stringer|structure|any|fuselage|A light strip along the inside of the skin.
wheel-bay|wheel bay|structure|gear||The space that a leg folds into.
wing-joint|wing joint|structure|wing|mainplane|Where the outer wing bolts on.
"""


@cache
def vocabulary() -> Vocabulary:
    """The parts that the weekend's facts are about."""
    lines = [line.split("|") for line in _PARTS.strip().splitlines()]
    return Vocabulary(
        parts=tuple(
            Part(notation=notation, preferred=preferred, kind=kind, zone=zone, broader=broader, gloss=gloss)
            for notation, preferred, kind, zone, broader, gloss in lines
        )
    )


def media_id(name: str) -> str:
    return "sha256:" + hashlib.sha256(name.encode()).hexdigest()


def medium(name: str, at: datetime, kind: Kind, content_type: str, **more: object) -> MediaRecord:
    values: dict[str, object] = {
        "id": media_id(name),
        "path": f"media/{name}",
        "kind": kind,
        "content_type": content_type,
        "taken_at": at,
        "time_source": TimeSource.EXIF_OFFSET if kind == Kind.PHOTO else TimeSource.CONTAINER,
        "time_error_s": 0.5,
        "shown_at": at,
        "moved_s": 0.0,
        "device": "pocket camera" if kind == Kind.PHOTO else "phone",
    }
    return MediaRecord.model_validate({**values, **more})


def fact(status: str, said: str = "", **keys: object) -> FactRecord:
    return FactRecord.model_validate({"status": status, "said": said, "utterances": (), **keys})


FRONT = (Place(scheme="spar", at="front"),)
REAR = (Place(scheme="spar", at="rear"),)

# (recording, seconds in, what was said, facts, how many photos)
_SATURDAY: list[tuple[str, float, list[str], list[dict[str, object]], int]] = [
    (
        "saturday-1.m4a",
        4,
        ["Right, port outer wing. The trestles are under it and the weight's on them."],
        [dict(status="done", act="support", item="outer-wing", side="port")],
        2,
    ),
    (
        "saturday-1.m4a",
        31,
        [
            "Undid two bolts on each of the three hinges, and the port aileron's off, two of us to carry it.",
            "It's tagged P-0101 and it's on rack 2, top shelf.",
        ],
        [
            dict(status="done", act="undo", item="aileron-hinge", side="port", count=6, of="bolt"),
            dict(status="done", act="remove", item="aileron", side="port", count=2, of="person"),
            dict(status="done", act="tag", item="aileron", side="port", tag="P-0101"),
            dict(
                status="done",
                act="store",
                item="aileron",
                side="port",
                stowage=Stowage(rack="2", shelf="top"),
                inferred=(("side", "carried on from “port aileron”"),),
            ),
        ],
        3,
    ),
    (
        "saturday-1.m4a",
        95,
        ["Here you can see the crack in the middle hinge, half an inch, running up from the bolt hole."],
        [
            dict(
                status="seen",
                finding="crack",
                item="aileron-hinge",
                side="port",
                measure=(Measure(value=0.5, unit="in"),),
            )
        ],
        2,
    ),
    (
        "saturday-1.m4a",
        150,
        ["The flap's held on by a long hinge pin, so you drive the pin out and it drops."],
        [
            dict(status="explained", act="held-by", item="flap", count=1, of="pin"),
            dict(status="explained", act="undo", item="flap"),
        ],
        0,
    ),
    (
        "saturday-1.m4a",
        190,
        ["So we've taken the port flap off and put it on rack 2."],
        [
            dict(status="done", act="remove", item="flap", side="port"),
            dict(status="done", act="store", item="flap", side="port", stowage=Stowage(rack="2")),
        ],
        2,
    ),
    (
        "saturday-2.amr",
        8,
        ["Aileron cables are disconnected at the bellcrank and labelled, and I've capped the pitot line."],
        [
            dict(status="done", act="disconnect", item="control-cable", side="port"),
            dict(status="done", act="tag", item="control-cable", side="port"),
            dict(status="done", act="blank", item="pitot-static-line", side="port"),
        ],
        1,
    ),
    (
        "saturday-2.amr",
        60,
        [
            "Got all the nuts off the wing joint on the front spar, that's fourteen nuts, and the same on the rear.",
            "They're in bag 14.",
        ],
        [
            dict(status="done", act="undo", item="wing-joint", side="port", place=FRONT, count=14, of="nut"),
            dict(status="done", act="undo", item="wing-joint", side="port", place=REAR, count=14, of="nut"),
            dict(status="done", act="bag", item="nut", side="port", stowage=Stowage(bag="14")),
        ],
        4,
    ),
    (
        "saturday-2.amr",
        130,
        ["The port wing's off. It took eight of us, and it's on stand 1."],
        [
            dict(status="done", act="remove", item="outer-wing", side="port", count=8, of="person"),
            dict(status="done", act="store", item="outer-wing", side="port", stowage=Stowage(stand="1")),
        ],
        4,
    ),
    (
        "saturday-2.amr",
        171,
        ["There's light corrosion on the rear spar cap by rib 9, but no cracks in the joint fitting."],
        [
            dict(
                status="seen",
                finding="corrosion",
                item="spar-cap",
                side="port",
                grade="light",
                place=(Place(scheme="rib", at="9"),),
            ),
            dict(status="seen", finding="crack", absent=True, item="joint-fitting", side="port"),
        ],
        2,
    ),
    (
        "saturday-2.amr",
        230,
        ["Drilled out about 240 rivets along the walkway, my ears are ringing."],
        [dict(status="done", act="drill-out", item="skin", side="port", count=240, of="rivet", about=True)],
        1,
    ),
    (
        "saturday-2.amr",
        290,
        ["We were going to take the starboard flap off but left it, the jack's still got pressure in it."],
        [
            dict(status="not-done", act="remove", item="flap", side="starboard"),
            dict(status="planned", act="drain", item="flap-jack", side="starboard"),
        ],
        0,
    ),
]
_SUNDAY: list[tuple[str, float, list[str], list[dict[str, object]], int]] = [
    (
        "sunday.mp3",
        3,
        ["Drained the hydraulic reservoir, got about two gallons out of it."],
        [dict(status="done", act="drain", item="hydraulic-reservoir", measure=(Measure(value=2, unit="gal"),))],
        1,
    ),
    (
        "sunday.mp3",
        40,
        ["Broke the union on the line to the port retraction jack and capped both ends."],
        [
            dict(status="done", act="disconnect", item="hydraulic-line", side="port"),
            dict(status="done", act="blank", item="hydraulic-line", side="port"),
        ],
        2,
    ),
    (
        "sunday.mp3",
        88,
        ["Centre section's jacked up, and we undid the drag struts, two nuts each side."],
        [
            dict(status="done", act="support", item="centre-section"),
            dict(status="done", act="undo", item="drag-strut", side="both", count=4, of="nut"),
        ],
        1,
    ),
    (
        "sunday.mp3",
        140,
        ["Then we dropped the port leg out, which took five of us. The starboard one's in, the spigot's seized."],
        [
            dict(status="done", act="remove", item="main-undercarriage", side="port", count=5, of="person"),
            dict(status="not-done", act="remove", item="main-undercarriage", side="starboard"),
            dict(status="seen", finding="seized", item="spigot", side="starboard"),
        ],
        4,
    ),
    (
        "sunday.mp3",
        200,
        ["Some light scoring on the chrome of the oleo, about forty mil, and no leaks at all."],
        [
            dict(
                status="seen",
                finding="scoring",
                item="main-oleo",
                side="port",
                grade="light",
                measure=(Measure(value=40, unit="mm"),),
            ),
            dict(status="seen", finding="leak", absent=True, item="main-oleo", side="port"),
        ],
        2,
    ),
    (
        "sunday.mp3",
        255,
        ["Brake drum's off, the lining's worn to sixty thou. I've degreased it and it's in box 9."],
        [
            dict(status="done", act="remove", item="brake-unit", side="port"),
            dict(
                status="seen",
                finding="wear",
                item="brake-unit",
                side="port",
                measure=(Measure(value=60, unit="thou"),),
            ),
            dict(status="done", act="clean", item="brake-unit", side="port"),
            dict(status="done", act="store", item="brake-unit", side="port", stowage=Stowage(box="9")),
        ],
        2,
    ),
    (
        "walkround.mp4",
        5,
        ["This is the wheel bay, and there's old grease over everything."],
        [dict(status="seen", finding="contamination", item="wheel-bay", side="port")],
        1,
    ),
    (
        "walkround.mp4",
        33,
        ["I've cleaned it and primed the bracket there, and nipped the fuel line up to fifteen pounds feet."],
        [
            dict(status="done", act="clean", item="wheel-bay", side="port"),
            dict(status="done", act="prime", item="bracket"),
            dict(status="done", act="tighten", item="fuel-line", measure=(Measure(value=15, unit="lbf·ft"),)),
        ],
        1,
    ),
    ("walkround.mp4", 70, ["Here, this is how it looked before."], [], 2),
    (
        "walkround.mp4",
        95,
        ["Next weekend we'll have the starboard wing off, and get that starboard leg out as well."],
        [
            dict(status="planned", act="remove", item="outer-wing", side="starboard"),
            dict(status="planned", act="remove", item="main-undercarriage", side="starboard"),
        ],
        0,
    ),
    (
        "walkround.mp4",
        130,
        ["And stringer 5 needs rubbing down and treating."],
        [
            dict(status="planned", act="strip-finish", item="stringer", place=(Place(scheme="stringer", at="5"),)),
            dict(status="planned", act="treat", item="stringer", place=(Place(scheme="stringer", at="5"),)),
        ],
        0,
    ),
]


def settings() -> Settings:
    return Settings(
        time=TimeSettings(zone="Europe/London", book_starts=date(2025, 10, 1)),
        people=(
            Person(name="Tamsin Orrell", also=("Tam",), role="rigger", consent=True),
            Person(name="Wilf Harkaway", also=("Wilfie",), role="engine fitter"),
            Person(name="Clemmie Dunmore", role="rigger"),
            Person(name="Vernon Prowse", role="photographer"),
        ),
        withhold=Withhold(places=("Netherby Lock",), words=("tea urn",)),
        supporters=SupportersSettings(title="From the hangar floor", closing="Thank you for standing by us."),
    )


def _utterance(media: str, at: datetime, start_s: float, text: str) -> UtteranceRecord:
    end_s = start_s + 0.38 * len(text.split())
    made: dict[str, object] = {
        "id": f"u-{media_id(media)[7:15]}-{int(start_s * 1000)}",
        "media": media_id(media),
        "start_s": start_s,
        "end_s": end_s,
        "start_at": at + timedelta(seconds=start_s),
        "end_at": at + timedelta(seconds=end_s),
        "heard": text,
        "read": text,
    }
    if "port aileron" in text:
        made["heard"] = text.replace("port aileron", "port hail iron")
        spot = text.index("aileron")
        made["corrections"] = (
            CorrectionRecord(
                start=spot,
                end=spot + 9,
                heard="hail iron",
                read="aileron",
                score=0.91,
                why="sounds like a term that fits",
            ),
        )
    if "fourteen nuts" in text:
        spot = text.index("fourteen")
        made["unsure"] = (UnsureRecord(start=spot, end=spot + 8, why="low probability (0.41)"),)
    return UtteranceRecord.model_validate(made)


def records() -> Records:
    media = [
        medium("saturday-1.m4a", SATURDAY, Kind.RECORDING, "audio/mp4", duration_s=240.0),
        medium(
            "saturday-2.amr",
            SATURDAY + timedelta(hours=4),
            Kind.RECORDING,
            "audio/amr",
            duration_s=330.0,
            time_source=TimeSource.FILE,
            time_error_s=3600.0,
            flags=("Dated by the file's own time, which changes when a file is copied.",),
        ),
        medium("sunday.mp3", SUNDAY, Kind.RECORDING, "audio/mpeg", duration_s=300.0),
        medium("walkround.mp4", SUNDAY + timedelta(hours=2), Kind.FILM, "video/mp4", duration_s=160.0),
    ]
    starts = {one.path.removeprefix("media/"): one.taken_at for one in media}
    utterances: list[UtteranceRecord] = []
    entries: list[EntryRecord] = []
    number = 0
    for name, start_s, texts, facts, photos in [*_SATURDAY, *_SUNDAY]:
        said, at_s = [], start_s
        for text in texts:
            said.append(_utterance(name, starts[name], at_s, text))
            at_s = said[-1].end_s + 0.6
        links = []
        for _ in range(photos):
            number += 1
            at = starts[name] + timedelta(seconds=start_s + 65 * (len(links)) % 90 + 3)
            slow = number % 3 == 0
            photo = medium(
                f"photo-{number:02d}.jpg",
                at,
                Kind.PHOTO,
                "image/jpeg",
                device="bridge camera" if slow else "pocket camera",
                moved_s=3604.0 if slow else 0.0,
                shown_at=at - timedelta(seconds=3604 if slow else 0),
            )
            media.append(photo)
            links.append(
                PhotoLink(
                    media=photo.id,
                    p=0.97 - 0.01 * (number % 9),
                    why=("taken 3 s after these words began", "“here you can see” at that second"),
                )
            )
        entries.append(
            EntryRecord(
                id=f"e-{media_id(name)[7:15]}-{int(start_s * 1000)}",
                at=said[0].start_at,
                media=media_id(name),
                start_s=start_s,
                end_s=said[-1].end_s,
                utterances=tuple(one.id for one in said),
                facts=tuple(fact(said=" ".join(texts), **one) for one in facts),
                photos=tuple(links),
                review="accepted" if number == 2 else "unread",
            )
        )
        utterances += said
    film = media_id("walkround.mp4")
    media.append(
        medium(
            "walkround.mp4",
            starts["walkround.mp4"] + timedelta(seconds=6),
            Kind.PHOTO,
            "image/jpeg",
            id=media_id("still"),
            still_of=film,
            still_at_s=6.0,
            time_source=TimeSource.FILM,
            device="phone",
        )
    )
    tea = _utterance("sunday.mp3", starts["sunday.mp3"], 280, "Kettle's on, and Wilf has the tea urn.")
    lost = medium("photo-lost.jpg", SUNDAY + timedelta(hours=7), Kind.PHOTO, "image/jpeg")
    wing, leg = entries[7], entries[14]
    return Records(
        book=BookRecord(
            title="Winter strip",
            aircraft="Crew Trainer",
            zone="Europe/London",
            program="saidseen 0.1.0",
            model="base, sha256 905e5bf8",
            vocabulary="a1b2c3d4",
        ),
        media=tuple([*media, lost]),
        clocks=(
            Clock(
                device="bridge camera",
                offset_s=-3604.0,
                anchors=6,
                spread_s=1.5,
                sure=True,
                why="its GPS time and its own clock differ by this much",
            ),
        ),
        utterances=tuple([*utterances, tea]),
        entries=tuple(
            one.model_copy(
                update={
                    "photos": (
                        *one.photos,
                        PhotoLink(media=media_id("still"), p=0.99, why=("from this film",)),
                    )
                }
            )
            if one.media == film and one.start_s == 5
            else one
            for one in entries
        ),
        unplaced_speech=(UnplacedSpeech(utterance=tea.id, why="no fact and no photo near it"),),
        not_understood=(
            NotUnderstood(
                media=media_id("saturday-2.amr"),
                start_s=310.0,
                end_s=316.5,
                why="somebody speaks here, and no word was understood",
            ),
        ),
        unplaced_photos=(UnplacedPhoto(media=lost.id, why="nothing was said within 20 minutes of it"),),
        cautions=(
            Caution(
                rule="support-before-undo",
                text="Check what holds the centre section.",
                entries=(leg.id,),
                item="main-undercarriage",
                side="port",
                on=date(2026, 2, 15),
                reason="What a joint carries falls when its bolts come out.",
                source="common practice, no source",
            ),
        ),
        set_aside=(
            SetAside(path="media/broken.jpg", why="The picture is cut short. Copy it from the camera again."),
        ),
        lists=Lists(
            parts_off=(
                PartOff(
                    item="aileron",
                    side="port",
                    tag="P-0101",
                    state="off",
                    removed_on=date(2026, 2, 14),
                    held=(Held(count=6, of="bolt", told="undone", entry=entries[1].id),),
                    stowage=Stowage(rack="2", shelf="top"),
                    life=(PartEvent(on=date(2026, 2, 14), what="removed", act="remove", entry=entries[1].id),),
                ),
                PartOff(
                    item="outer-wing",
                    side="port",
                    state="off",
                    removed_on=date(2026, 2, 14),
                    stowage=Stowage(stand="1"),
                    life=(PartEvent(on=date(2026, 2, 14), what="removed", act="remove", entry=wing.id),),
                ),
                PartOff(
                    item="main-undercarriage",
                    side="port",
                    state="off",
                    removed_on=date(2026, 2, 15),
                    questions=(
                        Question(
                            kind="not-stowed",
                            item="main-undercarriage",
                            side="port",
                            days=(date(2026, 2, 15),),
                            entries=(leg.id,),
                        ),
                    ),
                    life=(PartEvent(on=date(2026, 2, 15), what="removed", act="remove", entry=leg.id),),
                ),
            ),
            fasteners=(
                FastenerLine(
                    item="aileron",
                    side="port",
                    of="bolt",
                    expected=6,
                    expected_from="said",
                    undone=6,
                    bagged=5,
                    bags=("12",),
                    left=0,
                    not_bagged=1,
                    moves=(Move(on=date(2026, 2, 14), what="undo 6", entry=entries[1].id),),
                    questions=(LineQuestion(kind="not-bagged", numbers=(1, 6)),),
                ),
            ),
            disconnections=(
                DisconnectionLine(
                    item="control-rod",
                    side="port",
                    joint="aileron",
                    joint_inferred=True,
                    act="disconnect",
                    disconnected_on=date(2026, 2, 14),
                    inspect_independently="flight controls",
                    moves=(Move(on=date(2026, 2, 14), what="disconnect", entry=entries[1].id),),
                ),
            ),
            findings=(
                FindingLine(
                    on=date(2026, 2, 14),
                    item="aileron-hinge",
                    side="port",
                    finding="crack",
                    measure=(Measure(value=0.5, unit="in"),),
                    entry=entries[2].id,
                    photos=tuple(one.media for one in entries[2].photos),
                ),
                FindingLine(
                    on=date(2026, 2, 14),
                    item="joint-fitting",
                    side="port",
                    finding="crack",
                    absent=True,
                    entry=entries[8].id,
                ),
            ),
            holding_up=(
                SupportLine(
                    item="outer-wing",
                    side="port",
                    by=("trestle",),
                    since=entries[0].at,
                    moves=(Move(on=date(2026, 2, 14), what="support", entry=entries[0].id),),
                    questions=("came-off",),
                ),
            ),
            to_do=(
                ToDo(
                    said_on=date(2026, 2, 14),
                    status="not-done",
                    act="remove",
                    item="flap",
                    side="starboard",
                    words="left it",
                    entry=entries[10].id,
                ),
                ToDo(
                    said_on=date(2026, 2, 14),
                    status="planned",
                    act="drain",
                    item="flap-jack",
                    side="starboard",
                    words="the jack's still got pressure in it",
                    entry=entries[10].id,
                ),
                ToDo(
                    said_on=date(2026, 2, 15),
                    status="planned",
                    act="remove",
                    item="outer-wing",
                    side="starboard",
                    words="Next weekend",
                    entry=entries[-2].id,
                ),
                ToDo(
                    said_on=date(2026, 2, 15),
                    status="planned",
                    act="remove",
                    item="main-undercarriage",
                    side="starboard",
                    words="Next weekend",
                    entry=entries[-2].id,
                ),
                ToDo(
                    said_on=date(2026, 2, 15),
                    status="planned",
                    act="treat",
                    item="stringer",
                    place=(Place(scheme="stringer", at="5"),),
                    words="needs treating",
                    entry=entries[-1].id,
                ),
            ),
        ),
    )


def drawn_picture(path: Path, longest_px: int) -> bytes:
    """A plain coloured picture whose colour comes from the file's name: a stand-in for a decoder."""
    import io

    from PIL import Image

    digest = hashlib.sha256(path.name.encode()).digest()
    image = Image.new("RGB", (longest_px // 4, longest_px * 3 // 16), (digest[0] // 2 + 90, digest[1] // 2 + 80, 110))
    out = io.BytesIO()
    image.save(out, "JPEG")
    return out.getvalue()


def drawn_still(path: Path, content_type: str, at_s: float, longest_px: int) -> bytes:
    """A stand-in for a still of a film."""
    return drawn_picture(path.with_name(f"{path.name}-{at_s}"), longest_px)


def no_sound(path: Path, content_type: str, to: Path) -> None:
    """A stand-in for a listening copy."""
    to.write_bytes(b"m4a of " + path.name.encode())


MAKERS = Makers(picture=drawn_picture, still=drawn_still, sound=no_sound)


def looked_at(book: Records) -> Records:
    """Let people have looked at the first entry: accepted, signed before it was changed, and now read otherwise."""
    first, *others = book.entries
    acts = {
        "version": "0" * 64,
        "decided": [{"number": 12, "at": first.at, "who": "Bea Linnet", "act": "accept", "why": "<b>seen</b>"}],
        "signed": [
            {"number": 11, "at": first.at, "who": "Bea Linnet", "for": "checked the words", "version": "1" * 64,
             "stands": False, "changed_by": "amendment", "proof": "typed"}
        ],
        "now_read": {"facts": [], "words": [(one, "Other words.") for one in first.utterances], "photos": []},
    }  # fmt: skip
    first = EntryRecord.model_validate({**first.model_dump(), **acts})
    return book.model_copy(update={"entries": (first, *others)})
