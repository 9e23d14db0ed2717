"""The thresholds of the channels, from tables made by simulation."""

from carelog.analysis.usual.usual import Rate


class Thresholds:
    """Stub."""

    def of(self, channel: str, rate: Rate, allowed: int) -> float:
        return 5.5 if channel != "drift" else 3.5
