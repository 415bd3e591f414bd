"""No page of somebody who is away, or has not agreed where the club asks for it."""

from __future__ import annotations

import datetime as dt

from tests.output.cases import AS_OF
from tracker.model.swimmer import Consent, Swimmer
from tracker.output.pages.permission import why_not

INES = Swimmer(swimmer="Ines Aalto")
GIVEN = Consent(date=dt.date(2025, 1, 7), swimmer="Ines Aalto")


def test_without_the_rule_everybody_active_gets_a_page() -> None:
    assert why_not(INES, [], AS_OF, needed=False) == ""
    assert why_not(INES.model_copy(update={"archived": AS_OF}), [GIVEN], AS_OF, needed=False).startswith(
        "archived on"
    )


def test_with_the_rule_the_latest_consent_for_pages_counts() -> None:
    assert why_not(INES, [GIVEN], AS_OF, needed=True) == ""
    assert "no consent" in why_not(INES, [], AS_OF, needed=True)
    clips = GIVEN.model_copy(update={"purpose": "clips"})
    assert "no consent" in why_not(INES, [clips], AS_OF, needed=True)
    withdrawn = GIVEN.model_copy(update={"withdrawn": dt.date(2026, 1, 1)})
    assert "withdrawn on 1 January 2026" in why_not(INES, [withdrawn], AS_OF, needed=True)
    over = GIVEN.model_copy(update={"until": dt.date(2026, 1, 1)})
    assert "ended on 1 January 2026" in why_not(INES, [over], AS_OF, needed=True)
    again = GIVEN.model_copy(update={"date": dt.date(2026, 2, 1)})
    assert why_not(INES, [again, withdrawn], AS_OF, needed=True) == ""
    later = GIVEN.model_copy(update={"date": AS_OF + dt.timedelta(days=1)})
    assert "no consent" in why_not(INES, [later], AS_OF, needed=True)
