"""The page beside a bag that shows its seal: to print, to copy into a bound book, to send to somebody else."""

from datetime import date

from markupsafe import Markup

from pipeline.cards.qr_code import qr_svg
from pipeline.english import long_date
from pipeline.writing.check_wording import seal_rows
from pipeline.writing.pages import page


def seal_page(name: str, seal: str, aircraft: str, info: dict[str, str], files: int) -> str:
    """Return the page as HTML; nothing in it is loaded from anywhere.

    Args:
        name: the bag's name.
        seal: the SHA-256 of its tagmanifest-sha256.txt in hexadecimal.
        aircraft: what the team calls the aircraft.
        info: the labels of its bag-info.txt.
        files: how many files are in the bag, as its check counts them.
    """
    return page(
        "seal.html",
        name=name,
        aircraft=aircraft,
        rows=[row.split() for row in seal_rows(seal)],
        typed=" ".join(seal_rows(seal)),
        on=long_date(date.fromisoformat(info["Bagging-Date"])),
        size=info["Bag-Size"],
        files=files,
        before=info.get("DCTERMS-Relation", ""),
        code=Markup(qr_svg(f"{name} sha256:{seal}")),
    )
