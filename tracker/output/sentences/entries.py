"""One entry in a few words, as lists, questions and answers name it."""

from __future__ import annotations

from tracker.model.base import Record
from tracker.model.event import Load
from tracker.model.fault import FaultStep
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swimmer import Consent
from tracker.model.units import format_time, plain_number
from tracker.model.work import Work
from tracker.output.sentences.data import distance_words
from tracker.output.sentences.link import load_words
from tracker.output.sentences.people import consent_sentence
from tracker.technique.privacy import ShownEvent


def entry_words(record: Record) -> str:
    """Return an entry in a few words, without its swimmer; raises `TypeError` for a kind that has none."""
    match record:
        case ShownEvent(from_date=begins, to_date=ends):
            until = f" to {ends}" if ends else ""
            return f"{record.kind} from {begins}{until}{f': {record.note}' if record.note else ''}"
        case Load():
            return load_words(record)
        case Work(from_date=begins, to_date=ends):
            until = f" to {ends}" if ends else ""
            fault = f" against {record.fault}" if record.fault else ""
            often = f", {plain_number(record.per_week)} a week" if record.per_week else ""
            return f"{record.kind} from {begins}{until}: {record.text}{fault}{often}"
        case FaultStep():
            return f"{record.date}: {record.fault}{side_words(record.side)} {record.step}"
        case ReviewItem(value=value):
            said = "" if value is None else f" {plain_number(value)}"
            what = record.item or record.kind
            return f"{record.date} by {record.reviewer}: {what}{side_words(record.side)}{said}"
        case Swim():
            distance = distance_words(record.distance_m, record.course)
            return (
                f"{record.test or 'swim'} on {record.date}, {distance} {record.course} "
                f"in {format_time(record.time_s)}, {format_time(record.pace, 1)} per 100 m"
            )
        case Consent():
            return consent_sentence(record)
    raise TypeError(type(record).__name__)


def side_words(side: str) -> str:
    """Return " (left)", or nothing where there is no side."""
    return f" ({side})" if side else ""
