"""The latest consent for a purpose counts."""

from __future__ import annotations

import datetime as dt

from tracker.model.swimmer import Consent, consent_status, latest

DAY = dt.date(2026, 6, 30)
LATER = DAY + dt.timedelta(days=10)


def given(day: dt.date = DAY, **fields: object) -> Consent:
    return Consent.model_validate({"date": day, "swimmer": "Ines Aalto", "purpose": "pages", **fields})


def test_how_a_consent_stands() -> None:
    assert consent_status([], "pages", DAY) == "none"
    assert consent_status([given()], "pages", DAY) == "given"
    assert consent_status([given()], "clips", DAY) == "none"
    assert consent_status([given(LATER)], "pages", DAY) == "none"
    assert consent_status([given(until=DAY)], "pages", DAY) == "given"
    assert consent_status([given(until=DAY)], "pages", LATER) == "ended"
    assert consent_status([given(withdrawn=LATER)], "pages", DAY) == "given"
    assert consent_status([given(withdrawn=LATER)], "pages", LATER) == "withdrawn"


def test_a_later_consent_stands_over_a_withdrawn_one_in_any_order() -> None:
    old, new = given(withdrawn=DAY), given(LATER)
    assert consent_status([old, new], "pages", LATER) == consent_status([new, old], "pages", LATER) == "given"


def test_of_two_of_one_day_the_one_written_last_counts() -> None:
    first, second = given(how="by mail"), given(how="on paper")
    assert latest([first, second], "pages", DAY) == second
