"""Two themes, light and dark. Each text colour has at least 4.5:1 on every ground it may stand on.

The hues are few and their lightness differs, so that they part in grey too; a word, a mark or a
line pattern always says the same as the colour.
"""

from __future__ import annotations

from textual.theme import Theme

DARK = Theme(
    name="evening",
    dark=True,
    primary="#6cb6e8",
    secondary="#9db4c0",
    accent="#e8c468",
    warning="#f0a45d",
    error="#ff9c8f",
    success="#7fd0a7",
    foreground="#e6e8ea",
    background="#121212",
    surface="#1c1c1c",
    panel="#262626",
    variables={
        "shade": "#303030",
        "quiet": "#a4afb9",
        "faint": "#9aa6b2",
        "line": "#6cb6e8",
        "band": "#5f93b8",
        "open": "#f0a45d",
        "work": "#e8d27a",
        "done": "#9fb3a8",
        "mark": "#d3b3ea",
        "footer-key-foreground": "#e8c468",
    },
)

LIGHT = Theme(
    name="morning",
    dark=False,
    primary="#005a9c",
    secondary="#3d5566",
    accent="#7a4b00",
    warning="#994000",
    error="#a3160f",
    success="#0a6040",
    foreground="#16191c",
    background="#ffffff",
    surface="#f4f4f4",
    panel="#e4e4e4",
    variables={
        "shade": "#dadada",
        "quiet": "#4c565e",
        "faint": "#555f66",
        "line": "#005a9c",
        "band": "#3f6e8f",
        "open": "#8f3b00",
        "work": "#6b5200",
        "done": "#45594d",
        "mark": "#69348c",
        "footer-key-foreground": "#7a4b00",
    },
)

TEXT = ("foreground", "quiet", "faint", "line", "open", "work", "done", "mark")
BACKGROUNDS = ("background", "surface", "panel", "shade")


def colour(theme: Theme, name: str) -> str:
    """Return a theme's colour by its name, "#rrggbb"."""
    value = theme.variables.get(name) or getattr(theme, name)
    return str(value)


def contrast(one: str, other: str) -> float:
    """Return the contrast of two colours, 1 to 21 (WCAG 2.2, relative luminance)."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(value: str) -> float:
    parts = [int(value[index : index + 2], 16) / 255 for index in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
