"""Every threshold with its unit and source. Values only: reading the file is wiring's work."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Settings:
    """All thresholds; each can be overridden by the config file under its own name.

    Attributes
    ----------
    course : str
        Course of a swim when neither the command nor the swimmer's last tests say.
    band : float
        Percent per month; half-width of "no change". 0.25 is 3 % a year, a practical
        margin, not derived from the swimmer's own noise (Hopkins 2004 on smallest
        worthwhile change; the value is common practice, no source).
    gaining_from, plateau_from, slipping_from, slowed_from : float
        Probability from which the word is said; 0 for the level of the swimmer's rhythm of tests
        (`engine.verdict.levels`), which follows from a declared rate of false words.
    min_tests : int
        Fewest tests for a verdict.
    min_weeks : float
        Shortest record for a verdict, weeks.
    stale_days : int
        A last test older than this makes the verdict stale.
    test_every_days : int
        The next test is due so long after the last.
    review_every_days : int
        While there is a plateau or a fault in work, the next look is due so long after the last.
    clear_days : int
        No maximal test is asked for in so many days before a race on record, nor on its day: not
        inside the last 10 to 14 (common practice, no source).
    choice_days : int
        A coach's choice of what to work on ends so long after it was made, or with the race or camp
        that its reason names, and is then asked for again. Twelve weeks, as long as a fault stays in
        work before something else is tried (assumption): no reason holds unlooked-at for a season.
    season_month : int
        A season begins on the first day of this month: September (common practice where the short-course
        year begins then, no source).
    recent_days : int
        So far back the latest critical swim speed and the usual protocol are looked for (assumption).
    rival_weeks : float
        Confounders are looked for so near to the onset, on either side.
    rival_tests_drop : float
        Share by which tests become fewer after the onset to be named a confounder (assumption).
    rival_volume_drop : float
        Share by which the weekly volume falls or rises after the onset to be named a confounder (assumption).
    fastest_pace_s, slowest_pace_s : float
        Seconds per 100 m; outside this a time is implausible (a choice: nobody swims 100 m in 40 s, which is
        from memory; below 100 m a tenth less, see `model.plausibility`).
    ratio_low, ratio_high : float
        T400/T200 outside of which a pair is implausible (common practice, no source).
    ratio_warn_low, ratio_warn_high : float
        T400/T200 outside of which a pair is remarked upon (common practice, no source).
    push_off_m : float
        Metres from the wall to the first hand entry where not measured (assumption).
    health : bool
        Whether illness and injury may be logged and shown.
    consent_needed : bool
        Whether pages are made only for swimmers with a consent on record.
    private : bool
        Whether names stay out of a page's title and file name.
    """

    course: str = "SCM"
    band: float = 0.25
    gaining_from: float = 0.0
    plateau_from: float = 0.0
    slipping_from: float = 0.0
    slowed_from: float = 0.0
    min_tests: int = 8
    min_weeks: float = 10.0
    stale_days: int = 60
    test_every_days: int = 7
    review_every_days: int = 28
    clear_days: int = 14
    choice_days: int = 84
    season_month: int = 9
    recent_days: int = 180
    rival_weeks: float = 6.0
    rival_tests_drop: float = 0.5
    rival_volume_drop: float = 0.2
    fastest_pace_s: float = 40.0
    slowest_pace_s: float = 360.0
    ratio_low: float = 2.00
    ratio_high: float = 2.25
    ratio_warn_low: float = 2.02
    ratio_warn_high: float = 2.20
    push_off_m: float = 5.0
    health: bool = False
    consent_needed: bool = False
    private: bool = False


DEFAULT = Settings()
