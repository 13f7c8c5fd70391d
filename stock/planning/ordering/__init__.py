"""What to order, from whom, how many and when: the cheapest plan that never falls below the need."""
