"""No test of this room waits for time: a slow machine fails none of them."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

settings.register_profile(
    "unhurried",
    parent=settings.get_profile(settings.get_current_profile_name()),
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("unhurried")
