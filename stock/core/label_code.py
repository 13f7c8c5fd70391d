"""What the code on a reel's label says: a beginning no number has, the number, and a character that shows a misread.

The check character is that of ISO/IEC 7064, MOD 37,36, over the letters and digits of the number; any other character
counts as the hexadecimal digits of its code point, so that a sign misread for another shows too.
"""

from __future__ import annotations

BEGINS = ".R"
"""How every code begins: two signs that keyboard layouts agree on, and nobody types one after the other."""

_ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def label_code(number: str) -> str:
    """What the code on the label of a reel says."""
    return f"{BEGINS}{number}{check_character(number)}"


def number_of_code(text: str) -> str | None:
    """The number a code stands for; None for what is no code, or a code misread."""
    text = text.strip()
    number = text[len(BEGINS) : -1]
    if not text.startswith(BEGINS) or not number.strip() or check_character(number) != text[-1].upper():
        return None
    return number


def number_read(text: str) -> str:
    """The number somebody typed, or scanned off a label: what is no code is the number itself."""
    return number_of_code(text) or text


def check_character(number: str) -> str:
    """The check character of a number (ISO/IEC 7064, MOD 37,36, a hybrid system)."""
    carried = 36
    for sign in "".join(map(_signs, number)):
        carried = (carried + _ALPHABET.index(sign)) % 36 or 36
        carried = carried * 2 % 37
    return _ALPHABET[(37 - carried) % 36]


def _signs(character: str) -> str:
    upper = character.upper()
    return upper if len(upper) == 1 and upper in _ALPHABET else f"{ord(character):X}"
