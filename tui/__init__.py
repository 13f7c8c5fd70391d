"""The screens."""

import os

# Textual paints at most so often a second, and a letter typed waits for the next time: at its own 60 that is a third of
# what a search may take. It reads this once, when it is imported.
os.environ.setdefault("TEXTUAL_FPS", "144")
