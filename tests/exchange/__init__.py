"""The exchange files: what is read, what is refused and how it is said, what is written and read back."""
