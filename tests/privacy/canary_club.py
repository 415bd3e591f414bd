"""A club whose illness and injury can be found again wherever they come out."""

from __future__ import annotations

import datetime as dt
import io
import re
import zipfile
from pathlib import Path

from pypdf import PdfReader

from tests.builders import a_session
from tests.tui.clubs import AT, TODAY, a_club
from tracker.app.events import log_event
from tracker.model.swimmer import Consent
from tracker.settings import Settings

WHO = "Ada Fjord"
ON = Settings(health=True)
CANARIES = ("canary-fever", "canary-elbow", "canary-once")
KINDS = ("illness", "injury")
GENERAL = (
    "afterillness,inpregnancy,withaheartorlungcondition:askadoctorfirst",
    "illnessorhurt:hasanythingbeenwrong",
)
"""What a caution, and a question after every slip, say to everybody, whatever is on record."""


def canary_club(folder: Path) -> Path:
    """Return a database: one swimmer's illness and injury, long past, near the onset and now; pages allowed.

    They were logged as anybody logs them while health was switched on, so the history knows of them too.
    """
    store = a_club(folder)
    with store.write(who="Maud", what="note consents", at=AT) as writer:
        writer.add([Consent(swimmer=WHO, purpose=why, date=TODAY) for why in ("record", "pages")])
    for kind, ago, lasts, note in (
        ("illness", 330, 5, CANARIES[0]),
        ("injury", 190, 20, CANARIES[1]),
        ("illness", 4, 2, CANARIES[2]),
        ("injury", 2, None, CANARIES[1]),
    ):
        first = TODAY - dt.timedelta(days=ago)
        last = "" if lasts is None else (first + dt.timedelta(days=lasts)).isoformat()
        log_event(
            a_session(store, today=TODAY, settings=ON, now=AT),
            {"swimmer": WHO, "kind": kind, "from": first.isoformat(), "to": last, "note": note},
        )
    store.close()
    return folder / "club.db"


def found_in(text: str) -> list[str]:
    """Return the canaries and the words for health's kinds that stand in a text, case and wrapping aside."""
    squeezed = re.sub(r"\s", "", text.casefold())
    for said in GENERAL:
        squeezed = squeezed.replace(said, "")
    return [word for word in (*CANARIES, *KINDS) if word in squeezed]


def words_of(file: Path) -> str:
    """Return all that can be read out of a file that the tool wrote."""
    content = file.read_bytes()
    if content.startswith(b"%PDF"):
        reader = PdfReader(io.BytesIO(content))
        return "\n".join([*(page.extract_text() for page in reader.pages), str(reader.metadata)])
    if content.startswith(b"PK"):
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            return "\n".join(packed.read(name).decode("utf-8", "replace") for name in packed.namelist())
    return content.decode("utf-8", "replace")
