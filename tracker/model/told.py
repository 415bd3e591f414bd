"""What a person was told of a swimmer: the word as it left the tool, never rewritten."""

from __future__ import annotations

import datetime as dt
from typing import Annotated

from sqlmodel import Field

from tracker.model.about import About
from tracker.model.base import Label, Line, Name, Record
from tracker.model.vocabularies import ToldBy


class Told(Record):
    """A word as it was told of a swimmer; later tests and corrections leave it as it is.

    Attributes
    ----------
    date
        The day that the word was about: the last one of a page, else the day it was seen.
    p
        How probable it was; None where there was nothing to be sure of.
    since
        Its onset as it was told; None where it was too early.
    link
        The fault beside its onset, with its side as it is typed ("breath-late:left"); empty without one.
    where
        In which form it was told.
    who
        Who saw it, or made the page.
    """

    date: Annotated[dt.date, About("the day that the word was about", fixed=True)]
    swimmer: Annotated[Name, About(headers="swimmer, name, athlete")]  # "who" is a column here
    verdict: Annotated[Label, About("the word", fixed=True)]
    p: Annotated[float | None, About("how probable it was", fixed=True)] = Field(default=None, ge=0, le=1)
    since: Annotated[dt.date | None, About("its onset", fixed=True)] = None
    link: Annotated[Line, About("the fault beside its onset", fixed=True)] = ""
    where: Annotated[ToldBy, About("in which form it was told", fixed=True)] = ToldBy.SEEN
    who: Annotated[Line, About("who saw it, or made the page", fixed=True)] = ""
