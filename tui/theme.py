"""The program's own themes. Every pair of colours used for text is computed to be readable (see tests)."""

from __future__ import annotations

from textual.theme import Theme

DARK = Theme(
    name="machine-room",
    primary="#7fb4d9",
    secondary="#c7a76c",
    accent="#e0b050",
    foreground="#e6e1d8",
    background="#14171a",
    surface="#1b1f23",
    panel="#252a2f",
    success="#8fd18f",
    warning="#f0c560",
    error="#ff8f7f",
    dark=True,
    variables={
        "footer-key-foreground": "#e0b050",
        "footer-description-foreground": "#e6e1d8",
        "footer-background": "#252a2f",
        "block-cursor-background": "#e0b050",
        "block-cursor-foreground": "#14171a",
        "input-selection-background": "#e0b050 35%",
        "verdict-clear": "#9fe39f",
        "verdict-blank": "#a8d8f0",
        "verdict-inspect": "#f5d27a",
        "verdict-keep": "#ffb3a6",
        "verdict-retire": "#d3cdc4",
        "tape-proved": "#8fd18f",
        "tape-unproved": "#ff8f7f",
        "tape-free": "#a8d8f0",
        "quiet": "#b0aba2",
        "text-muted": "#b0aba2",
        "text-disabled": "#b0aba2",
        "list-cursor": "#2b4053",
        "block-cursor-blurred-background": "#2c343b",
        "scrollbar": "#717b84",
        "scrollbar-hover": "#7fb4d9",
        "scrollbar-active": "#e0b050",
        "scrollbar-background": "#1b1f23",
    },
)
LIGHT = Theme(
    name="daylight",
    primary="#1d567d",
    secondary="#6d4d12",
    accent="#7a4b00",
    foreground="#1c1b19",
    background="#f6f3ec",
    surface="#eeeae0",
    panel="#e2ddd0",
    success="#1e5a25",
    warning="#694700",
    error="#952216",
    dark=False,
    variables={
        "footer-key-foreground": "#7a4b00",
        "footer-description-foreground": "#1c1b19",
        "footer-background": "#e2ddd0",
        "block-cursor-background": "#1d567d",
        "block-cursor-foreground": "#ffffff",
        "input-selection-background": "#1d567d 30%",
        "verdict-clear": "#124718",
        "verdict-blank": "#0d4364",
        "verdict-inspect": "#533800",
        "verdict-keep": "#7a170d",
        "verdict-retire": "#44413c",
        "tape-proved": "#1e5a25",
        "tape-unproved": "#952216",
        "tape-free": "#1d567d",
        "quiet": "#55514a",
        "text-muted": "#55514a",
        "text-disabled": "#55514a",
        "list-cursor": "#cfdbe3",
        "block-cursor-blurred-background": "#dcdcd2",
        "scrollbar": "#857d6c",
        "scrollbar-hover": "#1d567d",
        "scrollbar-active": "#7a4b00",
        "scrollbar-background": "#eeeae0",
    },
)
CONTRAST = Theme(
    name="floodlight",
    primary="#8fd3ff",
    secondary="#f2cf8a",
    accent="#ffd75e",
    foreground="#ffffff",
    background="#000000",
    surface="#0e0e0e",
    panel="#1e1e1e",
    success="#9dff9d",
    warning="#ffe066",
    error="#ffb3a8",
    dark=True,
    variables={
        "footer-key-foreground": "#ffd75e",
        "footer-description-foreground": "#ffffff",
        "footer-background": "#1e1e1e",
        "block-cursor-background": "#ffd75e",
        "block-cursor-foreground": "#000000",
        "input-selection-background": "#1f4f7a",
        "verdict-clear": "#b6ffb6",
        "verdict-blank": "#c4e8ff",
        "verdict-inspect": "#ffe9a0",
        "verdict-keep": "#ffd0c8",
        "verdict-retire": "#e6e6e6",
        "tape-proved": "#9dff9d",
        "tape-unproved": "#ffb3a8",
        "tape-free": "#c4e8ff",
        "quiet": "#d6d6d6",
        "text-muted": "#d6d6d6",
        "text-disabled": "#d6d6d6",
        "list-cursor": "#0e304c",
        "block-cursor-blurred-background": "#262c33",
        "scrollbar": "#8a8a8a",
        "scrollbar-hover": "#8fd3ff",
        "scrollbar-active": "#ffd75e",
        "scrollbar-background": "#0e0e0e",
    },
)
THEMES = (DARK, LIGHT, CONTRAST)
"""In the order one follows the other."""


def after(name: str) -> Theme:
    """The theme that follows another; the first where there is none of that name."""
    names = [theme.name for theme in THEMES]
    return THEMES[(names.index(name) + 1) % len(THEMES)] if name in names else DARK


def named(name: str) -> Theme | None:
    """The theme of a name, however it is spelt; None where there is none."""
    return next((theme for theme in THEMES if theme.name == name.strip().casefold()), None)
