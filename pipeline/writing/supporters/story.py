"""The report as a value: what is told under which heading, with which pictures."""

from dataclasses import dataclass

from pipeline.writing.supporters.privacy import Withheld


@dataclass(frozen=True)
class Picture:
    """A picture of the report: the photo, its file's name in the folder, and what is said of it.

    ``width`` and ``height`` are in pixels, 0 until the file is made.
    """

    media: str
    file: str
    caption: str
    alt: str
    width: int = 0
    height: int = 0

    @property
    def shape(self) -> float:
        """Width by height; 1.5 where it is not known."""
        return round(self.width / self.height, 3) if self.height else 1.5

    @property
    def tall(self) -> bool:
        """Tell whether it is higher than wide."""
        return self.shape < 1


@dataclass(frozen=True)
class Section:
    """A heading with paragraphs (each a tuple of sentences) and pictures."""

    heading: str
    paragraphs: tuple[tuple[str, ...], ...]
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True)
class Explained:
    """The one thing that is explained: a question, its answer in sentences, and a picture of it."""

    question: str
    lines: tuple[str, ...]
    picture: Picture | None = None


@dataclass(frozen=True)
class Story:
    """The whole report, passed by the gate."""

    title: str
    aircraft: str
    period: str
    headline: str
    standfirst: tuple[str, ...]
    lead: Picture | None
    sections: tuple[Section, ...]
    explained: Explained | None
    number: tuple[str, str] | None
    ahead: tuple[str, ...]
    glossary: tuple[tuple[str, str], ...]
    thanks: tuple[str, ...]
    withheld: tuple[Withheld, ...]

    @property
    def pictures(self) -> tuple[Picture, ...]:
        """Every picture, the lead first."""
        return (
            *(() if self.lead is None else (self.lead,)),
            *(one for part in self.sections for one in part.pictures),
            *(() if self.explained is None or self.explained.picture is None else (self.explained.picture,)),
        )
