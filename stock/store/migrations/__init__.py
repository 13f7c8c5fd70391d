"""The steps by which older schemas become the newest: one module for each, frozen once it was released."""
