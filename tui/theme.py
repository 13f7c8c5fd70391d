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
        "quiet": "#a9a49b",
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
        "quiet": "#5a564e",
    },
)
THEMES = (DARK, LIGHT)
