"""The closed lists of words of the records; loads nothing but the standard library.

The words are stored and printed, so they never change. What takes a word apart is a `match` that ends in
`assert_never`, or goes by what the word says of itself here.
"""

from __future__ import annotations

from enum import Enum, StrEnum, auto


class Decision(StrEnum):
    """A person's decision on a swim."""

    UNDECIDED = ""
    ACCEPTED = "accepted"
    """Implausible, but confirmed."""
    KEPT = "kept"
    """Doubtful, but counts."""
    ASIDE = "aside"
    """Does not count."""


class Step(StrEnum):
    """A step in the timeline of a fault.

    Attributes
    ----------
    verb
        The word that a person types for it.
    sighting
        Whether the fault was seen that day.
    """

    verb: str
    sighting: bool

    def __new__(cls, word: str, verb: str, sighting: bool) -> Step:  # noqa: FBT001 - a column of the table below
        """Return a step that is its stored word."""
        step = str.__new__(cls, word)
        step._value_, step.verb, step.sighting = word, verb, sighting
        return step

    OPEN = "open", "open", True
    SEEN = "seen", "seen", True
    WORK = "work", "work", False
    CORRECTED = "corrected", "corrected", False
    PARKED = "parked", "park", False
    BACK = "back", "back", True


class Phase(Enum):
    """What is being done about a fault."""

    WAITING = auto()
    """Nobody works on it, and nobody chose to leave it."""
    IN_WORK = auto()
    PARKED = auto()
    CLOSED = auto()


class State(StrEnum):
    """How a fault stands.

    Attributes
    ----------
    phase
        What is being done about it.
    short
        The word where there is little room.
    """

    phase: Phase
    short: str

    def __new__(cls, word: str, phase: Phase, short: str = "") -> State:
        """Return a state that is its word."""
        state = str.__new__(cls, word)
        state._value_, state.phase, state.short = word, phase, short or word
        return state

    OPEN = "open", Phase.WAITING
    IN_WORK = "in work", Phase.IN_WORK
    CORRECTED = "corrected", Phase.CLOSED
    SAID_CORRECTED = "said to be corrected", Phase.CLOSED, "said corrected"
    PARKED = "parked", Phase.PARKED
    BACK = "back", Phase.WAITING


class Answers(StrEnum):
    """How soon a swimmer usually takes a correction up (common practice)."""

    UNKNOWN = ""
    QUICK = "quick"
    MEDIUM = "medium"
    SLOW = "slow"


class Depends(StrEnum):
    """How one fault hangs on another."""

    LEADS_TO = "leads to"
    """It brings the other about, or keeps it alive."""
    COMES_BEFORE = "comes before"
    """It is worked on before the other."""


class CostKnown(StrEnum):
    """How near a measurement of what a fault costs is to the fault."""

    MEASURED = "measured"
    INDIRECT = "indirect"
    NONE = "none"


class ChoiceKind(StrEnum):
    """What a person decided."""

    CHOOSE = "choose"
    """To work on this fault instead."""
    STAGGER = "stagger"
    """A randomised start."""
    SEEN = "seen"
    """A line of the roster is marked as seen."""


class ToldBy(StrEnum):
    """In which form a word left the tool."""

    PAGE = "page"
    """The page of a swimmer."""
    SUMMARY = "summary"
    """The page of the roster."""
    SEEN = "seen"
    """Marked as seen, in a list or on a screen."""


class Arm(StrEnum):
    """The arm of a randomised start."""

    NOW = "now"
    LATER = "later"


class Purpose(StrEnum):
    """What a consent is for."""

    RECORD = "record"
    PAGES = "pages"
    CLIPS = "clips"


class GivenBy(StrEnum):
    """Who gave a consent."""

    SELF = "self"
    GUARDIAN = "guardian"


class ConsentStatus(StrEnum):
    """Whether a consent stands, and if not, what became of it."""

    NONE = "none"
    GIVEN = "given"
    ENDED = "ended"
    WITHDRAWN = "withdrawn"


class BodyPart(StrEnum):
    """Where an injury or illness is.

    Attributes
    ----------
    leg
        Whether the arms may work although it is hurt.
    """

    leg: bool

    def __new__(cls, word: str, leg: bool = False) -> BodyPart:  # noqa: FBT001, FBT002 - a column of the table
        """Return a part that is its stored word."""
        part = str.__new__(cls, word)
        part._value_, part.leg = word, leg
        return part

    UNKNOWN = ""
    SHOULDER = "shoulder"
    ELBOW = "elbow"
    WRIST = "wrist"
    NECK = "neck"
    BACK = "back"
    HIP = "hip", True
    KNEE = "knee", True
    ANKLE = "ankle", True
    LEG = "leg", True
    OTHER = "other"


class WorkKind(StrEnum):
    """What is in use against a fault."""

    CUE = "cue"
    """What the swimmer thinks."""
    DRILL = "drill"
    """What the swimmer does."""


class ItemKind(StrEnum):
    """What one item of a review is."""

    SCORE = "score"
    """An area, 1 to 5."""
    MEASURE = "measure"
    """A number with a side."""
    LOOK = "look"
    """The bare look: who looked at what, and found nothing else to write down."""


class SwimTestKind(StrEnum):
    """What a test asks for."""

    DISTANCES = "distances"
    """Each distance once, in this order."""
    DURATION = "duration"
    """As far as one can in a given time."""
    REPEATS = "repeats"
    """One distance several times."""


class DamagedPart(StrEnum):
    """The parts of a database file that a check looks at as a whole."""

    FILE = "file"
    HEADER = "header"
    TABLES = "tables"
