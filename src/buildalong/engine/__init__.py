"""The engine: what a circuit does over time, with real parts."""

from buildalong.engine._run import Action, Event, Extremes, Run, Trial, Variation, Verdict

__all__ = ["Action", "Event", "Extremes", "Run", "Trial", "Variation", "Verdict"]
