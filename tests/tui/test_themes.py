"""Contrast by the formula of WCAG 2.2 (SC 1.4.3: 4.5:1 for text; 1.4.11: 3:1 for graphics)."""

from __future__ import annotations

import pytest

from tracker.tui.themes import BACKGROUNDS, DARK, LIGHT, TEXT, colour, contrast

NAMED = (*TEXT, "primary", "secondary", "accent", "warning", "error", "success", "footer-key-foreground")


@pytest.mark.parametrize("theme", [DARK, LIGHT], ids=lambda theme: theme.name)
@pytest.mark.parametrize("ground", BACKGROUNDS)
@pytest.mark.parametrize("name", NAMED)
def test_text_has_enough_contrast_on_every_ground(theme, name, ground):
    assert contrast(colour(theme, name), colour(theme, ground)) >= 4.5


@pytest.mark.parametrize("theme", [DARK, LIGHT], ids=lambda theme: theme.name)
@pytest.mark.parametrize("ground", BACKGROUNDS)
def test_the_band_has_enough_contrast_for_a_graphic(theme, ground):
    assert contrast(colour(theme, "band"), colour(theme, ground)) >= 3.0


def test_contrast_agrees_with_published_values():
    """Black on white is 21 by definition; #777777 on white is 4.48 (often given as just failing)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)
