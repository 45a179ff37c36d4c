"""Property tests here judge answers, not the speed of a busy machine."""

from hypothesis import HealthCheck, settings

settings.register_profile("answers", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("answers")
