"""A second, independent reading of the house's rules: random houses and a slow, plain judge of them."""
