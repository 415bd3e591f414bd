"""A fault's timeline: one dated step a record; and the coach's own faults."""

from __future__ import annotations

from typing import Annotated

from sqlmodel import Field

from tracker.model.about import About
from tracker.model.base import Day, Label, Line, Name, Note, Record, Remark, Side
from tracker.model.swim_test import Slug
from tracker.model.vocabularies import Answers, Step

OWN = "own-"
"""How the short name of a coach's own fault begins."""


_Several = Annotated[Note, About(hint="that answer it; a semicolon between", typed="lines")]

WORST = 3
"""The highest severity."""


class FaultStep(Record):
    """One step in the life of a fault of a swimmer.

    A step with a reviewer was seen in that reviewer's look of that day; without one it is
    hearsay ("said to be").
    """

    date: Day
    swimmer: Name
    fault: Annotated[Slug, About("its short name", value="FAULT", hint="type a part of its name", order=1)]
    side: Annotated[Side, About(order=1)] = ""
    step: Annotated[
        Step,
        About("what became of it", value="STEP", hint="open seen work corrected park back", order=1),
    ]
    severity: Annotated[int | None, About("how bad", value="1-3", hint="1 slight to 3 strong", order=1)] = (
        Field(default=None, ge=1, le=WORST)
    )
    reviewer: Annotated[
        Line,
        About(
            "the reviewer who saw it; without: hearsay",
            value="WHO",
            hint="empty: only said to be so",
            flag="by",
            label="seen by",
        ),
    ] = ""
    note: Annotated[
        Remark,
        About("why; needed to park", hint="needed to park a fault", flag="reason", label="reason"),
    ] = ""


class OwnFault(Record):
    """A coach's addition to the catalogue; its short name starts with "own-"."""

    fault: Annotated[
        Slug, About("its short name", label="short name", hint=f"begins with {OWN}: own-wall-glide")
    ]
    name: Annotated[Label, About("plain name; needed", hint="in plain words")]
    area: Annotated[Line, About("where it belongs: an area of a review", value="AREA")] = ""
    view: Annotated[
        Line, About("from where it is seen", label="seen from", hint="side, front, above water")
    ] = ""
    measure: Annotated[Line, About("what to look at", flag="look", label="look at", hint="what tells it")] = (
        ""
    )
    norm: Annotated[Line, About("how it should be")] = ""
    cost: Annotated[Line, About("what it costs", label="costs")] = ""
    cues: Annotated[_Several, About("a cue that answers it; may be repeated", flag="cue")] = ""
    drills: Annotated[_Several, About("a drill that answers it; may be repeated", flag="drill")] = ""
    provoked_by: Annotated[
        _Several,
        About(
            "a cue overdone that can bring it about; may be repeated",
            label="brought about by",
            hint="cues overdone; a semicolon between",
        ),
    ] = ""
    answers: Annotated[Answers, About("how fast it answers as a rule")] = Answers.UNKNOWN
    caution: Annotated[Note, About("what to take care of")] = ""
