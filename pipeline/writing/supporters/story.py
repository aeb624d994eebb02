"""The report as a value: what is told under which heading, with which pictures."""

from dataclasses import dataclass

from pipeline.writing.supporters.privacy import Withheld
from pipeline.writing.supporters.told import Told

QUIET = "News of our work"
"""The headline where there is no other; it names no place: not every team has a hangar."""


@dataclass(frozen=True)
class Picture:
    """A picture of the report: the photo, its file's name in the folder, and what is said of it.

    ``width`` and ``height`` are in pixels, 0 until the file is made; ``source`` is where the page takes it from, its
    place beside the page until it is put into the page itself. ``untold``: a person let it out, and no words
    tell what it shows.
    """

    media: str
    file: str
    caption: str
    alt: str
    width: int = 0
    height: int = 0
    source: str = ""
    untold: bool = False

    @property
    def shape(self) -> float:
        """Width by height; 1.5 where it is not known."""
        return round(self.width / self.height, 3) if self.height else 1.5

    @property
    def tall(self) -> bool:
        """Tell whether it is higher than wide."""
        return self.shape < 1

    @property
    def place(self) -> str:
        """Return what the page's image element names."""
        return self.source or f"pictures/{self.file}"


@dataclass(frozen=True)
class Paragraph:
    """Sentences, and the pictures that stand after them because they show what these tell."""

    sentences: tuple[Told, ...]
    pictures: tuple[Picture, ...] = ()

    @property
    def text(self) -> str:
        """Return the sentences as running text."""
        return " ".join(one.text for one in self.sentences)


@dataclass(frozen=True)
class Number:
    """A number worth telling, and what it counts: "38", "screws came out of the fillet panel"."""

    figure: str
    text: str
    behind: tuple[str, ...]


@dataclass(frozen=True)
class Quote:
    """Somebody's own words, letter for letter, and who or what kind of person said them."""

    text: str
    by: str
    utterance: str


@dataclass(frozen=True)
class Section:
    """A heading with paragraphs, and a number or quotations that belong to them."""

    heading: str
    paragraphs: tuple[Paragraph, ...]
    number: Number | None = None
    quotes: tuple[Quote, ...] = ()


@dataclass(frozen=True)
class Explained:
    """The one thing that is explained: a question, its answer in sentences, and a picture of it."""

    question: str
    lines: tuple[Told, ...]
    picture: Picture | None = None


@dataclass(frozen=True)
class Plot:
    """A drawing with the same in words: a title, SVG made here, and sentences; ``beside``: they stand at its side."""

    title: str
    svg: str
    lines: tuple[Told, ...]
    beside: bool = False


@dataclass(frozen=True)
class Story:
    """The whole report, passed by the gate."""

    title: str
    aircraft: str
    period: str
    headline: str
    standfirst: tuple[Told, ...]
    lead: Picture | None
    sections: tuple[Section, ...]
    explained: Explained | None
    ahead: tuple[Told, ...]
    glossary: tuple[tuple[str, str], ...]
    thanks: tuple[Told, ...]
    withheld: tuple[Withheld, ...]
    plots: tuple[Plot, ...] = ()
    leans_on_the_book: bool = False
    """Whether anything was kept back for a name of a file or a device, or for a caution, of the whole book."""

    @property
    def pictures(self) -> tuple[Picture, ...]:
        """Every picture, the lead first."""
        return (
            *(() if self.lead is None else (self.lead,)),
            *(one for part in self.sections for each in part.paragraphs for one in each.pictures),
            *(() if self.explained is None or self.explained.picture is None else (self.explained.picture,)),
        )

    @property
    def text(self) -> str:
        """All that is read of the work: running text, numbers, and what stands under the pictures."""
        told = [one.text for one in self.sentences if one not in self.thanks]
        numbers = [one.number.text for one in self.sections if one.number is not None]
        captions = [one.caption for one in self.pictures]
        return " ".join((self.headline, *told, *numbers, *captions))

    @property
    def sentences(self) -> tuple[Told, ...]:
        """Every sentence of running text, in order."""
        return (
            *self.standfirst,
            *(one for plot in self.plots for one in plot.lines),
            *(one for part in self.sections for each in part.paragraphs for one in each.sentences),
            *(() if self.explained is None else self.explained.lines),
            *self.ahead,
            *self.thanks,
        )
